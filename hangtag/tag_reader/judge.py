"""Which of all matches are believed: plausible ones, then most of the text, then the score, and never silently.

A match whose numbers lie outside `plausible` falls, unless its words name the entry: then it is kept, as outside its
scale. The chosen matches never overlap and together cover as many items as can be; among equals counts the score: 4 for
a `near` word in the segment, 1 for one in the same part, 2 for the kind of gear. Equal best are kept as other possible
meanings. The browser does the same in scripts/tag-judge.js. Must not explain anything.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from hangtag.tag_reader.items import SPACED, Items
from hangtag.tag_reader.match import Match
from hangtag.tag_reader.quantities import Amount

NEAR, KIND, PART = 4, 2, 1
_TOLERANCE = 1e-9
_LOOK_BACK, _LOOK_AHEAD = 4, 2  # items beside a bare quantity in which a word may say that it is something else


@dataclass(frozen=True)
class Measure:
    """How the numbers of an entry, or of one role of it, are read: spellings to units, and what is plausible in SI."""

    units: Mapping[str, str]
    unit: str
    dimension: str
    low: float
    high: float
    others: Sequence[str]  # the units that a number without one might be in; the first is `unit`
    borrowed: frozenset[str] = frozenset()  # spellings that are another unit's own: `oz` for ounces on a square yard


@dataclass(frozen=True)
class Slot:
    """A hole of a pattern: whose number it takes. `is_role` numbers may stand without their unit."""

    term: str
    role: str | None
    measure: Measure
    is_role: bool


@dataclass(frozen=True)
class Rule:
    """One pattern as the judge sees it."""

    entry: str
    slots: Sequence[Slot]
    words: int  # how many words of its own it has
    names: bool  # whether one of them names the entry
    marks: bool  # whether it has other parts than holes and words: `{down}/10`
    tight: bool  # whether a letter of it must touch its number: `3L`
    itself: bool  # whether the entry itself is read too, since every number is another's
    near: frozenset[str]
    kinds: frozenset[str]
    lengths: bool  # whether a bare number of it is a length or printed as one
    rank: int


class Value(NamedTuple):
    """One number as it is believed: `others` are (value, unit, why) that it could also be."""

    slot: Slot
    amount: Amount
    value: float
    half: float
    unit: str
    fits: bool
    others: tuple[tuple[float, str, str], ...] = ()


class Candidate(NamedTuple):
    """A match with its numbers resolved; `rivals` cover the same items just as well."""

    rule: Rule
    first: int
    end: int
    values: tuple[Value, ...]
    fits: bool
    score: int
    reasons: int  # the sum of NEAR, PART and KIND that make up the score
    rivals: tuple[Candidate, ...] = ()


@dataclass(frozen=True)
class Units:
    """Unit ids to the two floats of their scale; `shifted` have an offset."""

    scale: Mapping[str, float]
    shift: Mapping[str, float]
    dimension: Mapping[str, str]

    def to_si(self, value: float, unit: str) -> float:
        """A number in a unit as its SI value."""
        shift = self.shift[unit]
        return (value + shift) * self.scale[unit] if shift else value * self.scale[unit]

    def from_si(self, value: float, unit: str) -> float:
        """An SI value as a number in a unit."""
        shift = self.shift[unit]
        return value / self.scale[unit] - shift if shift else value / self.scale[unit]


@dataclass
class Court:
    """What is judged with: the rules by pattern, the units, the words that say a figure is something else."""

    rules: Sequence[Rule]
    units: Units
    elsewhere: frozenset[str]
    lengths: frozenset[str]
    segment_words: dict[int, frozenset[str]] = field(default_factory=dict)


# ------------------------------------------------------------------------------------------------------------ resolving


def resolve(match: Match, rule: Rule, units: Units) -> tuple[tuple[Value, ...], bool] | None:
    """The numbers of a match, and whether all are plausible; None where a unit is none of the entry's."""
    found: list[Value] = []
    fits = True
    shared = _shared_unit(match, rule)
    for slot, quantity in zip(rule.slots, match.quantities, strict=True):
        for amount in quantity.amounts:
            value = _value(slot, amount, shared, units)
            if value is None:
                return None
            fits = fits and value.fits
            found.append(value)
    return tuple(found), fits


