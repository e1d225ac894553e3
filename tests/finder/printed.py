"""Every printed form of a book's patterns, with a plausible number in each hole: what the finder must find."""

from __future__ import annotations

from collections.abc import Iterator

from hangtag import words
from hangtag.book import Book
from hangtag.entries import Entry, Reads
from hangtag.numbers import show_plain
from hangtag.problems import Problems
from hangtag.tag_reader import Hole, Pattern, read_patterns
from hangtag.units import Unit


def printed(book: Book) -> Iterator[tuple[str, Entry]]:
    """(text as a tag prints it, its entry), one for each pattern and unit."""
    for id_, patterns in read_patterns(book, Problems()).items():
        entry = book.entries[id_]
        for pattern in patterns:
            yield from ((text, entry) for text in dict.fromkeys(_texts(book, entry, pattern)))


def _texts(book: Book, entry: Entry, pattern: Pattern) -> Iterator[str]:
    reads = entry.reads
    assert reads is not None
    takes_units = any(hole.kind == "quantity" for hole in pattern.holes)
    for unit in (reads.unit, *(reads.also if takes_units else ())):
        text, at = "", 0
        for hole in pattern.holes:
            start = pattern.text.index("{", at)
            its = book.entries[hole.entry].reads if hole.entry else reads
            text += pattern.text[at:start] + _filled(its, hole, unit if hole.entry is None else None)
            at = pattern.text.index("}", start) + 1
        yield text + pattern.text[at:]


def _filled(reads: Reads | None, hole: Hole, unit: Unit | None) -> str:
    assert reads is not None
    assert reads.unit is not None
    number = _middle(reads, unit or reads.unit)
    if hole.kind == "thousand":
        return f"{show_plain(max(1.0, _middle(reads, reads.unit) / 1000), whole=True)}k"
    if hole.kind == "number":
        return show_plain(_middle(reads, reads.unit), digits=2)
    shown = show_plain(number, digits=2)
    return f"{shown} {(unit or reads.unit).prints}" if hole.kind == "quantity" else shown


def _middle(reads: Reads, unit: Unit) -> float:
    """A number well inside the plausible range: a third of the way in steps of the same factor where it can."""
    if reads.plausible is None:
        return 10.0
    low, high = (unit.from_si(end.si) for end in reads.plausible)
    return low * (high / low) ** (1 / 3) if low > 0 else low + (high - low) / 3


def shared(book: Book) -> set[str]:
    """Printed forms, without their numbers, that more than one entry has."""
    seen: dict[str, set[str]] = {}
    for text, entry in printed(book):
        seen.setdefault(without_numbers(text), set()).add(entry.id)
    return {text for text, ids in seen.items() if len(ids) > 1}


def without_numbers(text: str) -> str:
    """The folded words and marks of a text."""
    return " ".join("#" if token.kind == "number" else token.folded for token in words.tokens(text))
