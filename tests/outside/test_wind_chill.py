"""Wind chill against the charts of two weather services, in whole degrees rounded half up, and a general library."""

from __future__ import annotations

import numpy as np
import pytest
import thermofeel

from hangtag.answers import work
from hangtag.book import Book

from .checks import Check, judge, refused, result

INDEX = (
    "worked from the published index of 2001: Osczevski and Bluestein, BAMS 86:1453 (2005), DOI 10.1175/BAMS-86-10-1453"
)
CANADA = "Environment Canada, wind chill chart"
STATES = "US National Weather Service, wind chill chart, read in a public copy"

# Both charts were compared with floor(index + 0.5) in every cell when their figures were gathered, and agree. The rows
# below are that rounding, set down in 40-digit decimals from the published index; the cells in SPOTS were read in the
# charts themselves.
CHART_CELSIUS = tuple(range(5, -55, -5))
CHART_METRIC = {  # km/h: degrees C, at +5 to -50
    5: (4, -2, -7, -13, -19, -24, -30, -36, -41, -47, -53, -58),
    10: (3, -3, -9, -15, -21, -27, -33, -39, -45, -51, -57, -63),
    15: (2, -4, -11, -17, -23, -29, -35, -41, -48, -54, -60, -66),
    20: (1, -5, -12, -18, -24, -30, -37, -43, -49, -56, -62, -68),
    25: (1, -6, -12, -19, -25, -32, -38, -44, -51, -57, -64, -70),
    30: (0, -6, -13, -20, -26, -33, -39, -46, -52, -59, -65, -72),
    35: (0, -7, -14, -20, -27, -33, -40, -47, -53, -60, -66, -73),
    40: (-1, -7, -14, -21, -27, -34, -41, -48, -54, -61, -68, -74),
    45: (-1, -8, -15, -21, -28, -35, -42, -48, -55, -62, -69, -75),
    50: (-1, -8, -15, -22, -29, -35, -42, -49, -56, -63, -69, -76),
    55: (-2, -8, -15, -22, -29, -36, -43, -50, -57, -63, -70, -77),
    60: (-2, -9, -16, -23, -30, -36, -43, -50, -57, -64, -71, -78),
    65: (-2, -9, -16, -23, -30, -37, -44, -51, -58, -65, -72, -79),
    70: (-2, -9, -16, -23, -30, -37, -44, -51, -58, -65, -72, -80),
    75: (-3, -10, -17, -24, -31, -38, -45, -52, -59, -66, -73, -80),
    80: (-3, -10, -17, -24, -31, -38, -45, -52, -60, -67, -74, -81),
}
CHART_FAHRENHEIT = tuple(range(45, -5, -5))
CHART_US = {  # mph: degrees F, at 45 to 0
    5: (42, 36, 31, 25, 19, 13, 7, 1, -5, -11),
    10: (40, 34, 27, 21, 15, 9, 3, -4, -10, -16),
    15: (38, 32, 25, 19, 13, 6, 0, -7, -13, -19),
    20: (37, 30, 24, 17, 11, 4, -2, -9, -15, -22),
    25: (36, 29, 23, 16, 9, 3, -4, -11, -17, -24),
    30: (35, 28, 22, 15, 8, 1, -5, -12, -19, -26),
    35: (35, 28, 21, 14, 7, 0, -7, -14, -21, -27),
    40: (34, 27, 20, 13, 6, -1, -8, -15, -22, -29),
    45: (33, 26, 19, 12, 5, -2, -9, -16, -23, -30),
    50: (33, 26, 19, 12, 4, -3, -10, -17, -24, -31),
    55: (32, 25, 18, 11, 4, -3, -11, -18, -25, -32),
    60: (32, 25, 17, 10, 3, -4, -11, -19, -26, -33),
}


def face(air: str, wind: str) -> dict[str, str]:
    """Air and wind as a forecast gives them."""
    return {"air": air, "wind": wind}


def printed(book: Book, given: dict[str, str], output: str) -> int:
    """The whole degrees that a reader sees."""
    answer = work(book, book.calculators["wind-chill"], given)
    assert answer.refused is None, answer.refused
    return int(next(step for step in answer.steps if step.name == output).shown.text.replace("\u2212", "-"))


