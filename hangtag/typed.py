"""What a reader typed: a text such as `1 500 mm` becomes a number, a unit of the book and an SI value.

One lookup for fields, addresses and the command line; the browser does the same in `site_templates/scripts/units.js`,
proved by tests/compliance/fields. Must not know calculators, ranges or pages.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from hangtag.numbers import Refused, exact, read_typed, show_exact
from hangtag.units import Unit, UnitList

# How spellings that look alike are made one: `m²`, `m^2` and `m2`; `µm` and `um`. Spaces and `^` are left away.
_ALIKE = str.maketrans(
    "⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉−‐‑‒–⁻·⋅∙×⁄∕µμº˚’′″“”",
    '01234567890123456789------****//uu°°\'\'"""',
    "^ \t\n\r\f\v\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000",
)
_LOWER = str.maketrans("ABCDEFGHIJKLMNOPQRSTUVWXYZ", "abcdefghijklmnopqrstuvwxyz")


class WrongUnit(Refused):
    """A typed unit that is unknown or measures another thing."""


@dataclass(frozen=True)
class Quantity:
    """A typed quantity: the number as decimal text, its unit, and the SI value; `doubted` as in `numbers.Typed`."""

    number: str
    unit: Unit
    si: float
    doubted: bool


def spelling_key(text: str) -> str:
    """A spelling with spaces left away and look-alikes made one, its case kept."""
    return text.translate(_ALIKE)


def folded_key(text: str) -> str:
    """The same with the case of ASCII letters folded."""
    return spelling_key(text).translate(_LOWER)


def find_typed(text: str, own: Sequence[Unit], units: UnitList) -> Unit | None:
    """The unit a reader typed, or None: looked up among the field's own units first, then among all of the book.

    In each, an id wins over a printed form and that over a typed spelling; then look-alikes, and last the spellings and
    spoken names with folded case, where only one unit has them.
    """
    return _among(text, own) or _among(text, tuple(units.units.values()))


def _among(text: str, units: Sequence[Unit]) -> Unit | None:
    as_written: tuple[Callable[[Unit], Iterable[str]], ...] = (
        lambda unit: (unit.id,),
        lambda unit: (unit.prints,),
        lambda unit: unit.typed,
    )
    for spellings in as_written:
        for unit in units:
            if text in spellings(unit):
                return unit
    for key in (spelling_key, folded_key):
        wanted = key(text)
        hits = [
            unit
            for unit in units
            if any(key(known) == wanted for known in (unit.id, unit.prints, *unit.typed, unit.says))
        ]
        if len(hits) == 1:
            return hits[0]
    return None


def read_quantity(text: str, own: Sequence[Unit], units: UnitList, language: str = "en") -> Quantity:
    """Read a typed quantity for a field whose own units are `own`; without a unit it is in the first of them.

    Raises `numbers.NotANumber` for a text that is no number, WrongUnit for a unit that is unknown or measures another
    thing; both carry a label's code and its values.
    """
    field = own[0]
    typed = read_typed(text, language, kelvin=_reads_kelvin(field, units))
    unit = find_typed(typed.unit, own, units) if typed.unit else field
    known = ", ".join(each.prints for each in own)
    if unit is None:
        raise WrongUnit("unit-unknown", {"unit": typed.unit, "known": known})
    if unit.dimension != field.dimension:
        found, wanted = units.name_of(unit.dimension), units.name_of(field.dimension)
        raise WrongUnit("unit-wrong-dimension", {"unit": typed.unit, "found": found, "wanted": wanted, "known": known})
    return Quantity(typed.number, unit, unit.to_si(float(typed.number)), typed.doubted)


# What stands between the two ends of a typed range: a word, a dash, or a hyphen between two digits.
_RANGE = re.compile(r"\s+to\s+|\s*[\u2013\u2014]\s*|(?<=[0-9])\s*-\s*(?=[0-9])")


def read_range(text: str, own: Sequence[Unit], units: UnitList, language: str = "en") -> tuple[Quantity, Quantity]:
    """Read `0.04 to 0.08 W/(m*K)`; one quantity is both ends, and a lower end without a unit takes the upper one's.

    Raises as `read_quantity`.
    """
    ends = _RANGE.split(text.strip(), maxsplit=1)
    high = read_quantity(ends[-1], own, units, language)
    if len(ends) == 1:
        return high, high
    low = read_quantity(ends[0], (high.unit, *own), units, language)
    return (low, high) if low.si <= high.si else (high, low)


def _reads_kelvin(field: Unit, units: UnitList) -> bool:
    # `10K` on a water head is ten thousand; in a field of temperatures it must never be.
    kelvin = next((unit for unit in units.units.values() if "K" in (unit.id, unit.prints, *unit.typed)), None)
    return bool(field.offset) or (kelvin is not None and kelvin.dimension == field.dimension)


def convert_text(number: str, from_unit: Unit, to_unit: Unit) -> str:
    """A typed number in another unit, by one exact fraction, half-up to at most 15 significant digits.

    Raises ValueError for a number that is not in the author's grammar.
    """
    return show_exact(from_unit.exact_si(exact(number)) / to_unit.factor - to_unit.offset)


def browser_table(units: UnitList) -> dict[str, dict[str, object]]:
    """All units as data for `hangtag.units.define` of scripts/units.js."""
    return {unit.id: _row(unit, units) for unit in units.units.values()}


def _row(unit: Unit, units: UnitList) -> dict[str, object]:
    row: dict[str, object] = {"p": unit.prints, "t": list(unit.typed), "s": unit.says}
    row |= {"n": str(unit.factor.numerator), "d": str(unit.factor.denominator), "f": unit.scale}
    if unit.offset != Fraction(0):
        row |= {"o": unit.shift, "on": str(unit.offset)}
    return row | {"k": units.name_of(unit.dimension)}
