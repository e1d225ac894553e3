"""Every calculator of the reference book: Python, V8 and pint agree on every step, at examples and random points.

Bit for bit where a step holds only `+ - * /`, square roots, sums and look-ups; else within the ulps of the functions it
uses, or within two brackets of a solved value.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from hangtag.answers import run, run_values
from hangtag.answers.run import uncertain_of
from hangtag.book import Book
from hangtag.calculators import Calculator, QuantityInput
from hangtag.examples import differences, given_of
from hangtag.formula import to_javascript
from hangtag.formula.bounds import corners
from hangtag.formula.by_hand import Values
from hangtag.formula.errors import error_bounds

from .support import Outcome, agree, agree_within, by_walking, in_python, v8

ROOT = Path(__file__).parents[2]
IDS = sorted(path.stem for path in (ROOT / "calculators").glob("*.yml") if not path.stem.startswith("_"))
POINTS = 200


@pytest.fixture(scope="module")
def book(reference: Book) -> Book:
    return reference


def drawn(calculator: Calculator, seed: int) -> Iterator[Values]:
    """Points of the calculator's domain; in half of them quantities are as short as a reader would type them."""
    chance = random.Random(seed)  # noqa: S311  seeded: the same points on every machine
    fields = [its for its in calculator.inputs if isinstance(its, QuantityInput)]
    for point in calculator.program.domain.points(POINTS * 20, seed):
        if chance.random() < 0.5:
            yield {**point, **{its.name: _short(its, chance) for its in fields}}
        else:
            yield dict(point)


def _short(of: QuantityInput, chance: random.Random) -> float:
    low, high = of.low.si, of.high.si
    by_ratio = low > 0 and chance.random() < 0.5
    value = math.exp(chance.uniform(math.log(low), math.log(high))) if by_ratio else chance.uniform(low, high)
    value = of.unit.to_si(float(f"{of.unit.from_si(value):{'.0f' if of.whole else '.3g'}}"))
    return min(max(value, low), high)


def prove(book: Book, calculator: Calculator, number: int, values: Values) -> Outcome:
    """The runs of one point agree; gives what they found."""
    program = calculator.program
    found = in_python(program, values)
    agree(found, by_walking(program, values), {})
    agree_within(found, v8().run(number, values), error_bounds(program, values) if found.code is None else {})
    if found.code is None:
        assert differences(book, calculator, values, found.steps) == []
    return found


@pytest.mark.parametrize("calculator_id", IDS)
def test_examples(book: Book, calculator_id: str) -> None:
    """Each example, uncertain values at their middle and at every end."""
    calculator = book.calculators[calculator_id]
    number = v8().load_text(to_javascript.functions(calculator.program))
    assert calculator.examples
    for example in calculator.examples:
        given = given_of(book, calculator, example)
        values = run_values(calculator, given)
        answer = run(book, calculator, given)
        found = prove(book, calculator, number, values)
        assert found.steps == {step.name: step.si for step in answer.steps}
        for corner in corners(uncertain_of(calculator, given)):
            assert prove(book, calculator, number, {**values, **corner}).code is None


@pytest.mark.parametrize("calculator_id", IDS)
def test_random_points(book: Book, calculator_id: str) -> None:
    calculator = book.calculators[calculator_id]
    number = v8().load_text(to_javascript.functions(calculator.program))
    answered = 0
    for values in drawn(calculator, seed=sum(map(ord, calculator_id))):
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
