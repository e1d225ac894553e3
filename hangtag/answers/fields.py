"""Reading one field: a quantity, a choice, a range or a list, with a refusal in words for all that does not fit.

The browser reads the same in the same way. Must not run a formula.
"""

from __future__ import annotations

from collections.abc import Sequence

from hangtag.amounts import within
from hangtag.answers.model import Given, Shown
from hangtag.answers.rows import read_rows
from hangtag.answers.words import band_of, measured, refused
from hangtag.book import Book
from hangtag.calculator_reader import option_values
from hangtag.calculators import ChoiceInput, Input, Option, QuantityInput, RowsInput
from hangtag.numbers import Refused, exact, show, snap
from hangtag.problems import Problem, ProblemError, near_hint
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.typed import read_quantity, read_range
from hangtag.units import Unit


def read_field(book: Book, field: Input, typed: str | None, language: str = DEFAULT_LANGUAGE) -> Given:
    """One field's value: what was typed, or the start value for None. Raises ProblemError with one Problem."""
    if isinstance(field, ChoiceInput):
        return _choice(field, typed, language)
    if isinstance(field, RowsInput):
        return read_rows(book, field, typed, language)
    if field.between:
        return _range(book, field, typed, language)
    if typed is None:
        return quantity_given(book, field, field.start.text, field.start.unit, "start", language)
    own = (field.unit, *field.also)
    try:
        quantity = read_quantity(typed, own, book.units, language)
    except Refused as error:
        raise refused(book, field, error.code, error.values, language) from None
    return quantity_given(book, field, quantity.number, quantity.unit, "given", language)


def quantity_given(  # noqa: PLR0913  each is one part of a typed quantity
    book: Book, field: QuantityInput, number: str, unit: Unit, origin: str, language: str = DEFAULT_LANGUAGE
) -> Given:
    """A quantity in the author's grammar as a field's value. Raises ProblemError where it is out of range."""
    value = float(number)
    si = unit.to_si(value)
    if not within(si, field.low, field.high):
        low = snap(field.low.unit.from_si(si)) < snap(float(exact(field.low.text)))
        limit = field.low if low else field.high
        words = measured(show(float(exact(limit.text)), 15, 15), limit.unit)
        raise refused(book, field, "field-too-low" if low else "field-too-high", {"limit": words}, language)
    if field.whole and exact(number).denominator != 1:
        raise refused(book, field, "field-not-whole", {}, language)
    shown = Shown(value, unit, number.replace("-", "\u2212"))
    label = field.label.within(language)
    return Given(field.name, label, si, shown, None, origin, band_of(book, field.scale, si))


def _range(book: Book, field: QuantityInput, typed: str | None, language: str) -> Given:
    if typed is None and field.between:
        pairs = [(end.text, end.unit) for end in field.between]
        return range_given(book, field, pairs, "start", language)
    try:
        ends = read_range(typed or "", (field.unit, *field.also), book.units, language)
    except Refused as error:
        raise refused(book, field, error.code, error.values, language) from None
    return range_given(book, field, [(end.number, end.unit) for end in ends], "given", language)


def range_given(
    book: Book, field: QuantityInput, ends: Sequence[tuple[str, Unit]], origin: str, language: str = DEFAULT_LANGUAGE
) -> Given:
    """Two ends in the author's grammar as a field's range. Raises ProblemError where one is out of range."""
    low, high = (quantity_given(book, field, number, unit, origin, language) for number, unit in ends)
    if low.shown is None or high.shown is None:  # pragma: no cover  a quantity always shows itself
        raise TypeError
    middle = (low.si + high.si) / 2
    unit = high.shown.unit
    shown = low.shown if low.si == high.si else Shown(unit.from_si(middle), unit, show(unit.from_si(middle), 15, 15))
    band = band_of(book, field.scale, middle)
    return Given(field.name, low.label, middle, shown, None, origin, band, (low.shown, high.shown))


def _choice(field: ChoiceInput, typed: str | None, language: str) -> Given:
    name = field.start if typed is None else typed.strip()
    option = next((its for its in field.options if its.name == name), None) or _by_label(field, name, language)
    if option is None:
        names = [its.name for its in field.options]
        hint = near_hint(name, names) or f"The choices are {', '.join(names)}."
        values = {"field": field.name, "because": f"there is no choice {name}"}
        raise ProblemError(Problem("field-refused", values, hint=hint))
    label = field.label.within(language)
    chosen = option_values(field, field.options.index(option))
    si = option.amount.si if option.amount else 0.0
    origin = "start" if typed is None else "given"
    return Given(field.name, label, si, None, option.name, origin, None, values=chosen)


def _by_label(field: ChoiceInput, typed: str, language: str) -> Option | None:
    wanted = typed.lower()
    return next(
        (its for its in field.options if wanted in (its.name.lower(), its.label.within(language).lower())), None
    )
