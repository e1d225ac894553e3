"""Nodes remember their place, scalars stay text, and what YAML hides is refused."""

from __future__ import annotations

import pytest

from hangtag.problems import Problems, Span
from hangtag.yaml_source import Mapping, Node, Scalar, read_bytes, read_text


def read(text: str) -> Mapping:
    problems = Problems()
    node = read_text(text, "f.yml", problems)
    assert not problems
    assert isinstance(node, Mapping)
    return node


def scalar(node: Node | None) -> Scalar:
    assert isinstance(node, Scalar)
    return node


@pytest.mark.parametrize(
    "text", ["no", "yes", "on", "null", "~", "12:30", "010", "1_000", "0x1F", "2026-11-25", "1e3", ".5"]
)
def test_a_scalar_is_the_text_that_stands_there(text: str) -> None:
    assert scalar(read(f"a: {text}\n").get("a")).text == text


@pytest.mark.parametrize(
    ("text", "start", "span"),
    [
        ("a: x + yy\n", 4, Span(1, 8, 1, 10)),
        ("a: 'x + yy'\n", 4, Span(1, 9, 1, 11)),
        ('a: "x + yy"\n', 4, Span(1, 9, 1, 11)),
        ("a:\n  b: |\n    x +\n    yy\n", 4, Span(4, 5, 4, 7)),
        ("a: {b: x + yy, c: 1}\n", 4, Span(1, 12, 1, 14)),
        ("ä: ö + yy\n", 4, Span(1, 8, 1, 10)),
    ],
)
def test_every_character_has_a_place(text: str, start: int, span: Span) -> None:
    node: Node | None = read(text)
    while isinstance(node, Mapping):
        node = node.items[0][1]
    its = scalar(node)
    assert its.has_places
    assert its.place(start, start + 2) == span


@pytest.mark.parametrize("text", ["a: >\n  x +\n  y\n", 'a: "x \\u0041"\n', "a: x +\n  y\n", "a: 'it''s'\n"])
def test_text_that_is_not_as_written_has_no_places(text: str) -> None:
    assert not scalar(read(text).get("a")).has_places


def test_a_deep_file_ends_in_one_problem_and_no_recursion() -> None:
    problems = Problems()
    assert read_text("[" * 1_000, "f.yml", problems) is None
    assert [its.code for its in problems.sorted()] == ["yaml-too-deep"]
    assert read_text("[" * 1_000_000, "f.yml", problems) is None
    assert len(problems) == 2


def test_a_large_file_is_refused_before_it_is_read() -> None:
    problems = Problems()
    assert read_bytes(b"a: " + b"x" * 3_000_000, "f.yml", problems) is None
    assert [its.code for its in problems.sorted()] == ["file-too-large"]


def test_a_megabyte_line_is_read() -> None:
    assert len(scalar(read("a: " + "x" * 1_000_000 + "\n").get("a")).text) == 1_000_000
