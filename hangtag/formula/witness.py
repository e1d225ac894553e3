"""The same formulas through pint quantities: a second, independent run that carries the dimension with the number.

Walks the author's own tree, not the lowered one, so that a mistake in lowering cannot hide. Used by tests and by the
check of worked examples; must not be used by a page. Absolute temperatures are given in kelvin.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from hangtag.formula.functions import FUNCTIONS, PLAIN, ROOT
from hangtag.formula.nodes import Binary, Call, Compare, If, In, Name, Negate, Node, Number
from hangtag.numbers import exact, snap
from hangtag.units import BASES, Dimension, Unit, UnitList, registry

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


def evaluate(node: Node, known: Mapping[str, Quantity], units: UnitList) -> Quantity:
    """The value of a formula as a pint quantity in base units. Raises WitnessClash, ArithmeticError or ValueError."""
    walk = _Walk(known, units)
    return walk.value(node)


class _Walk:
    def __init__(self, known: Mapping[str, Quantity], units: UnitList) -> None:
        self._known = known
        self._units = units

    def value(self, node: Node) -> Quantity:
        match node:
            case Number():
                return self._number(node)
            case Name():
                return self._plain(math.pi) if node.name == "pi" else self._known[node.name]
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
            case Compare():
                raise WitnessClash

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
        if not isinstance(node, Compare):
            raise WitnessClash
        left, right = self.value(node.left), self.value(node.right)
        self._same(left, right)
        limit = _limit(node.right)
        if limit is not None:
            return _COMPARISONS[node.operator](self._snapped(left, limit), _signed(node.right, limit))
        limit = _limit(node.left)
        if limit is not None:
            return _COMPARISONS[node.operator](_signed(node.left, limit), self._snapped(right, limit))
        return _COMPARISONS[node.operator](left.magnitude, right.magnitude)

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
