"""Boiling points against the steam formulation, pressures against a library of the standard atmosphere."""

from __future__ import annotations

import ambiance
import numpy as np
import pytest
from iapws.iapws97 import _PSat_T, _TSat_P

from hangtag.answers import work_backwards
from hangtag.book import Book

from .checks import Check, judge, result

IF97 = "IAPWS Industrial Formulation 1997, release of 2007, Tables 35 and 36: check values"
LIBRARY = "iapws 1.5: saturation temperature of IAPWS-IF97"
ATMOSPHERE = "ambiance 1.3: 1976 standard atmosphere by geometric height"
GUIDELINE = (
    "clinical guideline on water treatment of 2024 (DOI 10.1177/10806032231218722), read second-hand: 83 at 5000 m"
)
ANTOINE = "the Antoine formula lies up to 0.09 K above the steam formulation"

BOILING = {  # metres: degrees C by IF97
    "0": 99.974,
    "500": 98.313,
    "1000": 96.649,
    "1500": 94.984,
    "2000": 93.317,
    "2500": 91.648,
    "3000": 89.977,
    "3500": 88.304,
    "4000": 86.628,
    "5000": 83.268,
    "6000": 79.897,
    "8848.86": 70.219,
}
FEET = {"5000": 94.90, "6500": 93.38, "10000": 89.82, "14505": 85.21}
PRESSURES = {
    "0": "101.325",
    "1000": "89.8763",
    "2000": "79.501",
    "3000": "70.121",
    "5000": "54.0483",
    "8848.86": "31.497",
}


@pytest.mark.parametrize(("megapascal", "kelvin"), [(0.1, 372.755919), (1, 453.035632), (10, 584.149488)])
def test_the_library_holds_the_published_temperatures(megapascal: float, kelvin: float) -> None:
    assert _TSat_P(megapascal) == pytest.approx(kelvin, abs=5e-7), IF97


@pytest.mark.parametrize(("kelvin", "megapascal"), [(300, 0.00353658941), (500, 2.63889776)])
def test_the_library_holds_the_published_pressures(kelvin: float, megapascal: float) -> None:
    assert _PSat_T(kelvin) == pytest.approx(megapascal, rel=2e-9), IF97


@pytest.mark.parametrize(
    ("altitude", "celsius"), [*((f"{m} m", t) for m, t in BOILING.items()), *((f"{f} ft", t) for f, t in FEET.items())]
)
def test_boiling_point_is_the_formulations(book: Book, altitude: str, celsius: float) -> None:
    given = {"altitude": altitude}
    pressure = result(book, "boil-altitude", given, "pressure", "kPa")
    theirs = _TSat_P(pressure / 1000) - 273.15
    assert theirs == pytest.approx(celsius, abs=0.006), LIBRARY
    found = result(book, "boil-altitude", given, "boiling_point", "degC")
    assert 0 < found - theirs < 0.09, ANTOINE


def test_boiling_point_everywhere(book: Book) -> None:
    for altitude in range(0, 9001, 250):
        given = {"altitude": f"{altitude} m"}
        pascal = ambiance.Atmosphere(altitude).pressure[0]
        assert result(book, "boil-altitude", given, "pressure", "Pa") == pytest.approx(pascal, rel=1e-9), ATMOSPHERE
        theirs = _TSat_P(pascal / 1e6) - 273.15
        assert 0 < result(book, "boil-altitude", given, "boiling_point", "degC") - theirs < 0.09, LIBRARY


CHECKS = (
    *(
        Check("boil-altitude", {"altitude": f"{metres} m"}, "pressure", f"{kilopascal} kPa", "library", ATMOSPHERE)
        for metres, kilopascal in PRESSURES.items()
    ),
    Check("boil-altitude", {"altitude": "5000 m"}, "boiling_point", "83 degC", "reported", GUIDELINE),
)


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


def test_backwards_is_near_the_formulations_altitude(book: Book) -> None:
    """IF97 and the standard atmosphere put 90 degrees C at 2993 m; 0.06 K more of Antoine are 17 m."""
    answer = work_backwards(book, book.calculators["boil-altitude"], {}, "boiling_point", "90 degC", "altitude")
    assert answer.solved is not None
    (only,) = answer.solved.answers
    assert only.si == pytest.approx(2993, abs=0.09 * 300)
    assert np.isclose(
        result(book, "boil-altitude", {"altitude": f"{only.si} m"}, "boiling_point", "degC"), 90, atol=1e-6
    )
