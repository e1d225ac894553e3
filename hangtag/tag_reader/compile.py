"""A book becomes the data of a Reader: words, units, entries and patterns as plain values that JSON can hold.

The same data goes to the browser. Must not read tags.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from hangtag.amounts import Amount
from hangtag.basis_words import basis_words, source_name
from hangtag.book import Book
from hangtag.book.links import LINK
from hangtag.calculators import QuantityInput
from hangtag.entries import Entry, Reads, Scale
from hangtag.numbers import exact
from hangtag.problems import Problems
from hangtag.strings import DEFAULT_LANGUAGE, LocalText
from hangtag.tag_reader import tables
from hangtag.tag_reader.agreements import parse_agreement
from hangtag.tag_reader.patterns import read_patterns
from hangtag.tag_reader.reader import Data, Reader
from hangtag.tag_reader.spelling import filled_by, parts_of, phrase, words_of
from hangtag.units import PLAIN_UNIT, Unit
from hangtag.words import tokens

FORMAT = 1
_LABELS = "reading-"
_ENDLESS = 1e300
_SHORTEST_NAMING = 2  # letters of a word that names an entry
_SHORTEST_KNOWN = 3  # letters of a word of the book's texts that is nobody's name


def compile_book(book: Book, language: str = DEFAULT_LANGUAGE) -> Reader:
    """The Reader of a book that has passed its checks; patterns with Problems are left out."""
    return Reader(_data(book, language))


def _data(book: Book, language: str) -> Data:
    patterns = read_patterns(book, Problems())
    entries = {entry.id: _entry(book, entry, language) for entry in book.entries.values()}
    used: set[Unit] = set()
    for entry in book.entries.values():
        if entry.reads:
            used.update(_units_of(book, entry.reads))
        if entry.reads and entry.scale:
            used.update(_units_of_scale(entry.scale))
    return {
        "format": FORMAT,
        "language": language,
        "words": {
            name.removeprefix(_LABELS): text
            for name, text in book.strings.table(language).items()
            if name.startswith(_LABELS)
        },
        "same": tables.SAME,
        "abbreviated": tables.ABBREVIATED,
        "fillers": tables.FILLERS,
        "bounds": {phrase(words): bound for words, bound in tables.BOUNDS.items()},
        "parts": tables.PARTS,
        "parts_with_colon": tables.PARTS_WITH_COLON,
        "measures": tables.MEASURES,
        "elsewhere": sorted({phrase(word) for word in tables.ELSEWHERE}),
        "lengths": sorted({phrase(word) for word in tables.LENGTHS}),
        "money": tables.MONEY,
        "months": tables.MONTHS,
        "numbered": sorted({phrase(word) for word in tables.NUMBERED}),
        "fractions": {mark: list(parts) for mark, parts in tables.FRACTIONS.items()},
        "trademarks": tables.TRADEMARKS,
        "no_kind": [phrase(words) for words in tables.NO_KIND],
        "known": _known_words(book, language),
        "units": {
            unit.id: {
                "prints": unit.prints,
                "scale": unit.scale,
                "shift": unit.shift,
                "system": unit.system or "",
                "dimension": book.units.name_of(unit.dimension),
                "spellings": sorted({phrase(text) for text in (unit.prints, unit.id, *unit.typed, unit.says)} - {""}),
            }
            for unit in book.units.units.values()
            if unit in used
        },
        "entries": entries,
        "patterns": [
            [entry_id, [part if isinstance(part, str) else list(part) for part in parts_of(pattern)]]
            for entry_id, its in patterns.items()
            for pattern in its
        ],
        "kinds": {
            kind.id: {
                "name": kind.name.within(language),
                "words": [phrase(word) for word in kind.words],
                "wanted": [term for term in kind.wanted if term in entries],
                "ask": [_plain(book, question, language) for question in kind.ask],
            }
            for kind in book.gear.values()
        },
        "danger": [
            {"words": [phrase(word) for word in danger.words], "caution": _plain(book, danger.caution, language)}
            for danger in book.danger
        ],
    }


def _units_of(book: Book, reads: Reads) -> Iterator[Unit]:
    if reads.unit:
        yield from (reads.unit, *reads.also)
    for fills in reads.roles.values():
        field = filled_by(book, fills)
        if isinstance(field, QuantityInput):
            yield from (field.unit, *field.also)


def _units_of_scale(scale: Scale) -> Iterator[Unit]:
    """A band's limit is compared in its own unit, which no tag need print."""
    yield from (scale.unit, *scale.also)
    yield from (limit.unit for band in scale.bands if (limit := band.below or band.up_to))


# -------------------------------------------------------------------------------------------------------------- entries


