"""Worked examples through both Python back ends: what their authors wrote against what the formulas give.

An example holds when our result, rounded half-up to the decimals its author wrote, equals theirs. Must
not change a book or loosen a comparison by itself.
"""

from __future__ import annotations

import math
from fractions import Fraction

from hangtag.amounts import Amount
from hangtag.answers import Given, quantity_given, read_field, run
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceInput, Example, Expected
from hangtag.formula import witness
from hangtag.numbers import SNAP_DIGITS, exact, half_up, show
from hangtag.problems import Problem, ProblemError
from hangtag.units import Unit


def check_examples(book: Book) -> list[Problem]:
    """Every example and every set of start values that does not hold."""
    problems: list[Problem] = []
    for calculator in book.calculators.values():
        start = run(book, calculator, tuple(read_field(book, field, None) for field in calculator.inputs))
        if start.refused:
            place = calculator.places.get("inputs")
            problems.append(Problem("start-refused", {"because": start.refused.because}, calculator.path, place))
        for example in calculator.examples:
            problems += check_example(book, calculator, example)
    return problems


def given_of(book: Book, calculator: Calculator, example: Example) -> tuple[Given, ...]:
    """The fields of an example; what it does not give takes its start value. Raises ProblemError."""
    fields = []
    for field in calculator.inputs:
        text = example.given.get(field.name)
        if text is None or isinstance(field, ChoiceInput):
            fields.append(read_field(book, field, text))
            continue
        number, _, unit_id = text.partition(" ")
        unit = book.units.units[unit_id] if unit_id else field.unit
        fields.append(quantity_given(book, field, number, unit, "given"))
    return tuple(fields)


def check_example(book: Book, calculator: Calculator, example: Example) -> list[Problem]:
    """What does not hold of one example."""

    def problem(code: str, place: object = None, **values: object) -> Problem:
        span = getattr(place, "span", example.span)
        return Problem(code, values, calculator.path, span)

    try:
        given = given_of(book, calculator, example)
    except ProblemError as error:
        return [problem("example-refused", because=error.problems[0].message)]
    answer = run(book, calculator, given)
    if answer.refused:
        return [problem("example-refused", because=answer.refused.because)]
    values = {step.name: step.si for step in answer.steps}
    found = []
    for expected in example.gives:
        ours = expected.unit.from_si(values[expected.name])
        if not holds(ours, expected, example.within):
            shown = f"{show(ours, 10, decimals(expected.number) + 2)} {expected.unit.id}"
            found.append(problem("example-fails", expected, name=expected.name, theirs=expected.text, ours=shown))
    for name, ours, theirs in witness_differences(book, calculator, given, values):
        found.append(problem("witness-differs", None, name=name, ours=repr(ours), theirs=repr(theirs)))
    return found


def holds(ours: float, expected: Expected, loosened: Amount | float | None) -> bool:
    """Whether our number, in the expected unit, is what the author wrote."""
    theirs = exact(expected.number)
    if isinstance(loosened, Amount):
        return abs(expected.unit.to_si(ours) - expected.unit.to_si(float(theirs))) <= loosened.si
    if loosened is not None:
        return abs(ours - float(theirs)) <= loosened * abs(float(theirs))
    return rounded(ours, decimals(expected.number)) == theirs


def decimals(number: str) -> int:
    """How many decimals an author wrote: 2 in `1.50`, 5 in `1.2e-4`."""
    digits, _, exponent = number.partition("e")
    return max(0, len(digits.partition(".")[2]) - int(exponent or 0))


def rounded(value: float, places: int) -> Fraction:
    """A float half-up to `places` decimals, through its 15 significant digits."""
    negative, digits, exponent = half_up(value, SNAP_DIGITS)
    size = Fraction(int(digits or "0")) * Fraction(10) ** (exponent - len(digits) + 1)
    size = Fraction(math.floor(size * 10**places + Fraction(1, 2)), 10**places)
    return -size if negative else size


def witness_differences(
    book: Book, calculator: Calculator, given: tuple[Given, ...], values: dict[str, float]
) -> list[tuple[str, float, float]]:
    """The steps whose pint value is not ours: to the bit, or within their functions' ulps."""
    units: dict[str, Unit] = {field.name: field.unit for field in calculator.inputs}
    known = {its.name: witness.quantity(its.si, units[its.name].dimension) for its in given}
    for constant in calculator.constants:
        known[constant.name] = witness.quantity(constant.amount.si, constant.amount.unit.dimension)
    different = []
    for step in calculator.steps:
        known[step.name] = result = witness.evaluate(step.tree, known, book.units)
        theirs, ours = float(result.magnitude), values[step.name]
        budget = calculator.program.ulps[step.name] * math.ulp(ours)
        if abs(theirs - ours) > budget or not witness.has_dimension(result, step.dimension):
            different.append((step.name, ours, theirs))
    return different
