"""By how much two runs of one program may differ at a point: the ulps of its functions, carried through every step.

A difference of two nearly equal numbers keeps the absolute error of both and loses their size, so a budget in ulps of
the result cannot hold there; this one is carried along in absolute terms. For tests and checks: must not be used by a
page.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import cast

from hangtag.formula import core
from hangtag.formula.by_hand import Rows, Values, holds
from hangtag.formula.functions import FUNCTIONS, POWER_ULPS
from hangtag.formula.numeric import lookup
from hangtag.formula.program import Program

SOLVED_SHARE = 1e-9  # what the last bracket of a solved value may become in the steps that use it
Pair = tuple[float, float]  # a value, and how far another run's may lie from it


def error_bounds(program: Program, values: Values) -> dict[str, float]:
    """By step, how far two runs may differ at a point that has an answer; 0 where they must agree to the bit."""
    results = program.run(values)
    known: dict[str, float | Rows] = {**program.constants, **values, **results}
    bounds: dict[str, float] = {}
    for name, tree in program.steps:
        walk = _Walk(known, bounds)
        bounds[name] = walk.pair(tree)[1]
        if name in program.solved:
            bounds[name] = max(bounds[name], 2 * program.bracket.get(name, 0.0), SOLVED_SHARE * abs(results[name]))
    return bounds


class _Walk:
    def __init__(self, known: Values, bounds: dict[str, float]) -> None:
        self._known = known
        self._bounds = bounds
        self._row: Sequence[float] = ()

    def pair(self, node: core.CoreNode) -> Pair:
        match node:
            case core.Const():
                return node.value, 0.0
            case core.Var():
                return cast("float", self._known[node.name]), self._bounds.get(node.name, 0.0)
            case core.Column():
                return self._row[node.index], 0.0
            case core.Neg() | core.Snap():
                value, error = self.pair(node.of)
                return (-value if isinstance(node, core.Neg) else value), _rounded(value, error, 8.0)
            case core.Arith():
                return _arith(node.operator, self.pair(node.left), self.pair(node.right))
            case core.WholePower():
                return self._power(node)
            case core.Power():
                return self._call(math.pow, (node.base, node.exponent), POWER_ULPS)
            case core.Apply():
                row = FUNCTIONS[node.function]
                return self._call(row.run, node.arguments, row.ulps)
            case core.Choose():
                chosen = node.then if holds(node.condition, self._known, {}) else node.otherwise
                return self.pair(chosen)
            case core.RowSum():
                return self._sum(node)
            case core.TableLookup():
                return self._call(lambda x: lookup(x, node.xs, node.ys, node.rule), (node.of,), 0)
            case core.Root():
                return 0.0, 0.0  # its bracket is added by step

    def _power(self, node: core.WholePower) -> Pair:
        factor = product = self.pair(node.of)
        for _ in range(node.times - 1):
            product = _arith("*", product, factor)
        return product

    def _sum(self, node: core.RowSum) -> Pair:
        total: Pair = (0.0, 0.0)
        for row in cast("Rows", self._known[node.rows]):
            self._row = row
            total = _arith("+", total, self.pair(node.of))  # rows that are left out only make the bound wider
        return total

    def _call(self, function: object, arguments: Sequence[core.CoreNode], ulps: int) -> Pair:
        pairs = [self.pair(argument) for argument in arguments]
        values = [value for value, _ in pairs]
        result: float = function(*values)  # type: ignore[operator]
        error = ulps * math.ulp(result)
        for index, (value, its) in enumerate(pairs):
            for moved in (value - its, value + its) if its else ():
                try:
                    shifted: float = function(*values[:index], moved, *values[index + 1 :])  # type: ignore[operator]
                except (ArithmeticError, ValueError):
                    return result, math.inf  # at the edge of a domain another run may have no answer
                error += abs(shifted - result)
        return result, _rounded(result, error, 1.0)


def _arith(operator: str, left: Pair, right: Pair) -> Pair:
    (a, a_error), (b, b_error) = left, right
    if operator in "+-":
        result, error = (a + b if operator == "+" else a - b), a_error + b_error
    elif operator == "*":
        result, error = a * b, abs(a) * b_error + abs(b) * a_error + a_error * b_error
    else:
        result = a / b
        left_over = abs(b) - b_error
        error = (a_error + abs(result) * b_error) / left_over if left_over > 0 else math.inf
    return result, _rounded(result, error, 1.0)


def _rounded(value: float, error: float, ulps: float) -> float:
    # where the two values differ at all, they may also be rounded to different sides
    return error + ulps * math.ulp(value) if error else 0.0
