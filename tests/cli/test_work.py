"""`hangtag work`: the same answer however the value is typed, the working, and one clear message for each mistake."""

from __future__ import annotations

import math
from pathlib import Path

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


# ------------------------------------------------------------------------------------------------------------- lists


BOOK = ("--book", Path(__file__).parents[1] / "compliance" / "book")


def test_a_list_comes_as_text_or_from_a_file(hangtag: Hangtag, tmp_path: Path) -> None:
    text = "What,Weight,Number\ntent,1.5 kg,1\nfood,700,3\n"
    file = tmp_path / "kit.csv"
    file.write_text("\ufeff" + text, encoding="utf-8")
    for typed in (text, f"@{file}"):
        ran = hangtag("work", *BOOK, "kit", f"kit={typed}", "--json")
        assert ran.code == 0
        assert ran.json["outputs"]["all"]["text"] == "3600"
        assert [row["what"]["text"] for row in ran.json["inputs"]["kit"]["value"]] == ["tent", "food"]


def test_a_list_that_cannot_be_read_is_told(hangtag: Hangtag, tmp_path: Path) -> None:
    ran = hangtag("work", *BOOK, "kit", f"kit=@{tmp_path / 'none.csv'}")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == f"the list {tmp_path / 'none.csv'} cannot be read: no such file or directory\n"
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00")
    assert "it is not UTF-8 text" in hangtag("work", *BOOK, "kit", f"kit=@{tmp_path / 'bytes.csv'}").err
    assert "is a directory" in hangtag("work", *BOOK, "kit", f"kit=@{tmp_path}").err


def test_an_at_sign_is_no_file_elsewhere(hangtag: Hangtag) -> None:
    assert "@70 does not begin with a number" in hangtag("work", *BOOK, "kit", "body=@70").err


def test_each_bad_row_is_told(hangtag: Hangtag) -> None:
    ran = hangtag("work", *BOOK, "kit", "kit=tent,heavy\nhat,1\nmat,3 mm", "--json")
    assert ran.code == 2
    assert [problem["code"] for problem in ran.json["problems"]] == ["field-refused"] * 2


def test_a_list_is_printed_row_by_row(hangtag: Hangtag) -> None:
    lines = [line.strip() for line in hangtag("work", *BOOK, "kit").out.splitlines()]
    at = lines.index("Kit: 2 rows (start value)")
    assert lines[at + 1] == "1. tent, 1500 g, Number 1, comes back the same, Shelter"
    assert lines[at + 2] == "2. food, 0.7 kg, Number 3, gets used up"
    assert lines.count('= sum(weight * count where goes = "back")') == 1


# -------------------------------------------------------------------------------------- uncertain values, tables, roots


def test_both_ends_are_printed_and_which_is_which(hangtag: Hangtag) -> None:
    out = hangtag("work", *BOOK, "layer", "conductivity=0.04 to 0.05").out
    lines = [line.strip() for line in out.splitlines()]
    assert "Conductivity: 0.04 to 0.05 W/(m·K)" in lines
    assert "Factor is 0.9 to 1.1" in lines
    assert "Worked with every uncertain value at the middle of its range." in lines
    at = lines.index("Resistance: 0.36 to 0.55 m²K/W (360 to 550 mm·m·K/W)")
    assert lines[at + 1] == "Lowest: 0.36 m²K/W, where Factor 0.9, Conductivity 0.05 W/(m·K)"
    assert lines[at + 2] == "Highest: 0.55 m²K/W, where Factor 1.1, Conductivity 0.04 W/(m·K)"


def test_tables_and_their_bases_are_printed(hangtag: Hangtag) -> None:
    lines = [line.strip() for line in hangtag("work", *BOOK, "walk", "ground=Snow").out.splitlines()]
    assert "Ground: Snow" in lines
    at = lines.index("Factor of the ground, Road: 1")
    assert lines[at + 3] == "common practice, no source"
    assert "Factor of sinking, 250 mm: 2" in lines
    assert '= table("snow", factor)' in lines


def test_a_root_is_shown_with_its_equation(hangtag: Hangtag) -> None:
    lines = [line.strip() for line in hangtag("work", *BOOK, "chamber").out.splitlines()]
    at = lines.index("= t where sin(t) / t = spacing / arc")
    assert lines[at + 1] == "= t where sin(t) / t = 100 mm / 120 mm"
    assert "= (120 mm)^2 / (4 * 100 mm) * (1.027 - sin(1.027) * cos(1.027)) / 1.027^2" in lines


def test_a_value_outside_a_table_is_an_answer_in_words(hangtag: Hangtag) -> None:
    ran = hangtag("work", *BOOK, "walk", "depth=300 mm")
    assert ran.code == 0
    assert "Deepness looks up a table that does not go so far." in ran.out