def _entry(book: Book, entry: Entry, language: str) -> Data:
    reads = entry.reads
    names = [entry.id, *entry.name, *(name for also in entry.also for name in also)]
    cautions = [_plain(book, text, language) for text in (entry.caution, entry.inherited_caution) if text]
    cautions += [_plain(book, addition.caution, language) for addition in entry.additions if addition.caution]
    return {
        "name": entry.name.within(language),
        "in_short": _plain(book, entry.in_short, language),
        "page": f"terms/{entry.id}/",
        "names": sorted({word for name in names for word in words_of(name) if len(word) >= _SHORTEST_NAMING}),
        "measure": _own_measure(book, reads),
        "roles": {role: _role(book, reads, fills) for role, fills in reads.roles.items()} if reads else {},
        "near": sorted({word for near in reads.near for word in words_of(near)}) if reads else [],
        "kinds": [kind for kind, _ in reads.kinds] if reads else [],
        "agrees": [
            {"code": code, "that": parse_agreement(its.that), "say": _plain(book, its.say, language)}
            for code, its in (reads.agrees.items() if reads else ())
        ],
        "unsaid": _plain(book, reads.unsaid, language) if reads and reads.unsaid else None,
        "unknown_names": bool(reads and reads.unknown_names),
        "scale": _scale(book, entry.scale, language) if entry.scale else None,
        "ask": [_plain(book, question, language) for question in entry.ask],
        "caution": "\n\n".join(cautions) or None,
        "fills": _default_fill(book, entry),
        "spread": entry.scale.spread.relative if entry.scale and entry.scale.spread else None,
        "spread_basis": basis_words(book, entry.scale.spread.basis, language)
        if entry.scale and entry.scale.spread
        else None,
        "methods": {
            phrase(its.source.replace("-", " ")): source_name(book.sources[its.source])
            for its in entry.measured_by
            if its.source in book.sources
        },
    }


def _plain(book: Book, text: LocalText, language: str) -> str:
    """An author's text without its marks: a link as its words, nothing bold, lines as they run on."""

    def words(link: re.Match[str]) -> str:
        entry = book.entries.get(link[1])
        return link[2] or (entry.name.within(language) if entry else link[1])

    written = LINK.sub(words, text.within(language)).replace("**", "").replace("`", "").strip()
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in written.split("\n\n"))


def _measure(
    reads: Reads, units: tuple[Unit, ...], low: Amount | None, high: Amount | None, dimension: str
) -> dict[str, object]:
    spellings: dict[str, str] = {}
    for unit in units:
        for text in (unit.prints, unit.id, *unit.typed, *reads.typed.get(unit.id, ()), unit.says):
            spelling = phrase(text)
            if spelling and unit.id != PLAIN_UNIT:
                spellings.setdefault(spelling, unit.id)
    own = {phrase(text) for unit in units for text in (unit.prints, unit.id, *unit.typed, unit.says)}
    return {
        "units": spellings,
        "borrowed": sorted(set(spellings) - own),
        "unit": units[0].id,
        "others": [unit.id for unit in units],
        "dimension": dimension,
        "low": low.si if low else -_ENDLESS,
        "high": high.si if high else _ENDLESS,
    }


def _role(book: Book, reads: Reads, fills: str) -> dict[str, object]:
    """A role reads what its field takes; without a field, or beside another dimension, what the entry does."""
    field = filled_by(book, fills)
    calculator, _, name = fills.partition(".")
    target = {"calculator": calculator, "input": name} if fills else None
    if isinstance(field, QuantityInput):
        units = (field.unit, *field.also)
        measure = _measure(reads, units, field.low, field.high, book.units.name_of(field.unit.dimension))
        return {"measure": measure, "fills": target}
    return {"measure": _own_measure(book, reads), "fills": target}


def _own_measure(book: Book, reads: Reads | None) -> dict[str, object] | None:
    if reads is None or reads.unit is None:
        return None
    low, high = reads.plausible or (None, None)
    return _measure(reads, (reads.unit, *reads.also), low, high, book.units.name_of(reads.unit.dimension))


def _default_fill(book: Book, entry: Entry) -> dict[str, str] | None:
    """The first calculator of the entry with a field that stands on its scale, or one that its only role fills."""
    unit = entry.reads.unit if entry.reads else None
    for calculator in entry.calculators:
        for field in book.calculators[calculator].inputs:
            if isinstance(field, QuantityInput) and field.scale == entry.id:
                return {"calculator": calculator, "input": field.name}
    for calculator in entry.calculators:
        fields = [its for its in book.calculators[calculator].inputs if isinstance(its, QuantityInput)]
        fitting = [its for its in fields if unit is not None and its.unit.dimension == unit.dimension]
        if len(fitting) == 1 and not fitting[0].unit.dimension.is_plain:
            return {"calculator": calculator, "input": fitting[0].name}
    return None


def _scale(book: Book, scale: Scale, language: str) -> dict[str, object]:
    bands = []
    for band in scale.bands:
        limit = band.below or band.up_to
        basis = band.basis
        bands.append({
            "limit": float(exact(limit.text)) if limit else None,
            "unit": limit.unit.id if limit else None,
            "closed": band.up_to is not None,
            "says": band.says.within(language),
            "basis": basis.kind,
            "source": basis.source,
            "of": basis.of,
            "at": basis.at,
            "words": basis_words(book, basis, language),
        })  # fmt: skip
    return {"unit": scale.unit.id, "also": [unit.id for unit in scale.also], "bands": bands}


def _known_words(book: Book, language: str) -> list[str]:
    """The words of the book's own texts, written small: nobody's names."""
    known = set(tables.ORDINARY_WORDS)
    for entry in book.entries.values():
        texts = (entry.in_short, entry.text, entry.watch_out, entry.caution, entry.needs_time, *entry.ask, *entry.heard)
        for text in texts:
            if text is not None:
                known.update(_small_words(text.within(language)))
    return sorted(known)


def _small_words(text: str) -> Iterator[str]:
    for token in tokens(text):
        if token.kind == "word" and token.end - token.start >= _SHORTEST_KNOWN and "a" <= text[token.start] <= "z":
            yield tables.SAME.get(token.folded, token.folded)
