"""A file of terms/ becomes an Entry, or an Addition to an inherited one, with a Problem for all that is wrong in it.

The tables of keys stand here: the JSON Schema is made from them. Must not look at other files.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from itertools import pairwise

from hangtag.amounts import Amount, AmountReader
from hangtag.entries import Addition, Agreement, Band, Change, Drawing, Entry, Measurement, Reads, Scale, Spread
from hangtag.numbers import exact, is_author_number
from hangtag.problems import Label, Problems, Span
from hangtag.shape import AMOUNT, DATE, LINE, TEXT, WORD, YES_NO, Fields, Key, Keys, many, named, schema_of
from hangtag.sources import BASIS_KEYS, CLAIM_KEYS, read_basis, read_claims
from hangtag.strings import LocalText
from hangtag.units import Unit, UnitList
from hangtag.yaml_source import Node

SPREAD_KEYS: Keys = {
    "relative": Key("The tolerance as a share of the value, such as 5 %.", LINE, required=True),
    **BASIS_KEYS,
}
BAND_KEYS: Keys = {
    "below": Key("The band ends here; the limit itself belongs to the next band.", AMOUNT),
    "up_to": Key("The band ends here; the limit itself still belongs to it.", AMOUNT),
    "says": Key(
        "What people commonly use such a value for: lower case, no full stop, no promise.", TEXT, required=True
    ),
    **BASIS_KEYS,
}
SCALE_KEYS: Keys = {
    "unit": Key("The unit of the bar's numbers.", LINE, required=True),
    "also": Key("Other units to show.", many(LINE)),
    "from": Key("The left end of the bar.", AMOUNT, required=True),
    "to": Key("The right end of the bar.", AMOUNT, required=True),
    "higher_is": Key("What a higher number means, in words.", TEXT, required=True),
    "bands": Key("Stretches of the scale, in order; the last has no limit.", many(schema_of(BAND_KEYS)), required=True),
    "spread": Key("The published tolerance of such claims.", schema_of(SPREAD_KEYS)),
}
QUANTITY_KEYS: Keys = {
    "unit": Key("The unit that a tag means.", LINE, required=True),
    "also": Key("Other units that tags use.", many(LINE)),
    "typed": Key("More spellings, by unit, that count here alone.", named(many(LINE))),
    "plausible": Key("The lowest and highest value that can be meant.", many(AMOUNT), required=True),
}
ROLE_KEYS: Keys = {"fills": Key("The calculator and its input that this value goes to: `shoe-drop.heel_stack`.", LINE)}
AGREEMENT_KEYS: Keys = {
    "that": Key(
        "What must hold: `{q} = {heel} - {forefoot}`, `{q} = {charge} * {voltage}`, `{comfort} >= {limit}`.",
        LINE,
        required=True,
    ),
    "say": Key("What to say where it does not: a sentence.", TEXT, required=True),
}
READS_KEYS: Keys = {
    "quantity": Key("The number on the tag.", schema_of(QUANTITY_KEYS)),
    "roles": Key("Named holes, and what they fill.", named(schema_of(ROLE_KEYS))),
    "patterns": Key("How a tag prints it, with holes {q} {n} {k} and {role}.", many(LINE), required=True),
    "near": Key("Words nearby that speak for this entry.", many(LINE)),
    "kinds": Key("Kinds of gear whose tags carry it: ids of _gear.yml.", many(LINE)),
    "agrees": Key(
        "What must hold between numbers of one tag, by the code of the contradiction.", named(schema_of(AGREEMENT_KEYS))
    ),
    "unsaid": Key("What to say of a value that plays none of the roles.", TEXT),
    "unknown_names": Key(
        "Read as this entry: a word with a trademark sign, or an unknown capitalised one beside a near word.", YES_NO
    ),
}
MEASUREMENT_KEYS: Keys = {
    "source": Key("The standard or method: an id of _sources.yml.", LINE, required=True),
    "how": Key("The test in two sentences a reader can picture.", TEXT, required=True),
}
DRAWING_KEYS: Keys = {
    "file": Key("An SVG in site_templates/drawings/.", LINE, required=True),
    "alt": Key("What the drawing shows, in words.", TEXT, required=True),
    "parts": Key("Parts of the drawing and the entries that explain them.", named(LINE)),
}
CHANGE_KEYS: Keys = {
    "date": Key("When the number changed.", DATE, required=True),
    "was": Key("What stood there.", LINE, required=True),
    "now": Key("What stands there.", LINE, required=True),
    "because": Key("Why.", LINE, required=True),
}
# what keeps old links and old numbers answerable, in an entry and in a calculator
KEPT_KEYS: Keys = {
    "history": Key("Changed numbers.", many(schema_of(CHANGE_KEYS))),
    "was": Key("Earlier ids: old links lead here.", many(WORD)),
}
ENTRY_KEYS: Keys = {
    "name": Key("The term: a singular noun in the trade's usual form.", TEXT, required=True),
    "also": Key(
        "Other names, found by search and by the tag reader; unique in the book.",
        {"anyOf": [many(TEXT), named(many(LINE))]},
    ),
    "in_short": Key("One sentence of at most 25 words.", TEXT, required=True),
    "text": Key("The explanation, in Markdown; [[id]] links to an entry.", TEXT, required=True),
    "reads": Key("How a tag prints it.", schema_of(READS_KEYS)),
    "scale": Key("What low and high values are commonly used for.", schema_of(SCALE_KEYS)),
    "heard": Key("Everyday questions that should find this entry.", {"anyOf": [many(TEXT), named(many(LINE))]}),
    "say": Key("How the term is spoken.", LINE),
    "drawing": Key("A line drawing of the thing.", schema_of(DRAWING_KEYS)),
    "needs_time": Key("What must be done weeks before a trip.", TEXT),
    "measured_by": Key("Test methods.", many(schema_of(MEASUREMENT_KEYS))),
    "ask": Key("Questions for the shop.", {"anyOf": [many(TEXT), named(many(LINE))]}),
    "watch_out": Key("How the number misleads, in Markdown.", TEXT),
    "caution": Key("Where somebody could be hurt, in Markdown.", TEXT),
    "calculators": Key("Calculators shown on the page, in this order.", many(LINE)),
    "see": Key("Neighbouring entries.", many(LINE)),
    "sources": Key("Statements of the text and what they stand on.", many(schema_of(CLAIM_KEYS))),
    "reviewed": Key("When somebody last read the whole entry.", DATE),
    **KEPT_KEYS,
}
ADDITION_KEYS: Keys = {
    "by": Key("Who adds this.", LINE, required=True),
    "date": Key("When.", DATE, required=True),
    "text": Key("What is added, in Markdown.", TEXT),
    "ask": Key("More questions.", {"anyOf": [many(TEXT), named(many(LINE))]}),
    "caution": Key("A further caution, in Markdown.", TEXT),
    "see": Key("More neighbours.", many(LINE)),
}


@dataclass(frozen=True)
class Context:
    """What a file is read against: units, known languages, the day, and where Problems go."""

    units: UnitList
    languages: Collection[str]
    problems: Problems
    today: dt.date

    @property
    def beside(self) -> tuple[object, ...]:
        """What an entry or a calculator is made from, its own file aside."""
        return (self.units, tuple(self.languages), self.today)


def read_entry(node: Node, entry_id: str, area: str, path: str, context: Context) -> Entry:
    """The entry of one file."""
    fields = Fields(node, ENTRY_KEYS, path, context.problems, "an entry", context.languages)
    nothing = LocalText({"en": ""})
    return Entry(
        id=entry_id,
        area=area,
        name=fields.text("name") or LocalText({"en": entry_id}),
        in_short=fields.text("in_short") or nothing,
        text=fields.text("text") or nothing,
        also=fields.texts("also"),
        heard=fields.texts("heard"),
        say=fields.line("say"),
        reads=_reads(fields, context),
        scale=_scale(fields, context),
        drawing=drawing_of(fields),
        needs_time=fields.text("needs_time"),
        measured_by=_measurements(fields),
        ask=fields.texts("ask"),
        watch_out=fields.text("watch_out"),
        caution=fields.text("caution"),
        calculators=fields.lines("calculators"),
        see=fields.lines("see"),
        reviewed=fields.date("reviewed", not_after=context.today),
        history=read_history(fields),
        was=fields.lines("was"),
        path=path,
        span=fields.span,
        claims=read_claims(fields),
        places=places_of(fields),
    )


def read_addition(node: Node, path: str, context: Context) -> Addition:
    """The addition of one `.adds.yml`."""
    fields = Fields(node, ADDITION_KEYS, path, context.problems, "an addition", context.languages)
    return Addition(
        by=fields.line("by") or "",
        date=fields.date("date", not_after=context.today) or "",
        text=fields.text("text"),
        ask=fields.texts("ask"),
        caution=fields.text("caution"),
        see=fields.lines("see"),
        path=path,
        span=fields.span,
        places=places_of(fields),
    )


def places_of(fields: Fields) -> dict[str, Span]:
    """The place of each key, and of each item of the lists that name other things: `see.0`."""
    places = dict(fields.places())
    for name in ("see", "calculators", "was", "also"):
        node = fields.get(name)
        for index, item in enumerate(getattr(node, "items", ())):
            if hasattr(item, "span"):
                places[f"{name}.{index}"] = item.span
    return places


def _sub(fields: Fields, name: str, keys: Keys, what: str) -> Fields | None:
    node = fields.get(name)
    return None if node is None else Fields(node, keys, fields.path, fields.problems, what, fields.languages)


def _each(fields: Fields, name: str, keys: Keys, what: str) -> list[Fields]:
    return [Fields(node, keys, fields.path, fields.problems, what, fields.languages) for node in fields.items(name)]


def _units(reader: AmountReader, fields: Fields, name: str, of: Unit | None) -> tuple[Unit, ...]:
    found = []
    for scalar in fields.scalars(name):
        unit = reader.unit(scalar)
        if unit and of and unit.dimension != of.dimension:
            got, wanted = reader.units.described(unit.dimension), reader.units.described(of.dimension)
            fields.add("amount-wrong-dimension", scalar.span, text=unit.id, got=got, wanted=wanted)
        elif unit:
            found.append(unit)
    return tuple(found)


def _reads(fields: Fields, context: Context) -> Reads | None:
    its = _sub(fields, "reads", READS_KEYS, "reads")
    if its is None:
        return None
    reader = AmountReader(context.units, fields.path, context.problems)
    quantity = _sub(its, "quantity", QUANTITY_KEYS, "reads.quantity")
    unit = reader.unit(quantity.scalar("unit")) if quantity else None
    typed: dict[str, tuple[str, ...]] = {}
    spellings = quantity.get("typed") if quantity else None
    if quantity and spellings is not None:
        names = [key for key, _ in quantity.pairs("typed")]
        keys = {key.text: QUANTITY_KEYS["also"] for key in names}
        its_typed = Fields(spellings, keys, fields.path, fields.problems, "typed")
        typed = {key.text: its_typed.lines(key.text) for key in names if reader.unit(key)}
    roles = {}
    for name, node in its.pairs("roles"):
        role = Fields(node, ROLE_KEYS, fields.path, fields.problems, f"the role {name.text}")
        roles[name.text] = role.line("fills") or ""
    return Reads(
        unit=unit,
        also=_units(reader, quantity, "also", unit) if quantity else (),
        typed=typed,
        plausible=_plausible(quantity, reader, unit) if quantity else None,
        roles=roles,
        patterns=tuple((scalar.text, scalar.span) for scalar in its.scalars("patterns")),
        near=its.lines("near"),
        kinds=tuple((scalar.text, scalar.span) for scalar in its.scalars("kinds")),
        span=its.span,
        agrees=_agreements(its),
        unsaid=its.text("unsaid"),
        unknown_names=its.yes("unknown_names"),
    )


def _agreements(reads: Fields) -> dict[str, Agreement]:
    found = {}
    for code, node in reads.pairs("agrees"):
        its = Fields(node, AGREEMENT_KEYS, reads.path, reads.problems, f"the agreement {code.text}", reads.languages)
        that, say = its.scalar("that"), its.text("say")
        if that is not None and say is not None:
            found[code.text] = Agreement(that.text, say, that.span)
    return found


def _plausible(quantity: Fields, reader: AmountReader, unit: Unit | None) -> tuple[Amount, Amount] | None:
    amounts = [reader.amount(node, unit) for node in quantity.items("plausible")]
    if len(amounts) == 2 and amounts[0] and amounts[1]:  # noqa: PLR2004  lowest and highest
        if amounts[0].si >= amounts[1].si:
            quantity.add("range-not-ascending", quantity.place("plausible"))
        return amounts[0], amounts[1]
    if quantity.has("plausible") and None not in amounts:
        quantity.add("range-needs-two", quantity.place("plausible"))
    return None


def _scale(fields: Fields, context: Context) -> Scale | None:
    its = _sub(fields, "scale", SCALE_KEYS, "a scale")
    if its is None:
        return None
    reader = AmountReader(context.units, fields.path, context.problems)
    unit = reader.unit(its.scalar("unit"))
    if unit is None:
        return None
    start, end = reader.amount(its.get("from"), unit), reader.amount(its.get("to"), unit)
    if start is None or end is None:
        return None
    if start.si >= end.si:
        its.add("range-not-ascending", its.place("to"))
    written = _each(its, "bands", BAND_KEYS, "a band")
    bands = [_band(fields, reader, unit) for fields in written]
    if all((band.below or band.up_to) or not _has_limit(fields) for band, fields in zip(bands, written, strict=True)):
        _check_bands(its, bands, start, end)
    return Scale(
        unit=unit,
        also=_units(reader, its, "also", unit),
        start=start,
        end=end,
        higher_is=its.text("higher_is") or LocalText({"en": ""}),
        bands=tuple(bands),
        spread=_spread(its),
        span=its.span,
    )


def _has_limit(fields: Fields) -> bool:
    return fields.has("below") or fields.has("up_to")


def _band(fields: Fields, reader: AmountReader, unit: Unit) -> Band:
    if fields.has("below") and fields.has("up_to"):
        fields.add("band-two-limits", fields.place("up_to"))
    return Band(
        below=reader.amount(fields.get("below"), unit),
        up_to=reader.amount(fields.get("up_to"), unit),
        says=fields.text("says") or LocalText({"en": ""}),
        basis=read_basis(fields),
        span=fields.span,
    )


def _check_bands(fields: Fields, bands: list[Band], start: Amount, end: Amount) -> None:
    if not bands:
        fields.add("scale-without-bands", fields.place("bands"))
        return
    limits = [band.below or band.up_to for band in bands]
    if limits[-1] is not None:
        fields.add("band-last-limit", limits[-1].span)
    for band, limit in zip(bands[:-1], limits[:-1], strict=True):
        if limit is None:
            fields.add("band-without-limit", band.span)
        elif not start.si < limit.si <= end.si:
            fields.add("band-outside-scale", limit.span, limit=limit.written)
    known = [limit for limit in limits if limit is not None]
    for before, after in pairwise(known):
        if after.si <= before.si:
            labels = [Label(before.span, "the limit before")]
            fields.add("band-not-ascending", after.span, limit=after.written, labels=labels)


def _spread(fields: Fields) -> Spread | None:
    its = _sub(fields, "spread", SPREAD_KEYS, "a spread")
    if its is None:
        return None
    scalar = its.scalar("relative")
    number = scalar.text.removesuffix("%").rstrip() if scalar else ""
    if scalar is None or not scalar.text.endswith("%") or not is_author_number(number):
        its.add("bad-share", its.place("relative"))
        return None
    return Spread(float(exact(number) / 100), read_basis(its))


def drawing_of(fields: Fields) -> Drawing | None:
    """The drawing named under `drawing`; whether its file and its parts are there is for the whole book to check."""
    its = _sub(fields, "drawing", DRAWING_KEYS, "a drawing")
    if its is None:
        return None
    parts = {key.text: getattr(node, "text", "") for key, node in its.pairs("parts")}
    part_spans = {key.text: node.span for key, node in its.pairs("parts")}
    name_spans = {key.text: key.span for key, _ in its.pairs("parts")}
    alt = its.text("alt") or LocalText({"en": ""})
    return Drawing(its.line("file") or "", alt, parts, its.place("file"), part_spans, name_spans)


def _measurements(fields: Fields) -> tuple[Measurement, ...]:
    return tuple(
        Measurement(its.line("source") or "", its.text("how") or LocalText({"en": ""}), its.place("source"))
        for its in _each(fields, "measured_by", MEASUREMENT_KEYS, "a test method")
    )


def read_history(fields: Fields) -> tuple[Change, ...]:
    """The lines of `history`: numbers that changed."""
    return tuple(
        Change(its.date("date") or "", its.line("was") or "", its.line("now") or "", its.line("because") or "")
        for its in _each(fields, "history", CHANGE_KEYS, "a line of history")
    )
