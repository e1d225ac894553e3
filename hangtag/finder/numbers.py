"""What the numbers of a typed text are worth to one entry.

A number with a unit fits entries that are printed in that unit; a number without one fits where a word says what it
is, and else only says what it could be. Must not look at names or single words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from hangtag.finder.query import Number, Query
from hangtag.finder.tables import (
    BARE,
    FOREIGN,
    NAMED_BY_UNIT,
    NUMBER,
    OWN,
    SIDE_AFTER,
    SIDE_BEFORE,
    THOUSAND,
    Quantity,
    Tables,
    Target,
)
from hangtag.numbers import MINUS

Why = Literal["name", "also", "printed", "near", "number", "outside", "bare", "unit", "words", "said", "short", "label"]

_SHAPE_ALONE, _SHAPE, _SHAPE_OUTSIDE = 2500, 1900, 500
_FITS, _NAMED, _NEEDS_A_WORD, _OUTSIDE = 1500, 300, 900, 250
_BESIDE, _BESIDE_OUTSIDE, _THOUSANDS_NEED_A_WORD, _NAMED_BARE = 1600, 400, 700, 1300
_COULD_BE, _MOST_USUAL, _WITH_WORDS = 100, 500, 2
# A bare number is mostly of something that tags print without a unit, and in the unit that they use first.
_WITH_A_UNIT, _WITH_A_WORD, _OTHER_UNIT = 2, 3, 3
_SPELLED, _SPELLED_NEEDS_A_WORD = 1200, 700
_MOST_TIE, _CALLED_SO, _OTHER_READING = 99, 40, 100
_STEP, _MOST_STEPS, _EVEN_STEPS = 1.1, 400, 50  # a range is counted in steps of ten percent, or in fifty even ones
_SLACK = 1e-6  # of a range's ends, for what a conversion leaves
_BEFORE_A_NUMBER = frozenset("-:=<")


@dataclass(frozen=True)
class Part:
    """One part of a score, why it is there, and what the words of that need.

    `is_value` tells that the typed number with its unit is a usual value of the entry.
    """

    score: int = 0
    why: Why = "words"
    values: dict[str, str] = field(default_factory=dict)
    is_value: bool = False


def fit(tables: Tables, query: Query, target: Target, *, is_named: bool, has_words: bool) -> Part:
    """What the numbers are worth; `is_named` where a word of the text is one of the entry's names or labels."""
    best = Part()
    if not query.numbers:
        return best
    for shape in target.shapes:
        best = _better(best, _shape(tables, query, target.quantity, shape))
    if target.quantity is None:
        return best
    for at, number in enumerate(query.numbers):
        after = query.numbers[at + 1] if at + 1 < len(query.numbers) else None
        if number.units:
            best = _better(best, _with_unit(tables, target.quantity, number, after, is_named))
        else:
            best = _better(best, _without_unit(tables, query, target, target.quantity, number, is_named, has_words))
    return best


def spelled(tables: Tables, query: Query, target: Target) -> Part:
    """What it is worth that the whole text spells one of the entry's units."""
    its = target.quantity
    row = next((row for row in its.units if row in query.units), None) if its else None
    if its is None or row is None:
        return Part()
    score = _SPELLED if its.flags & BARE else _SPELLED_NEEDS_A_WORD
    return Part(score + _tie(its), "unit", {"unit": tables.units[row].prints})


def _better(one: Part, other: Part) -> Part:
    return other if other.score > one.score else one


def _shape(tables: Tables, query: Query, its: Quantity | None, shape: tuple[str, ...]) -> Part:
    tokens = query.tokens
    starts = {number.start: number for number in query.numbers}
    for start in range(len(tokens)):
        found = _end_of_shape(query, shape, starts, start)
        if found is not None:
            at, own, foreign = found
            if its is not None and any(_rows(its, number) for number in foreign):
                continue  # `1 lb 14 oz` is one amount
            fits = its is None or all(_could_be(tables, its, number) for number in own)
            score = _SHAPE_OUTSIDE if not fits else _SHAPE_ALONE if at - start == len(tokens) else _SHAPE
            return Part(score, "number", {"typed": query.between(start, at)})
    return Part()


def _end_of_shape(
    query: Query, shape: tuple[str, ...], starts: Mapping[int, Number], at: int
) -> tuple[int, list[Number], list[Number]] | None:
    """Where a pattern that begins at a token ends, with the entry's own numbers in it and those of other entries."""
    tokens, own, foreign = query.tokens, list[Number](), list[Number]()
    for which, wanted in enumerate(shape):
        number = starts.get(at)
        if wanted[0] not in OWN + FOREIGN:
            if at >= len(tokens) or tokens[at].folded != wanted:
                return None
            at += 1
        elif number is None or (len(wanted) > 1 and not number.k):
            return None
        else:
            follows = shape[which + 1] if which + 1 < len(shape) else None
            stays = number.after < len(tokens) and tokens[number.after].folded == follows
            at = number.after if stays else number.end
            (own if wanted[0] == OWN else foreign).append(number)
    return at, own, foreign


def _could_be(tables: Tables, its: Quantity, number: Number) -> bool:
    """Whether a number is plausible in the unit it has; one without is read in the entry's first unit."""
    rows = _rows(its, number) if number.units else list(its.units[:1])
    return any(_is_plausible(tables, its, tables.units[row].si(value)) for row in rows for value in number.values)


