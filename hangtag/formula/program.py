"""A calculator's formulas, checked and ready: what every back end takes.

Must hold no words and no units: only names, SI floats and lowered trees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from hangtag.formula import by_hand, core
from hangtag.formula.functions import FUNCTIONS, POWER_ULPS
from hangtag.formula.to_python import Run, compile_steps


@dataclass(frozen=True)
class Program:
    """Inputs in order, constants in SI, requirements, and steps in the order they run."""

    inputs: tuple[str, ...] = ()
    constants: Mapping[str, float] = field(default_factory=dict)
    requires: tuple[core.Condition, ...] = ()
    steps: tuple[tuple[str, core.CoreNode], ...] = ()

    @cached_property
    def run(self) -> Run:
        """The compiled formulas, made on first use: SI floats by input to SI floats by step; may raise NoAnswer."""
        return compile_steps(self.inputs, self.constants, self.steps)

    def first_failed(self, values: Mapping[str, float]) -> int:
        """The index of the first requirement that fails, or -1. Raises NoAnswer where a side has no value."""
        for index, condition in enumerate(self.requires):
            if not by_hand.holds(condition, values, self.constants):
                return index
        return -1

    @cached_property
    def ulps(self) -> dict[str, int]:
        """By step, the ulps that its functions may differ by between languages, those of the steps it uses included."""
        budget: dict[str, int] = {}
        for name, tree in self.steps:
            budget[name] = _ulps(tree, budget)
        return budget


def _ulps(node: core.CoreNode, known: Mapping[str, int]) -> int:
    match node:
        case core.Const():
            return 0
        case core.Var():
            return known.get(node.name, 0)
        case core.Neg() | core.Snap():
            return _ulps(node.of, known)
        case core.WholePower():
            return node.times * _ulps(node.of, known)
        case core.Arith():
            return _ulps(node.left, known) + _ulps(node.right, known)
        case core.Power():
            return POWER_ULPS + _ulps(node.base, known) + _ulps(node.exponent, known)
        case core.Choose():
            return max(_ulps(node.then, known), _ulps(node.otherwise, known))
        case core.Apply():
            return FUNCTIONS[node.function].ulps + sum(_ulps(argument, known) for argument in node.arguments)
