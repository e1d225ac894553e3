"""Dimensions: what agrees, what clashes and how it is said, and what a formula is lowered to."""

from __future__ import annotations

import pytest

from hangtag.formula.check import check, check_condition
from hangtag.formula.parser import parse
from hangtag.formula.to_javascript import condition, expression
from hangtag.problems import ProblemError, Problems, render
from hangtag.units import read_units
from hangtag.yaml_source import Mapping, read_text

_LIST = """\
mm: {is: millimeter, says: mm}
m: {is: meter, says: m}
m^2: {is: meter**2, says: m2}
g: {is: gram, says: g}
K: {is: kelvin, says: K}
degC: {is: degC, kind: temperature, says: C}
dimensions: {length: m, mass: g, area: m^2}
"""
_NODE = read_text(_LIST, "u", Problems())
assert isinstance(_NODE, Mapping)
UNITS = read_units(_NODE, "u", Problems())
NAMES = {
    "a": UNITS.units["m"].dimension,
    "b": UNITS.units["m"].dimension,
    "w": UNITS.units["g"].dimension,
    "t": UNITS.units["degC"].dimension,
    "n": (UNITS.units["m"].dimension / UNITS.units["m"].dimension),
}


@pytest.mark.parametrize(
    ("formula", "dimension", "lowered"),
    [
        ("a + 2.5 mm", "length", "(v_a + 0.0025)"),
        ("a * b", "area", "(v_a * v_b)"),
        ("a^3 / a", "area", "F.div((v_a * v_a * v_a), v_a)"),
        ("(a + b)^2", "area", "F.times((v_a + v_b), 2)"),
        ("a^-1", "quantity in m^-1", "F.div(1, v_a)"),
        ("a^(1/2)", "quantity in m^1/2", "F.call(Math.sqrt, v_a)"),
        ("n^n", "plain number", "F.call(Math.pow, v_n, v_n)"),
        ("n^9", "plain number", "F.call(Math.pow, v_n, 9)"),
        ("n^0", "plain number", "F.call(Math.pow, v_n, 0)"),
        ("t - t", "temperature difference", "(v_t - v_t)"),
        ("t + 3 K", "temperature", "(v_t + 3)"),
        ("3 K + t", "temperature", "(3 + v_t)"),
        ("t in degC", "plain number", "(v_t - 273.15)"),
        ("t in K", "plain number", "v_t"),
        ("a in mm", "plain number", "(v_a / 0.001)"),
        ("min(t, 5 degC)", "temperature", "F.min(v_t, 278.15)"),
        ("if a > 5 mm then a else b", "length", "((F.snap((v_a / 0.001)) > 5) ? v_a : v_b)"),
        ("if -5 degC < t then a else b", "length", "((F.snap((v_t - 273.15)) > (-5)) ? v_a : v_b)"),
        ("if n < 1.05 then a else b", "length", "((F.snap(v_n) < 1.05) ? v_a : v_b)"),
        ("if a < b then a else b", "length", "((F.finite(v_a) < F.finite(v_b)) ? v_a : v_b)"),
        ("pi * a^2", "area", "(3.141592653589793 * (v_a * v_a))"),
    ],
)
def test_what_agrees(formula: str, dimension: str, lowered: str) -> None:
    checked = check(parse(formula, UNITS.units), NAMES, UNITS)
    assert UNITS.name_of(checked.dimension) == dimension
    assert expression(checked.tree, {}) == lowered


@pytest.mark.parametrize(
    ("formula", "code"),
    [
        ("a + w", "formula-clash"),
        ("a + 1", "formula-clash"),
        ("if a < w then a else b", "formula-clash"),
        ("if a < b then a else w", "formula-clash"),
        ("if a < b then t else 3 K", "formula-clash"),
        ("max(a, w)", "formula-clash"),
        ("t + t", "formula-temperature-arithmetic"),
        ("3 K - t", "formula-temperature-arithmetic"),
        ("-t", "formula-temperature-arithmetic"),
        ("t * 2", "formula-temperature-arithmetic"),
        ("2 / t", "formula-temperature-arithmetic"),
        ("t^2", "formula-temperature-arithmetic"),
        ("sqrt(t)", "formula-temperature-arithmetic"),
        ("sin(a)", "formula-argument-not-plain"),
        ("a^n", "formula-exponent-not-literal"),
        ("n^a", "formula-exponent-not-plain"),
        ("a in g", "formula-in-clash"),
        ("1.5 * a", "formula-bare-number"),
        ("aa + b", "formula-unknown-name"),
        ("squrt(a)", "formula-unknown-function"),
        ("sqrt(a, b)", "formula-arity"),
        ("a < b", "formula-condition-as-value"),
        ("if a then b else a", "formula-value-as-condition"),
        ("if sin(n) < n then a else b", "formula-inexact-condition"),
        ("if n^1.5 < n^(1/3) then a else b", "formula-inexact-condition"),
    ],
)
def test_what_clashes(formula: str, code: str) -> None:
    with pytest.raises(ProblemError) as caught:
        check(parse(formula, UNITS.units), NAMES, UNITS)
    (problem,) = caught.value.problems
    assert problem.code == code
    assert problem.message
    assert problem.span


def test_a_clash_labels_both_sides() -> None:
    with pytest.raises(ProblemError) as caught:
        check(parse("a * b + w", UNITS.units), NAMES, UNITS, "f.yml")
    assert render(caught.value.problems, text_of=lambda _: "a * b + w") == (
        "f.yml:1:7: an area and a mass cannot be added\n"
        "  1 | a * b + w\n"
        "    |       ^\n"
        "  1 | a * b + w\n"
        "    | ^~~~~ a * b is an area\n"
        "  1 | a * b + w\n"
        "    |         ^ w is a mass"
    )


def test_a_requirement_is_a_condition() -> None:
    lowered = check_condition(parse("a >= 2 * b", UNITS.units), NAMES, UNITS)
    assert condition(lowered, {}) == "(F.finite(v_a) >= F.finite((2 * v_b)))"
