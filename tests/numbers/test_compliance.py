"""The shared cases of reading and printing numbers, in Python and in V8."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from hangtag import numbers
from tests.v8 import V8

ROOM = Path(__file__).parent.parent / "compliance" / "numbers"


def cases(name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((ROOM / name).read_text(encoding="utf-8"))
    return found


@pytest.fixture(scope="module")
def v8() -> V8:
    return V8("numbers.js")


@pytest.mark.parametrize("case", cases("read_typed.json"), ids=lambda case: ascii(case["text"][:20]) + case["language"])
def test_reading_what_was_typed(case: dict[str, Any], v8: V8) -> None:
    kelvin = case.get("kelvin", False)
    try:
        typed = numbers.read_typed(case["text"], case["language"], kelvin=kelvin)
        python: dict[str, Any] = {"gives": vars(typed)}
    except numbers.NotANumber as refused:
        python = {"refuses": refused.code, "values": refused.values}
    assert {key: python[key] for key in python if key != "values"} == {
        key: case[key] for key in ("gives", "refuses") if key in case
    }
    assert v8.call("hangtag.numbers.readTyped", case["text"], case["language"], kelvin) == python


@pytest.mark.parametrize("case", cases("show.json"), ids=lambda case: f"{case['value']!r}")
def test_showing(case: dict[str, Any], v8: V8) -> None:
    setting = (case.get("digits", 4), case.get("places", 6), case.get("whole", False))
    assert numbers.show(case["value"], *setting) == case["text"]
    assert v8.call("hangtag.numbers.show", case["value"], *setting) == {"gives": case["text"]}
    assert v8.call("hangtag.numbers.showPlain", case["value"], *setting) == {"gives": case["text"].replace("−", "-")}


@pytest.mark.parametrize("case", cases("snap.json"), ids=lambda case: f"{case['value']!r}")
def test_snapping(case: dict[str, Any], v8: V8) -> None:
    assert numbers.snap(case["value"]) == case["snapped"]
    assert v8.call("hangtag.numbers.snap", case["value"]) == {"gives": case["snapped"]}
