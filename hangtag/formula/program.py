"""A calculator's formulas, checked and ready: what every back end takes.

Must hold no words and no units: only names, SI floats and lowered trees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from hangtag.formula import by_hand, core
from hangtag.formula.bounds import methods
from hangtag.formula.domain import Domain
from hangtag.formula.functions import FUNCTIONS, POWER_ULPS
from hangtag.formula.to_python import Run, compile_steps


@dataclass(frozen=True)
class Program:
    """Inputs in order, constants in SI, requirements, and steps in the order they run.

    `inputs` are all names that a run is given: fields, which option of a choice (`<name>_CHOICE`), lists of rows, and
    uncertain constants. `domain` is what they may be.
    """

    inputs: tuple[str, ...] = ()
    constants: Mapping[str, float] = field(default_factory=dict)
    requires: tuple[core.AnyCondition, ...] = ()
    steps: tuple[tuple[str, core.CoreNode], ...] = ()
    domain: Domain = field(default_factory=Domain)

    @cached_property
    def run(self) -> Run:
        """The compiled formulas, made on first use: values by input to SI floats by step; may raise NoAnswer."""
        return compile_steps(self.inputs, self.constants, self.steps)

    def first_failed(self, values: by_hand.Values) -> int:
        """The index of the first requirement that fails, or -1. Raises NoAnswer where a side has no value."""
        for index, condition in enumerate(self.requires):
            if not by_hand.holds(condition, values, self.constants):
                return index
        return -1

    @cached_property
    def bounds(self) -> dict[str, str]:
        """By step, how its ends are found where values are uncertain: `corners` or `sampled`; empty where none is."""
        if not self.domain.uncertain and not self.domain.ranges:
            return {}
        return methods(self.run, self.allows, self.domain, [name for name, _ in self.steps])

    def allows(self, values: by_hand.Values) -> bool:
        """Whether a point meets every requirement; one whose sides have no value does not."""
        try:
            return self.first_failed(values) < 0
        except by_hand.NoAnswer:
            return False

    @cached_property
    def ulps(self) -> dict[str, int]:
        """By step, the ulps that its functions may differ by between languages, those of the steps it uses included."""
        budget: dict[str, int] = {}
        for name, tree in self.steps:
            budget[name] = ulps_of(tree, budget)
        return budget

    @cached_property
    def solved(self) -> frozenset[str]:
        """The steps that solve an equation or use one that does: compared within two brackets, never by bits."""
        found: set[str] = set()
        for name, tree in self.steps:
            if isinstance(tree, core.Root) or found & set(names_of(tree)):
                found.add(name)
        return frozenset(found)

    @cached_property
    def bracket(self) -> dict[str, float]:
        """By solve step, the width of its last bracket."""
        return {name: (tree.high - tree.low) / 2**40 for name, tree in self.steps if isinstance(tree, core.Root)}


def names_of(node: core.CoreNode | core.AnyCondition) -> frozenset[str]:
    """Every name a lowered tree reads, lists of rows among them."""
    match node:
        case core.Var():
            return frozenset({node.name})
        case core.RowSum():
            return frozenset({node.rows}).union(*map(names_of, parts_of(node)))
        case _:
            return frozenset().union(*map(names_of, parts_of(node)))


def parts_of(node: core.CoreNode | core.AnyCondition) -> tuple[core.CoreNode | core.AnyCondition, ...]:
    """The nodes directly below a lowered node."""
    match node:
        case core.Neg() | core.Snap() | core.WholePower() | core.TableLookup():
            return (node.of,)
        case core.Arith() | core.Condition() | core.Both() | core.Root():
            return (node.left, node.right)
        case core.Power():
            return (node.base, node.exponent)
        case core.Choose():
            return (node.condition, node.then, node.otherwise)
        case core.Apply():
            return node.arguments
        case core.RowSum():
            return (node.of,) if node.where is None else (node.of, node.where)
        case _:
            return ()


def ulps_of(node: core.CoreNode | core.AnyCondition, known: Mapping[str, int]) -> int:
    """By how many units in the last place a tree may differ between languages, given the steps it uses."""
    below = [ulps_of(part, known) for part in parts_of(node)]
    match node:
        case core.Var():
            return known.get(node.name, 0)
        case core.WholePower():
            return node.times * below[0]
        case core.Power():
            return POWER_ULPS + sum(below)
        case core.Choose():
            return max(below[1:])
        case core.Apply():
            return FUNCTIONS[node.function].ulps + sum(below)
        case _:
            return sum(below)
