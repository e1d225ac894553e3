"""A number with its unit, as an author writes it: `20 kPa`, or `1000` where the unit is known.

Readers write more freely; that is `typed.py`. Must not know what the amount is of.
"""

from __future__ import annotations

from dataclasses import dataclass

from hangtag.numbers import exact, is_author_number, snap
from hangtag.problems import Problems, Span, near_hint
from hangtag.units import PLAIN_UNIT, Dimension, Unit, UnitList
from hangtag.yaml_source import Node, Scalar


@dataclass(frozen=True)
class Amount:
    """A number an author wrote, with its unit; `si` is the float nearest to its value in SI."""

    text: str  # the number alone, as written
    unit: Unit
    si: float
    span: Span

    @property
    def written(self) -> str:
        """The number and its unit, as an author writes them."""
        return self.text if self.unit.id == PLAIN_UNIT else f"{self.text} {self.unit.id}"


@dataclass(frozen=True)
class AmountReader:
    """Reads the amounts of one file, noting Problems."""

    units: UnitList
    path: str
    problems: Problems

    def unit(self, scalar: Scalar | None, start: int = 0) -> Unit | None:
        """The unit whose id a scalar (from `start` on) is."""
        if scalar is None:
            return None
        word = scalar.text[start:]
        unit = self.units.units.get(word)
        if unit is None:
            hint = near_hint(word, self.units.units)
            self.problems.add("unknown-unit", self.path, scalar.place(start, len(scalar.text)), unit=word, hint=hint)
        return unit

    def amount(
        self, node: Node | None, default: Unit | None = None, dimension: Dimension | None = None
    ) -> Amount | None:
        """A number and its unit. `default` is the unit of a bare number; `dimension` is what it must measure."""
        if node is None:
            return None
        if not isinstance(node, Scalar):
            self.problems.add("not-a-text", self.path, node.span, key="an amount")
            return None
        number, _, rest = node.text.partition(" ")
        if not is_author_number(number):
            self.problems.add("not-a-number", self.path, node.span, text=node.text)
            return None
        unit = self.unit(node, len(node.text) - len(rest)) if rest else default
        if unit is None:
            if not rest:
                self.problems.add("amount-without-unit", self.path, node.span, unit=f"{number} mm")
            return None
        wanted = dimension or (default.dimension if default else None)
        if wanted is not None and unit.dimension != wanted:
            got, name = self.units.described(unit.dimension), self.units.described(wanted)
            self.problems.add("amount-wrong-dimension", self.path, node.span, text=node.text, got=got, wanted=name)
            return None
        return Amount(number, unit, float(unit.exact_si(exact(number))), node.span)


def within(si: float, low: Amount, high: Amount) -> bool:
    """Whether an SI value lies in a range, both compared in their limit's own unit, snapped to 15 digits."""
    return snap(low.unit.from_si(si)) >= snap(float(exact(low.text))) and snap(high.unit.from_si(si)) <= snap(
        float(exact(high.text))
    )
