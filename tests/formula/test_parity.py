"""Every calculator of the reference book: Python, V8 and pint agree on every step, at examples and random points.

Bit for bit where a step holds only `+ - * /` and square roots; else within the ulps of the functions it uses.
"""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from hangtag.answers import work
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceInput, Input
from hangtag.formula import to_javascript

from .support import Outcome, agree, by_walking, by_witness, in_python, v8

ROOT = Path(__file__).parents[2]
IDS = sorted(path.stem for path in (ROOT / "calculators").glob("*.yml") if not path.stem.startswith("_"))
POINTS = 200


@pytest.fixture(scope="module")
def book(reference: Book) -> Book:
    return reference


def drawn(of: Input, chance: random.Random) -> float:
    """A value in range, in SI: even or by ratio over the range, or as short as a reader would type it."""
    if isinstance(of, ChoiceInput):
        return chance.choice(of.options).amount.si
    low, high = of.low.si, of.high.si
    by_ratio = low > 0 and chance.random() < 0.5
    value = math.exp(chance.uniform(math.log(low), math.log(high))) if by_ratio else chance.uniform(low, high)
    if of.whole or chance.random() < 0.5:
        value = of.unit.to_si(float(f"{of.unit.from_si(value):.0f}" if of.whole else f"{of.unit.from_si(value):.3g}"))
    return min(max(value, low), high)


def prove(book: Book, calculator: Calculator, number: int, values: dict[str, float]) -> Outcome:
    """The runs of one point agree; gives what they found."""
    program = calculator.program
    found = in_python(program, values)
    agree(found, by_walking(program, values), {})
    agree(found, v8().run(number, values), program.ulps)
    if found.code is None:
        dimensions = {of.name: of.unit.dimension for of in calculator.inputs}
        dimensions |= {constant.name: constant.amount.unit.dimension for constant in calculator.constants}
        steps = [(step.name, step.tree, step.dimension) for step in calculator.steps]
        agree(found, by_witness(steps, {**program.constants, **values}, dimensions, book.units), {})
    return found


@pytest.mark.parametrize("calculator_id", IDS)
def test_examples(book: Book, calculator_id: str) -> None:
    calculator = book.calculators[calculator_id]
    number = v8().load_text(to_javascript.functions(calculator.program))
    assert calculator.examples
    for example in calculator.examples:
        answer = work(book, calculator, example.given)
        found = prove(book, calculator, number, {given.name: given.si for given in answer.inputs})
        assert found.steps == {step.name: step.si for step in answer.steps}


@pytest.mark.parametrize("calculator_id", IDS)
def test_random_points(book: Book, calculator_id: str) -> None:
    calculator = book.calculators[calculator_id]
    number = v8().load_text(to_javascript.functions(calculator.program))
    chance = random.Random(calculator_id)  # noqa: S311  seeded: the same points on every machine
    answered = 0
    for _ in range(POINTS * 20):
        values = {of.name: drawn(of, chance) for of in calculator.inputs}
        failed = calculator.program.first_failed(values)
        assert v8().first_failed(number, values) == failed
        if failed == -1:
            answered += prove(book, calculator, number, values).code is None
        if answered == POINTS:
            return
    pytest.fail(f"only {answered} of the drawn points had an answer")


def test_all_calculators_are_here(book: Book) -> None:
    assert sorted(book.calculators) == IDS
    assert IDS
