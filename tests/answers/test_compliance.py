"""The language-neutral cases of lists, ranges, both ends and working backwards, run by Python.

The browser's scripts are held to the same cases. Must not hold a case of its own.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from hangtag.answers import read_field, work, work_backwards
from hangtag.book import Book
from hangtag.calculators import RowsInput
from hangtag.problems import ProblemError

CASES = Path(__file__).parents[1] / "compliance"


def load(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((CASES / name).read_text(encoding="utf-8"))
    return found


def cases(name: str, *keys: str) -> list[Any]:
    return [
        pytest.param(case, id=" ".join(str(case.get(key, ""))[:40] for key in keys) or "empty")
        for case in load(name)["cases"]
    ]


def spaced(text: object) -> str | None:
    return None if text is None else str(text).replace("\u00a0", " ")


@pytest.mark.parametrize("case", cases("backwards/answers.json", "calculator", "output", "wanted", "unknown"))
def test_backwards(shared: Book, case: dict[str, Any]) -> None:
    calculator = shared.calculators[case["calculator"]]
    asked = (case["output"], case["wanted"], case["unknown"])
    if "refused" in case:
        with pytest.raises(ProblemError) as stop:
            work_backwards(shared, calculator, case.get("given", {}), *asked)
        assert [problem.code for problem in stop.value.problems] == [case["refused"]]
        return
    answer = work_backwards(shared, calculator, case.get("given", {}), *asked)
    solved = answer.solved
    assert solved is not None
    found = [_numbers(its) for its in solved.answers]
    assert len(found) == len(case["answers"]), found
    for ours, theirs in zip(found, case["answers"], strict=True):
        assert ours == (theirs if isinstance(theirs, str) else pytest.approx(theirs, rel=1e-9, abs=1e-9))
    assert spaced(solved.because) == case["because"]
    assert bool(answer.refused) == (not case["answers"])


def _numbers(solution: Any) -> Any:  # noqa: ANN401  a number, three numbers or a word
    if solution.shown is None:
        return solution.choice
    if solution.ends is None:
        return solution.shown.value
    return [solution.shown.value, *(end.value for end in solution.ends)]


@pytest.mark.parametrize("case", cases("rows/kit.json", "typed"))
def test_rows(shared: Book, case: dict[str, Any]) -> None:
    field = next(its for its in shared.calculators["kit"].inputs if its.name == "kit")
    assert isinstance(field, RowsInput)
    if "refused" in case:
        with pytest.raises(ProblemError) as stop:
            read_field(shared, field, case["typed"])
        assert [spaced(problem.values["because"]) for problem in stop.value.problems] == case["refused"]
        return
    rows = read_field(shared, field, case["typed"]).rows
    assert rows is not None
    found = [[cell.text if cell.unit is None else cell.si for cell in row] for row in rows]
    assert found == case["rows"]


@pytest.mark.parametrize("case", cases("ranges/conductivity.json", "typed"))
def test_ranges(shared: Book, case: dict[str, Any]) -> None:
    field = next(its for its in shared.calculators["layer"].inputs if its.name == "conductivity")
    if "refused" in case:
        with pytest.raises(ProblemError) as stop:
            read_field(shared, field, case["typed"])
        assert [spaced(problem.values["because"]) for problem in stop.value.problems] == [case["refused"]]
        return
    given = read_field(shared, field, case["typed"])
    assert given.ends is not None
    assert [end.unit.to_si(end.value) for end in given.ends] == [case["low"], case["high"]]
    assert given.si == (case["low"] + case["high"]) / 2


@pytest.mark.parametrize("case", cases("bounds/ends.json", "calculator", "given"))
def test_ends(shared: Book, case: dict[str, Any]) -> None:
    calculator = shared.calculators[case["calculator"]]
    answer = work(shared, calculator, case["given"])
    for name, (method, low, high) in case["ends"].items():
        result = next(its for its in answer.outputs if its.name == name)
        assert calculator.program.bounds[name] == method
        assert result.ends is not None
        near = 1e-9 * max(abs(low), abs(high)) if method == "corners" else 1e-4 * (high - low)
        assert [end.unit.to_si(end.value) for end in result.ends] == pytest.approx([low, high], rel=0, abs=near)
