"""How a Problem looks: text with a caret, JSON, order, and the near name."""

from __future__ import annotations

from pathlib import Path

import pytest

from hangtag.problems import Label, Problem, ProblemError, Problems, Span, as_json, did_you_mean, render

TEXT = "name: Denier\nunit: grm\n"


def unknown_unit() -> Problem:
    labels = (Label(Span(1, 1, 1, 5), "of this entry"),)
    return Problem("unknown-unit", {"unit": "grm"}, "a/b.yml", Span(2, 7, 2, 10), labels, "Did you mean g?")


def test_text_has_place_line_caret_label_and_hint() -> None:
    assert render([unknown_unit()], text_of=lambda _: TEXT) == (
        "a/b.yml:2:7: there is no unit grm in this book\n"
        "  2 | unit: grm\n"
        "    |       ^~~\n"
        "  1 | name: Denier\n"
        "    | ^~~~ of this entry\n"
        "  Did you mean g?"
    )


def test_a_megabyte_line_is_cut_around_the_place() -> None:
    line = "x" * 500_000 + "HERE" + "y" * 500_000
    problem = Problem("unknown-unit", {"unit": "HERE"}, "f", Span(1, 500_001, 1, 500_005))
    shown = render([problem], text_of=lambda _: line)
    assert len(shown) < 600
    caret, source = shown.splitlines()[2], shown.splitlines()[1]
    start = caret.index("^")
    assert source[start : start + 4] == "HERE"
    assert caret.count("~") == 3


def test_a_place_past_the_end_of_a_file_still_prints() -> None:
    assert (
        render([Problem("file-empty", path="f", span=Span(9, 1, 9, 2))], text_of=lambda _: "")
        == "f:9:1: this file is empty"
    )


def test_json_has_every_key_and_null_for_what_is_absent() -> None:
    document = as_json([Problem("file-empty", path="f")])
    expected: dict[str, object] = {
        "code": "file-empty",
        "message": "this file is empty",
        "path": "f",
        "span": None,
        "labels": [],
        "hint": None,
    }
    assert document == {"problems": [expected]}


def test_paths_are_shown_from_where_the_reader_stands(tmp_path: Path) -> None:
    inside = Problem("file-empty", path=str(tmp_path / "terms" / "x.yml"))
    assert render([inside], relative_to=tmp_path) == "terms/x.yml: this file is empty"


def test_all_are_collected_sorted_and_repeats_dropped() -> None:
    problems = Problems()
    problems.add("file-empty", "b")
    problems.add("unknown-unit", "a", Span(3, 1, 3, 2), unit="q")
    problems.add("unknown-unit", "a", Span(2, 1, 2, 2), unit="q")
    problems.add("file-empty", "b")
    assert [(its.path, its.span.line if its.span else 0) for its in problems.sorted()] == [("a", 2), ("a", 3), ("b", 0)]
    with pytest.raises(ProblemError) as caught:
        problems.raise_if_any()
    assert len(caught.value.problems) == 3


@pytest.mark.parametrize(
    ("word", "near"),
    [("denir", "denier"), ("dropp", "drop"), ("qzxv", None), ("dr", None), ("drop", None)],
)
def test_the_near_name(word: str, near: str | None) -> None:
    assert did_you_mean(word, ["denier", "drop", "fill-power"]) == near
