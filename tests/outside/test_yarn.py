"""Linear density and the diameter of a filament against handbook densities and a general library."""

from __future__ import annotations

import numpy as np
import pint
import pytest

from hangtag.book import Book
from hangtag.calculators import ChoiceInput

from .checks import Check, judge, result

PINT = "pint 0.25 default_en.txt, group Textile: denier = gram / (9000 meter), tex = gram / kilometer"
DENSITY = "density: Morton and Hearle, Physical Properties of Textile Fibres, 4th ed. 2008, Tables 5.1 and 5.2"

# Given in kg/m3 so that the table stands apart from the units of the book.
MORTON_HEARLE = {"nylon": 1140.0, "polyester": 1390.0, "silk": 1340.0, "uhmwpe": 970.0, "polypropylene": 910.0}


def yarn(linear_density: str, output: str, expected: str) -> Check:
    """A conversion of linear density."""
    return Check("linear-density", {"linear_density": linear_density}, output, expected, "library", PINT)


def filament(linear_density: str, filaments: str, fibre: str, expected: str) -> Check:
    """A diameter that follows from a handbook density: d = sqrt(4 mu / (pi rho))."""
    given = {"linear_density": linear_density, "filaments": filaments, "fibre": fibre}
    return Check("fibre-diameter", given, "diameter", expected, "derived", DENSITY)


CHECKS = (
    yarn("7 denier", "tex", "0.7778 tex"),
    yarn("7 denier", "dtex", "7.778 dtex"),
    yarn("20 denier", "tex", "2.2222 tex"),
    yarn("20 denier", "dtex", "22.222 dtex"),
    yarn("22 dtex", "denier", "19.8 denier"),
    yarn("70 denier", "dtex", "77.778 dtex"),
    yarn("1000 denier", "tex", "111.111 tex"),
    yarn("20 denier", "length_per_gram", "450 m/g"),
    filament("10 denier", "10", "nylon", "11.140 um"),
    filament("10 denier", "10", "polyester", "10.088 um"),
    filament("10 denier", "10", "silk", "10.275 um"),
    filament("10 denier", "10", "uhmwpe", "12.077 um"),
    filament("10 denier", "10", "polypropylene", "12.468 um"),
    filament("20 denier", "34", "nylon", "8.544 um"),
    filament("30 denier", "10", "nylon", "19.295 um"),
    filament("75 denier", "72", "polyester", "10.297 um"),
)


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize("fibre", MORTON_HEARLE)
def test_density_is_the_handbooks(book: Book, fibre: str) -> None:
    choice = next(of for of in book.calculators["fibre-diameter"].inputs if isinstance(of, ChoiceInput))
    option = next(option for option in choice.options if option.name == fibre)
    assert option.amount is not None
    assert option.amount.si == pytest.approx(MORTON_HEARLE[fibre], rel=1e-12), DENSITY


def test_published_widths_of_silk_hold_one_denier_a_strand(book: Book) -> None:
    """Degummed silk is reported as 5-10 um and as 10-13 um wide in encyclopaedias; one denier lies where they meet."""
    given = {"linear_density": "10 denier", "filaments": "10", "fibre": "silk"}
    found = result(book, "fibre-diameter", given, "diameter", "um")
    assert found == pytest.approx(10, abs=0.5)


def test_denier_per_filament_is_pints_quotient(book: Book) -> None:
    units: pint.UnitRegistry[float] = pint.UnitRegistry()
    each = (units.Quantity(20.0, "denier") / 34).to("tex").magnitude
    given = {"linear_density": "20 denier", "filaments": "34"}
    found = result(book, "fibre-diameter", given, "denier_per_filament", "tex")
    assert np.isclose(found, each, rtol=1e-14), PINT
