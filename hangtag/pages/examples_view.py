"""Worked examples in a reader's words: what is given, what must come out, and why that may be believed.

Must not run a calculator: that the examples hold is checked when the book is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from hangtag.amounts import Amount
from hangtag.calculator_reader import range_ends
from hangtag.calculators import (
    Calculator,
    ChoiceColumn,
    ChoiceInput,
    Column,
    Example,
    Expected,
    Input,
    QuantityColumn,
    QuantityInput,
    RowsInput,
    Step,
)
from hangtag.numbers import MINUS, is_author_number, show
from hangtag.pages.writer import Writer
from hangtag.sources import BASIS_NEEDS
from hangtag.typed import read_quantity


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
    """For each calculator its example on the strongest basis."""
    return [
        example_view(w, calculator, number, calculator.examples[number - 1])
        for calculator in calculators
        if (number := strongest_example(calculator)) is not None
    ]


def strongest_example(calculator: Calculator) -> int | None:
    """The number, from 1, of the example on the strongest basis, the first among equals; None where there is none."""
    strength = list(BASIS_NEEDS)
    numbers = range(1, len(calculator.examples) + 1)
    return min(numbers, key=lambda number: strength.index(calculator.examples[number - 1].basis.kind), default=None)


def example_view(w: Writer, calculator: Calculator, number: int, example: Example) -> ExampleView:
    """One example with its labels and units as they are printed; inputs it leaves at their start are not named."""
    inputs = {field.name: field for field in calculator.inputs}
    steps = {step.name: step for step in calculator.steps}
    given = [pair for name, typed in example.given.items() for pair in _given(w, inputs[name], typed)]
    gives = [
        (_of_end(w, w.html(steps[expected.name].label), expected.end), _expected(w, steps[expected.name], expected))
        for expected in example.gives
    ]
    return ExampleView(
        calculator,
        number,
        tuple(given),
        tuple(gives),
        w.html(example.says) if example.says else None,
        _within(w, example),
        w.basis_html(example.basis),
    )


def _given(w: Writer, field: Input, typed: str | tuple[dict[str, str], ...]) -> Iterator[tuple[Markup, Markup]]:
    """One field as pairs of a label and a value: a list has a pair for each row."""
    label = w.html(field.label)
    if isinstance(field, RowsInput):
        for number, row in enumerate(typed if isinstance(typed, tuple) else (), start=1):
            yield w.say("example-row", label=label, number=number), _row(w, field, row)
    elif isinstance(field, ChoiceInput):
        yield label, _option(w, field, str(typed))
    else:
        low, high = (_typed(w, field, end) for end in range_ends(str(typed)))
        is_range = field.between is not None and low != high
        yield label, w.say("example-range", low=low, high=high) if is_range else _typed(w, field, str(typed))


def _row(w: Writer, field: RowsInput, row: Mapping[str, str]) -> Markup:
    """The cells of one row that its author wrote, each with the name of its column."""
    columns = {column.name: column for column in field.columns}
    cells = [
        w.say("example-row-cell", label=w.html(columns[name].label), value=_cell(w, columns[name], typed))
        for name, typed in row.items()
    ]
    return Markup(", ").join(cells)


def _cell(w: Writer, column: Column, typed: str) -> Markup:
    if isinstance(column, QuantityColumn):
        return _typed(w, column, typed)
    if isinstance(column, ChoiceColumn):
        return next((w.html(label) for name, label in column.options if name == typed), w.html(typed))
    return w.html(typed)


def _of_end(w: Writer, label: Markup, end: str | None) -> Markup:
    return label if end is None else w.say(f"example-{end}", label=label)


def _option(w: Writer, field: ChoiceInput, name: str) -> Markup:
    return next((w.html(option.label) for option in field.options if option.name == name), w.html(name))


def _typed(w: Writer, field: QuantityInput | QuantityColumn, typed: str) -> Markup:
    """What an author typed for a field, in the printed form of its unit, never converted."""
    quantity = read_quantity(typed, (field.unit, *field.also), w.book.units)
    return w.printed(_number(quantity.number), quantity.unit, (field.unit, *field.also))


def _expected(w: Writer, step: Step, expected: Expected) -> Markup:
    """What must come out, to the decimals its author wrote."""
    return w.printed(_number(expected.number), expected.unit, (step.unit, *step.also))


def _number(text: str) -> str:
    """An author's number as written; one with an exponent is written out."""
    if "e" in text and is_author_number(text):
        return show(float(text), 15, 15)
    return text.replace("-", MINUS)


def _within(w: Writer, example: Example) -> Markup | None:
    if example.within is None:
        return None
    if isinstance(example.within, Amount):
        allowed: object = w.amount(example.within)
    else:
        allowed = f"{show(example.within * 100)} %"
    return w.say("example-within", within=allowed, because=w.html(example.because or ""))
