"""What holds for any text and any well-dimensioned formula."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hangtag.formula.functions import FUNCTIONS, PLAIN
from hangtag.formula.nodes import Call, Node
from hangtag.formula.parser import parse
from hangtag.formula.to_text import text
from hangtag.problems import ProblemError, Span

from . import trees
from .support import formula, prove, units

FAIR = settings(deadline=None, suppress_health_check=list(HealthCheck))  # trees are slow to draw, and large


def shape(node: Node) -> object:
    """A tree without its places."""
    found: list[object] = [type(node).__name__]
    for name in node.__dataclass_fields__:
        value = getattr(node, name)
        if isinstance(value, Span):
            continue
        if isinstance(value, tuple):
            found.append([shape(item) for item in value])
        else:
            found.append(shape(value) if hasattr(value, "__dataclass_fields__") else value)
    return found


@FAIR
@given(trees.texts())
def test_any_text_is_a_formula_or_one_problem(source: str) -> None:
    try:
        made = formula(source, trees.NAMES)
    except ProblemError as stop:
        (problem,) = stop.problems
        assert problem.message
        assert problem.span is not None
        assert problem.span.column >= 1
        assert problem.span.end_column > problem.span.column
    else:
        assert shape(parse(text(made.node), units().units)) == shape(made.node)


@pytest.mark.parametrize("length", [51, 400, 3000, 30000])
@pytest.mark.parametrize(
    "pattern",
    [
        "a{+a}", "a{*a}", "{-}a", "{(}a{)}", "a{^a}", "{abs(}a{)}", "{if a < 1 then a else }a", "max(a{,a})", "{9}",
        "{sum(}a{)}", "{table(}a{, worth)}", "if a < 1{ and a < 1} then a else a", "if {(}a < 1{)} then a else a",
        '{"}',
    ],
)  # fmt: skip
def test_no_length_is_too_much(pattern: str, length: int) -> None:
    """A formula as long as a file may be is read or refused, never a crash of the machine beneath."""
    source = ""
    rest = pattern
    while "{" in rest:
        before, _, rest = rest.partition("{")
        repeated, _, rest = rest.partition("}")
        source += before + repeated * length
    source += rest
    try:
        made = formula(source, {"a": "plain"})
    except ProblemError:
        return
    prove(made, {"a": 1.0})


@FAIR
@given(st.data(), trees.kinds())
def test_text_of_a_tree_reads_back_as_the_same_tree(data: st.DataObject, kind: str) -> None:
    node = data.draw(trees.trees(kind))
    assert shape(parse(text(node), units().units)) == shape(node)


@settings(FAIR, max_examples=300)
@given(st.data(), trees.kinds(), trees.inputs())
def test_exact_formulas_agree_to_the_bit(data: st.DataObject, kind: str, values: dict[str, Any]) -> None:
    """All but the functions with a budget and equations: Python, V8 and pint give the same floats."""
    source = text(data.draw(trees.trees(kind)))
    made = formula(source, trees.NAMES)
    assert made.program.ulps == {"answer": 0}
    prove(made, values)


@settings(FAIR, max_examples=100)
@given(st.data(), st.sampled_from([kind for kind in trees.KINDS if kind != "degC"]), trees.inputs())
def test_sums_agree_to_the_bit(data: st.DataObject, kind: str, values: dict[str, Any]) -> None:
    source = text(data.draw(trees.sums(kind, 2)))
    prove(formula(source, trees.NAMES), values)


@settings(FAIR, max_examples=60)
@given(st.data(), st.sampled_from([kind for kind in trees.KINDS if kind != "degC"]), trees.inputs())
def test_equations_agree(data: st.DataObject, kind: str, values: dict[str, Any]) -> None:
    """Solved with or without an answer: the same refusal, or the same root."""
    equation, unknown = data.draw(trees.equations(kind))
    low = data.draw(st.sampled_from([-1000.0, -1.0, 0.001, 0.5]))
    prove(formula(text(equation), trees.NAMES, {"unknown": unknown, "unit": "plain", "low": low, "high": 1e3}), values)


@pytest.mark.parametrize("name", sorted(name for name, row in FUNCTIONS.items() if row.rule == PLAIN))
@settings(FAIR, max_examples=60)
@given(data=st.data(), values=trees.inputs())
def test_each_inexact_function_keeps_its_budget(name: str, data: st.DataObject, values: dict[str, Any]) -> None:
    """The table's ulps hold for a function of any exact formula, refusals included."""
    inner = data.draw(trees.trees("plain", 2))
    source = text(Call(name, (inner,), trees.NOWHERE, trees.NOWHERE))
    prove(formula(source, trees.NAMES), values)


@pytest.mark.parametrize("name", sorted(name for name, row in FUNCTIONS.items() if row.rule == PLAIN))
@settings(FAIR, max_examples=100)
@given(value=st.one_of(st.floats(-1, 1), st.floats(-40, 40), st.floats(0, 1e6)))
def test_budget_over_everyday_arguments(name: str, value: float) -> None:
    prove(formula(f"{name}(a)", {"a": "plain"}), {"a": value})


@settings(FAIR, max_examples=200)
@given(base=st.floats(0, 1e6), exponent=st.floats(-6, 6))
def test_power_keeps_its_budget(base: float, exponent: float) -> None:
    prove(formula("a^b", {"a": "plain", "b": "plain"}), {"a": base, "b": exponent})
