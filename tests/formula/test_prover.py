"""The prover is proved: each part of the JavaScript emitter is broken on purpose, and the parity proof must notice."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import pytest

from hangtag.formula import core, to_javascript
from hangtag.formula.functions import FUNCTIONS

from .support import Disagreement, formula, kinds_in, prove

Break = Callable[[Any], Any]  # from a core node to another of a kind that stands in its place
NAMES = {"a": "plain", "b": "plain", "c": "plain", "len": "m"}
VALUES = {"a": 0.62, "b": 0.37, "c": 0.81, "len": 0.03}


@dataclass(frozen=True)
class Fault:
    """One part of the emitter, a formula that uses it, and the way it is broken: what it prints instead."""

    kind: str
    text: str
    instead: Break


def _operator(to: str) -> Break:
    return lambda node: dataclasses.replace(node, operator=to)


def _swapped(first: str, second: str) -> Break:
    return lambda node: dataclasses.replace(node, **{first: getattr(node, second), second: getattr(node, first)})


def _function(to: str) -> Break:
    return lambda node: dataclasses.replace(node, function=to)


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
)  # fmt: skip


def _kind(node: core.CoreNode | core.Condition) -> str:
    detail = getattr(node, "operator", None) or getattr(node, "function", None)
    return f"{type(node).__name__} {detail}" if detail else type(node).__name__


def _break_emitter(monkeypatch: pytest.MonkeyPatch, fault: Fault) -> list[str]:
    broken: list[str] = []

    def breaking(emit: Callable[..., str]) -> Callable[..., str]:
        def emit_broken(node: core.CoreNode, constants: Mapping[str, float]) -> str:
            if _kind(node) == fault.kind:
                broken.append(fault.kind)
                return emit(fault.instead(node), constants)
            return emit(node, constants)

        return emit_broken

    for name in ("expression", "condition"):
        monkeypatch.setattr(to_javascript, name, breaking(getattr(to_javascript, name)))
    return broken


def _values(fault: Fault) -> dict[str, float]:
    # snapping matters only where a conversion leaves a trace: the float just under 0.03 m is 30 mm all the same
    return {**VALUES, "len": 0.029999999999999995} if fault.kind == "Snap" else VALUES


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.kind}: {fault.text}".replace("/", "÷"))
def test_a_broken_emitter_is_found(monkeypatch: pytest.MonkeyPatch, fault: Fault) -> None:
    made = formula(fault.text, NAMES)
    prove(made, _values(fault))
    broken = _break_emitter(monkeypatch, fault)
    with pytest.raises(Disagreement):
        prove(made, _values(fault))
    assert broken, "the fault was never printed"


def test_every_part_of_the_emitter_is_broken_once() -> None:
    whole = {fault.kind for fault in FAULTS}
    kinds = {kind.__name__ for kind in core.CoreNode.__args__} | {"Condition"}
    assert {kind.split(" ")[0] for kind in whole} == kinds
    assert {kind.split(" ")[1] for kind in whole if kind.startswith("Apply")} == set(FUNCTIONS)
    for fault in FAULTS:
        ((_, tree),) = formula(fault.text, NAMES).program.steps
        assert fault.kind in kinds_in(tree)
