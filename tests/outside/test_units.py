"""The exact factor of every unit of measure that a table or a general library also prints."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import pint
import pytest
from scipy import constants

from hangtag.book import Book

from .checks import Mark, half_step

SP811 = "NIST Special Publication 811 (2008), Appendix B.8, as transcribed in the CRAN package NISTunits 1.0.1"
PINT = "pint 0.25, its default registry of floats"
SCIPY = "scipy.constants"


@dataclass(frozen=True)
class Factor:
    """A unit of the book, its value in SI units, the size of a last-digit step, and who says so."""

    unit: str
    mantissa: str
    exponent: int
    mark: Mark
    source: str


PRINTED = (
    Factor("denier", "1.111111", -7, "reported", SP811),
    Factor("tex", "1.0", -6, "reported", SP811),
    Factor("mmH2O", "9.80665", 0, "reported", SP811),
    Factor("psi", "6.894757", 3, "reported", SP811),
)

PINT_NAMES = {
    "denier": "denier",
    "tex": "tex",
    "dtex": "dtex",
    "mmH2O": "mmH2O",
    "kPa": "kilopascal",
    "psi": "psi",
    "bar": "bar",
    "in^3/oz": "inch**3/ounce",
    "oz": "ounce",
    "lb": "pound",
    "ft^2": "foot**2",
    "in": "inch",
}

OF_SCIPY = {
    "psi": constants.psi,
    "bar": constants.bar,
    "in^3/oz": constants.inch**3 / constants.ounce,
    "oz": constants.ounce,
    "lb": constants.lb,
    "in": constants.inch,
    "ft^2": constants.foot**2,
    "denier": constants.gram / 9000,
    "mmH2O": constants.g,  # a millimetre of water of 1000 kg/m3 at standard gravity
    "R": constants.degree_Fahrenheit * constants.foot**2 * constants.hour / constants.Btu_IT,
}


@cache
def plain_units() -> pint.UnitRegistry[float]:
    """pint as it comes."""
    return pint.UnitRegistry()


@pytest.mark.parametrize("factor", PRINTED, ids=lambda factor: factor.unit)
def test_factor_is_the_printed_one(book: Book, factor: Factor) -> None:
    found = float(book.units.units[factor.unit].factor) / 10.0**factor.exponent
    assert abs(found - float(factor.mantissa)) <= half_step(factor.mantissa), factor.source


@pytest.mark.parametrize("unit", PINT_NAMES)
def test_factor_is_pints(book: Book, unit: str) -> None:
    # The book reads pint with exact fractions; here pint runs with floats and its own parser.
    theirs = plain_units().Quantity(1.0, PINT_NAMES[unit]).to_base_units().magnitude
    assert np.isclose(float(book.units.units[unit].factor), theirs, rtol=1e-14, atol=0), PINT


@pytest.mark.parametrize("unit", OF_SCIPY)
def test_factor_is_scipys(book: Book, unit: str) -> None:
    assert np.isclose(float(book.units.units[unit].factor), OF_SCIPY[unit], rtol=1e-14, atol=0), SCIPY


def test_customary_resistance_uses_the_international_table_btu(book: Book) -> None:
    r"""pint's own Btu is the rounded 1055.056 J; the printed factor 5.678263 needs 1055.05585262 J."""
    assert round(1 / float(book.units.units["R"].factor), 6) == 5.678263
