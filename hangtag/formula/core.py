"""The smallest tree: what is left of a formula when units, powers and limits are resolved.

Both compiled back ends print from these nodes, so that neither decides anything by itself. All values are SI floats.
Must hold data only.
"""

from __future__ import annotations

from dataclasses import dataclass

from hangtag.problems import Span


@dataclass(frozen=True)
class Const:
    """A float both languages write alike."""

    value: float
    span: Span


@dataclass(frozen=True)
class Var:
    """An input, constant or earlier step, in SI."""

    name: str
    span: Span


@dataclass(frozen=True)
class Neg:
    """-x."""

    of: CoreNode
    span: Span


@dataclass(frozen=True)
class Arith:
    """`+ - * /` of two floats."""

    operator: str
    left: CoreNode
    right: CoreNode
    span: Span


@dataclass(frozen=True)
class WholePower:
    """x times itself, from the left: ((x*x)*x)*x. `times` is 2 to 8."""

    of: CoreNode
    times: int
    span: Span


@dataclass(frozen=True)
class Power:
    """`pow(x, y)`, within its ulps."""

    base: CoreNode
    exponent: CoreNode
    span: Span


@dataclass(frozen=True)
class Snap:
    """x rounded half-up to 15 significant digits: what a comparison with a written limit looks at."""

    of: CoreNode
    span: Span


@dataclass(frozen=True)
class Condition:
    """A comparison of two floats."""

    operator: str
    left: CoreNode
    right: CoreNode
    span: Span


@dataclass(frozen=True)
class Both:
    """`and`, `or`: the right condition is looked at only where the left one does not decide."""

    operator: str
    left: AnyCondition
    right: AnyCondition
    span: Span


AnyCondition = Condition | Both


@dataclass(frozen=True)
class Column:
    """A column of the row that a sum is at."""

    index: int
    span: Span


@dataclass(frozen=True)
class RowSum:
    """Over the rows of a list where a condition holds, added from the first to the last."""

    rows: str
    of: CoreNode
    where: AnyCondition | None
    span: Span


@dataclass(frozen=True)
class TableLookup:
    """The y of a table at x, by `rule`: exact, step, up_to or linear."""

    of: CoreNode
    xs: tuple[float, ...]
    ys: tuple[float, ...]
    rule: str
    span: Span


@dataclass(frozen=True)
class Root:
    """The `unknown` between two bounds at which left and right are equal, by 40 halvings."""

    unknown: str
    left: CoreNode
    right: CoreNode
    low: float
    high: float
    span: Span


@dataclass(frozen=True)
class Choose:
    """One of two branches; only the chosen one runs."""

    condition: AnyCondition
    then: CoreNode
    otherwise: CoreNode
    span: Span


@dataclass(frozen=True)
class Apply:
    """A function of the table on floats."""

    function: str
    arguments: tuple[CoreNode, ...]
    span: Span


CoreNode = Const | Var | Neg | Arith | WholePower | Power | Snap | Choose | Apply | Column | RowSum | TableLookup | Root
