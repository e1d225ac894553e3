"""Uncertain values: both ends against a search that takes every road, and how they are said."""

from __future__ import annotations

import itertools
import json
import random
from collections.abc import Callable

import pytest

from hangtag.answers import as_json, work
from hangtag.book import Book
from hangtag.formula.bounds import corners, ends_of, methods
from hangtag.formula.by_hand import NoAnswer, Values
from hangtag.formula.domain import Domain

Swing = Callable[[float, float], float]
SWINGS: dict[str, tuple[Swing, str]] = {
    "rises": (lambda x, y: x + y, "corners"),
    "falls in one": (lambda x, y: x - 3 * y, "corners"),
    "a saddle": (lambda x, y: x * y, "corners"),
    "a valley": (lambda x, y: (x - 0.3) ** 2 + y, "sampled"),
    "a ridge": (lambda x, y: -((x - 0.777) ** 2) - (y - 0.21) ** 2, "sampled"),
    "a corner inside": (lambda x, y: abs(x - 0.4) + abs(y - 0.6), "sampled"),
    "flat": (lambda x, y: 0 * x * y + 7, "corners"),
}


@pytest.mark.parametrize("name", SWINGS)
def test_ends_are_those_of_a_fine_grid(name: str) -> None:
    swing, method = SWINGS[name]

    def run(values: Values) -> dict[str, float]:
        x, y = values["x"], values["y"]
        assert isinstance(x, float)
        assert isinstance(y, float)
        return {"out": swing(x, y)}

    uncertain = {"x": (-1.0, 1.0), "y": (0.0, 1.0)}
    found = methods(run, lambda _: True, Domain(uncertain=uncertain), ["out"])
    assert found == {"out": method}
    ends = ends_of(run, {}, uncertain, found)["out"]
    marks = [i / 200 for i in range(201)]
    every = [swing(2 * x - 1, y) for x, y in itertools.product(marks, marks)]
    size = max(every) - min(every)
    assert ends.low == pytest.approx(min(every), abs=1e-4 * size)
    assert ends.high == pytest.approx(max(every), abs=1e-4 * size)
    assert run({**ends.low_at})["out"] == ends.low, "the low end is at the values that are said beside it"
    assert run({**ends.high_at})["out"] == ends.high


def test_a_point_without_an_answer_on_the_way_is_no_answer() -> None:
    def run(values: Values) -> dict[str, float]:
        if values["x"] == 1.0:
            raise NoAnswer("divide-by-zero", None, "out")  # type: ignore[arg-type]
        return {"out": 1.0}

    with pytest.raises(NoAnswer):
        ends_of(run, {}, {"x": (0.0, 1.0)}, {"out": "corners"})


def test_every_uncertain_answer_of_the_reference_book_holds_its_middle(reference: Book) -> None:
    seen = 0
    for calculator in reference.calculators.values():
        for step in work(reference, calculator, {}).steps:
            if step.ends is None:
                continue
            low, high = (end.unit.to_si(end.value) for end in step.ends)
            assert low <= step.si * (1 + 1e-12)
            assert step.si <= high * (1 + 1e-12)
            assert step.low_when
            assert step.high_when
            seen += low < high
    assert seen


def test_no_point_inside_lies_beyond_the_ends(reference: Book, shared: Book) -> None:
    """Random points of every calculator with something uncertain, the uncertain values drawn again and again."""
    chance = random.Random(4)  # noqa: S311  seeded: the same points on every machine
    seen = 0
    for calculator in (*reference.calculators.values(), *shared.calculators.values()):
        program, domain = calculator.program, calculator.program.domain
        axes = {**domain.uncertain, **{name: domain.quantities[name] for name in domain.ranges}}
        for point in domain.points(12, seed=5) if axes else ():
            inner = {name: sorted((chance.uniform(*ends), chance.uniform(*ends))) for name, ends in axes.items()}
            uncertain = {name: (low, high) for name, (low, high) in inner.items()}
            if not all(program.allows({**point, **corner}) for corner in corners(uncertain)):
                continue
            ends = ends_of(program.run, point, uncertain, program.bounds)
            for _ in range(60):
                drawn = {name: chance.uniform(low, high) for name, (low, high) in uncertain.items()}
                for name, value in program.run({**point, **drawn}).items():
                    slack = 1e-3 * (ends[name].high - ends[name].low) + 1e-12 * abs(value)
                    assert ends[name].low - slack <= value <= ends[name].high + slack, (calculator.id, name)
            seen += 1
    assert seen > 20


def test_a_range_that_breaks_a_requirement_at_one_end_is_refused(shared: Book) -> None:
    answer = work(shared, shared.calculators["surface"], {"high": "2 to 4.5"})
    assert answer.refused
    assert answer.refused.because == "A wave is lower than 4 m."
    assert work(shared, shared.calculators["surface"], {"high": "2 to 3.5"}).refused is None


def test_both_ends_stand_in_the_document(shared: Book) -> None:
    given = {"conductivity": "0.04 to 0.05"}
    document = json.loads(json.dumps(as_json(work(shared, shared.calculators["layer"], given))))
    resistance = document["outputs"]["resistance"]
    assert (resistance["low"], resistance["high"]) == pytest.approx((0.36, 0.55))
    assert resistance["low_when"] == "Factor 0.9, Conductivity 0.05\u00a0W/(m·K)"
    assert [(other["low"], other["high"]) for other in resistance["also"]] == [pytest.approx((360, 550))]
    assert document["inputs"]["conductivity"]["low"] == 0.04
    assert document["inputs"]["conductivity"]["text"] == "0.04 to 0.05"
    assert document["inputs"]["thickness"]["low"] is None
