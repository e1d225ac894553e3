"""Worked examples in a reader's words: what is given, what must come out, and why that may be believed.

Must not run a calculator: that the examples hold is checked when the book is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from hangtag import markup
from hangtag.amounts import Amount
from hangtag.calculators import Calculator, ChoiceInput, Example, Expected, QuantityInput
from hangtag.numbers import MINUS, is_author_number, show
from hangtag.pages.writer import Writer
from hangtag.sources import BASIS_NEEDS
from hangtag.typed import read_quantity
from hangtag.units import Unit


@dataclass(frozen=True)
class ExampleView:
    """One worked example; `given` and `gives` are pairs of a label and a value."""

    calculator: Calculator
    number: int
    given: tuple[tuple[Markup, Markup], ...]
    gives: tuple[tuple[Markup, Markup], ...]
    says: Markup | None
    within: Markup | None
    basis: Markup


def first_examples(w: Writer, calculators: Iterable[Calculator]) -> list[ExampleView]:
    """For each calculator its example on the strongest basis, the first among equals."""
    strength = list(BASIS_NEEDS)
    shown = []
    for calculator in calculators:
        numbered = list(enumerate(calculator.examples, start=1))
        if numbered:
            number, example = min(numbered, key=lambda pair: strength.index(pair[1].basis.kind))
            shown.append(example_view(w, calculator, number, example))
    return shown


def example_view(w: Writer, calculator: Calculator, number: int, example: Example) -> ExampleView:
    """One example with its labels and units as they are printed; inputs it leaves at their start are not named."""
    inputs = {field.name: field for field in calculator.inputs}
    steps = {step.name: step for step in calculator.steps}
    given = []
    for name, typed in example.given.items():
        field = inputs[name]
        value = _option(w, field, typed) if isinstance(field, ChoiceInput) else _typed(w, field, typed)
        given.append((w.html(field.label), value))
    gives = tuple((w.html(steps[expected.name].label), _expected(w, expected)) for expected in example.gives)
    return ExampleView(
        calculator,
        number,
        tuple(given),
        gives,
        w.html(example.says) if example.says else None,
        _within(w, example),
        w.basis_html(example.basis),
    )


def _option(w: Writer, field: ChoiceInput, name: str) -> Markup:
    return next((w.html(option.label) for option in field.options if option.name == name), w.html(name))


def _typed(w: Writer, field: QuantityInput, typed: str) -> Markup:
    """What an author typed for a field, in the printed form of its unit, never converted."""
    quantity = read_quantity(typed, (field.unit, *field.also), w.book.units)
    return _quantity(w, quantity.number, quantity.unit)


def _expected(w: Writer, expected: Expected) -> Markup:
    """What must come out, to the decimals its author wrote."""
    return _quantity(w, expected.number, expected.unit)


def _quantity(w: Writer, number: str, unit: Unit) -> Markup:
    return Markup('<span class="ht-q" translate="no">{}{}</span>').format(_number(number), w.unit(unit))


def _number(text: str) -> Markup:
    """An author's number as written; one with an exponent is written out."""
    if "e" in text and is_author_number(text):
        return markup.grouped(show(float(text), 15, 15))
    return markup.grouped(text.replace("-", MINUS))


def _within(w: Writer, example: Example) -> Markup | None:
    if example.within is None:
        return None
    if isinstance(example.within, Amount):
        allowed: object = w.amount(example.within)
    else:
        allowed = f"{show(example.within * 100)} %"
    return w.say("example-within", within=allowed, because=w.html(example.because or ""))
