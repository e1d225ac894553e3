"""The working of a calculator as mathematics: every step's formula in words, and with the numbers of this page.

Must not compute anything: numbers come from an answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from hangtag.answers import Given, Result, Shown, measured
from hangtag.book import Book
from hangtag.browser.fields_view import typed
from hangtag.browser.printed import (
    FORMULA_DIGITS,
    TYPED_DIGITS,
    Printed,
    bracketed,
    in_formula,
    nothing,
    result_places,
    typed_ends,
)
from hangtag.calculators import Calculator, ChoiceColumn, ChoiceInput, Constant, RowsInput, Step
from hangtag.formula import to_mathml
from hangtag.numbers import show


@dataclass(frozen=True)
class StepView:
    """One step of the working: its formula in words, and with the numbers of this page."""

    step: Step
    label: str
    formula: Markup
    with_numbers: Markup


def working(
    book: Book, calculator: Calculator, inputs: Mapping[str, Given], results: Mapping[str, Result], language: str
) -> list[StepView]:
    """All steps in the order they are worked."""
    labels = dict(_labels(calculator, language))
    words = labels | dict(_words(calculator, language))
    values: dict[str, str] = {}
    for its in calculator.inputs:
        printed = _given(calculator, inputs[its.name])
        if printed:
            values[its.name] = bracketed(book, language, printed)
        elif isinstance(its, ChoiceInput):
            chosen = next(option for option in its.options if option.name == inputs[its.name].choice)
            values[its.name] = chosen.label.within(language)
    values |= {its.name: bracketed(book, language, _constant(its)) for its in calculator.constants}
    shown = {
        step.name: result_places(results[step.name])[0] if step.name in results else nothing(step.unit)
        for step in calculator.steps
    }
    values |= {name: bracketed(book, language, its) for name, its in shown.items()}

    def view(step: Step) -> StepView:
        its = shown[step.name]
        result = Markup('<mo>=</mo><mn data-value="{}" data-result="">{}</mn>').format(
            step.name, measured(its.words(book, language), its.unit)
        )
        return StepView(
            step=step,
            label=labels[step.name],
            formula=_equals(to_mathml.formula(step.tree, labels, book.units, words)),
            with_numbers=_equals(to_mathml.with_values(step.tree, values, book.units, words) + str(result)),
        )

    return [view(step) for step in calculator.steps]


def _labels(calculator: Calculator, language: str) -> Iterator[tuple[str, str]]:
    """What every name of a formula is called."""
    for its in (*calculator.inputs, *calculator.steps, *calculator.tables):
        yield its.name, its.label.within(language)
    for constant in calculator.constants:
        yield constant.name, constant.label.within(language) if constant.label else constant.name
    for rows in calculator.inputs:
        if isinstance(rows, RowsInput):
            yield from ((column.name, column.label.within(language)) for column in rows.columns)


def _words(calculator: Calculator, language: str) -> Iterator[tuple[str, str]]:
    """The words of choices by the choice and the word, since two choices may use one word for two things."""
    for its in calculator.inputs:
        if isinstance(its, ChoiceInput):
            for option in its.options:
                yield f"{its.name} {option.name}", option.label.within(language)
        if isinstance(its, RowsInput):
            for column in its.columns:
                if isinstance(column, ChoiceColumn):
                    for name, label in column.options:
                        yield f"{column.name} {name}", label.within(language)


def _given(calculator: Calculator, given: Given) -> Printed | None:
    """A quantity as it stands in a formula; the value of a choice that has one; None for all else."""
    if given.choice is None:
        return in_formula(given)
    its = next(its for its in calculator.inputs if its.name == given.name)
    options = its.options if isinstance(its, ChoiceInput) else ()
    amount = next(option.amount for option in options if option.name == given.choice)
    if amount is None:
        return None
    return Printed(amount.unit, show(float(amount.text), FORMULA_DIGITS, TYPED_DIGITS))


def _constant(its: Constant) -> Printed:
    ends = its.between or (its.amount, its.amount)
    return typed_ends([Shown(float(end.text), end.unit, typed(end)) for end in ends], FORMULA_DIGITS)


def _equals(inner: str) -> Markup:
    return Markup(f"<mrow><mo rspace='0.4em'>=</mo>{inner}</mrow>")  # noqa: S704  written by to_mathml, which escapes
