"""`hangtag work` with a question: the answer however it is asked, and one clear message for each that is none."""

from __future__ import annotations

import pytest

from hangtag.book import Book
from tests.cli.conftest import Hangtag

ANSWER = {"value", "unit", "text", "low", "high"}


@pytest.mark.parametrize("mark", ["?", "ask", " ? ", "ASK"])
def test_how_much_down_makes_fifty_millimetres(hangtag: Hangtag, mark: str) -> None:
    # 50 mm over 2.6 m² are 130 L; 800 in³/oz are 0.462429 L/g
    ran = hangtag("work", "down-loft", "thickness=50 mm", f"fill_weight={mark}", "--json")
    assert (ran.code, ran.err) == (0, "")
    document = ran.json
    assert document["solved"]["input"] == "fill_weight"
    (answer,) = document["solved"]["answers"]
    assert set(answer) >= ANSWER
    assert (answer["unit"], answer["text"]) == ("oz", "9.91636")
    assert answer["value"] == pytest.approx(130 / 0.462429337601071 / 28.349523125)
    assert document["solved"]["because"] is None
    assert document["refused"] is None
    assert document["inputs"]["fill_weight"]["from"] == "solved"
    assert document["inputs"]["area"]["from"] == "start"
    assert document["outputs"]["thickness"]["text"] == "50"


def test_a_run_forwards_has_no_question(hangtag: Hangtag) -> None:
    assert hangtag("work", "down-loft", "--json").json["solved"] is None


def test_other_values_are_kept(hangtag: Hangtag) -> None:
    ran = hangtag("work", "down-loft", "thickness=50 mm", "fill_weight=?", "area=1.3 m2", "--json")
    assert ran.json["solved"]["answers"][0]["text"] == "4.95818"
    assert ran.json["inputs"]["area"]["from"] == "given"


def test_the_answer_is_printed_and_then_worked_with(hangtag: Hangtag) -> None:
    ran = hangtag("work", "down-loft", "thickness=50 mm", "fill_weight=?")
    assert (ran.code, ran.err) == (0, "")
    lines = [line.strip() for line in ran.out.splitlines()]
    at = lines.index("Worked backwards")
    assert lines[at + 1 : at + 3] == ["Free thickness is to be 50 mm.", "Down weight: 9.91636 oz"]
    assert "Down weight: 9.91636 oz (found)" in lines
    assert "Free thickness: 50 mm (1.97 in)" in lines


def test_out_of_reach_says_how_far_it_goes(hangtag: Hangtag) -> None:
    words = "No value of Down weight within its range gives that. Free thickness then runs from 2.52 mm to 403 mm."
    asked = ("work", "down-loft", "thickness=2 m", "fill_weight=?")
    ran = hangtag(*asked)
    assert ran.code == 0
    assert words in " ".join(ran.out.split())
    document = hangtag(*asked, "--json").json
    assert document["solved"]["answers"] == []
    assert document["solved"]["because"] == document["refused"]["because"]
    assert document["refused"]["because"].replace("\u00a0", " ") == words


def test_an_uncertain_formula_answers_with_an_interval(hangtag: Hangtag, reference: Book) -> None:
    calculator = reference.calculators["down-warmth"]
    assert calculator.program.domain.uncertain
    output = calculator.outputs[-1]
    start = hangtag("work", calculator.id, "--json").json["outputs"][output.name]
    asked = ("work", calculator.id, f"{output.name}={start['value']} {start['unit']}", "fill_weight=?")
    (answer,) = hangtag(*asked, "--json").json["solved"]["answers"]
    assert answer["low"] < answer["value"] < answer["high"]
    out = " ".join(hangtag(*asked).out.split())
    low, high = (f"{answer[end]:.6g}" for end in ("low", "high"))
    assert f"{low} to {high} {answer['unit']}" in out


def test_several_answers_are_all_listed(hangtag: Hangtag) -> None:
    ran = hangtag("work", "--book", "tests/compliance/book", "wave", "swaying=1 m", "x=?")
    lines = [line.strip() for line in ran.out.splitlines()]
    assert len([line for line in lines if line.startswith("Place: ")]) >= 4
    assert "4 values of Place give that." in lines
    assert "What follows is worked with the first of them." in lines


WRONG = [
    (["down-loft", "thickness=5 mm", "fill_weight=?", "area=?"], "fill_weight and area are asked for here", ""),
    (["down-loft", "fill_weight=?"], "nothing is fixed", 'thickness="1 mm"'),
    (["down-loft", "thickness=5 mm", "volume=1 L", "fill_weight=?"], "thickness and volume are fixed here", ""),
    (["down-loft", "thickness=?", "volume=1 L"], "thickness is an answer", "fill_power, fill_weight, area"),
    (["down-loft", "thickness=5 mm"], "thickness is an answer", "ask for one field: fill_power=?"),
    (["down-loft", "thickness=5 mm", "fil_weight=?"], "there is no input fil_weight", "Did you mean fill_weight?"),
    (["down-loft", "thickness=5 kg", "fill_weight=?"], "thickness", "kg"),
    (["down-loft", "thickness=much", "fill_weight=?"], "thickness", "much"),
    (["down-loft", "thickness=5 mm", "fill_weight=?", "area=9999"], "area", "6"),
]


@pytest.mark.parametrize(("typed", "told", "more"), WRONG, ids=[" ".join(row[0]) for row in WRONG])
def test_each_mistake_gives_one_message(hangtag: Hangtag, typed: list[str], told: str, more: str) -> None:
    ran = hangtag("work", *typed)
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err
    assert more in ran.err
    assert len([line for line in ran.err.splitlines() if not line.startswith("  ")]) == 1
    assert len(hangtag("work", *typed, "--json").json["problems"]) == 1


def test_a_one_way_calculator_says_why(hangtag: Hangtag, reference: Book) -> None:
    found = [its for its in reference.calculators.values() if its.one_way]
    assert found
    for calculator in found:
        output, unknown = calculator.outputs[0].name, calculator.inputs[0].name
        ran = hangtag("work", calculator.id, f"{output}=1", f"{unknown}=?")
        assert (ran.code, ran.out) == (2, "")
        assert " ".join(str(calculator.one_way).split())[:40] in " ".join(ran.err.split())


def test_a_choice_of_names_alone_and_a_list_cannot_be_asked_for(hangtag: Hangtag) -> None:
    book = ("--book", "tests/compliance/book")
    ran = hangtag("work", *book, "kit", "with_body=100 kg", "kit=?")
    assert (ran.code, ran.out) == (2, "")
    assert "a list cannot be asked for: kit is one" in ran.err
    ran = hangtag("work", *book, "walk", "hard=1.5", "ground=?")
    assert (ran.code, ran.out) == (2, "")
    assert "a choice without values cannot be asked for: ground is one" in ran.err
