"""Items become quantities: every honest way to read the number that begins at an item, with or without a unit.

    number:   digits in any spelling, thousands parted by spaces, a fraction, a sign that touches it
    amount:   number "k"? unit?  |  number unit number smaller-unit     (2 lb 4 oz, 5'10")
    quantity: bound? amount "+"? ("±" number "%"?)?
            | bound? amount ("-" | "to") amount
            | quantity ("(" quantity ")" | "/" quantity)                the same again in other units

The browser does the same in scripts/tag-quantities.js. Must not know entries or patterns.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from hangtag.tag_reader.items import GLUED, SPACED, Items

EXACT, AT_LEAST, AT_MOST, ABOUT = "exact", "at least", "at most", "about"
_GROUP = 3  # digits in a group of thousands
_MOST_GROUPS = 3  # with the leading one: up to 999 999 999
_LONGEST = 30  # characters of a number; longer ones overflow, and mean nothing
_THOUSAND = 1000.0
_LONGEST_BOUND = 3  # words
_WIDEST = 0.025  # of the value: trailing zeros may be rounding, but not to coarser steps than 5 %
_RATIO = 2.0  # `A / B` without brackets is the same quantity again only where the two are this near


class Amount(NamedTuple):
    """One number with its unit's spelling (empty where none is printed); a tuple, since feeds make many.

    `first`, `end` are items; `number` is the item of its first number. `values` are all honest readings, `halves` half
    a unit in the last printed place of each. `again` marks what repeats the amount before it in other units.
    """

    first: int
    end: int
    number: int
    values: tuple[float, ...]
    halves: tuple[float, ...]
    spelling: str
    thousand: bool = False
    bound: str = EXACT
    again: bool = False


class Quantity(NamedTuple):
    """One amount, the two ends of a range, or one of these and the same again in other units."""

    first: int
    end: int
    amounts: tuple[Amount, ...]

    @property
    def spelling(self) -> str:
        """How the unit of its first amount is spelt."""
        return self.amounts[0].spelling

    @property
    def thousand(self) -> bool:
        """Whether a `k` stands at its first number."""
        return self.amounts[0].thousand


@dataclass(frozen=True)
class Grammar:
    """What the quantity layer needs of a Reader.

    `units` is a tree of spellings: each word leads on, and the key "" holds the spelling that ends there. `smaller`
    says for a spelling those that may follow it in a compound, with their ratio. `systems` gives the dimensions and
    systems that a spelling may mean; `us` are spellings that are printed with fractions.
    """

    units: Mapping[str, object]
    unit_words: frozenset[str]
    smaller: Mapping[str, Mapping[str, float]]
    systems: Mapping[str, Sequence[tuple[str, str, float]]]
    us: frozenset[str]
    bounds: Mapping[str, str]
    bound_words: frozenset[str]
    fractions: Mapping[str, tuple[int, int]]


def half_width(number: str, value: float) -> float:
    """Half a unit in the last place of a printed number; zeros at its end may be rounding, up to 2.5 %."""
    whole, _, decimals = number.partition(".")
    if decimals:
        return float(f"5e-{len(decimals) + 1}")
    zeros = len(whole) - len(whole.rstrip("0"))
    if zeros == 0 or whole == "0":
        return 0.5
    return max(0.5, min(float(f"5e{zeros - 1}"), value * _WIDEST))


class Quantities:
    """The quantities of one text, found where they are asked for."""

    def __init__(self, items: Items, grammar: Grammar, blocked: frozenset[int]) -> None:
        self._items = items
        self._grammar = grammar
        self._blocked = blocked
        self._amounts: dict[int, list[Amount]] = {}
        self._found: dict[int, list[Quantity]] = {}

    def at(self, at: int) -> list[Quantity]:
        """Every quantity that begins at an item, its bound included."""
        found = self._found.get(at)
        if found is None:
            found = self._found[at] = self._quantities(at)
        return found

    # ------------------------------------------------------------------------------------------------------ quantities

    def _quantities(self, at: int) -> list[Quantity]:
        items = self._items
        if items.word[at] in self._grammar.bound_words:
            bound, after = self._bound(at)
            if bound:
                return [_bounded(quantity, bound, at) for quantity in self.at(after) if _is_bare(quantity, after)]
        found = [
            quantity for amount in self._amounts_at(at) for quantity in (self._closed(amount), *self._ranges(amount))
        ]
        return [*found, *(both for quantity in found for both in self._twice(quantity))]

    def _bound(self, at: int) -> tuple[str, int]:
        """The longest bound that begins here and has a number right after it; else an empty one."""
        items, count = self._items, self._items.count
        for length in range(_LONGEST_BOUND, 0, -1):
            end = at + length
            if end >= count or items.segment[end] != items.segment[at]:
                continue
            bound = self._grammar.bounds.get(" ".join(items.word[at:end]))
            if bound and (items.kind[end] == "number" or items.word[end] in {"-", "+"}):
                return bound, end
        return "", at

    def _closed(self, amount: Amount) -> Quantity:
        """An amount with what may follow it: a plus, or a tolerance."""
        items, end = self._items, amount.end
        if end < items.count and items.word[end] == "+" and items.gap[end] == GLUED and not self._is_number(end + 1):
            return Quantity(amount.first, end + 1, (amount._replace(end=end + 1, bound=AT_LEAST),))
        tolerance = self._tolerance(end, amount.first)
        if tolerance:
            return Quantity(amount.first, tolerance, (amount._replace(end=tolerance, bound=ABOUT),))
        return Quantity(amount.first, end, (amount,))

    def _tolerance(self, at: int, first: int) -> int:
        """Where `± 5 %` or `+/- 10 g` ends; 0 where none stands here."""
        items, count = self._items, self._items.count
        if at >= count or items.segment[at] != items.segment[first]:
            return 0
        if items.word[at] == "±":
            after = at + 1
        elif tuple(items.word[at : at + 3]) == ("+", "/", "-"):
            after = at + 3
        else:
            return 0
        if after >= count or items.kind[after] != "number":
            return 0
        ends = [amount.end for amount in self._amounts_at(after)]
        end = max(ends, default=after + 1)
        return end + 1 if end < count and items.word[end] == "%" else end

    def _ranges(self, low: Amount) -> list[Quantity]:
        items, at = self._items, low.end
        if at + 1 >= items.count or items.segment[at + 1] != items.segment[low.first]:
            return []
        joins = items.word[at] in {"-", "to"} or (
            items.word[at] == "and" and low.first > 0 and items.word[low.first - 1] == "between"
        )
        if not joins:
            return []
        found = []
        highs = self._amounts_at(at + 1)
        has_unit = any(high.spelling for high in highs)
        for high in highs:
            if low.spelling not in {"", high.spelling} or (low.thousand and not high.thousand):
                continue
            if has_unit and not high.spelling:  # `2.2 - 10 mm` is no range of bare numbers
                continue
            thousand = high.thousand and not low.thousand
            values = tuple(value * _THOUSAND for value in low.values) if thousand else low.values
            rising = values[0] <= high.values[0]
            one = low._replace(values=values, spelling=high.spelling, thousand=high.thousand)
            pair = (
                one._replace(bound=AT_LEAST if rising else AT_MOST),
                high._replace(bound=AT_MOST if rising else AT_LEAST),
            )
            found.append(Quantity(low.first, high.end, pair))
        return found

    def _twice(self, one: Quantity) -> list[Quantity]:
        """The quantity and the same again in units of another system: `2 lb 4 oz (1.02 kg)`, `20°F / -7°C`."""
        items, at = self._items, one.end
        if not one.spelling or at + 1 >= items.count or items.segment[at + 1] != items.segment[one.first]:
            return []
        bracket = items.word[at] == "("
        if not (bracket or items.word[at] == "/"):
            return []
        found = []
        start = at + 1
        if items.word[start] in self._grammar.bound_words:
            start = self._bound(start)[1]
        for other in (
            quantity for amount in self._amounts_at(start) for quantity in (self._closed(amount), *self._ranges(amount))
        ):
            end = other.end
            if bracket and (end >= items.count or items.word[end] != ")"):
                continue
            if self._are_the_same(one.amounts[0], other.amounts[0], near=not bracket):
                again = tuple(amount._replace(again=True) for amount in other.amounts)
                found.append(Quantity(one.first, end + 1 if bracket else end, (*one.amounts, *again)))
        return found

    def _are_the_same(self, one: Amount, other: Amount, *, near: bool) -> bool:
        systems = self._grammar.systems
        for dimension, system, scale in systems.get(one.spelling, ()):
            for its_dimension, its_system, its_scale in systems.get(other.spelling, ()):
                if dimension != its_dimension or system == its_system:
                    continue
                if not near or scale == 0.0:  # temperatures have no ratio
                    return True
                mine, theirs = abs(one.values[0]) * scale, abs(other.values[0]) * its_scale
                if mine <= theirs * _RATIO and theirs <= mine * _RATIO:
                    return True
        return False

    # --------------------------------------------------------------------------------------------------------- amounts

    def _amounts_at(self, at: int) -> list[Amount]:
        found = self._amounts.get(at)
        if found is None:
            found = self._amounts[at] = self._read_amounts(at)
        return found

    def _read_amounts(self, first: int) -> list[Amount]:
        items = self._items
        if first >= items.count:
            return []
        at, sign = first, 1.0
        if items.kind[first] == "mark" and items.word[first] in {"-", "+"} and self._is_sign(first):
            at, sign = first + 1, (-1.0 if items.word[first] == "-" else 1.0)
        if items.kind[at] not in {"number", "mark"} or at in self._blocked:
            return []
        found: list[Amount] = []
        for end, numbers in self._numbers(at):
            values = tuple(sign * value for value, _ in numbers)
            halves = tuple(half for _, half in numbers)
            if sign > 0 and at == first and self._is_after_dash(at):
                values, halves = (*values, *(-value for value in values)), (*halves, *halves)
            amount = Amount(first, end, at, values, halves, "")
            found += self._with_units(amount)
        return found

    def _with_units(self, bare: Amount, *, compound: bool = True) -> list[Amount]:
        items, end = self._items, bare.end
        found = [bare]
        if end < items.count and items.word[end] == "k" and items.gap[end] == GLUED:
            values = tuple(value * _THOUSAND for value in bare.values)
            halves = tuple(half * _THOUSAND for half in bare.halves)
            bare = bare._replace(values=values, halves=halves, end=end + 1, thousand=True)
            found = [bare]
            end += 1
        segment = items.segment[bare.first]
        node: object = self._grammar.units
        while end < items.count and items.segment[end] == segment and items.gap[end] != ":":
            node = node.get(items.word[end]) if isinstance(node, dict) else None
            if node is None:
                break
            end += 1
            spelling = node.get("") if isinstance(node, dict) else None
            if spelling is not None:
                amount = bare._replace(end=end, spelling=spelling)
                found.append(amount)
                if compound:
                    found += self._compounds(amount)
        return found

    def _compounds(self, large: Amount) -> list[Amount]:
        """`2 lb 4 oz` as 2.25 lb and as 36 oz: whoever reads it knows one of the two."""
        smaller = self._grammar.smaller.get(large.spelling)
        items, at = self._items, large.end
        if smaller is None or at >= items.count or items.segment[at] != items.segment[large.first]:
            return []
        if items.word[at] == "and":
            at += 1
        if at >= items.count or items.kind[at] != "number" or items.gap[at] == ":" or large.values[0] < 0:
            return []
        found = []
        for end, numbers in self._numbers(at):
            alone = Amount(at, end, at, (numbers[0][0],), (numbers[0][1],), "")
            for small in self._with_units(alone, compound=False):
                ratio = smaller.get(small.spelling)
                if ratio is None or small.values[0] >= ratio:
                    continue
                value, half = small.values[0], small.halves[0]
                whole = large.values[0]
                found.append(large._replace(end=small.end, values=(whole + value / ratio,), halves=(half / ratio,)))
                total = large._replace(end=small.end, spelling=small.spelling, values=(whole * ratio + value,))
                found.append(total._replace(halves=(half,)))
        return found

    # --------------------------------------------------------------------------------------------------------- numbers

    def _numbers(self, at: int) -> list[tuple[int, tuple[tuple[float, float], ...]]]:
        """Each way to read a number that begins here: where it ends, and its values with half their last place."""
        items = self._items
        alone = self._grammar.fractions.get(items.word[at])
        if alone is not None:
            return [(at + 1, ((alone[0] / alone[1], 0.5 / alone[1]),))]
        if items.kind[at] != "number":
            return []
        texts = [text for text in items.values[at] if len(text) <= _LONGEST]
        readings = tuple((float(text), half_width(text, float(text))) for text in texts)
        if not readings:
            return []
        found = [(at + 1, readings)]
        spaced = self._spaced_thousands(at)
        if spaced:
            found.append(spaced)
        whole = self._fraction(at, readings[0][0])
        if whole:
            found.append(whole)
        return found

    def _spaced_thousands(self, at: int) -> tuple[int, tuple[tuple[float, float], ...]] | None:
        """`10 000`: groups of three digits, a single space apart."""
        items = self._items
        digits = items.word[at]
        if len(digits) > _GROUP or not digits.isdigit() or digits[0] == "0":
            return None
        end = at + 1
        while end < items.count and end - at < _MOST_GROUPS and self._is_group(end):
            digits += items.word[end]
            end += 1
        if end == at + 1:
            return None
        return end, ((float(digits), half_width(digits, float(digits))),)

    def _is_group(self, at: int) -> bool:
        items = self._items
        word = items.word[at]
        return (
            items.kind[at] == "number"
            and len(word) == _GROUP
            and word.isdigit()
            and items.gap[at] == SPACED
            and items.start[at] == items.end[at - 1] + 1
            and items.segment[at] == items.segment[at - 1]
            and at not in self._blocked
        )

    def _fraction(self, at: int, whole: float) -> tuple[int, tuple[tuple[float, float], ...]] | None:
        """`2½`, `2 1/2` and `1/2`, where a unit follows that is printed with fractions."""
        items, count = self._items, self._items.count
        if at + 1 < count and items.word[at + 1] in self._grammar.fractions and items.gap[at + 1] in {GLUED, SPACED}:
            above, below = self._grammar.fractions[items.word[at + 1]]
            return at + 2, ((whole + above / below, 0.5 / below),)
        for start, before in ((at + 1, whole), (at, 0.0)):
            end = start + 3
            if end >= count or items.word[start + 1] != "/" or items.word[end] not in self._grammar.us:
                continue
            above_word, below_word = items.word[start], items.word[start + 2]
            glued = items.gap[start + 1] == items.gap[start + 2] == GLUED
            if glued and above_word in _ABOVE and below_word in _BELOW and float(above_word) < float(below_word):
                return end, ((before + float(above_word) / float(below_word), 0.5 / float(below_word)),)
        return None

    # ----------------------------------------------------------------------------------------------------------- signs

    def _is_sign(self, at: int) -> bool:
        """A plus or minus that touches its number, and nothing that it could join to it."""
        items = self._items
        if at + 1 >= items.count or items.gap[at + 1] != GLUED or items.kind[at + 1] != "number":
            return False
        if at == 0 or items.segment[at] != items.segment[at - 1]:
            return True
        before = items.kind[at - 1]
        if items.gap[at] == GLUED:
            return before == "mark" and items.word[at - 1] not in {")", "%", "°"}
        return before != "number"

    def _is_after_dash(self, at: int) -> bool:
        """`Limit - 6 °C`: the dash between label and number may be a minus."""
        items = self._items
        if at < 2 or items.word[at - 1] != "-" or items.gap[at] == GLUED:  # noqa: PLR2004  a label and its dash
            return False
        return (
            items.segment[at] == items.segment[at - 2]
            and items.kind[at - 2] == "word"
            and items.word[at - 2] not in self._grammar.unit_words
        )

    def _is_number(self, at: int) -> bool:
        return at < self._items.count and self._items.kind[at] == "number"


_ABOVE = frozenset("1 2 3 5 7 9 11 13 15".split())
_BELOW = frozenset("2 3 4 8 16".split())


def _is_bare(quantity: Quantity, first: int) -> bool:
    return quantity.first == first


def _bounded(quantity: Quantity, bound: str, first: int) -> Quantity:
    """The quantity with the bound before it; the ends of a range keep theirs."""
    amounts = tuple(
        amount._replace(
            first=first if index == 0 else amount.first, bound=bound if amount.bound == EXACT else amount.bound
        )
        for index, amount in enumerate(quantity.amounts)
    )
    return Quantity(first, quantity.end, amounts)
