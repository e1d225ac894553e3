"""Worked examples through both Python back ends: what their authors wrote against what the formulas give.

An example holds when our result, rounded half-up to the decimals its author wrote, equals theirs. Must
not change a book or loosen a comparison by itself.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from hangtag.amounts import Amount
from hangtag.answers import Given, measured, quantity_given, range_given, read_field, rows_given, run, run_values
from hangtag.book import Book
from hangtag.calculator_reader import range_ends
from hangtag.calculators import Calculator, ChoiceInput, Example, Expected, Input, QuantityInput, RowsInput
from hangtag.formula import core, witness
from hangtag.formula.by_hand import NoAnswer, Rows, Values, run_steps
from hangtag.formula.errors import SOLVED_SHARE
from hangtag.formula.program import Program
from hangtag.numbers import SNAP_DIGITS, exact, half_up, show
from hangtag.problems import Problem, ProblemError
from hangtag.units import Unit

SOLVE_POINTS = 200
RESIDUAL = 1e-6  # share by which the two sides of an equation may differ at its answer


def check_calculator(book: Book, calculator: Calculator) -> list[Problem]:
    """What does not hold of one calculator: its start values and its examples."""
    problems: list[Problem] = []
    start = run(book, calculator, tuple(read_field(book, field, None) for field in calculator.inputs))
    if start.refused:
        place = calculator.places.get("inputs")
        problems.append(Problem("start-refused", {"because": start.refused.because}, calculator.path, place))
    problems += check_solving(calculator)
    for example in calculator.examples:
        problems += check_example(book, calculator, example)
    return problems


def given_of(book: Book, calculator: Calculator, example: Example) -> tuple[Given, ...]:
    """The fields of an example; what it does not give takes its start value. Raises ProblemError."""
    return tuple(_given(book, field, example.given.get(field.name)) for field in calculator.inputs)


def _given(book: Book, field: Input, written: str | tuple[dict[str, str], ...] | None) -> Given:
    if isinstance(field, RowsInput):
        return read_field(book, field, None) if written is None else rows_given(book, field, _rows(written), "given")
    if written is None or isinstance(field, ChoiceInput):
        return read_field(book, field, written if isinstance(written, str) else None)
    if not isinstance(written, str):
        raise TypeError
    ends = [_parted(book, field, text) for text in (range_ends(written) if field.between else (written,))]
    if field.between:
        return range_given(book, field, ends, "given")
    return quantity_given(book, field, *ends[0], "given")


def _rows(written: str | tuple[dict[str, str], ...]) -> tuple[dict[str, str], ...]:
    return written if isinstance(written, tuple) else ()


def _parted(book: Book, field: QuantityInput, text: str) -> tuple[str, Unit]:
    number, _, unit_id = text.partition(" ")
    return number, book.units.units[unit_id] if unit_id else field.unit


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
        si = values[expected.name]
        if expected.end:
            ends = next(step for step in answer.steps if step.name == expected.name).ends
            if ends is None:
                found.append(problem("example-without-ends", expected, name=expected.name))
                continue
            end = ends[0] if expected.end == "low" else ends[1]
            si = end.unit.to_si(end.value)
        ours = expected.unit.from_si(si)
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
    book: Book, calculator: Calculator, given: tuple[Given, ...], values: Mapping[str, float]
) -> list[tuple[str, float, float]]:
    """The steps whose pint value is not ours: to the bit, or within their functions' ulps, or within two brackets."""
    return differences(book, calculator, run_values(calculator, given), values)


def differences(
    book: Book, calculator: Calculator, point: Values, values: Mapping[str, float]
) -> list[tuple[str, float, float]]:
    """The same for what a run was given."""
    known = witness_inputs(calculator, point)
    program = calculator.program
    different = []
    for step in calculator.steps:
        result = witness.evaluate(step.tree, known, book.units, calculator.scope, step.dimension)
        known[step.name] = result
        theirs, ours = float(result.magnitude), values[step.name]
        if abs(theirs - ours) > tolerance(program, step.name, ours) or not witness.has_dimension(
            result, step.dimension
        ):
            different.append((step.name, ours, theirs))
    return different


def tolerance(program: Program, step: str, value: float) -> float:
    """By how much another run of a step may differ: nothing, its functions' ulps, or two brackets of a solved value."""
    if step in program.solved:
        return max(2 * program.bracket.get(step, 0.0), SOLVED_SHARE * abs(value))
    return program.ulps[step] * math.ulp(value)


def witness_inputs(calculator: Calculator, point: Values) -> dict[str, Any]:
    """What a run was given as the witness takes it: quantities with units, choices and lists as they are."""
    units = {its.name: its.unit for its in calculator.inputs if isinstance(its, QuantityInput | ChoiceInput)}
    units |= {its.name: its.amount.unit for its in calculator.constants}
    known: dict[str, Any] = {}
    for name, value in (*calculator.program.constants.items(), *point.items()):
        unit = units.get(name)
        known[name] = value if unit is None or not isinstance(value, float) else witness.quantity(value, unit.dimension)
    return known


def check_solving(calculator: Calculator) -> list[Problem]:
    """Solve steps that find no answer somewhere in the calculator's range."""
    program = calculator.program
    if not program.bracket:
        return []
    spans = {step.name: step.span for step in calculator.steps}
    for point in (*program.domain.corners(), *program.domain.points(SOLVE_POINTS, seed=2)):
        if not program.allows(point):
            continue
        code, solved = "solve-without-answer", None
        try:
            solved = jumped(program, point)
        except NoAnswer as error:
            if error.code == "no-solution":
                solved = error.step
        else:
            code = "solve-jumps"
        if solved is not None:
            units = {its.name: its.unit for its in calculator.inputs if isinstance(its, QuantityInput)}
            at = ", ".join(
                f"{name} = {measured(show(units[name].from_si(value), 4), units[name])}"
                for name, value in point.items()
                if name in units and isinstance(value, float)
            )
            return [Problem(code, {"values": at}, calculator.path, spans[solved])]
    return []


def jumped(program: Program, point: Values) -> str | None:
    """The first solve step whose two sides are not equal at its answer: they jump over each other. Raises NoAnswer."""
    known: dict[str, float | Rows] = {**point}
    results = program.run(point)
    for name, tree in program.steps:
        if isinstance(tree, core.Root):
            known[tree.unknown] = results[name]
            sides = run_steps(known, program.constants, (("left", tree.left), ("right", tree.right)))
            if abs(sides["left"] - sides["right"]) > RESIDUAL * max(abs(its) for its in sides.values()):
                return name
        known[name] = results[name]
    return None