SPOTS = (
    Check("wind-chill", face("-10 degC", "20 km/h"), "wind_chill", "-18 degC", "published", CANADA),
    Check("wind-chill", face("-25 degC", "20 km/h"), "wind_chill", "-37 degC", "published", CANADA),
    Check("wind-chill", face("0 degC", "40 km/h"), "wind_chill", "-7 degC", "published", CANADA),
    Check("wind-chill", face("-20 degC", "30 km/h"), "wind_chill", "-33 degC", "published", CANADA),
    Check("wind-chill", face("0 degF", "15 mph"), "wind_chill_us", "-19 degF", "reported", STATES),
    Check("wind-chill", face("20 degF", "10 mph"), "wind_chill_us", "9 degF", "reported", STATES),
    Check("wind-chill", face("-10 degF", "30 mph"), "wind_chill_us", "-39 degF", "reported", STATES),
    Check("wind-chill", face("-10 degC", "20 km/h"), "wind_chill", "-17.861 degC", "derived", INDEX),
    Check("wind-chill", face("-25 degC", "20 km/h"), "wind_chill", "-36.788 degC", "derived", INDEX),
    Check("wind-chill", face("0 degC", "40 km/h"), "wind_chill", "-7.396 degC", "derived", INDEX),
    Check("wind-chill", face("-20 degC", "30 km/h"), "wind_chill", "-32.568 degC", "derived", INDEX),
    Check("wind-chill", face("0 degF", "15 mph"), "wind_chill_us", "-19.398 degF", "derived", INDEX),
    Check("wind-chill", face("20 degF", "10 mph"), "wind_chill_us", "8.854 degF", "derived", INDEX),
    Check("wind-chill", face("-10 degF", "30 mph"), "wind_chill_us", "-39.447 degF", "derived", INDEX),
)


@pytest.mark.parametrize("check", SPOTS, ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize("wind", CHART_METRIC)
def test_metric_chart(book: Book, wind: int) -> None:
    cells = tuple(printed(book, face(f"{air} degC", f"{wind} km/h"), "wind_chill") for air in CHART_CELSIUS)
    assert cells == CHART_METRIC[wind], CANADA


@pytest.mark.parametrize("wind", CHART_US)
def test_us_chart(book: Book, wind: int) -> None:
    cells = tuple(printed(book, face(f"{air} degF", f"{wind} mph"), "wind_chill_us") for air in CHART_FAHRENHEIT)
    assert cells == CHART_US[wind], STATES


def test_charts_are_whole() -> None:
    assert sum(len(row) for row in CHART_METRIC.values()) == 192
    assert sum(len(row) for row in CHART_US.values()) == 120


@pytest.mark.parametrize("air", [10.0, 3.3, -17.5, -50.0])
@pytest.mark.parametrize("wind", [4.9, 17.0, 63.0, 96.0])
def test_metric_index_is_thermofeels(book: Book, air: float, wind: float) -> None:
    theirs = float(thermofeel.calculate_wind_chill(np.float64(air + 273.15), np.float64(wind / 3.6))) - 273.15
    found = result(book, "wind-chill", face(f"{air} degC", f"{wind} km/h"), "wind_chill", "degC")
    assert found == pytest.approx(theirs, abs=1e-9), "thermofeel 2.3, calculate_wind_chill"


def test_both_forms_tell_one_story(book: Book) -> None:
    """The two published forms differ only by their rounded coefficients: less than a Celsius degree."""
    for air in (-45, -20, 0, 8):
        for wind in (6, 30, 95):
            given = face(f"{air} degC", f"{wind} km/h")
            metric, us = (result(book, "wind-chill", given, of, "degC") for of in ("wind_chill", "wind_chill_us"))
            assert abs(metric - us) < 0.5


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (face("10.1 degC", "20 km/h"), "10 °C (50 °F) and colder"),
        (face("55 degF", "20 mph"), "10 °C (50 °F) and colder"),
        (face("-10 degC", "4.8 km/h"), "above 4.8 km/h (3 mph)"),
        (face("-10 degC", "0 km/h"), "above 4.8 km/h (3 mph)"),
        (face("-10 degC", "61 mph"), "97 km/h (60 mph)"),
    ],
    ids=str,
)
def test_outside_its_domain_there_is_no_number(book: Book, given: dict[str, str], words: str) -> None:
    assert words in refused(book, "wind-chill", given)
