"""Names and dimensions of a formula, checked before anything runs, and the tree that is left to run.

One walk does both: it infers the dimension of every node from its parts and lowers it to `core` nodes. Must not
evaluate anything but literals.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from hangtag.formula import core
from hangtag.formula.functions import FUNCTIONS, PLAIN, ROOT, Function
from hangtag.formula.nodes import (
    Binary,
    Call,
    Compare,
    If,
    In,
    Logic,
    Lookup,
    Name,
    Negate,
    Node,
    Number,
    Solve,
    Sum,
    Word,
)
from hangtag.formula.scope import CHOSEN, ColumnOf, Scope
from hangtag.formula.to_text import text
from hangtag.numbers import exact
from hangtag.problems import Label, Problem, ProblemError, Span, near_hint
from hangtag.units import PLAIN as PLAIN_DIMENSION
from hangtag.units import TEMPERATURE, TEMPERATURE_DIFFERENCE, Dimension, UnitList

BARE = frozenset({"0", "1", "2", "3", "4", "10", "100", "1000"})
MOST_WHOLE = 8


@dataclass(frozen=True)
class Checked:
    """A formula that holds: its dimension, and the tree to run."""

    dimension: Dimension
    tree: core.CoreNode


def check(node: Node, names: Mapping[str, Dimension] | Scope, units: UnitList, path: str | None = None) -> Checked:
    """The dimension of a formula and its lowered tree. Raises ProblemError with one Problem."""
    walk = _Walk(names if isinstance(names, Scope) else Scope(names), units, path)
    dimension, tree = walk.value(node)
    return Checked(dimension, tree)


def check_condition(
    node: Node, names: Mapping[str, Dimension] | Scope, units: UnitList, path: str | None = None
) -> core.AnyCondition:
    """The lowered condition of a `requires` line. Raises ProblemError with one Problem."""
    return _Walk(names if isinstance(names, Scope) else Scope(names), units, path).condition(node)


def check_solve(node: Solve, unknown: Dimension, scope: Scope, units: UnitList, path: str | None = None) -> Checked:
    """A solve step: its unknown has the dimension given. Raises ProblemError with one Problem."""
    return Checked(unknown, _Walk(scope, units, path).solve(node, unknown))


def names_in(node: Node) -> dict[str, Span]:
    """The names a formula uses, tables and columns among them, each with its first place (`pi` is none)."""
    found: dict[str, Span] = {}
    _gather(node, found)
    if isinstance(node, Solve):
        found.pop(node.unknown, None)
    return found


def _gather(node: Node, found: dict[str, Span]) -> None:
    if isinstance(node, Name) and node.name != "pi":
        found.setdefault(node.name, node.span)
    if isinstance(node, Lookup):
        found.setdefault(node.table, node.table_at)
    for child in children(node):
        _gather(child, found)


def _all_names(node: Node) -> set[str]:
    found: dict[str, Span] = {}
    _gather(node, found)
    return set(found)


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly below a node, from left to right."""
    match node:
        case Negate() | In() | Lookup():
            return (node.of,)
        case Binary() | Compare() | Logic():
            return (node.left, node.right)
        case Sum():
            return (node.of,) if node.where is None else (node.of, node.where)
        case Solve():
            return (node.where,)
        case If():
            return (node.condition, node.then, node.otherwise)
        case Call():
            return node.arguments
        case _:
            return ()


Typed = tuple[Dimension, core.CoreNode]


