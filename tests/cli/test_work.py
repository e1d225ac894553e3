"""`hangtag work`: the same answer however the value is typed, the working, and one clear message for each mistake."""

from __future__ import annotations

import math

import pytest

from hangtag.book import Book
from tests.cli.conftest import Hangtag

QUANTITY = {"value", "unit", "text", "also", "low", "high", "low_when", "band"}


@pytest.mark.parametrize("head", ["10000 mm", "10k", "10 000 mm", "10000", "10,000 mm", "10 m"])
def test_a_column_of_ten_metres_however_it_is_typed(hangtag: Hangtag, head: str) -> None:
    # conventional millimetre of water, 9.80665 Pa: NIST SP 811, appendix B.8
    pressure = hangtag("work", "water-column", f"head={head}", "--json").json["outputs"]["pressure"]
    assert (pressure["value"], pressure["unit"]) == (98.0665, "kPa")


def test_pounds_per_square_inch(hangtag: Hangtag) -> None:
    # 1 psi = 6894.757 Pa: NIST SP 811, appendix B.8
    pressure = hangtag("work", "water-column", "head=14.2233 psi", "--json").json["outputs"]["pressure"]
    assert math.isclose(pressure["value"], 14.2233 * 6.894757, rel_tol=1e-6)


def test_the_json_has_every_key_of_the_contract(hangtag: Hangtag) -> None:
    ran = hangtag("work", "water-column", "head=10000 mm", "--json")
    assert (ran.code, ran.err) == (0, "")
    document = ran.json
    assert set(document) >= {"calculator", "inputs", "steps", "outputs", "refused", "solved", "caution"}
    assert document["calculator"] == "water-column"
    assert (document["refused"], document["solved"]) == (None, None)
    assert set(document["inputs"]["head"]) >= {"value", "unit", "text", "from"}
    assert document["inputs"]["head"]["from"] == "given"
    assert all(set(quantity) >= QUANTITY for quantity in document["outputs"].values())
    assert all(set(step) >= {"name", "is", *QUANTITY} for step in document["steps"])
    assert {each["unit"] for each in document["outputs"]["pressure"]["also"]} >= {"psi", "bar"}
    band = document["inputs"]["head"].get("band") or document["outputs"]["pressure"]["band"]
    assert band is None or set(band) >= {"says", "basis", "source", "of", "at"}


def test_a_value_that_is_not_given_takes_its_start(hangtag: Hangtag, reference: Book) -> None:
    for calculator in reference.calculators:
        inputs = hangtag("work", calculator, "--json").json["inputs"]
        assert inputs
        assert {each["from"] for each in inputs.values()} == {"start"}


def test_the_working_is_printed_step_by_step(hangtag: Hangtag) -> None:
    ran = hangtag("work", "shoe-drop", "heel_stack=34 mm", "forefoot_stack=26 mm")
    assert (ran.code, ran.err) == (0, "")
    lines = [line.strip() for line in ran.out.splitlines()]
    at = lines.index("= heel_stack - forefoot_stack")
    assert lines[at + 1] == "= 34 mm - 26 mm"
    assert lines[at + 2] == "= 8 mm"


def test_every_caution_is_printed(hangtag: Hangtag, reference: Book) -> None:
    with_caution = [each for each in reference.calculators.values() if each.caution]
    assert with_caution
    for calculator in with_caution:
        assert calculator.caution is not None
        out = " ".join(hangtag("work", calculator.id).out.split())
        assert " ".join(str(calculator.caution).split())[:40] in out
        assert hangtag("work", calculator.id, "--json").json["caution"]


def test_every_calculator_prints_every_output(hangtag: Hangtag, reference: Book) -> None:
    for calculator in reference.calculators.values():
        ran = hangtag("work", calculator.id)
        assert (ran.code, ran.err) == (0, "")
        assert all(str(step.label) in ran.out for step in calculator.steps)


WRONG = [
    (["water-column", "head=abc"], "head", "abc"),
    (["water-column", "head=3 kg"], "head", "kg"),
    (["water-column", "head=-5"], "head", "0"),
    (["water-column", "head="], "head", ""),
    (["water-column", "head=10 mn"], "head", "mn"),
    (["water-column", "head=1e999"], "head", ""),
    (["water-column", "hed=5"], "hed", "Did you mean head?"),
    (["water-column", "head=5", "head=6"], "head is given twice", ""),
    (["water-column", "head"], "head has no =; write name=value", "quotes"),
    (["water-column", "=5"], "=5 has no =", ""),
    (["water-colum"], "there is no calculator water-colum", "Did you mean water-column?"),
    (["denier"], "there is no calculator denier", "denier is an entry; its calculators: linear-density"),
    (["fibre-diameter", "fibre=nylom"], "fibre", ""),
    ([], "the name of a calculator is missing", "water-column"),
]


@pytest.mark.parametrize(("typed", "told", "more"), WRONG, ids=[" ".join(row[0]) or "nothing" for row in WRONG])
def test_each_mistake_gives_one_message(hangtag: Hangtag, typed: list[str], told: str, more: str) -> None:
    ran = hangtag("work", *typed)
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err
    assert more in ran.err
    assert len([line for line in ran.err.splitlines() if not line.startswith("  ")]) == 1


@pytest.mark.parametrize("typed", [row[0] for row in WRONG], ids=[" ".join(row[0]) or "nothing" for row in WRONG])
def test_each_mistake_is_a_document_with_json(hangtag: Hangtag, typed: list[str]) -> None:
    ran = hangtag("work", *typed, "--json")
    assert (ran.code, ran.err) == (2, "")
    (problem,) = ran.json["problems"]
    assert set(problem) == {"code", "message", "path", "span", "labels", "hint"}


def test_all_mistakes_are_shown_at_once(hangtag: Hangtag) -> None:
    ran = hangtag("work", "shoe-drop", "heel_stack=abc", "forefoot_stack=3 kg", "--json")
    assert ran.code == 2
    assert len(ran.json["problems"]) == 2


@pytest.mark.parametrize(
    "value", ["__proto__", "{0}", "{name}", "[bold]", "%s", "\x1b[31m", "é" * 500, "9" * 400, "–5"]
)
def test_odd_values_are_refused_calmly(hangtag: Hangtag, value: str) -> None:
    ran = hangtag("work", "water-column", f"head={value}")
    assert ran.code == 2
    assert len(ran.err) < 2000
