"""What stands in the place of a value: one number or the two ends of a range, with its unit, as text.

`scripts/slots.js` and `scripts/ranges.js` write the same. Must not compute anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hangtag.answers import Given, Result, Shown, measured
from hangtag.book import Book
from hangtag.numbers import show
from hangtag.units import Unit

TYPED_DIGITS = 15  # a field shows a number whole: every decimal number of 15 digits survives as a float
FORMULA_DIGITS = 8  # in a formula a converted number would otherwise run off the page


@dataclass(frozen=True)
class Printed:
    """A text and, of a range, its upper end; both in one unit."""

    unit: Unit
    text: str
    high: str | None = None

    def words(self, book: Book, language: str) -> str:
        """Both ends as one text, without the unit."""
        return self.text if self.high is None else between(book, language, self.text, self.high)


def between(book: Book, language: str, low: str, high: str) -> str:
    """`0.04 to 0.08`."""
    return book.strings.say("field-between", language, low=low, high=high)


def nothing(unit: Unit) -> Printed:
    """What stands in the place of a result where the values have no answer."""
    return Printed(unit, "–")


def result_places(result: Result) -> tuple[Printed, ...]:
    """A result in its own unit and in the others."""
    own = _of_ends(result.shown, result.ends)
    others = result.also_ends or (None,) * len(result.also)
    return own, *(_of_ends(*pair) for pair in zip(result.also, others, strict=True))


def _of_ends(shown: Shown, ends: tuple[Shown, Shown] | None) -> Printed:
    if ends is None:
        return Printed(shown.unit, shown.text)
    low, high = ends
    return Printed(low.unit, low.text, None if low.text == high.text else high.text)


def in_formula(given: Given) -> Printed | None:
    """A field's value as it stands in a formula; None for what is no quantity."""
    if given.ends:
        return typed_ends(given.ends, FORMULA_DIGITS)
    return Printed(given.shown.unit, show(given.shown.value, FORMULA_DIGITS, TYPED_DIGITS)) if given.shown else None


def typed_ends(ends: Sequence[Shown], digits: int) -> Printed:
    """Two ends as given, both in the unit of the upper one."""
    low, high = ends
    value = low.value if low.unit == high.unit else high.unit.from_si(low.unit.to_si(low.value))
    low_text, high_text = (show(number, digits, TYPED_DIGITS) for number in (value, high.value))
    return Printed(high.unit, low_text, None if low_text == high_text else high_text)


def bracketed(book: Book, language: str, printed: Printed) -> str:
    """A value with its unit among the signs of a formula: what would be misread there stands in brackets."""
    text = measured(printed.words(book, language), printed.unit)
    return f"({text})" if printed.high is not None or text.startswith("−") else text