def _shared_unit(match: Match, rule: Rule) -> dict[str, str]:
    """`34/26 mm`: by dimension, the unit that one number of a pattern lends to those without."""
    if len(rule.slots) == 1:
        return {}
    shared: dict[str, str] = {}
    for slot, quantity in zip(rule.slots, match.quantities, strict=True):
        unit = slot.measure.units.get(quantity.spelling) if quantity.spelling else None
        if unit is not None:
            shared.setdefault(slot.measure.dimension, unit)
    return shared


def _value(slot: Slot, amount: Amount, shared: Mapping[str, str], units: Units) -> Value | None:
    measure = slot.measure
    if amount.spelling:
        unit = measure.units.get(amount.spelling)
        if unit is None:
            return None
        possible: Sequence[str] = (unit,)
        why = "number"
    else:
        lent = shared.get(measure.dimension)
        possible = (lent,) if lent else measure.others if slot.is_role else (measure.unit,)
        why = "number" if len(possible) == 1 else "unit"
    good: list[tuple[float, float, str]] = []
    for unit in possible:
        for value, half in zip(amount.values, amount.halves, strict=True):
            if _is_plausible(units.to_si(value, unit), measure):
                good.append((value, half, unit))
    if not good:
        unit = possible[0]
        return Value(slot, amount, amount.values[0], amount.halves[0], unit, fits=False)
    value, half, unit = good[0]
    others = tuple((one, its, why) for one, _, its in good[1:])
    return Value(slot, amount, value, half, unit, fits=True, others=others)


def _is_plausible(si: float, measure: Measure) -> bool:
    low, high = measure.low, measure.high
    return low - abs(low) * _TOLERANCE <= si <= high + abs(high) * _TOLERANCE


# -------------------------------------------------------------------------------------------------------------- scoring


def candidates(
    found: Sequence[Match], items: Items, court: Court, likely: Sequence[str], parts: Sequence[int]
) -> list[Candidate]:
    """Every match that is not ruled out, with its score.

    `likely` are the kinds of gear that it may be of: an entry has to fit all. `parts` numbers the part of each item.
    """
    segments = _words_by(items, items.segment)
    by_part = _words_by(items, parts)
    setting = _Setting(items, court, _products(items))
    kept: list[Candidate] = []
    for match in found:
        rule = court.rules[match.pattern]
        resolved = resolve(match, rule, court.units)
        if resolved is None:
            continue
        values, fits = resolved
        if (not fits and not _is_kept_outside(rule, values)) or (rule.tight and not _is_tight(match, items)):
            continue
        reasons = 0
        if rule.near:
            if not rule.near.isdisjoint(segments[items.segment[match.first]]):
                reasons += NEAR
            if (reasons or not _is_borrowed(values)) and parts[match.first]:
                reasons += 0 if rule.near.isdisjoint(by_part[parts[match.first]]) else PART
        if likely and rule.kinds.issuperset(likely):
            reasons += KIND
        if rule.words == 0 and _is_something_else(match, rule, reasons, setting):
            continue
        kept.append(Candidate(rule, match.first, match.end, values, fits, reasons, reasons))
    return kept


def _is_borrowed(values: Sequence[Value]) -> int:
    """How many numbers have a unit's spelling that is another unit's own: `oz` on cloth, `g` of a batt."""
    return sum(1 for value in values if value.amount.spelling in value.slot.measure.borrowed)


def _is_tight(match: Match, items: Items) -> bool:
    """Whether every single letter touches the number before it: `3 L` is a volume, `3L` a laminate."""
    return all(
        items.gap[at] != SPACED or len(items.word[at]) > 1 or items.kind[at - 1] != "number"
        for at in range(match.first + 1, match.end)
    )


def _is_kept_outside(rule: Rule, values: Sequence[Value]) -> bool:
    """What is not plausible is kept where a word names the entry, and the tag, not we, says in which unit it is."""
    return rule.names and not any(value.slot.is_role and not value.amount.spelling for value in values)


def _words_by(items: Items, stretch: Sequence[int]) -> dict[int, set[str]]:
    words: dict[int, set[str]] = {}
    for at, which in enumerate(stretch):
        its = words.get(which)
        if its is None:
            its = words[which] = set()
        its.add(items.word[at])
    return words


@dataclass(frozen=True)
class _Setting:
    """What stands around a match; `products` are the numbers of sizes."""

    items: Items
    court: Court
    products: frozenset[int]


