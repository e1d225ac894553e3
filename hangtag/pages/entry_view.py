"""What stands on an entry's page, gathered for its template. Must not write Markdown: the template does."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hangtag import markup
from hangtag.amounts import Amount
from hangtag.answers import band_of
from hangtag.book import Gear
from hangtag.entries import Band, Entry, Scale
from hangtag.numbers import show
from hangtag.pages import plain
from hangtag.pages import scale as bar
from hangtag.pages.drawing import figure
from hangtag.pages.examples_view import first_examples
from hangtag.pages.samples import samples, start_value
from hangtag.pages.uses import Use, of_calculator, of_entry
from hangtag.pages.writer import Writer, calculator_path, gear_path
from hangtag.sources import BASIS_NEEDS, Source
from hangtag.units import Unit


@dataclass(frozen=True)
class BandRow:
    """One stretch of a scale in words."""

    letter: str
    limits: Markup
    says: Markup
    basis: Markup
    current: bool


@dataclass(frozen=True)
class ScaleView:
    """A scale's figure: the reader's own number, its drawing, its bands in words, and what the script moves them by."""

    entry: str
    svg: Markup
    typed: str
    here: Markup
    says: Markup
    rows: tuple[BandRow, ...]
    basis: Markup | None
    attributes: Markup
    units: tuple[Unit, ...]
    decimal: bool
    spread: Markup | None
    scale: Scale


@dataclass(frozen=True)
class Work:
    """One work an entry's page rests on, in words that say how, and where it is published."""

    words: Markup
    target: Markup | None


def entry_view(w: Writer, entry: Entry) -> dict[str, Any]:
    """Everything `entry.md.j2` prints."""
    calculators = tuple(w.book.calculators[name] for name in entry.calculators)
    found = [*of_entry(entry), *(use for calculator in calculators for use in of_calculator(calculator))]
    view = {
        "entry": entry,
        "area": w.book.areas[entry.area],
        "also": [w.unlinked(name) for name in _names(w, entry)],
        "samples": [sample_html(text) for text in samples(w.book, entry)],
        "kinds": [_kind(w, w.book.gear[kind]) for kind, _ in entry.reads.kinds] if entry.reads else [],
        "scale": scale_view(w, entry),
        "drawing": figure(w, entry.drawing) if entry.drawing else Markup(""),
        "calculators": calculators,
        "page_of": {its.id: markup.target(calculator_path(its.id)) for its in calculators},
        "examples": first_examples(w, calculators),
        "works": works(w, found),
        "counts": _counts(w, found),
        "sources": by_basis(w, found),
        "uses": len(found),
    }
    return {**view, "parts_of_page": _parts(w, view)}


def _parts(w: Writer, view: dict[str, Any]) -> list[tuple[str, Markup]]:
    """The parts of the page that are worth a leap: their anchors and their names."""
    entry: Entry = view["entry"]
    added = entry.additions
    there = {
        "scale": view["scale"],
        "on-a-tag": view["samples"],
        "meaning": True,
        "calculators": view["calculators"],
        "ask": entry.ask or any(one.ask for one in added),
        "misleads": entry.watch_out,
        "caution": entry.caution or entry.inherited_caution or any(one.caution for one in added),
        "measured": entry.measured_by,
        "sources": view["sources"],
    }
    names = {"scale": "own", "on-a-tag": "tag", "meaning": "text"}
    anchors = [anchor for anchor, is_there in there.items() if is_there]
    return [(anchor, w.say(f"entry-{names.get(anchor, anchor)}-title")) for anchor in anchors]


def _kind(w: Writer, gear: Gear) -> Markup:
    """A kind of gear by its name, as a link where it has a page."""
    name = w.unlinked(gear.name)
    return Markup("[{}]({})").format(name, w.to(gear_path(gear.id))) if gear.has_page else name


def _names(w: Writer, entry: Entry) -> list[str]:
    """The other names of an entry, each once, in the page's language."""
    return list(dict.fromkeys(name.within(w.language) for name in entry.also))


def sample_html(text: str) -> Markup:
    """A printed tag's line: numbers grouped by style, all of it kept from translation."""
    words = Markup("").join(markup.grouped(word) for word in re.split(r"(\s)", text))
    return Markup('<span translate="no">{}</span>').format(words)


def by_basis(w: Writer, found: list[Use]) -> list[tuple[Markup, list[Markup]]]:
    """Each basis in words, once, with the places that stand on it: the strongest first, test methods before all."""
    strength = list(BASIS_NEEDS)
    groups: dict[Markup, list[Markup]] = defaultdict(list)
    for use in sorted(found, key=lambda use: strength.index(use.basis.kind) if use.basis else -1):
        words = w.basis(use.basis) if use.basis else w.source(w.book.sources[use.sources[0]])
        place = w.use(use)
        if place not in groups[words]:
            groups[words].append(place)
    return list(groups.items())


def works(w: Writer, found: list[Use]) -> list[Work]:
    """Each work once for each way in which it is relied on, test methods first, then by the strength of the basis."""
    strength = list(BASIS_NEEDS)
    listed: dict[Markup, Work] = {}
    for use in sorted(found, key=lambda use: strength.index(use.basis.kind) if use.basis else -1):
        read = w.book.sources.get(use.basis.source or "") if use.basis else w.book.sources[use.sources[0]]
        if read is None:
            continue
        words = w.source(read)
        if use.basis and use.basis.kind == "library":
            words = w.say("basis-library", source=words)
        elif use.basis and use.basis.kind == "reported":
            original = w.book.sources.get(use.basis.of or "")
            words = w.say("basis-reported", source=words, of=w.source(original) if original else use.basis.of)
        listed.setdefault(words, Work(words, _target(read)))
    return list(listed.values())