def _rows(its: Quantity, number: Number) -> list[int]:
    """The entry's units that a number's unit could mean."""
    return [row for row in its.units if row in number.units]


def _with_unit(tables: Tables, its: Quantity, number: Number, after: Number | None, is_named: bool) -> Part:
    rows = _rows(its, number)
    if not rows:
        return Part()
    unit = tables.units[rows[0]]
    for reading, si in _amounts(tables, its, number, rows, after):
        if _is_plausible(tables, its, si):
            score = (_FITS if its.flags & BARE or is_named else _NEEDS_A_WORD) + (_NAMED if is_named else 0)
            score += _tie(its) - (_OTHER_READING if reading else 0)
            return Part(score, "number", {"typed": f"{number.typed} {unit.prints}"}, is_value=True)
    return Part(_OUTSIDE, "outside", {"unit": unit.prints, **_range(tables, its)})


def _amounts(
    tables: Tables, its: Quantity, number: Number, rows: list[int], after: Number | None
) -> Iterator[tuple[int, float]]:
    """The SI values a number could mean, with the place of its reading; `2 lb 4 oz` is one amount."""
    for row in rows:
        unit, more = tables.units[row], 0.0
        if after is not None and after.start == number.end:
            smaller = next((tables.units[r] for r in its.units if r in after.units), None)
            if smaller is not None and smaller.scale < unit.scale:
                more = after.values[0] * smaller.scale
        for reading, value in enumerate(number.values):
            yield reading, unit.si(value) + more


def _without_unit(  # noqa: PLR0913  all that bears on what a bare number could be
    tables: Tables, query: Query, target: Target, its: Quantity, number: Number, is_named: bool, has_words: bool
) -> Part:
    fits = [
        (row, si)
        for value in number.values
        for row in its.units
        if _is_plausible(tables, its, si := tables.units[row].si(value))
    ]
    if _is_beside(query, target, number):
        return Part(_BESIDE if fits else _BESIDE_OUTSIDE, "number", {"typed": query.between(*_around(query, number))})
    if not fits:
        return Part()
    row, si = fits[0]
    values = {"number": number.typed, "unit": tables.units[row].prints}
    tie = min(_MOST_TIE, _usual(its, _in_first(tables, its, si)))
    if number.k and its.flags & THOUSAND:
        alone = _FITS if its.flags & BARE or is_named else _THOUSANDS_NEED_A_WORD
        return Part(alone + tie, "bare", values)
    rarely = 1 if its.flags & NUMBER else _WITH_A_UNIT if its.flags & BARE else _WITH_A_WORD
    if is_named:
        return Part(_NAMED_BARE // rarely + tie, "bare", values)
    could_be = (_COULD_BE + min(_MOST_USUAL, _usual(its, _in_first(tables, its, si)))) // rarely
    could_be //= 1 if row == its.units[0] else _OTHER_UNIT
    return Part(could_be // (_WITH_WORDS if has_words else 1), "bare", values)


def _around(query: Query, number: Number) -> tuple[int, int]:
    return max(0, number.start - 1), min(len(query.tokens), number.end + 1)


def _is_beside(query: Query, target: Target, number: Number) -> bool:
    """Whether a short label touches the number on its own side: `R 4`, `190T`."""
    tokens = query.tokens
    if number.end < len(tokens) and SIDE_AFTER + tokens[number.end].folded in target.sides:
        return True
    before = number.start - 1
    if before > 0 and tokens[before].folded in _BEFORE_A_NUMBER:
        before -= 1
    return before >= 0 and SIDE_BEFORE + tokens[before].folded in target.sides


def _is_plausible(tables: Tables, its: Quantity, si: float) -> bool:
    first = tables.units[its.units[0]]
    low, high = first.si(float(its.low)), first.si(float(its.high))
    return low - abs(low) * _SLACK <= si <= high + abs(high) * _SLACK


def _in_first(tables: Tables, its: Quantity, si: float) -> float:
    first = tables.units[its.units[0]]
    return si / first.scale - first.shift


def _range(tables: Tables, its: Quantity) -> dict[str, str]:
    prints = tables.units[its.units[0]].prints
    low, high = (f"{end} {prints}".strip().replace("-", MINUS) for end in (its.low, its.high))
    return {"low": low, "high": high}


def _tie(its: Quantity) -> int:
    """What parts entries of the same unit: how much tags print them, and whether people call them by their unit."""
    return min(_MOST_TIE, its.usual + (_CALLED_SO if its.flags & NAMED_BY_UNIT else 0))


def _usual(its: Quantity, value: float) -> int:
    """How usual a number is: more near the middle of a narrow range of something that many tags print."""
    low, high = float(its.low), float(its.high)
    if low > 0:
        width, at = _steps(low, high) + 1, _steps(low, value)
    else:
        width = _EVEN_STEPS
        at = int((value - low) * width / (high - low)) if high > low else 0
    return max(0, min(at + 1, width - at)) * 1000 * its.usual // (width * width)


def _steps(low: float, high: float) -> int:
    count = 0
    while count < _MOST_STEPS and low * _STEP <= high:
        low *= _STEP
        count += 1
    return count
