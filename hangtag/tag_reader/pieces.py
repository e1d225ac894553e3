"""Chosen candidates as pieces: one for each number or word, each with its own place in the text.

Must not choose, and must not explain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hangtag.tag_reader.items import Items
from hangtag.tag_reader.judge import KIND, NEAR, Candidate, Measure, Value
from hangtag.tag_reader.quantities import EXACT

NAMED, BY_WORD, BY_KIND, BY_UNIT, WORD, MAKERS_NAME = "named", "near", "kind", "unit", "word", "makers-name"
_LOOK = 12  # items to either side in which the word is looked for that spoke for a reading


@dataclass(frozen=True)
class Other:
    """What a piece could also be; `why` is a label."""

    term: str
    value: float | None
    unit: str | None
    why: str


@dataclass(frozen=True)
class Piece:
    """One reading before it is explained. `start`, `end` count code points; `value` and `unit` are None for a word.

    `half` is half a unit in the last printed place; `again` marks what repeats the piece before it in other units.
    """

    term: str
    role: str | None
    part: str | None
    start: int
    end: int
    value: float | None
    unit: str | None
    half: float
    bound: str
    group: int | None
    again: bool
    fits: bool
    measure: Measure | None
    why: str
    clue: str
    others: tuple[Other, ...]


def pieces(chosen: Sequence[Candidate], items: Items, parts: Sequence[str | None]) -> list[Piece]:
    """Every piece in the order of the text."""
    found: list[Piece] = []
    group = 0
    last: tuple[int, int, str, str | None] | None = None
    for candidate in chosen:
        part = parts[candidate.first]
        if not candidate.values:
            piece = _word(candidate, items, part, candidate.end, None)
            if found and last == (candidate.first, items.segment[candidate.first], piece.term, part):
                found[-1] = replace(found[-1], end=piece.end)  # `PFC-free DWR` is said once
            else:
                found.append(piece)
            last = (candidate.end, items.segment[candidate.first], piece.term, part)
            continue
        together = len(candidate.values) + (1 if candidate.rule.itself else 0)
        its_group = group if together > 1 else None
        group += 1 if together > 1 else 0
        first = candidate.values[0].amount.first
        has_word = candidate.rule.itself and first > candidate.first
        if has_word:
            found.append(_word(candidate, items, part, _before(items, candidate.first, first), its_group))
        for index, value in enumerate(candidate.values):
            start = candidate.first if index == 0 and not has_word else value.amount.first
            ends_it = index == len(candidate.values) - 1 and not value.amount.again
            end = candidate.end if ends_it else value.amount.end
            found.append(_number(candidate, value, items, (start, end), _Place(index, part, its_group)))
    return found


def makers_name(term: str, items: Items, part: str | None, first: int, end: int) -> Piece:
    """The piece of a maker's own name."""
    start, stop = items.start[first], items.end[end - 1]
    return Piece(term, None, part, start, stop, None, None, 0.0, EXACT, None, False, True, None, MAKERS_NAME, "", ())


def _before(items: Items, first: int, at: int) -> int:
    """Where the words before a number end, marks between left out."""
    end = at
    while end - 1 > first and items.kind[end - 1] == "mark":
        end -= 1
    return end


def _word(candidate: Candidate, items: Items, part: str | None, end: int, group: int | None) -> Piece:
    others = tuple(Other(rival.rule.entry, None, None, "either") for rival in candidate.rivals)
    return Piece(
        term=candidate.rule.entry,
        role=None,
        part=part,
        start=items.start[candidate.first],
        end=items.end[end - 1],
        value=None,
        unit=None,
        half=0.0,
        bound=EXACT,
        group=group,
        again=False,
        fits=True,
        measure=None,
        why=WORD,
        clue="",
        others=others,
    )


@dataclass(frozen=True)
class _Place:
    """Where a number stands among those of its match, and of the product."""

    index: int
    part: str | None
    group: int | None


def _number(candidate: Candidate, value: Value, items: Items, stretch: tuple[int, int], place: _Place) -> Piece:
    others = [Other(value.slot.term, one, unit, f"either-{why}") for one, unit, why in value.others]
    for rival in candidate.rivals:
        if place.index < len(rival.values):
            its = rival.values[place.index]
            others.append(Other(its.slot.term, its.value, its.unit, "either"))
    why, clue = _reason(candidate, items)
    return Piece(
        term=value.slot.term,
        role=value.slot.role,
        part=place.part,
        start=items.start[stretch[0]],
        end=items.end[stretch[1] - 1],
        value=value.value,
        unit=value.unit,
        half=value.half,
        bound=value.amount.bound,
        group=place.group,
        again=value.amount.again,
        fits=value.fits,
        measure=value.slot.measure,
        why=why,
        clue=clue,
        others=tuple(others),
    )


def _reason(candidate: Candidate, items: Items) -> tuple[str, str]:
    if candidate.rule.words:
        return NAMED, ""
    if candidate.reasons >= NEAR:
        segment = items.segment[candidate.first]
        start, end = max(0, candidate.first - _LOOK), min(items.count, candidate.end + _LOOK)
        for at in range(start, end):
            if items.segment[at] == segment and items.word[at] in candidate.rule.near:
                return BY_WORD, items.text[items.start[at] : items.end[at]]
    return (BY_KIND if candidate.reasons & KIND else BY_UNIT), ""
