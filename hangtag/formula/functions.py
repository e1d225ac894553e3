"""The table of functions: the one place that says what a formula may call.

One row a function: arity, dimension rule, how each language runs it, how mathematics writes it, and by how many units
in the last place CPython and V8 may differ. Must hold the table only.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

SAME = "same"  # all arguments of one dimension, which is the result's too
PLAIN = "plain"  # plain number to plain number
ROOT = "root"  # the square root of the argument's dimension


@dataclass(frozen=True)
class Function:
    """One function of the language. `python` is a name of `math`, or None where the back ends write it out."""

    name: str
    least: int
    most: int
    rule: str
    python: str | None
    javascript: str | None
    mathml: str
    ulps: int
    run: Callable[..., float]
    says: str


def _smaller(*values: float) -> float:
    # comparisons, so that both languages agree on the sign of zero
    best = values[0]
    for value in values[1:]:
        best = value if value < best else best
    return best


def _larger(*values: float) -> float:
    best = values[0]
    for value in values[1:]:
        best = value if value > best else best
    return best


_ROWS = (
    Function("sqrt", 1, 1, ROOT, "sqrt", "Math.sqrt", "sqrt", 0, math.sqrt, "the square root"),
    Function("abs", 1, 1, SAME, "fabs", "Math.abs", "abs", 0, math.fabs, "the size without the sign"),
    Function("min", 2, 8, SAME, None, None, "min", 0, _smaller, "the smallest"),
    Function("max", 2, 8, SAME, None, None, "max", 0, _larger, "the largest"),
    Function("exp", 1, 1, PLAIN, "exp", "Math.exp", "exp", 1, math.exp, "e to this power"),
    Function("log", 1, 1, PLAIN, "log", "Math.log", "ln", 1, math.log, "the natural logarithm"),
    Function("sin", 1, 1, PLAIN, "sin", "Math.sin", "sin", 1, math.sin, "the sine of an angle"),
    Function("cos", 1, 1, PLAIN, "cos", "Math.cos", "cos", 1, math.cos, "the cosine of an angle"),
    Function("tan", 1, 1, PLAIN, "tan", "Math.tan", "tan", 2, math.tan, "the tangent of an angle"),
    Function("asin", 1, 1, PLAIN, "asin", "Math.asin", "arcsin", 1, math.asin, "the angle with this sine"),
    Function("acos", 1, 1, PLAIN, "acos", "Math.acos", "arccos", 1, math.acos, "the angle with this cosine"),
    Function("atan", 1, 1, PLAIN, "atan", "Math.atan", "arctan", 1, math.atan, "the angle with this tangent"),
    Function("sinh", 1, 1, PLAIN, "sinh", "Math.sinh", "sinh", 2, math.sinh, "the hyperbolic sine"),
    Function("cosh", 1, 1, PLAIN, "cosh", "Math.cosh", "cosh", 2, math.cosh, "the hyperbolic cosine"),
    Function("tanh", 1, 1, PLAIN, "tanh", "Math.tanh", "tanh", 2, math.tanh, "the hyperbolic tangent"),
    Function("artanh", 1, 1, PLAIN, "atanh", "Math.atanh", "artanh", 2, math.atanh, "the inverse of tanh"),
)

FUNCTIONS: dict[str, Function] = {row.name: row for row in _ROWS}
POWER_ULPS = 1  # of `pow`, used for powers that are neither whole (up to 8) nor halves
