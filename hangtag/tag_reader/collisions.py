"""Patterns that cannot be told apart: one printed text, two entries, and nothing to choose between them.

Every pattern is written out with each spelling of its units, as the tag would print it; two entries collide where they
share such a text, their plausible numbers overlap, and neither `near` nor `kinds` parts them. Must not read tags.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from hangtag import words
from hangtag.book import Book
from hangtag.entries import Entry, Reads
from hangtag.problems import Label, Problem, Problems
from hangtag.tag_reader.patterns import Hole, Pattern, read_patterns
from hangtag.units import Unit

NUMBER = "<number>"  # stands for any number in a pattern that is written out
_THOUSAND = 1000.0
_MOST_TEXTS = 5_000  # of one pattern; beyond it only the printed form of each unit is written out


@dataclass(frozen=True)
class _Filled:
    """One way to fill a hole: what is printed, and the numbers that are plausible there."""

    printed: tuple[str, ...]
    low: float
    high: float


@dataclass(frozen=True)
class _Written:
    """A pattern written out: whose numbers stand in its holes, and which are plausible."""

    entry: Entry
    pattern: Pattern
    owners: tuple[str, ...]
    fillings: tuple[_Filled, ...]


def spellings(unit: Unit, reads: Reads | None = None) -> tuple[str, ...]:
    """Every folded spelling of a unit on a tag: id, printed, typed, spoken, and what the entry adds; none is empty."""
    more = reads.typed.get(unit.id, ()) if reads else ()
    all_of_them = (unit.prints, unit.id, *unit.typed, *more, unit.says)
    return tuple(dict.fromkeys(text for text in map(words.folded, all_of_them) if text))


def collisions(book: Book) -> list[Problem]:
    """A Problem for each two patterns of different entries that nothing parts. Patterns with Problems are left out."""
    seen: dict[tuple[str, ...], list[_Written]] = {}
    noted: set[tuple[int, int]] = set()
    problems = Problems()
    for entry_id, patterns in read_patterns(book, Problems()).items():
        for pattern in patterns:
            for text, written in _written_out(book, book.entries[entry_id], pattern):
                others = seen.setdefault(text, [])
                for other in others:
                    pair = (id(other.pattern), id(pattern))
                    if pair not in noted and _collide(other, written):
                        noted.add(pair)
                        _note(problems, other, written, text)
                others.append(written)
    return list(problems.sorted())


def _written_out(book: Book, entry: Entry, pattern: Pattern) -> Iterator[tuple[tuple[str, ...], _Written]]:
    for all_spellings in (True, False):
        ways = [_fillings(book, entry, hole, all_spellings=all_spellings) for hole in pattern.holes]
        if math.prod(map(len, ways)) <= _MOST_TEXTS:
            break
    owners = tuple(hole.entry or entry.id for hole in pattern.holes)
    for fillings in itertools.product(*ways):
        holes = iter(fillings)
        text = itertools.chain.from_iterable(
            next(holes).printed if isinstance(part, Hole) else (part.folded,) for part in pattern.parts
        )
        yield tuple(text), _Written(entry, pattern, owners, fillings)


def _fillings(book: Book, entry: Entry, hole: Hole, *, all_spellings: bool) -> list[_Filled]:
    reads = book.entries[hole.entry].reads if hole.entry else entry.reads
    if reads is None or reads.unit is None:  # patterns with such a hole were left out
        return []
    found: list[_Filled] = []
    if hole.kind in ("number", "role"):
        found.append(_Filled((NUMBER,), *_plausible(reads, reads.unit)))
    if hole.kind == "thousand":
        low, high = _plausible(reads, reads.unit)
        found.append(_Filled((NUMBER, "k"), low / _THOUSAND, high / _THOUSAND))
    if hole.kind in ("quantity", "role"):
        for unit in (reads.unit, *reads.also):
            known = spellings(unit, reads)
            low, high = _plausible(reads, unit)
            printed = known if all_spellings else known[:1]
            found += [_Filled((NUMBER, *spelling.split(" ")), low, high) for spelling in printed]
    return found


def _plausible(reads: Reads, unit: Unit) -> tuple[float, float]:
    """The numbers of a unit that are plausible on a tag."""
    if reads.plausible is None:
        return -math.inf, math.inf
    low, high = reads.plausible
    return unit.from_si(low.si), unit.from_si(high.si)


def _collide(one: _Written, other: _Written) -> bool:
    if one.entry.id == other.entry.id or one.entry.reads is None or other.entry.reads is None:
        return False
    if one.owners and one.owners == other.owners:  # `{k}/{b:k}` of a and `{a:k}/{k}` of b say the same
        return False
    overlap = all(
        mine.low <= theirs.high and theirs.low <= mine.high
        for mine, theirs in zip(one.fillings, other.fillings, strict=True)
    )
    return overlap and not _are_parted(one.entry.reads, other.entry.reads)


def _are_parted(one: Reads, other: Reads) -> bool:
    near = [{words.folded(word) for word in reads.near} for reads in (one, other)]
    kinds = [{kind for kind, _ in reads.kinds} for reads in (one, other)]
    return near[0] != near[1] or kinds[0] != kinds[1]


def _note(problems: Problems, one: _Written, other: _Written, text: tuple[str, ...]) -> None:
    problems.add(
        "pattern-collision",
        other.entry.path,
        other.pattern.span,
        text=" ".join(text),
        entry=other.entry.id,
        other=one.entry.id,
        labels=[Label(one.pattern.span, f"{one.entry.id} reads it here", one.entry.path)],
        hint="Give one of them words that stand `near` it, or the `kinds` of gear it is printed on.",
    )
