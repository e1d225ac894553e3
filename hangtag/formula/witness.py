"""The same formulas through pint quantities: a second, independent run that carries the dimension with the number.

Walks the author's own tree, not the lowered one, so that a mistake in lowering cannot hide. Used by tests and by the
check of worked examples; must not be used by a page. Absolute temperatures are given in kelvin.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from hangtag.formula.check import check, names_in
from hangtag.formula.functions import FUNCTIONS, PLAIN, ROOT
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
from hangtag.formula.numeric import lookup, root
from hangtag.formula.scope import CHOSEN, Scope
from hangtag.numbers import exact, snap
from hangtag.units import BASES, Dimension, Unit, UnitList, registry
from hangtag.units import PLAIN as PLAIN_DIMENSION

Quantity = Any  # pint's own type is generic over magnitudes in a way that mypy cannot follow here
_PINT_NAMES = dict(zip(BASES, ("kilogram", "meter", "second", "kelvin", "ampere", "mole", "candela"), strict=True))
_COMPARISONS: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
    "=": operator.eq,
    "!=": operator.ne,
}


class WitnessClash(ArithmeticError):
    """pint finds that two quantities do not fit; with checked formulas this never happens."""


def quantity(value: float, dimension: Dimension) -> Quantity:
    """An SI float as a pint quantity in base units."""
    powers = {_PINT_NAMES[base]: power for base, power in zip(BASES, dimension.exponents, strict=True) if power}
    return registry().Quantity(value, registry().UnitsContainer(powers))


def has_dimension(of: Quantity, dimension: Dimension) -> bool:
    """Whether a quantity is in exactly the base units of a dimension."""
    return bool(of.units == quantity(1.0, dimension).units)


def evaluate(
    node: Node,
    known: Mapping[str, Quantity],
    units: UnitList,
    scope: Scope | None = None,
    unknown: Dimension | None = None,
) -> Quantity:
    """The value of a formula as a pint quantity in base units. Raises WitnessClash, ArithmeticError or ValueError.

    `known` also holds which option of a choice (`<name>_CHOICE`, a float) and lists of rows (sequences of floats, as a
    run is given them); `scope` says what their columns and the tables are. `unknown` is the dimension of a solve step.
    """
    walk = _Walk(known, units, scope or Scope())
    return walk.solve(node, unknown or PLAIN_DIMENSION) if isinstance(node, Solve) else walk.value(node)


class _Walk:
    def __init__(self, known: Mapping[str, Quantity], units: UnitList, scope: Scope) -> None:
        self._known = dict(known)
        self._units = units
        self._scope = scope
        self._row: Sequence[float] = ()

    def value(self, node: Node) -> Quantity:
        match node:
            case Number():
                return self._number(node)
            case Name():
                return self._name(node)
            case Negate():
                return -self.value(node.of)
            case Binary():
                return self._binary(node)
            case If():
                return self.value(node.then if self._holds(node.condition) else node.otherwise)
            case Call():
                return self._call(node)
            case In():
                return self._plain(self._number_in(self.value(node.of), self._units.units[node.unit]))
            case Sum():
                return self._sum(node)
            case Lookup():
                return self._lookup(node)
            case Compare() | Logic() | Word() | Solve():
                raise WitnessClash

    def _name(self, node: Name) -> Quantity:
        if node.name == "pi":
            return self._plain(math.pi)
        column = self._scope.columns.get(node.name)
        if column is not None and column.dimension is not None:
            return quantity(self._row[column.index], column.dimension)
        return self._known[node.name]

    def _sum(self, node: Sum) -> Quantity:
        names = [name for name in names_in(node) if name in self._scope.columns]
        total: Quantity = None
        for row in self._known[self._scope.columns[names[0]].rows]:
            self._row = row
            if node.where is None or self._holds(node.where):
                value = self.value(node.of)
                if total is None:  # from zero, as every back end does
                    total = registry().Quantity(0.0, value.units)
                self._same(total, value)
                total = total + value
        if total is None:  # over no rows nothing tells the unit but the check
            total = quantity(0.0, check(node, self._scope, self._units).dimension)
        return total

    def _lookup(self, node: Lookup) -> Quantity:
        table = self._scope.tables[node.table]
        if table.words is not None and isinstance(node.of, Name):
            x = float(self._known[node.of.name + CHOSEN])
        elif table.x_unit is not None:
            x = snap(self._number_in(self.value(node.of), table.x_unit))
        else:
            raise WitnessClash
        return quantity(lookup(x, table.xs, table.ys, table.rule), table.dimension)

    def solve(self, node: Solve, unknown: Dimension) -> Quantity:
        def sides(x: float) -> tuple[float, float]:
            self._known[node.unknown] = quantity(x, unknown)
            left, right = self.value(node.where.left), self.value(node.where.right)
            self._same(left, right)
            return left.magnitude, right.magnitude

        return quantity(root(sides, node.low, node.high), unknown)

    def _number(self, node: Number) -> Quantity:
        if node.unit is None:
            return self._plain(float(exact(node.text)))
        unit = self._units.units[node.unit]
        return quantity(float(unit.exact_si(exact(node.text))), unit.dimension)

    def _plain(self, value: float) -> Quantity:
        return registry().Quantity(value)

    def _number_in(self, value: Quantity, unit: Unit) -> float:
        if not has_dimension(value, unit.dimension):
            raise WitnessClash
        number: float = value.magnitude / unit.scale
        return number - unit.shift if unit.offset else number

    def _binary(self, node: Binary) -> Quantity:
        if node.operator == "^":
            return self._power(self.value(node.left), node.right)
        left, right = self.value(node.left), self.value(node.right)
        if node.operator in "+-":
            self._same(left, right)
            return left + right if node.operator == "+" else left - right
        return left * right if node.operator == "*" else left / right

    def _same(self, left: Quantity, right: Quantity) -> None:
        if left.units != right.units:
            raise WitnessClash

    def _power(self, base: Quantity, exponent: Node) -> Quantity:
        ratio = _ratio(exponent)
        if ratio == 0:
            return self._plain(1.0)
        if ratio is None or ratio.denominator not in (1, 2) or abs(ratio.numerator) > 8:  # noqa: PLR2004  as the language says
            power = self.value(exponent).magnitude if ratio is None else float(ratio)
            units = (base / base.magnitude if base.magnitude else base).units if ratio is not None else None
            value = math.pow(base.magnitude, power)
            return self._plain(value) if units is None else registry().Quantity(value, units**ratio)
        if ratio.denominator == 2:  # noqa: PLR2004
            base = registry().Quantity(math.sqrt(base.magnitude), base.units ** Fraction(1, 2))
        result = base
        for _ in range(abs(ratio.numerator) - 1):
            result = result * base
        return 1.0 / result if ratio < 0 else result

    def _holds(self, node: Node) -> bool:
        if isinstance(node, Logic):
            if node.operator == "and":
                return self._holds(node.left) and self._holds(node.right)
            return self._holds(node.left) or self._holds(node.right)
        if not isinstance(node, Compare):
            raise WitnessClash
        for word, other in ((node.left, node.right), (node.right, node.left)):
            if isinstance(word, Word) and isinstance(other, Name):
                return self._is_word(other.name, word.text) == (node.operator == "=")
        left, right = self.value(node.left), self.value(node.right)
        self._same(left, right)
        limit = _limit(node.right)
        if limit is not None:
            return _COMPARISONS[node.operator](self._snapped(left, limit), _signed(node.right, limit))
        limit = _limit(node.left)
        if limit is not None:
            return _COMPARISONS[node.operator](_signed(node.left, limit), self._snapped(right, limit))
        return _COMPARISONS[node.operator](left.magnitude, right.magnitude)

    def _is_word(self, name: str, word: str) -> bool:
        column = self._scope.columns.get(name)
        if column is not None and column.words is not None:
            return column.words[int(self._row[column.index])] == word
        return self._scope.words[name][int(self._known[name + CHOSEN])] == word

    def _snapped(self, value: Quantity, limit: Number) -> float:
        if limit.unit is None:
            return snap(value.magnitude)
        return snap(self._number_in(value, self._units.units[limit.unit]))

    def _call(self, node: Call) -> Quantity:
        row = FUNCTIONS[node.function]
        arguments = [self.value(argument) for argument in node.arguments]
        for other in arguments[1:]:
            self._same(arguments[0], other)
        if row.rule == PLAIN and not arguments[0].dimensionless:
            raise WitnessClash
        value = row.run(*(argument.magnitude for argument in arguments))
        if row.rule == PLAIN:
            return self._plain(value)
        units = arguments[0].units
        return registry().Quantity(value, units ** Fraction(1, 2) if row.rule == ROOT else units)


def _ratio(node: Node) -> Fraction | None:
    match node:
        case Number(unit=None):
            return exact(node.text)
        case Negate():
            inner = _ratio(node.of)
            return None if inner is None else -inner
        case Binary(operator="/"):
            top, bottom = _ratio(node.left), _ratio(node.right)
            return top / bottom if top is not None and bottom else None
        case _:
            return None


def _limit(node: Node) -> Number | None:
    if isinstance(node, Negate):
        node = node.of
    return node if isinstance(node, Number) else None


def _signed(node: Node, limit: Number) -> float:
    number = exact(limit.text)
    return float(-number if isinstance(node, Negate) else number)