def _is_something_else(match: Match, rule: Rule, reasons: int, setting: _Setting) -> bool:
    """Whether a quantity without a word of its own is a size, a price or the like, or too bare to be believed."""
    if not reasons and any(
        its.spelling in slot.measure.borrowed for slot, its in zip(rule.slots, match.quantities, strict=True)
    ):
        return True
    if all(not quantity.spelling for quantity in match.quantities):
        thousands = all(quantity.thousand for quantity in match.quantities)
        told = thousands or rule.marks
        least = NEAR if not told else KIND if len(rule.slots) == 1 else 0  # `10k/10k` is told by its form
        if reasons < least or any(setting.court.units.shift[slot.measure.unit] for slot in rule.slots):
            return True
    if rule.lengths and any(amount.number in setting.products for its in match.quantities for amount in its.amounts):
        return True
    items = setting.items
    segment = items.segment[match.first]
    at = match.first - 1
    while at >= 0 and at >= match.first - _LOOK_BACK and items.segment[at] == segment and items.kind[at] != "number":
        if items.word[at] in setting.court.elsewhere or (rule.lengths and items.word[at] in setting.court.lengths):
            return True
        at -= 1
    at = match.end
    while at < items.count and at < match.end + _LOOK_AHEAD and items.segment[at] == segment:
        if items.word[at] in setting.court.elsewhere or (rule.lengths and items.word[at] in setting.court.lengths):
            return True
        if items.kind[at] == "number":
            break
        at += 1
    return False


def _products(items: Items) -> frozenset[int]:
    """The numbers of `40 x 30 x 20 cm`, a size."""
    found: set[int] = set()
    for at in range(1, items.count - 1):
        if items.word[at] not in {"x", "by", "*"} or items.kind[at + 1] != "number":
            continue
        before = at - 1 if items.kind[at - 1] == "number" else at - 2
        if before >= 0 and items.kind[before] == "number" and items.segment[before] == items.segment[at + 1]:
            found.add(before)
            found.add(at + 1)
    return frozenset(found)


# ------------------------------------------------------------------------------------------------------------- choosing


def choose(kept: Sequence[Candidate], count: int) -> list[Candidate]:
    """The candidates that are believed, by their place; `count` is how many items there are.

    One pass from the left over the best of each stretch: most items, then plausible, then fewer pieces, then score.
    """
    ending: dict[int, list[Candidate]] = {}
    for candidate in _best_of_each_stretch(kept):
        ending.setdefault(candidate.end, []).append(candidate)
    best: list[tuple[int, int, int, int]] = [(0, 0, 0, 0)]
    chosen: list[Candidate | None] = [None]
    for end in range(1, count + 1):
        top, pick = best[end - 1], None
        for candidate in ending.get(end, ()):
            before = best[candidate.first]
            total = (
                before[0] + end - candidate.first,
                before[1] - (0 if candidate.fits else 1),
                before[2] - 1,
                before[3] + candidate.score,
            )
            if total > top:
                top, pick = total, candidate
        best.append(top)
        chosen.append(pick)
    found: list[Candidate] = []
    at = count
    while at > 0:
        taken = chosen[at]
        if taken is None:
            at -= 1
        else:
            found.append(taken)
            at = taken.first
    found.reverse()
    return found


def _best_of_each_stretch(kept: Sequence[Candidate]) -> list[Candidate]:
    """Of candidates over the same items the best; those as good, with another meaning, become its rivals."""
    groups: dict[tuple[int, int], list[Candidate]] = {}
    for candidate in kept:
        groups.setdefault((candidate.first, candidate.end), []).append(candidate)
    found = []
    for group in groups.values():
        top = group[0]
        for candidate in group[1:]:
            if _order(candidate) > _order(top):
                top = candidate
        rivals: list[Candidate] = []
        for candidate in group:
            equal = candidate is not top and _order(candidate)[:3] == _order(top)[:3]
            if equal and all(candidate.rule.entry != other.rule.entry for other in (top, *rivals)):
                rivals.append(candidate)
        found.append(_with_rivals(top, rivals) if rivals else top)
    return found


def _order(candidate: Candidate) -> tuple[bool, int, int, int, int]:
    named = candidate.rule.words > 0
    return candidate.fits, named, candidate.score, -_is_borrowed(candidate.values), -candidate.rule.rank


def _with_rivals(top: Candidate, rivals: Sequence[Candidate]) -> Candidate:
    return Candidate(top.rule, top.first, top.end, top.values, top.fits, top.score, top.reasons, tuple(rivals))
