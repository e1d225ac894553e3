"""Units of insulation and the heat that a pad lets through, against definitions, a glossary and a general library."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import constants

from hangtag.book import Book

from .checks import Check, judge, result

DEFINITION = "1 clo = 0.155 m2K/W and 1 tog = 0.1 m2K/W by definition; R from the International Table Btu"
GLOSSARY = "American Meteorological Society Glossary, 'clo': 0.18 degrees C per kcal/(m2 h)"
STEADY = "steady conduction: flux = difference of temperature / resistance"

TABLE = {  # R: m2K/W, clo, tog
    "1": ("0.17611", "1.13619", "1.7611"),
    "2": ("0.3522", "2.2724", "3.522"),
    "4.2": ("0.73966", "4.7720", "7.397"),
    "6.9": ("1.21516", "7.8397", "12.152"),
}
CONVERSIONS = tuple(
    Check("thermal-resistance", {"r_value": f"{printed} R"}, output, f"{number} {unit}", "derived", DEFINITION)
    for printed, numbers in TABLE.items()
    for number, output, unit in zip(numbers, ("rsi", "clo", "tog"), ("m^2*K/W", "clo", "tog"), strict=True)
)


def ground(r_value: str, output: str, expected: str) -> Check:
    """Skin at 33 degrees C, ground at 5, half a square metre."""
    given = {
        "r_value": r_value,
        "skin_temperature": "33 degC",
        "ground_temperature": "5 degC",
        "contact_area": "0.5 m^2",
    }
    return Check("ground-heat-loss", given, output, expected, "derived", STEADY)


LOSSES = (
    ground("4.2 R", "heat_flux", "37.86 W/m^2"),
    ground("4.2 R", "heat_loss", "18.93 W"),
    ground("2 R", "heat_flux", "79.50 W/m^2"),
    ground("2 R", "heat_loss", "39.75 W"),
)


@pytest.mark.parametrize("check", [*CONVERSIONS, *LOSSES], ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


def test_clo_is_the_glossarys_within_its_rounding(book: Book) -> None:
    kilocalorie_per_hour = constants.calorie_IT * 1000 / constants.hour
    exact = 0.18 / kilocalorie_per_hour  # 0.154772, which the definition rounds to 0.155
    found = float(book.units.units["clo"].factor)
    assert round(exact, 3) == found == pytest.approx(exact, rel=0.0015), GLOSSARY


@pytest.mark.parametrize("r_value", [0.9, 2.5, 4.2, 6.2, 8.0])
def test_resistance_and_flux_are_scipys(book: Book, r_value: float) -> None:
    rsi = r_value * constants.degree_Fahrenheit * constants.foot**2 * constants.hour / constants.Btu_IT
    found = result(book, "thermal-resistance", {"r_value": f"{r_value} R"}, "rsi", "m^2*K/W")
    assert np.isclose(found, rsi, rtol=1e-14), "scipy.constants.Btu_IT"
    given = {"r_value": f"{r_value} R", "skin_temperature": "33 degC", "ground_temperature": "-4 degC"}
    flux = result(book, "ground-heat-loss", given, "heat_flux", "W/m^2")
    kelvins = np.diff(constants.convert_temperature(np.array([-4.0, 33.0]), "Celsius", "Kelvin"))[0]
    assert np.isclose(flux, kelvins / rsi, rtol=1e-12), STEADY


def test_stacked_pads_add(book: Book) -> None:
    """Layers in series: the loss through R 2.0 on R 4.2 is the loss through R 6.2 (resistances add, full overlap)."""
    alone = [1 / result(book, "ground-heat-loss", {"r_value": f"{r} R"}, "heat_flux", "W/m^2") for r in (2.0, 4.2, 6.2)]
    assert alone[0] + alone[1] == pytest.approx(alone[2], rel=1e-12)
