"""Lists: long ones, odd ones, and what a sum over them gives."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangtag.answers import as_json, read_field, work
from hangtag.book import Book
from hangtag.problems import ProblemError


def test_two_thousand_pasted_rows_are_refused_in_words(shared: Book) -> None:
    kit = "\n".join(f"thing {number}, 10 g" for number in range(2000))
    with pytest.raises(ProblemError, match="A list takes 200 rows at most"):
        work(shared, shared.calculators["kit"], {"kit": kit})


def test_the_longest_list_runs(shared: Book) -> None:
    kit = "what,weight\n" + "\n".join(f"thing {number}, 10 g" for number in range(200))
    answer = work(shared, shared.calculators["kit"], {"kit": kit})
    assert answer.outputs[1].shown.text == "2000"


def test_no_rows_are_a_list_too(shared: Book) -> None:
    answer = work(shared, shared.calculators["kit"], {"kit": ""})
    assert [output.shown.text for output in answer.outputs] == ["0", "0", "0", "70"]


def problems(book: Book, kit: str) -> list[str]:
    """What is said about a list; nothing, where it runs."""
    try:
        answer = work(book, book.calculators["kit"], {"kit": kit})
    except ProblemError as stop:
        return [problem.message for problem in stop.problems]
    json.dumps(as_json(answer), allow_nan=False)
    return []


@pytest.mark.parametrize("cell", ["x" * 200_000, "a\x00b", '"' + "y" * 200_000])
def test_what_is_no_text_of_cells_is_refused_or_kept(shared: Book, cell: str) -> None:
    unreadable = "kit: This is no list of cells: one of them is too long, or holds a character that is no text."
    assert problems(shared, f"{cell},1 g") in ([], [unreadable])


@given(st.text(alphabet=st.sampled_from("abc09 .,;\t\n\r\"'=-+\x00é<>&NaN"), max_size=80) | st.text(max_size=60))
def test_any_text_is_a_list_or_refused_in_words(shared: Book, text: str) -> None:
    assert all(message.startswith("kit: ") for message in problems(shared, text))


def test_the_order_of_rows_is_that_of_the_reader(shared: Book) -> None:
    field = shared.calculators["kit"].inputs[0]
    rows = read_field(shared, field, "b,1\na,2").rows
    assert rows is not None
    assert [row[0].text for row in rows] == ["b", "a"]


def test_cells_of_the_document_are_in_their_own_unit(shared: Book) -> None:
    document = as_json(work(shared, shared.calculators["kit"], {"kit": "tent, 900 g,,used,yes"}))
    (row,) = document["inputs"]["kit"]["value"]  # type: ignore[index]
    assert row["weight"] == {"value": 900.0, "unit": "g", "text": "900"}
    assert row["goes"] == {"value": "used", "unit": None, "text": "used"}
    assert row["shelter"]["value"] == "yes"
