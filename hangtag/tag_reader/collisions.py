"""Patterns that cannot be told apart: one printed text, two entries, and nothing to choose between them.

Every pattern is written out with each spelling of its units, as the tag would print it; two entries collide where they
share such a text, their plausible numbers overlap, and neither `near` nor `kinds` parts them. Must not read tags.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from hangtag.book import Book
from hangtag.calculators import QuantityInput
from hangtag.entries import Entry, Reads
from hangtag.problems import Label, Problem, Problems
from hangtag.tag_reader.patterns import Hole, Pattern, read_patterns
from hangtag.tag_reader.spelling import filled_by, parts_of, phrase, words_of
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
    """Every spelling of a unit as the reader meets it: id, printed, typed, spoken, and what the entry adds."""
    more = reads.typed.get(unit.id, ()) if reads else ()
    all_of_them = (unit.prints, unit.id, *unit.typed, *more, unit.says)
    return tuple(dict.fromkeys(text for text in map(phrase, all_of_them) if text))


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
                    if pair in noted or not _meet(other, written):
                        continue
                    code, loser, winner = _outcome(other, written)
                    if code:
                        noted.add(pair)
                        _note(problems, code, winner, loser, text)
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
            (part,) if isinstance(part, str) else next(holes).printed for part in parts_of(pattern)
        )
        yield tuple(text), _Written(entry, pattern, owners, fillings)


def _fillings(book: Book, entry: Entry, hole: Hole, *, all_spellings: bool) -> list[_Filled]:
    reads = book.entries[hole.entry].reads if hole.entry else entry.reads
    if reads is None:
        return []
    units, kind = (reads.unit, *reads.also), hole.kind
    ends = (reads.plausible[0].si, reads.plausible[1].si) if reads.plausible else None
    field = filled_by(book, reads.roles.get(hole.role or "", ""))
    if isinstance(field, QuantityInput):  # a role reads what its field takes
        units, ends = (field.unit, *field.also), (field.low.si, field.high.si)
    if units[0] is None:  # patterns with such a hole were left out
        return []
    found: list[_Filled] = []
    if kind in ("number", "role"):
        found.append(_Filled((NUMBER,), *_plausible(ends, units[0])))
    if kind == "thousand":
        low, high = _plausible(ends, units[0])
        found.append(_Filled((NUMBER, "k"), low / _THOUSAND, high / _THOUSAND))
    for unit in units if kind in ("quantity", "role") else ():
        if unit is not None:
            known = spellings(unit, reads)
            its = _plausible(ends, unit)
            printed = known if all_spellings else known[:1]
            found += [_Filled((NUMBER, *spelling.split(" ")), *its) for spelling in printed]
    return found


def _plausible(ends: tuple[float, float] | None, unit: Unit) -> tuple[float, float]:
    """The numbers of a unit that are plausible on a tag."""
    return (unit.from_si(ends[0]), unit.from_si(ends[1])) if ends else (-math.inf, math.inf)


def _meet(one: _Written, other: _Written) -> bool:
    """Whether two patterns of different entries read the same text with the same plausible numbers."""
    if one.entry.id == other.entry.id or one.entry.reads is None or other.entry.reads is None:
        return False
    if one.owners and one.owners == other.owners:  # `{k}/{b:k}` of a and `{a:k}/{k}` of b say the same
        return False
    return all(
        mine.low <= theirs.high and theirs.low <= mine.high
        for mine, theirs in zip(one.fillings, other.fillings, strict=True)
    )


def _outcome(one: _Written, other: _Written) -> tuple[str, _Written, _Written]:
    """The Problem of two patterns that meet (or none), with the loser and the winner: the first one stays, if equal."""
    mine, theirs = _speaks_for(one.entry), _speaks_for(other.entry)
    if mine == theirs:
        return "pattern-collision", other, one
    for loser, winner, few, many in ((one, other, mine, theirs), (other, one, theirs, mine)):
        # an entry with no words at all is what the text means where nothing speaks for another
        if any(few) and few[0] <= many[0] and few[1] <= many[1] and _lie_within(loser, winner):
            return "pattern-never-wins", loser, winner
    return "", one, other


def _lie_within(one: _Written, other: _Written) -> bool:
    return all(
        theirs.low <= mine.low and mine.high <= theirs.high
        for mine, theirs in zip(one.fillings, other.fillings, strict=True)
    )


def _speaks_for(entry: Entry) -> tuple[frozenset[str], frozenset[str]]:
    """The near words and kinds of gear that can part an entry from another."""
    reads = entry.reads
    if reads is None:
        return frozenset(), frozenset()
    return frozenset(word for near in reads.near for word in words_of(near)), frozenset(kind for kind, _ in reads.kinds)


def _note(problems: Problems, code: str, one: _Written, other: _Written, text: tuple[str, ...]) -> None:
    problems.add(
        code,
        other.entry.path,
        other.pattern.span,
        text=" ".join(text),
        entry=other.entry.id,
        other=one.entry.id,
        labels=[Label(one.pattern.span, f"{one.entry.id} reads it here", one.entry.path)],
        hint="Give one of them words that stand `near` it, or the `kinds` of gear it is printed on.",
    )
