"""The language of `reads: patterns`: what it parses to, and what it refuses."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from hangtag.book import Book, load_book
from hangtag.problems import Problem, Problems, Span, render
from hangtag.tag_reader import Hole, Literal, check_patterns, parse
from hangtag.tag_reader.collisions import spellings

BASE = Path(__file__).parent.parent / "bad" / "_base"
MakeBook = Callable[..., Book]


@pytest.fixture
def make_book(tmp_path: Path) -> MakeBook:
    """A book of the small good one and an entry for each given name, with its `reads`."""
    root = tmp_path / "book"
    shutil.copytree(BASE, root)

    def make(**reads: dict[str, Any]) -> Book:
        for name, its in reads.items():
            entry = {"name": name.title(), "in_short": "Cloth.", "text": "Cloth.", "reads": its}
            path = root / "terms" / "cloth" / f"{name}.yml"
            path.write_text(yaml.safe_dump(entry, allow_unicode=True, width=1000), encoding="utf-8")
        loaded = load_book(root)
        assert loaded.book is not None, render(loaded.problems)
        return loaded.book

    return make


def quantity(unit: str, low: float, high: float, **rest: object) -> dict[str, object]:
    return {"unit": unit, "plausible": [low, high], **rest}


def codes(problems: list[Problem]) -> list[str]:
    return [problem.code for problem in problems]


def parsed(text: str) -> tuple[list[str], Problems]:
    """The parts of a pattern as short texts, `+` before those that are glued."""
    problems = Problems()
    pattern = parse(text, Span(1, 1, 1, 1 + len(text)), "felt.yml", problems)
    shown = []
    for part in pattern.parts if pattern else ():
        name = part.folded if isinstance(part, Literal) else f"{{{part.entry or part.role or ''}:{part.kind}}}"
        shown.append(("+" if part.glued else "") + name)
    return shown, problems


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("{q}", ["{:quantity}"]),
        ("HH {q}", ["hh", "{:quantity}"]),
        ("{n}D", ["{:number}", "+d"]),
        ("{n} D", ["{:number}", "d"]),
        ("{k}/{vapour-rate:k}", ["{:thousand}", "+/", "+{vapour-rate:thousand}"]),
        ("{heel}/{fore_foot} mm", ["{heel:role}", "+/", "+{fore_foot:role}", "mm"]),
        ("R-Wert {n}", ["r", "+-", "+wert", "{:number}"]),
        ("Ripstop", ["ripstop"]),
        ("EN 343", ["en", "343"]),
        ("R{n}", ["r", "+{:number}"]),
    ],
)
def test_what_a_pattern_is_read_as(text: str, parts: list[str]) -> None:
    found, problems = parsed(text)
    assert (found, len(problems)) == (parts, 0)


@pytest.mark.parametrize(
    ("text", "code", "columns"),
    [
        ("", "pattern-empty", (1, 1)),
        ("   ", "pattern-empty", (1, 4)),
        ("HH {q", "pattern-unclosed", (4, 5)),
        ("{q} {", "pattern-unclosed", (5, 6)),
        ("q} D", "pattern-unopened", (2, 3)),
        ("HH {}", "pattern-unknown-hole", (4, 6)),
        ("HH {Q}", "pattern-unknown-hole", (4, 7)),
        ("{felt:x}", "pattern-unknown-hole", (1, 9)),
        ("{felt:q:n}", "pattern-unknown-hole", (1, 11)),
        ("{ q }", "pattern-unknown-hole", (1, 6)),
        ("{{q}}", "pattern-unknown-hole", (1, 5)),
    ],
)
def test_what_is_refused_and_where(text: str, code: str, columns: tuple[int, int]) -> None:
    _, problems = parsed(text)
    first = problems.sorted()[0]
    assert first.code == code
    assert first.message
    assert first.span is not None
    assert (first.span.column, first.span.end_column) == columns


def test_places_inside_quotes_and_in_texts_over_lines() -> None:
    problems = Problems()
    parse("HH {x!}", Span(7, 10, 7, 19), None, problems)  # nine columns: in quotes
    parse("HH {x!}", Span(8, 10, 9, 4), None, problems)
    assert [problem.span for problem in problems.sorted()] == [Span(7, 14, 7, 18), Span(8, 10, 9, 4)]


@settings(deadline=None)
@given(st.text(st.sampled_from(list("{}:qnk ab-_1D/é")), max_size=12) | st.text(max_size=12))
def test_every_text_is_a_pattern_or_a_problem(text: str) -> None:
    problems = Problems()
    pattern = parse(text, Span(1, 1, 1, 1 + len(text)), None, problems)
    assert (pattern is None) == (len(problems) > 0)
    if pattern is not None:
        assert pattern.parts
        assert len(pattern.holes) == text.count("{") == sum(isinstance(part, Hole) for part in pattern.parts)


# ------------------------------------------------------------------------------------------------- checks of an entry


@pytest.mark.parametrize(
    ("reads", "code"),
    [
        ({"quantity": quantity("denier", 5, 100), "patterns": ["{n}"]}, "pattern-bare-number"),
        ({"quantity": quantity("denier", 5, 100), "patterns": ["{warp} x {q}"]}, "pattern-role-undeclared"),
        ({"quantity": quantity("denier", 5, 100), "patterns": ["{weft:q}/{q}"]}, "pattern-unknown-entry"),
        ({"quantity": quantity("denier", 5, 100), "patterns": ["{weave:q}/{q}"]}, "pattern-without-quantity"),
        ({"quantity": quantity("denier", 5, 100), "patterns": ["{felt:q}"]}, "pattern-own-entry"),
        ({"patterns": ["felt {q}"]}, "pattern-without-quantity"),
        ({"quantity": quantity("denier", 5, 100), "patterns": ["Felt {q}", "FELT  {q}"]}, "pattern-twice"),
        (
            {
                "quantity": quantity("denier", 5, 100),
                "roles": {"warp": {"fills": "yarn-length.mass"}},
                "patterns": ["{q}"],
            },
            "pattern-role-unused",
        ),
        (
            {
                "quantity": quantity("denier", 5, 100),
                "roles": {"k": {"fills": "yarn-length.mass"}},
                "patterns": ["{q}"],
            },
            "pattern-role-name",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_mistake_in_one_entry(make_book: MakeBook, reads: dict[str, Any], code: str) -> None:
    problems = check_patterns(make_book(felt=reads))
    assert codes(problems) == [code]
    assert problems[0].message
    assert "^" in render(problems)


@pytest.mark.parametrize("more", [{"near": ["yarn"]}, {"kinds": ["tent"]}], ids=["near", "kinds"])
def test_a_bare_number_with_something_beside_it_is_good(make_book: MakeBook, more: dict[str, Any]) -> None:
    assert check_patterns(make_book(felt={"quantity": quantity("denier", 5, 100), "patterns": ["{n}"], **more})) == []


# --------------------------------------------------------------------------------------------------------- collisions

YARN = quantity("denier", 5, 100, also=["tex"])


@pytest.mark.parametrize(
    ("felt", "loden"),
    [
        ({"quantity": YARN, "patterns": ["{q}"]}, {"quantity": quantity("denier", 50, 500), "patterns": ["{q}"]}),
        ({"quantity": YARN, "patterns": ["Yarn {q}"]}, {"quantity": YARN, "patterns": ["YÄRN  {q}"]}),
        ({"quantity": YARN, "patterns": ["{q}"]}, {"quantity": YARN, "patterns": ["{n}D"]}),
        ({"quantity": YARN, "patterns": ["No {k}"]}, {"quantity": quantity("g", 1, 9000), "patterns": ["no {k}"]}),
        ({"quantity": YARN, "patterns": ["No {n}"]}, {"quantity": quantity("g", 1, 9), "patterns": ["no {n}"]}),
        (
            {"quantity": quantity("m", 1, 5, typed={"m": ["g"]}), "patterns": ["{q}"]},
            {"quantity": quantity("g", 1, 9), "patterns": ["{q}"]},
        ),
        (
            {"quantity": YARN, "patterns": ["{q}"], "near": ["fly"], "kinds": ["tent"]},
            {"quantity": YARN, "patterns": ["{q}"], "near": ["FLY"], "kinds": ["tent"]},
        ),
        ({"patterns": ["soft hand"]}, {"patterns": ["Soft  Hand"]}),
        ({"quantity": YARN, "patterns": ["{q}/{q}"]}, {"quantity": YARN, "patterns": ["{q} / {q}"]}),
    ],
    ids=["unit", "accent", "number-and-letter", "thousands", "bare", "typed-here", "same-near", "words", "pair"],
)
def test_patterns_that_cannot_be_told_apart(make_book: MakeBook, felt: dict[str, Any], loden: dict[str, Any]) -> None:
    problems = check_patterns(make_book(felt=felt, loden=loden))
    assert codes(problems) == ["pattern-collision"]
    (problem,) = problems
    assert (problem.path or "").endswith("loden.yml")
    assert [label.text for label in problem.labels] == ["felt reads it here"]
    assert (problem.labels[0].path or "").endswith("felt.yml")
    assert render(problems).count("^") == 2, "both places are drawn"


@pytest.mark.parametrize(
    ("felt", "loden"),
    [
        (
            {"quantity": quantity("denier", 5, 49), "patterns": ["{q}"]},
            {"quantity": quantity("denier", 50, 500), "patterns": ["{q}"]},
        ),
        ({"quantity": YARN, "patterns": ["{q}"]}, {"quantity": quantity("g", 5, 100), "patterns": ["{q}"]}),
        ({"quantity": YARN, "patterns": ["{q}"]}, {"quantity": YARN, "patterns": ["{k}"], "near": ["x"]}),
        ({"quantity": YARN, "patterns": ["{q}"], "near": ["fly"]}, {"quantity": YARN, "patterns": ["{q}"]}),
        ({"quantity": YARN, "patterns": ["{q}"], "kinds": ["tent"]}, {"quantity": YARN, "patterns": ["{q}"]}),
        ({"quantity": YARN, "patterns": ["warp {q}"]}, {"quantity": YARN, "patterns": ["weft {q}"]}),
        ({"quantity": YARN, "patterns": ["{q}/{loden:q}"]}, {"quantity": YARN, "patterns": ["{felt:q}/{q}"]}),
        (
            {"quantity": quantity("g", 5000, 9000), "patterns": ["no {k}"]},
            {"quantity": quantity("g", 20000, 90000), "patterns": ["no {k}"]},
        ),
    ],
    ids=["ranges", "units", "holes", "near", "kinds", "words", "same-meaning", "ranges-of-thousands"],
)
def test_patterns_that_can_be_told_apart(make_book: MakeBook, felt: dict[str, Any], loden: dict[str, Any]) -> None:
    assert check_patterns(make_book(felt=felt, loden=loden)) == []


def test_ranges_are_compared_in_the_unit_that_is_printed(make_book: MakeBook) -> None:
    in_tex = quantity("tex", 5, 10)  # 45 to 90 denier
    book = make_book(
        felt={"quantity": in_tex, "patterns": ["{q}"]},
        loden={"quantity": quantity("denier", 5, 9, also=["tex"]), "patterns": ["{q}"]},
        serge={"quantity": quantity("denier", 80, 95, also=["tex"]), "patterns": ["{q}"]},
    )
    found = [(problem.values["other"], problem.values["entry"]) for problem in check_patterns(book)]
    assert found == [("felt", "serge")]


def test_many_holes_stay_quick(make_book: MakeBook) -> None:
    wide = quantity("mm", 1, 90, also=["m", "in"], typed={"mm": list("abcdefgh"), "m": list("ijklmnop")})
    book = make_book(
        felt={"quantity": wide, "patterns": ["{q} x {q} x {q} x {q}"]},
        loden={"quantity": wide, "patterns": ["{q} X {q} X {q} X {q}"]},
    )
    assert codes(check_patterns(book)) == ["pattern-collision"]


def test_spellings_are_folded_and_named_once(make_book: MakeBook) -> None:
    book = make_book(felt={"quantity": quantity("denier", 5, 9, typed={"denier": ["Den.", "D"]}), "patterns": ["{q}"]})
    unit = book.units.units["denier"]
    assert spellings(unit) == ("d", "denier")
    assert spellings(unit, book.entries["felt"].reads) == ("d", "denier")