def _target(source: Source) -> Markup | None:
    """Where a work is published, as an address that can be typed from paper."""
    address = f"https://doi.org/{source.doi}" if source.doi else source.url
    return Markup(plain.plain(address)) if address else None


def _counts(w: Writer, found: list[Use]) -> Markup:
    """How many numbers of the page stand on no work, by kind of basis."""
    kinds = Counter(use.basis.kind for use in found if use.basis and not use.sources)
    ordered = sorted(kinds.items(), key=lambda pair: list(BASIS_NEEDS).index(pair[0]))
    return Markup(", ").join(w.say("count-" + kind.replace(" ", "-"), count=count) for kind, count in ordered)


def scale_view(w: Writer, entry: Entry) -> ScaleView | None:
    """The figure of an entry's scale, marked at the value its page speaks of."""
    scale = entry.scale
    here = start_value(w.book, entry)
    if scale is None or here is None:
        return None
    band = band_of(w.book, entry.id, here)
    number = w.quantity_text(here, scale.unit)
    svg = bar.draw(
        entry.id,
        scale,
        here,
        title=w.say_text(
            "scale-title",
            term=w.words(entry.name),
            low=w.quantity_text(scale.start.si, scale.unit),
            high=w.quantity_text(scale.end.si, scale.unit),
        ),
        described=w.say_text("scale-desc", value=number, band=w.words(band.says) if band else ""),
    )
    rows = tuple(_rows(w, scale, band))
    bases = {row.basis for row in rows}
    return ScaleView(
        entry.id,
        Markup(svg),
        show(scale.unit.from_si(here)),
        w.quantity(here, scale.unit),
        w.html(band.says) if band else Markup(""),
        rows,
        rows[0].basis if len(bases) == 1 else None,
        _attributes(entry, scale, here),
        (scale.unit, *scale.also),
        # a telephone's keys for decimals have no minus
        all(unit.from_si(scale.start.si) >= 0 for unit in (scale.unit, *scale.also)),
        _spread(w, scale, here),
        scale,
    )


def _attributes(entry: Entry, scale: Scale, here: float) -> Markup:
    units = " ".join(unit.id for unit in (scale.unit, *scale.also))
    spread = Markup(' data-spread="{}"').format(repr(scale.spread.relative)) if scale.spread else Markup("")
    return (
        Markup('data-scale="{}" data-from="{}" data-to="{}" data-unit="{}" data-units="{}" data-limits="{}"').format(
            entry.id, repr(scale.start.si), repr(scale.end.si), scale.unit.id, units, markup.limits(scale)
        )
        + spread
        + Markup(' data-here="{}"').format(repr(here))
    )


def _rows(w: Writer, scale: Scale, current: Band | None) -> list[BandRow]:
    rows = []
    lower: Amount | None = None
    lower_included = True
    for stretch in bar.stretches(scale):
        band = stretch.band
        upper = bar.limit_of(band)
        limits = _limits(w, scale, lower, lower_included=lower_included, upper=upper, closed=bool(band.up_to))
        rows.append(BandRow(stretch.letter, limits, w.html(band.says), w.basis_html(band.basis), band is current))
        lower, lower_included = upper, band.below is not None
    return rows


def _limits(  # noqa: PLR0913  both ends of a stretch, and whether each belongs to it
    w: Writer, scale: Scale, lower: Amount | None, *, lower_included: bool, upper: Amount | None, closed: bool
) -> Markup:
    """The ends of a stretch in words: `under`, `up to`, `over` say which end belongs to it."""
    if lower is None and upper is None:
        return w.say("band-all")
    high = "up-to" if closed else "under"
    if lower is None and upper is not None:
        return w.say(f"band-{high}", high=_limit(w, scale, upper))
    low = "from" if lower_included else "over"
    if upper is None and lower is not None:
        return w.say(f"band-{low}", low=_limit(w, scale, lower))
    assert lower is not None  # noqa: S101  for the type checker: the cases above took the rest
    assert upper is not None  # noqa: S101
    return w.say(f"band-{low}-{high}", low=_limit(w, scale, lower), high=_limit(w, scale, upper))


def _limit(w: Writer, scale: Scale, limit: Amount) -> Markup:
    """A limit in the scale's unit, and as its source writes it where that is another unit."""
    shown = w.quantity(limit.si, scale.unit, others=scale.also)
    if limit.unit.id == scale.unit.id:
        return shown
    return Markup("{} ({})").format(shown, w.amount(limit))


def _spread(w: Writer, scale: Scale, here: float) -> Markup | None:
    if scale.spread is None:
        return None
    share = scale.spread.relative
    says = w.say(
        "scale-spread",
        value=w.quantity(here, scale.unit, others=scale.also),
        low=w.quantity(here * (1 - share), scale.unit, others=scale.also),
        high=w.quantity(here * (1 + share), scale.unit, others=scale.also),
    )
    return Markup('{} <span class="ht-basis">{}</span>').format(says, w.basis_html(scale.spread.basis))
