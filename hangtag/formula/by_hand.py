"""Walking a lowered tree node by node: slow, and exact about where and why there is no answer.

The same order and the same checks as the generated JavaScript: where the fast road stops, this one says why.
Must not be used where a compiled run succeeds: it is some thirty times slower.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import cast

from hangtag.formula import core
from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.numeric import NoEntryError, NoRootError, lookup, root
from hangtag.numbers import snap
from hangtag.problems import Span

# Rows of a list: one float for each column, of a choice the number of its option.
Rows = Sequence[Sequence[float]]
Values = Mapping[str, float | Rows]  # what a calculator runs with, by name


class NoAnswer(ArithmeticError):
    """No value: divide-by-zero, outside-domain, too-large, outside-table or no-solution; where, and in which step."""

    def __init__(self, code: str, span: Span, step: str) -> None:
        super().__init__(f"{code} in {step}")
        self.code = code
        self.span = span
        self.step = step


def run_steps(
    values: Values, constants: Mapping[str, float], steps: Sequence[tuple[str, core.CoreNode]]
) -> dict[str, float]:
    """The SI float of every step. Raises NoAnswer at the first one that has none."""
    known: dict[str, float | Rows] = {**constants, **values}
    results: dict[str, float] = {}
    for name, tree in steps:
        walk = _Walk(known, name)
        results[name] = known[name] = walk.finite(walk.value(tree), tree.span)
    return results


def holds(condition: core.AnyCondition, values: Values, constants: Mapping[str, float]) -> bool:
    """Whether a requirement holds. Raises NoAnswer where a side has no value."""
    return _Walk({**constants, **values}, "requires").condition(condition)


class _Walk:
    def __init__(self, values: Values, step: str) -> None:
        self._values = dict(values)
        self._step = step
        self._row: Sequence[float] = ()

    def finite(self, value: float, span: Span) -> float:
        if math.isfinite(value):
            return value
        raise NoAnswer("outside-domain" if math.isnan(value) else "too-large", span, self._step)

    def _sure(self, node: core.CoreNode) -> float:
        return self.finite(self.value(node), node.span)

    def value(self, node: core.CoreNode) -> float:
        match node:
            case core.Const():
                return node.value
            case core.Var():
                return cast("float", self._values[node.name])
            case core.Neg():
                return -self.value(node.of)
            case core.Arith():
                return self._arith(node)
            case core.WholePower():
                factor = product = self.value(node.of)
                for _ in range(node.times - 1):
                    product *= factor
                return product
            case core.Power():
                return self._call(math.pow, self._all(node.base, node.exponent), node)
            case core.Snap():
                return snap(self._sure(node.of))
            case core.Choose():
                return self.value(node.then if self.condition(node.condition) else node.otherwise)
            case core.Apply():
                return self._call(FUNCTIONS[node.function].run, self._all(*node.arguments), node)
            case core.Column():
                return self._row[node.index]
            case core.RowSum():
                return self._sum(node)
            case core.TableLookup():
                return self._lookup(node)
            case core.Root():
                return self._root(node)

    def _all(self, *nodes: core.CoreNode) -> tuple[float, ...]:
        # all run before any is looked at, as the arguments of a call in JavaScript do
        values = [self.value(node) for node in nodes]
        return tuple(self.finite(value, node.span) for value, node in zip(values, nodes, strict=True))

    def _arith(self, node: core.Arith) -> float:
        left = self.value(node.left)
        if node.operator == "/":
            right = self._sure(node.right)
            if right == 0:
                raise NoAnswer("divide-by-zero", node.right.span, self._step)
            return left / right
        right = self.value(node.right)
        if node.operator == "+":
            return left + right
        return left - right if node.operator == "-" else left * right

    def _sum(self, node: core.RowSum) -> float:
        total = 0.0
        for row in cast("Rows", self._values[node.rows]):
            self._row = row
            if node.where is None or self.condition(node.where):
                total += self.value(node.of)
        return total

    def _lookup(self, node: core.TableLookup) -> float:
        try:
            return lookup(self._sure(node.of), node.xs, node.ys, node.rule)
        except NoEntryError:
            raise NoAnswer("outside-table", node.of.span, self._step) from None

    def _root(self, node: core.Root) -> float:
        def sides(x: float) -> tuple[float, float]:
            self._values[node.unknown] = x
            return self._sure(node.left), self._sure(node.right)

        try:
            return root(sides, node.low, node.high)
        except NoRootError:
            raise NoAnswer("no-solution", node.span, self._step) from None

    def condition(self, node: core.AnyCondition) -> bool:
        if isinstance(node, core.Both):
            left_holds = self.condition(node.left)
            if node.operator == "and":
                return left_holds and self.condition(node.right)
            return left_holds or self.condition(node.right)
        left, right = self._sure(node.left), self._sure(node.right)
        match node.operator:
            case "<":
                return left < right
            case "<=":
                return left <= right
            case ">":
                return left > right
            case ">=":
                return left >= right
            case "=":
                return left == right
            case _:
                return left != right

    def _call(self, function: object, arguments: tuple[float, ...], node: core.CoreNode) -> float:
        try:
            value: float = function(*arguments)  # type: ignore[operator]
        except OverflowError:
            raise NoAnswer("too-large", node.span, self._step) from None
        except ValueError:
            raise NoAnswer(_pole(node, arguments), node.span, self._step) from None
        return self.finite(value, node.span)


def _pole(node: core.CoreNode, arguments: tuple[float, ...]) -> str:
    # Python raises at a pole where JavaScript gives infinity: log(0), artanh(1), 0 to a negative power
    if isinstance(node, core.Apply):
        at_pole = (node.function == "log" and arguments[0] == 0) or (
            node.function == "artanh" and abs(arguments[0]) == 1
        )
        return "too-large" if at_pole else "outside-domain"
    return "too-large" if arguments[0] == 0 else "outside-domain"