class _Walk:
    def __init__(self, scope: Scope, units: UnitList, path: str | None) -> None:
        self._scope = scope
        self._units = units
        self._path = path
        self._rows: str | None = None  # the list whose columns are known: only inside a sum
        self._in_sum = False
        self._unknown: tuple[str, Dimension] | None = None  # of the solve step being checked

    def value(self, node: Node) -> Typed:
        match node:
            case Number():
                return self._number(node)
            case Name():
                return self._name(node)
            case Negate():
                return self._negate(node)
            case Binary():
                return self._binary(node)
            case If():
                return self._if(node)
            case Call():
                return self._call(node)
            case In():
                return self._in(node)
            case Sum():
                return self._sum(node)
            case Lookup():
                return self._lookup(node)
            case Word():
                raise self.problem("formula-word-as-value", node.span, word=node.text)
            case Compare():
                raise self.problem("formula-condition-as-value", node.at)
            case Logic() | Solve():
                raise self.problem("formula-condition-as-value", node.span)

    # ------------------------------------------------------------------------------------------------------ leaves

    def _number(self, node: Number) -> Typed:
        if node.unit is None:
            if node.text not in BARE:
                raise self.problem("formula-bare-number", node.span, number=node.text)
            return PLAIN_DIMENSION, core.Const(float(node.text), node.span)
        unit = self._units.units[node.unit]
        value = _as_float(unit.exact_si(exact(node.text)))
        if not math.isfinite(value):
            raise self.problem("formula-number-too-large", node.span, number=node.text[:20])
        return unit.dimension, core.Const(value, node.span)

    def _name(self, node: Name) -> Typed:
        if node.name == "pi":
            return PLAIN_DIMENSION, core.Const(math.pi, node.span)
        if self._unknown and node.name == self._unknown[0]:
            return self._unknown[1], core.Var(node.name, node.span)
        if node.name in self._scope.columns:
            column = self._column(node)
            if column.dimension is None:
                raise self.problem("formula-word-column-as-value", node.span, name=node.name)
            return column.dimension, core.Column(column.index, node.span)
        dimension = self._scope.dimensions.get(node.name)
        if dimension is None:
            if node.name in self._scope.words:
                raise self.problem("formula-choice-without-value", node.span, name=node.name)
            hint = near_hint(node.name, [*self._scope.dimensions, *self._scope.columns, "pi"])
            raise self.problem("formula-unknown-name", node.span, name=node.name, hint=hint)
        return dimension, core.Var(node.name, node.span)

    def _column(self, node: Name) -> ColumnOf:
        column = self._scope.columns[node.name]
        if not self._in_sum:
            raise self.problem("formula-column-outside-sum", node.span, name=node.name)
        if self._rows is not None and column.rows != self._rows:
            raise self.problem("formula-two-lists", node.span, name=node.name, rows=self._rows, other=column.rows)
        self._rows = column.rows
        return column

    # --------------------------------------------------------------------------------------------------- operators

    def _negate(self, node: Negate) -> Typed:
        dimension, tree = self.value(node.of)
        if dimension.absolute:
            raise self.problem("formula-temperature-arithmetic", node.span, doing="turned around")
        return dimension, core.Neg(tree, node.span)

    def _binary(self, node: Binary) -> Typed:
        if node.operator == "^":
            return self._power(node)
        left, left_tree = self.value(node.left)
        right, right_tree = self.value(node.right)
        tree = core.Arith(node.operator, left_tree, right_tree, node.span)
        if node.operator in "+-":
            return self._sum_dimension(node, left, right), tree
        for side, dimension in ((node.left, left), (node.right, right)):
            if dimension.absolute:
                raise self.problem("formula-temperature-arithmetic", side.span, doing="multiplied or divided")
        return (left * right if node.operator == "*" else left / right), tree

    def _sum_dimension(self, node: Binary, left: Dimension, right: Dimension) -> Dimension:
        if left.absolute or right.absolute:
            if left.exponents == right.exponents:
                if left.absolute and right.absolute and node.operator == "-":
                    return TEMPERATURE_DIFFERENCE
                if left.absolute and not right.absolute:
                    return TEMPERATURE
                if right.absolute and not left.absolute and node.operator == "+":
                    return TEMPERATURE
                doing = "added to another" if node.operator == "+" else "taken from a difference"
                raise self.problem("formula-temperature-arithmetic", node.at, doing=doing)
            raise self._clash(node.at, node.operator, (node.left, left), (node.right, right))
        if left != right:
            raise self._clash(node.at, node.operator, (node.left, left), (node.right, right))
        return left

    def _power(self, node: Binary) -> Typed:
        base, tree = self.value(node.left)
        if base.absolute:
            raise self.problem("formula-temperature-arithmetic", node.left.span, doing="raised to a power")
        ratio = _literal_ratio(node.right)
        if ratio is None:
            if not base.is_plain:
                raise self.problem("formula-exponent-not-literal", node.right.span, of=self._units.described(base))
            exponent, exponent_tree = self.value(node.right)
            if not exponent.is_plain:
                raise self.problem("formula-exponent-not-plain", node.right.span, got=self._units.described(exponent))
            return PLAIN_DIMENSION, core.Power(tree, exponent_tree, node.span)
        return base**ratio, _lower_power(tree, ratio, node.span)

    # ----------------------------------------------------------------------------------------------- other compounds

    def _if(self, node: If) -> Typed:
        condition = self.condition(node.condition)
        then, then_tree = self.value(node.then)
        otherwise, otherwise_tree = self.value(node.otherwise)
        if then != otherwise:
            raise self._clash(node.span, "if", (node.then, then), (node.otherwise, otherwise))
        return then, core.Choose(condition, then_tree, otherwise_tree, node.span)

    def condition(self, node: Node) -> core.AnyCondition:
        if isinstance(node, Logic):
            left_side, right_side = self.condition(node.left), self.condition(node.right)
            return core.Both(node.operator, left_side, right_side, node.span)
        if not isinstance(node, Compare):
            raise self.problem("formula-value-as-condition", node.span)
        if isinstance(node.left, Word) or isinstance(node.right, Word):
            return self._is_word(node)
        for side in (node.left, node.right):
            self._refuse_inexact(side)
        left, left_tree = self._side(node.left)
        right, right_tree = self._side(node.right)
        if left != right:
            raise self._clash(node.at, node.operator, (node.left, left), (node.right, right))
        if _as_limit(node.right) is not None:
            return self._against_limit(node, node.operator, left_tree, node.right)
        if _as_limit(node.left) is not None:
            return self._against_limit(node, _MIRRORED[node.operator], right_tree, node.left)
        return core.Condition(node.operator, left_tree, right_tree, node.span)

    def _side(self, node: Node) -> Typed:
        # A limit may be any number: it is what the condition is about, and its basis stands beside the condition.
        limit = _as_limit(node)
        if limit is None:
            return self.value(node)
        number = _signed(node, limit)
        if limit.unit is None:
            return PLAIN_DIMENSION, core.Const(float(number), node.span)
        unit = self._units.units[limit.unit]
        return unit.dimension, core.Const(float(unit.exact_si(number)), node.span)

    def _against_limit(self, node: Compare, operator: str, tree: core.CoreNode, side: Node) -> core.Condition:
        limit = _as_limit(side)
        if limit is not None and limit.unit is not None:
            unit = self._units.units[limit.unit]
            tree = _in_unit(tree, unit.scale, unit.shift if unit.offset else 0.0, node.span)
        value = float(_signed(side, limit)) if limit is not None else 0.0
        return core.Condition(operator, core.Snap(tree, node.span), core.Const(value, side.span), node.span)

    def _is_word(self, node: Compare) -> core.Condition:
        """`terrain = "snow"`: a choice against one of its own words."""
        word, other = (node.left, node.right) if isinstance(node.left, Word) else (node.right, node.left)
        if not isinstance(word, Word) or not isinstance(other, Name) or node.operator not in ("=", "!="):
            raise self.problem("formula-word-comparison", node.span)
        tree: core.CoreNode
        if other.name in self._scope.columns:
            column = self._column(other)
            words, tree = column.words, core.Column(column.index, other.span)
        else:
            words, tree = self._scope.words.get(other.name), core.Var(other.name + CHOSEN, other.span)
        if words is None:
            columns = [name for name, column in self._scope.columns.items() if column.words]
            hint = near_hint(other.name, [*self._scope.words, *columns])
            raise self.problem("formula-no-choice", other.span, name=other.name, hint=hint)
        if word.text not in words:
            known = ", ".join(words)
            hint = near_hint(word.text, words)
            raise self.problem(
                "formula-unknown-word", word.span, word=word.text, name=other.name, known=known, hint=hint
            )
        return core.Condition(node.operator, tree, core.Const(float(words.index(word.text)), word.span), node.span)

    def _sum(self, node: Sum) -> Typed:
        if self._in_sum:
            raise self.problem("formula-sum-in-sum", node.at)
        self._in_sum = True
        dimension, tree = self.value(node.of)
        where = None if node.where is None else self.condition(node.where)
        rows, self._rows = self._rows, None
        self._in_sum = False
        if rows is None:
            raise self.problem("formula-sum-without-column", node.at)
        if dimension.absolute:
            raise self.problem("formula-temperature-arithmetic", node.of.span, doing="summed")
        return dimension, core.RowSum(rows, tree, where, node.span)

    def _lookup(self, node: Lookup) -> Typed:
        table = self._scope.tables.get(node.table)
        if table is None:
            hint = near_hint(node.table, self._scope.tables)
            raise self.problem("formula-unknown-table", node.table_at, table=node.table, hint=hint)
        tree: core.CoreNode
        if table.words is not None:
            if not isinstance(node.of, Name) or self._scope.words.get(node.of.name) != table.words:
                raise self.problem("formula-table-by-choice", node.of.span, table=node.table)
            tree = core.Var(node.of.name + CHOSEN, node.of.span)
        else:
            dimension, tree = self.value(node.of)
            unit = table.x_unit
            if unit is None or dimension != unit.dimension:
                got = self._units.described(dimension)
                wanted = self._units.described(unit.dimension) if unit else "a choice"
                raise self.problem("formula-table-clash", node.of.span, table=node.table, got=got, wanted=wanted)
            if table.rule != "linear":
                self._refuse_inexact(node.of, "formula-inexact-lookup")
            shift = unit.shift if unit.offset else 0.0
            tree = core.Snap(_in_unit(tree, unit.scale, shift, node.of.span), node.of.span)
        return table.dimension, core.TableLookup(tree, table.xs, table.ys, table.rule, node.span)

    def solve(self, node: Solve, unknown: Dimension) -> core.Root:
        """The lowered equation of a solve step, its unknown of the dimension given."""
        self._unknown = (node.unknown, unknown)
        left, left_tree = self.value(node.where.left)
        right, right_tree = self.value(node.where.right)
        if node.where.operator != "=":
            raise self.problem("formula-solve-wants-equation", node.where.at)
        if left != right:
            raise self._clash(node.where.at, "=", (node.where.left, left), (node.where.right, right))
        if node.unknown not in _all_names(node.where):
            raise self.problem("formula-solve-without-unknown", node.where.span, name=node.unknown)
        return core.Root(node.unknown, left_tree, right_tree, node.low, node.high, node.span)

    def _refuse_inexact(self, node: Node, code: str = "formula-inexact-condition") -> None:
        unknown = self._unknown[0] if self._unknown else None
        if isinstance(node, Name) and (node.name in self._scope.inexact or node.name == unknown):
            raise self.problem(code, node.span, what=node.name)
        if isinstance(node, Call) and node.function in FUNCTIONS and FUNCTIONS[node.function].ulps:
            raise self.problem(code, node.span, what=f"{node.function}()")
        if isinstance(node, Binary) and node.operator == "^" and not _is_exact_power(_literal_ratio(node.right)):
            raise self.problem(code, node.span, what="this power")
        for child in children(node):
            self._refuse_inexact(child, code)

    def _call(self, node: Call) -> Typed:
        row = FUNCTIONS.get(node.function)
        if row is None:
            hint = near_hint(node.function, FUNCTIONS)
            raise self.problem("formula-unknown-function", node.at, name=node.function, hint=hint)
        if not row.least <= len(node.arguments) <= row.most:
            wanted = str(row.least) if row.least == row.most else f"{row.least} to {row.most}"
            raise self.problem("formula-arity", node.at, name=row.name, wanted=wanted, got=len(node.arguments))
        typed = [self.value(argument) for argument in node.arguments]
        dimension = self._call_dimension(row, node, [its for its, _ in typed])
        return dimension, core.Apply(row.name, tuple(tree for _, tree in typed), node.span)

    def _call_dimension(self, row: Function, node: Call, dimensions: list[Dimension]) -> Dimension:
        first = dimensions[0]
        if row.rule == PLAIN:
            if not first.is_plain:
                got = self._units.described(first)
                raise self.problem("formula-argument-not-plain", node.arguments[0].span, name=row.name, got=got)
            return PLAIN_DIMENSION
        if row.rule == ROOT or row.name == "abs":
            if first.absolute:
                raise self.problem(
                    "formula-temperature-arithmetic", node.arguments[0].span, doing=f"put into {row.name}"
                )
            return first ** Fraction(1, 2) if row.rule == ROOT else first
        for argument, dimension in zip(node.arguments[1:], dimensions[1:], strict=True):
            if dimension != first:
                raise self._clash(node.at, row.name, (node.arguments[0], first), (argument, dimension))
        return first

    def _in(self, node: In) -> Typed:
        dimension, tree = self.value(node.of)
        unit = self._units.units[node.unit]
        kelvin = dimension == TEMPERATURE and unit.dimension == TEMPERATURE_DIFFERENCE and unit.factor == 1
        if dimension != unit.dimension and not kelvin:
            got, wanted = self._units.described(dimension), self._units.described(unit.dimension)
            raise self.problem(
                "formula-in-clash",
                node.at,
                unit=node.unit,
                got=got,
                wanted=wanted,
                labels=(Label(node.of.span, got),),
            )
        return PLAIN_DIMENSION, _in_unit(tree, unit.scale, unit.shift if unit.offset else 0.0, node.span)

    # ---------------------------------------------------------------------------------------------------- problems

    def problem(self, code: str, span: Span, **rest: object) -> ProblemError:
        labels = rest.pop("labels", ())
        hint = rest.pop("hint", None)
        return ProblemError(Problem(code, rest, self._path, span, labels, hint))  # type: ignore[arg-type]

    def _clash(
        self, at: Span, operator: str, left: tuple[Node, Dimension], right: tuple[Node, Dimension]
    ) -> ProblemError:
        def label(side: tuple[Node, Dimension]) -> Label:
            return Label(side[0].span, f"{text(side[0])} is {self._units.described(side[1])}")

        left_name, right_name = self._units.described(left[1]), self._units.described(right[1])
        doing = {"+": "added", "-": "subtracted", "if": "two branches of one if"}.get(operator, "compared")
        if operator in FUNCTIONS:
            doing = f"put into one {operator}"
        return self.problem(
            "formula-clash", at, left=left_name, right=right_name, doing=doing, labels=(label(left), label(right))
        )


