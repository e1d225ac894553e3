"""The language-neutral cases of tests/compliance/formula, run by Python, by V8 and by the witness."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from hangtag.formula.functions import FUNCTIONS
from hangtag.problems import ProblemError

from .support import formula, prove, ulps_between, values_of

CASES = Path(__file__).parents[1] / "compliance" / "formula"
FILES = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in sorted(CASES.glob("*.json"))}


def _cases() -> list[Any]:
    found = []
    for stem, file in FILES.items():
        for index, case in enumerate(file["cases"]):
            found.append(pytest.param(file["names"], case, id=f"{stem}-{index}-{case['formula'][:30]}"))
    return found


@pytest.mark.parametrize(("names", "case"), _cases())
def test_case(names: dict[str, Any], case: dict[str, Any]) -> None:
    if "error" in case:
        _refused_in_reading(names, case)
        return
    used = {name: what for name, what in names.items() if name in case["inputs"] or _is_usable(what, case["inputs"])}
    budget = {"answer": case.get("ulps", 0)}
    made = formula(case["formula"], used, case.get("solve"))
    found = prove(made, values_of(names, case["inputs"]), budget)
    if "refused" in case:
        assert found.code == case["refused"], found
    else:
        assert found.code is None, found
        answer, wanted = found.steps["answer"], float(case["value"])
        near = ulps_between(answer, wanted) <= budget["answer"]
        assert near or abs(answer - wanted) <= 2 * made.program.bracket.get("answer", 0.0), found


def _is_usable(what: Any, inputs: dict[str, Any]) -> bool:  # noqa: ANN401
    return "table" in what and ("by" not in what or what["by"] in inputs)


def _refused_in_reading(names: dict[str, Any], case: dict[str, Any]) -> None:
    with pytest.raises(ProblemError) as stop:
        formula(case["formula"], names, case.get("solve"))
    (problem,) = stop.value.problems
    assert problem.code == case["error"], problem.message
    assert problem.span is not None
    text, under = case["formula"], case["under"]
    place = len(text) if under == "" else -1
    for _ in range(case.get("nth", 1) if under else 0):
        place = text.index(under, place + 1)
    start, end = problem.span.column - 1, problem.span.end_column - 1
    assert (text[start:end], start) == (under, place), problem.message
    assert problem.message, "the words of the message can be filled in"


def test_every_function_of_the_table_has_a_case() -> None:
    called = {
        name
        for case in FILES["functions"]["cases"]
        if "value" in case
        for name in FUNCTIONS
        if f"{name}(" in case["formula"]
    }
    assert called == set(FUNCTIONS)
