"""The prover is proved: each part of the JavaScript emitter is broken on purpose, and the parity proof must notice."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import pytest

from hangtag.calculator_fields import RULES
from hangtag.formula import core, to_javascript
from hangtag.formula.functions import FUNCTIONS

from .support import V8, Disagreement, formula, helpers_script, kind_of, kinds_in, prove

Break = Callable[[Any], Any]  # from a core node to another of a kind that stands in its place
NAMES: dict[str, Any] = {
    "a": "plain", "b": "plain", "c": "plain", "len": "m",
    "ground": {"choice": ["road", "snow"]},
    "kit": {"rows": {"weight": "kg", "spare": "kg", "goes": ["back", "used"]}},
    "named": {"by": "ground", "unit": "plain", "table": [["snow", 5], ["road", 7]]},
    "exact": {"x_unit": "plain", "rule": "exact", "unit": "plain", "table": [[0, 2], [0.62, 5], [1, 9]]},
    "step": {"x_unit": "plain", "rule": "step", "unit": "plain", "table": [[0, 2], [0.5, 5], [1, 9]]},
    "up_to": {"x_unit": "plain", "rule": "up_to", "unit": "plain", "table": [[0, 2], [0.5, 5], [1, 9]]},
    "linear": {"x_unit": "plain", "rule": "linear", "unit": "plain", "table": [[0, 2], [0.7, 5], [1, 9]]},
}  # fmt: skip
KIT = [[1.1, 0.2, 0.0], [2.3, 0.7, 1.0], [3.7, 0.1, 0.0]]
VALUES: dict[str, Any] = {"a": 0.62, "b": 0.37, "c": 0.81, "len": 0.03, "ground_CHOICE": 1.0, "kit": KIT}
ROOT = {"unknown": "x", "unit": "plain", "low": 0.1, "high": 9}


@dataclass(frozen=True)
class Fault:
    """One part of the emitter, a formula that uses it, and the way it is broken: what it prints instead."""

    kind: str
    text: str
    instead: Break
    solve: Mapping[str, Any] | None = None


def _operator(to: str) -> Break:
    return lambda node: dataclasses.replace(node, operator=to)


def _swapped(first: str, second: str) -> Break:
    return lambda node: dataclasses.replace(node, **{first: getattr(node, second), second: getattr(node, first)})


def _function(to: str) -> Break:
    return lambda node: dataclasses.replace(node, function=to)


def _rule(to: str) -> Break:
    return lambda node: dataclasses.replace(node, rule=to)


_OTHER_FUNCTION = {
    "sqrt": "abs", "abs": "sqrt", "min": "max", "max": "min", "exp": "cosh", "log": "atan", "sin": "tan", "cos": "cosh",
    "tan": "sin", "asin": "sin", "acos": "cos", "atan": "tanh", "sinh": "tanh", "cosh": "exp", "tanh": "atan",
    "artanh": "asin",
}  # fmt: skip

FAULTS = (
    Fault("Const", "a + 2", lambda node: dataclasses.replace(node, value=node.value * (1 + 2**-52))),
    Fault("Var", "a - b", lambda node: dataclasses.replace(node, name="b" if node.name == "a" else "a")),
    Fault("Neg", "-a", lambda node: node.of),
    Fault("Arith +", "a + b", _operator("-")),
    Fault("Arith -", "a - b", _operator("+")),
    Fault("Arith *", "a * b", _operator("/")),
    Fault("Arith /", "a / b", _operator("*")),
    Fault("WholePower", "a^3", lambda node: dataclasses.replace(node, times=4)),
    Fault("WholePower", "(a + b)^3", lambda node: dataclasses.replace(node, times=2)),
    Fault("Power", "a^b", _swapped("base", "exponent")),
    Fault("Snap", "if len < 30 mm then 1 else 2", lambda node: node.of if isinstance(node, core.Snap) else node),
    Fault("Choose", "if a < b then c else 1", _swapped("then", "otherwise")),
    *(Fault(f"Condition {mark}", f"if a {mark} b then c else 1", _operator(other)) for mark, other in (
        ("<", ">="), ("<=", ">"), (">", "<="), (">=", "<"), ("=", "!="), ("!=", "="),
    )),
    *(Fault(f"Apply {name}", f"{name}(a, b)" if name in ("min", "max") else f"{name}(a)", _function(other))
      for name, other in _OTHER_FUNCTION.items()),
    Fault("Var", 'if ground = "snow" then a else b', lambda node: core.Const(0.0, node.span)),
    Fault("Column", "sum(weight + spare * 2)", lambda node: dataclasses.replace(node, index=1 - node.index)),
    Fault("RowSum", 'sum(weight where goes = "back")', lambda node: dataclasses.replace(node, where=None)),
    Fault("RowSum", "sum(weight)", lambda node: dataclasses.replace(node, of=core.Const(1.0, node.span))),
    Fault("Condition =", 'sum(weight where goes = "back")', _operator("!=")),
    Fault("Both and", "if a < 1 and b > 1 then c else 1", _operator("or")),
    Fault("Both or", "if a < 1 or b > 1 then c else 1", _operator("and")),
    Fault("Both or", "if a < 1 or 1 / (a - a) > b then c else 1", _swapped("left", "right")),
    Fault("TableLookup exact", "table(ground, named)", _swapped("xs", "ys")),
    Fault("TableLookup exact", "table(b, exact)", _rule("linear")),
    Fault("TableLookup exact", "table(b, exact)", _rule("step")),
    Fault("TableLookup step", "table(a, step)", _rule("up_to")),
    Fault("TableLookup up_to", "table(a, up_to)", _rule("step")),
    Fault("TableLookup linear", "table(a, linear)", _rule("step")),
    Fault("Root", "x^2 = a", lambda node: dataclasses.replace(node, left=core.Neg(node.left, node.span)), ROOT),
    Fault("Root", "x^2 = a", lambda node: dataclasses.replace(node, low=1.0), ROOT),
    Fault("Root", "x^3 + 2 * x = 10 * a", lambda node: dataclasses.replace(node, high=2.0**20 + 0.1), ROOT),
)  # fmt: skip


def _break_emitter(monkeypatch: pytest.MonkeyPatch, fault: Fault) -> list[str]:
    broken: list[str] = []

    def breaking(emit: Callable[..., str]) -> Callable[..., str]:
        def emit_broken(node: core.CoreNode, constants: Mapping[str, float]) -> str:
            if kind_of(node) == fault.kind:
                broken.append(fault.kind)
                return emit(fault.instead(node), constants)
            return emit(node, constants)

        return emit_broken

    for name in ("expression", "condition"):
        monkeypatch.setattr(to_javascript, name, breaking(getattr(to_javascript, name)))
    return broken


def _values(fault: Fault) -> dict[str, Any]:
    # snapping matters only where a conversion leaves a trace: the float just under 0.03 m is 30 mm all the same
    return {**VALUES, "len": 0.029999999999999995} if fault.kind == "Snap" else VALUES


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.kind}: {fault.text}".replace("/", "÷"))
def test_a_broken_emitter_is_found(monkeypatch: pytest.MonkeyPatch, fault: Fault) -> None:
    made = formula(fault.text, NAMES, fault.solve)
    prove(made, _values(fault))
    broken = _break_emitter(monkeypatch, fault)
    with pytest.raises(Disagreement):
        prove(made, _values(fault))
    assert broken, "the fault was never printed"


def test_every_part_of_the_emitter_is_broken_once() -> None:
    whole = {fault.kind for fault in FAULTS}
    kinds = {kind.__name__ for kind in (*core.CoreNode.__args__, *core.AnyCondition.__args__)}
    assert {kind.split(" ")[0] for kind in whole} == kinds
    assert {kind.split(" ")[1] for kind in whole if kind.startswith("Apply")} == set(FUNCTIONS)
    assert {kind.split(" ")[1] for kind in whole if kind.startswith("TableLookup")} == set(RULES)
    for fault in FAULTS:
        ((_, tree),) = formula(fault.text, NAMES, fault.solve).program.steps
        assert fault.kind in kinds_in(tree)


# ------------------------------------------------------------------------------------ the helpers that formulas call


@dataclass(frozen=True)
class HelperFault:
    """A mistake in one helper of formulas.js: what stands there, what instead, and a formula that must notice."""

    was: str
    now: str
    text: str
    values: Mapping[str, Any]
    solve: Mapping[str, Any] | None = None


HELPER_FAULTS = (
    HelperFault("let total = 0;", "let total = 1;", "sum(weight)", {}),
    HelperFault("of rows) if", "of [...rows].reverse()) if", "sum(weight)",
                {"kit": [[0.1, 0.0, 0.0], [0.2, 0.0, 0.0], [0.3, 0.0, 0.0]]}),
    HelperFault("!where || where(row)", "!where || !where(row)", 'sum(weight where goes = "back")', {}),
    HelperFault("(at) => at <= x", "(at) => at < x", "table(a, step)", {"a": 0.5}),
    HelperFault("(at) => x <= at)];", "(at) => x < at)];", "table(a, up_to)", {"a": 0.5}),
    HelperFault("ys[xs.indexOf(x)]", "ys[0]", "table(a, exact)", {}),
    HelperFault("* ((x - xs[i - 1]) / (xs[i] - xs[i - 1]))", "* (x - xs[i - 1]) / (xs[i] - xs[i - 1])",
                "table(a, linear)", {"a": 0.015}),
    HelperFault("x <= xs[last] && last > 0", "last > 0", "table(a, linear)", {"a": 1.5}),
    HelperFault('throw new NoAnswer("outside-table")', "return 0", "table(a, linear)", {"a": 1.5}),
    HelperFault("i < 40", "i < 30", "x^2 = a", {}, ROOT),
    HelperFault("a - b < 0", "a - b > 0 || a > 0.3", "x^2 = a", {}, ROOT),
    HelperFault("return end;", "return 0;", "x = a", {"a": 0.1}, ROOT),
    HelperFault('throw new NoAnswer("no-solution")', "return low", "x = a", {"a": 10.5}, ROOT),
    HelperFault("sides(x).map(finite)", "sides(x)", "a * x * 1000^3 = b", {"a": 1e300}, ROOT),
    HelperFault("if (finite(y) === 0)", "if (finite(y) === 1)", "a / (b - b)", {}),
)  # fmt: skip


@pytest.mark.parametrize("fault", HELPER_FAULTS, ids=lambda fault: fault.was)
def test_a_broken_helper_is_found(fault: HelperFault) -> None:
    made, values = formula(fault.text, NAMES, fault.solve), {**VALUES, **fault.values}
    whole = helpers_script()
    assert whole.count(fault.was) == 1, "the helper is written otherwise now"
    prove(made, values)
    with pytest.raises(Disagreement):
        prove(made, values, engine=V8(whole.replace(fault.was, fault.now)))
