"""Binding, spans, and what the language refuses, each with its place and the next step."""

from __future__ import annotations

import pytest

from hangtag.formula.parser import DEEPEST, parse
from hangtag.formula.to_text import text
from hangtag.problems import ProblemError

UNITS = ("m", "mm", "m^2", "in", "in^3/oz", "min", "degC", "m/s")


@pytest.mark.parametrize(
    ("formula", "bracketed"),
    [
        ("-x^2", "-x^2"),
        ("(-x)^2", "(-x)^2"),
        ("a^b^c", "a^b^c"),
        ("(a^b)^c", "(a^b)^c"),
        ("a-b-c", "a - b - c"),
        ("a-(b-c)", "a - (b - c)"),
        ("a/b/c", "a / b / c"),
        ("a/(b*c)", "a / (b * c)"),
        ("a+b*c", "a + b * c"),
        ("(a+b)*c", "(a + b) * c"),
        ("--a", "--a"),
        ("a*-b", "a * -b"),
        ("2 m^2", "2 m^2"),
        ("(2 m)^2", "(2 m)^2"),
        ("5 m/s * t", "5 m/s * t"),
        ("800 in^3/oz", "800 in^3/oz"),
        ("10 min", "10 min"),
        ("2 in + x", "2 in + x"),
        ("x in mm", "x in mm"),
        ("(x in degC) * 2", "(x in degC) * 2"),
        ("if a < b then a else b in mm", "if a < b then a else b in mm"),
        ("min(a, b in m)", "min(a, b in m)"),
        ("if a <= 2 m then a + b else if b > a then b else a", "if a <= 2 m then a + b else if b > a then b else a"),
    ],
)
def test_how_tightly_things_bind(formula: str, bracketed: str) -> None:
    tree = parse(formula, UNITS)
    assert text(tree) == bracketed
    assert text(parse(bracketed, UNITS)) == bracketed


@pytest.mark.parametrize(
    ("formula", "code", "column"),
    [
        ("1,000 * a", "formula-number-thousands", 1),
        ("10k", "formula-number-k", 1),
        ("1. + a", "formula-number-trailing-point", 1),
        (".5 * a", "formula-number-leading-point", 1),
        ("a × b", "formula-character-instead", 3),
        ("a − b", "formula-character-instead", 3),
        ("2 a", "formula-number-then-word", 3),
        ("2 m ^ 2", "formula-unit-power", 1),
        ("a b", "formula-two-values", 3),
        ("a < b < c", "formula-chain", 7),
        ("a in mm * 2", "formula-in-needs-brackets", 3),
        ("a in furlong", "unknown-unit", 6),
        ("(a + b", "formula-bracket-open", 1),
        ("a +", "formula-ends-early", 3),
        ("", "formula-ends-early", 1),
        ("a; b", "formula-character", 2),
        ("if a > b then a", "formula-wants", 16),
        ("1" + "0" * 400, "formula-number-too-large", 1),
        ("1e999", "formula-number-too-large", 1),
        ("sqrt + 1", "formula-function-without-brackets", 1),
        ("Abc", "formula-bad-name", 1),
        # what the language deliberately does not have
        ("lambda: a", "formula-character", 7),
        ("a.b", "formula-character", 2),
        ("a[0]", "formula-character", 2),
        ("f(x=1)(2)", "formula-unexpected", 7),
        ("'text'", "formula-character", 1),
        ("a ** b", "formula-unexpected", 4),
        ("a % b", "formula-character", 3),
        ("a := b", "formula-character", 3),
        ("__import__", "formula-bad-name", 1),
    ],
)
def test_what_is_refused_and_where(formula: str, code: str, column: int) -> None:
    with pytest.raises(ProblemError) as caught:
        parse(formula, UNITS)
    (problem,) = caught.value.problems
    assert problem.span
    assert (problem.code, problem.span.column) == (code, column)
    assert problem.message


@pytest.mark.parametrize("opening", ["(", "-", "sqrt(", "a^", "if a < b then "])
def test_depth_has_an_end(opening: str) -> None:
    with pytest.raises(ProblemError) as caught:
        parse(opening * 10_000 + "a", UNITS)
    assert caught.value.problems[0].code == "formula-too-deep"
    assert DEEPEST == 50