_MIRRORED = {"<": ">", ">": "<", "<=": ">=", ">=": "<=", "=": "=", "!=": "!="}


def _as_limit(node: Node) -> Number | None:
    if isinstance(node, Negate) and isinstance(node.of, Number):
        return node.of
    return node if isinstance(node, Number) else None


def _signed(node: Node, limit: Number) -> Fraction:
    number = exact(limit.text)
    return -number if isinstance(node, Negate) else number


def _in_unit(tree: core.CoreNode, scale: float, shift: float, span: Span) -> core.CoreNode:
    if scale != 1.0:
        tree = core.Arith("/", tree, core.Const(scale, span), span)
    if shift:
        tree = core.Arith("-", tree, core.Const(shift, span), span)
    return tree


def _literal_ratio(node: Node) -> Fraction | None:
    """The exponent a literal ratio stands for: `2`, `-1`, `0.5`, `(1/2)`, or None."""
    if isinstance(node, Negate):
        inner = _literal_ratio(node.of)
        return None if inner is None else -inner
    if isinstance(node, Number) and node.unit is None:
        return exact(node.text)
    if isinstance(node, Binary) and node.operator == "/":
        top, bottom = _literal_ratio(node.left), _literal_ratio(node.right)
        return top / bottom if top is not None and bottom else None
    return None


def _is_exact_power(ratio: Fraction | None) -> bool:
    return ratio is not None and ratio.denominator in (1, 2) and abs(ratio.numerator) <= MOST_WHOLE


def _lower_power(tree: core.CoreNode, ratio: Fraction, span: Span) -> core.CoreNode:
    if not _is_exact_power(ratio):
        return core.Power(tree, core.Const(float(ratio), span), span)
    if ratio == 0:
        return core.Power(tree, core.Const(0.0, span), span)  # exactly 1, but only where the base has a value
    if ratio.denominator == 2:  # noqa: PLR2004  a half
        tree = core.Apply("sqrt", (tree,), span)
    times = abs(ratio.numerator)
    if times > 1:
        tree = core.WholePower(tree, times, span)
    return core.Arith("/", core.Const(1.0, span), tree, span) if ratio < 0 else tree


def _as_float(value: Fraction) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf
