"""Shelters: breath, dew and moving air; floors and walls; wind, straps, sag, against tables and general libraries."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import ambiance
import numpy as np
import pint
import pytest
from iapws import IAPWS97
from iapws.iapws97 import _PSat_T, _TSat_P
from scipy import constants
from scipy.integrate import quad

from hangtag.answers import work_backwards
from hangtag.book import Book
from hangtag.problems import ProblemError

from .checks import Check, judge, refused, result

PINT = "pint 0.25"
IF97 = "iapws 1.5: saturation by IAPWS-IF97"
HANDBOOK = (
    "Institute of Medicine, Nutritional Needs in Cold and in High-Altitude Environments, 1996, Table 9-2: mL/h at 100 W"
)
FANGER = "0.0173 * heat * (5.87 kPa - vapour pressure) over 2430 J/g, worked by hand in the form of ISO 7730"
PSYCHROLIB = "psychrolib 2.5.0, logged when it was run"
METPY = "metpy 1.7.1, logged when it was run"
MAGNUS = "Alduchov and Eskridge 1996, numbers 17.625 and 243.04, inverted by hand"
HEADROOM = "water of the sleepers over the water that a cubic metre can take along, by hand"
DRAFT = "ISO 5912, draft text of 2019: test area 2 is 200 cm by 60 cm; 2.5 kg for a place parts its categories"
GEOMETRY = "plane geometry, by hand"
WIND = "half the density times the speed squared; pull = pressure * radius of the bow, by hand"
FLUIDS = "fluids 1.3.1: ratio of densities of the 1976 standard atmosphere, logged when it was run"
CABLE = (
    "cable of 104 ft across 100 ft: Beer and Johnston, Vector Mechanics: Statics, chapter 7; problem read, its answer"
    " of 12.25 ft from memory"
)
STATICS = "statics of a hanging load: pull = weight / (2 sin angle)"
LINE = "statics of an evenly loaded line, two terms of its length: sag = sqrt(3 * span * growth / 8)"
SUM = "added by hand"

# ------------------------------------------------------------------------------------------------ breath, dew and air


def breath(heat: str, celsius: float, humidity: float) -> dict[str, str]:
    """One sleeper for eight hours."""
    return {
        "body_heat": f"{heat} W",
        "air_temperature": f"{celsius} degC",
        "humidity": f"{humidity} %",
        "night": "8 h",
        "sleepers": "1",
    }


OF_THE_HANDBOOK = tuple(
    Check(
        "breath-water",
        breath("100", celsius, humidity),
        "water_rate",
        f"{printed} g/h",
        "published",
        HANDBOOK,
        1,
        "the table is in whole millilitres and says about",
    )
    for celsius, humidity, printed in ((25, 65, 10), (0, 100, 13), (-20, 100, 15))
)
OF_FANGER = (
    *(
        Check("breath-water", breath("100", *air), "water_rate", f"{rate} g/h", "derived", FANGER)
        for air, rate in (((25, 65), "9.8"), ((0, 100), "13.5"), ((-20, 100), "14.7"))
    ),
    Check("breath-water", breath("82.8", 0, 50), "water_rate", "11.8 g/h", "derived", FANGER),
    Check("breath-water", breath("82.8", -20, 50), "water_rate", "12.3 g/h", "derived", FANGER),
    Check("breath-water", breath("82.8", -20, 50), "water_night", "99 g", "derived", FANGER),
)

DEW_POINTS = {  # degrees C and per cent: by the same formula, psychrolib, metpy
    (5, 90): ("3.496", "3.498", "3.490"),
    (10, 80): ("6.708", "6.713", "6.704"),
    (15, 70): (None, "9.579", "9.569"),
    (20, 50): ("9.261", "9.272", "9.256"),
    (0, 95): ("-0.705", None, "-0.715"),  # psychrolib counts over ice from here down, which is another quantity
    (-5, 85): ("-7.131", None, "-7.143"),
}


def air(celsius: float, humidity: float) -> dict[str, str]:
    """Air inside a shelter."""
    return {"air_temperature": f"{celsius} degC", "humidity": f"{humidity} %"}


AMONG_THEMSELVES = (0.02, "libraries differ by 0.02 K among themselves")


def dew(state: tuple[int, int], by_hand: str | None, *logged: tuple[str, str | None]) -> Iterator[Check]:
    """The dew point of one state of the air by the formula, and as libraries had it."""
    if by_hand:
        yield Check("dew-point", air(*state), "dew_point", f"{by_hand} degC", "derived", MAGNUS)
    for source, printed in logged:
        if printed:
            value = f"{printed} degC"
            yield Check("dew-point", air(*state), "dew_point", value, "library", source, *AMONG_THEMSELVES)


OF_DEW_POINTS = tuple(
    check
    for state, (by_hand, psychrolib, metpy) in DEW_POINTS.items()
    for check in dew(state, by_hand, (PSYCHROLIB, psychrolib), (METPY, metpy))
)


def tent(water: float, celsius: float, humidity: float, warmer: float = 0) -> dict[str, str]:
    """Two sleepers in three cubic metres."""
    return {
        "sleepers": "2",
        "water": f"{water} g/h",
        "outside_temperature": f"{celsius} degC",
        "outside_humidity": f"{humidity} %",
        "warmer_by": f"{warmer} K",
        "volume": "3 m^3",
    }


NEEDED = "the library's curve of vapour differs by 0.1 to 0.2 %, and the headroom is a small difference"
OF_TENTS = (
    Check("tent-air", tent(16.5, 5, 85), "headroom", "1.02 g/m^3", "derived", HEADROOM),
    Check("tent-air", tent(16.5, 5, 85), "air_needed", "32 m^3/h", "derived", HEADROOM),
    Check("tent-air", tent(16.5, 0, 90), "air_needed", "68 m^3/h", "derived", HEADROOM),
    Check("tent-air", tent(16.5, -10, 90), "air_needed", "140 m^3/h", "derived", HEADROOM),
    Check("tent-air", tent(45, 5, 90, 3), "air_needed", "41.8 m^3/h", "library", PSYCHROLIB, 0.2, NEEDED),
    Check("tent-air", tent(45, 5, 90, 3), "cloth_water", "8.268 g/m^3", "library", PSYCHROLIB, 0.02, NEEDED),
    Check("tent-air", tent(45, 5, 90, 3), "outside_water", "6.117 g/m^3", "library", PSYCHROLIB, 0.02, NEEDED),
)

# ---------------------------------------------------------------------------------------- floors, walls and weights


def floor(head: str, foot: str, length: str, persons: int) -> dict[str, str]:
    """A floor with straight sides."""
    return {"head_width": head, "foot_width": foot, "length": length, "persons": str(persons)}


def wall(width: str, peak: str, height: str) -> dict[str, str]:
    """Straight walls that meet at the peak."""
    return {"floor_width": width, "peak_height": peak, "height": height}


TENT_PARTS = {"body": "2 kg", "fly": "1.5 kg", "poles": "1 kg", "stakes": "0.4 kg", "sacks": "0.1 kg", "extras": "0 g"}
OF_FLOORS = (
    Check("floor-per-person", floor("48 in", "48 in", "84 in", 2), "floor", "2.601285 m^2", "library", PINT),
    Check("floor-per-person", floor("52 in", "42 in", "86 in", 2), "floor", "28.07 ft^2", "derived", GEOMETRY),
    Check("floor-per-person", floor("60 cm", "60 cm", "200 cm", 1), "per_person", "1.20 m^2", "published", DRAFT),
    Check("floor-per-person", floor("60 cm", "60 cm", "200 cm", 1), "per_person", "12.917 ft^2", "library", PINT),
    Check("usable-width", wall("1.4 m", "1.2 m", "0.9 m"), "width", "0.35 m", "derived", GEOMETRY),
    Check("shelter-weight", {**TENT_PARTS, "persons": "2"}, "per_person", "2.5 kg", "derived", SUM),
    Check("shelter-weight", {**TENT_PARTS, "persons": "2"}, "minimum", "4.5 kg", "derived", SUM),
    Check("shelter-weight", {**TENT_PARTS, "persons": "2"}, "packed", "11.0231 lb", "library", PINT),
)

# ------------------------------------------------------------------------------------------------- wind, straps, sag


def panel(speed: str, **more: str) -> dict[str, str]:
    """Two square metres of cloth at sea level."""
    return {"wind_speed": speed, "air_density": "1.225 kg/m^3", "area": "2 m^2", "shape": "1.3", **more}


DENSER = {"air_density": "1.25 kg/m^3"}
OF_WIND = (
    *(
        Check("wind-on-panel", panel(f"{speed} m/s"), "pressure", f"{pascal} Pa", "derived", WIND)
        for speed, pascal in ((10, "61.25"), (20, "245.0"), (25, "382.81"), (30, "551.25"))
    ),
    *(
        Check("wind-on-panel", panel(f"{speed} m/s", **DENSER), "pressure", f"{pascal} Pa", "derived", WIND)
        for speed, pascal in ((10, "62.5"), (20, "250.0"), (25, "390.63"), (30, "562.5"))
    ),
    Check("wind-on-panel", panel("40 mph"), "pressure", "195.8479 Pa", "library", PINT),
    Check("wind-on-panel", panel("40 mph"), "pressure", "4.0904 psf", "library", PINT),
    Check("wind-on-panel", panel("20 m/s"), "force", "637 N", "derived", WIND),
    *(
        Check("wind-on-panel", panel("20 m/s", span=span, bow=bow), "pull", f"{pull} N/m", "derived", WIND)
        for span, bow, pull in (
            ("1.5 m", "15 cm", "477.75"),
            ("1.5 m", "5 cm", "1384"),
            ("1.5 m", "10 cm", "701"),
            ("2 m", "10 cm", "1237"),
        )
    ),
)


def strap(load: str, degrees: float) -> dict[str, str]:
    """A body at rest between two straps; the angle from the horizontal."""
    return {"load": load, "angle": f"{degrees} deg"}


OF_STRAPS = (
    *(
        Check("strap-pull", strap("80 kg", degrees), "pull", f"{newton} N", "derived", STATICS)
        for degrees, newton in ((10, "2259.0"), (20, "1146.9"), (25, "928.2"), (45, "554.7"))
    ),
    Check("strap-pull", strap("80 kg", 30), "pull", "784.532 N", "derived", STATICS),
    Check("strap-pull", strap("80 kg", 15), "pull", "1515.599 N", "derived", STATICS),
    Check("strap-pull", strap("80 kg", 15), "times", "1.93 plain", "derived", STATICS),
    Check("strap-pull", strap("100 kg", 30), "pull", "980.7 N", "derived", STATICS),
    *(
        Check("strap-pull", strap("200 lb", degrees), "pull", f"{pounds} lbf", "library", PINT)
        for degrees, pounds in ((30, "200.0"), (15, "386.4"), (5, "1147.4"))
    ),
)


def ridge(span: str, percent: str) -> dict[str, str]:
    """A ridge that grows, with 2 N on each metre."""
    return {"span": span, "stretch": f"{percent} %", "load": "2 N/m"}


OF_RIDGES = (
    Check("stretch-to-sag", ridge("100 ft", "4"), "sag", "12.25 ft", "derived", CABLE),
    *(
        Check("stretch-to-sag", ridge("3 m", percent), "sag", f"{metres} m", "derived", LINE)
        for percent, metres in (("0.5", "0.1299"), ("1", "0.1837"), ("2", "0.2598"), ("2.9", "0.3128"))
    ),
    *(  # growth = 8 sag^2 / (3 span^2), for sags of 3, 6 and 15 cm
        Check("stretch-to-sag", ridge("3 m", percent), "pull", f"{newton} N", "derived", LINE)
        for percent, newton in (("0.1066666667", "37.5"), ("0.6666666667", "15.0"))
    ),
)

ALL = (*OF_THE_HANDBOOK, *OF_FANGER, *OF_DEW_POINTS, *OF_TENTS, *OF_FLOORS, *OF_WIND, *OF_STRAPS, *OF_RIDGES)


@pytest.mark.parametrize("check", ALL, ids=lambda check: f"{check} {check.number} {check.mark}")
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


# ---------------------------------------------------------------------------------------------- libraries, run here


@cache
def plain_units() -> pint.UnitRegistry[float]:
    """pint as it comes."""
    return pint.UnitRegistry()


def saturated(celsius: float) -> float:
    """Vapour over water in g/m3, from the pressure of the steam formulation and the gas law."""
    kelvin = constants.convert_temperature(celsius, "C", "K")
    return float(_PSat_T(kelvin) * 1e6 * 18.015268 / (constants.R * kelvin))


@pytest.mark.parametrize("state", [(5, 90), (10, 80), (15, 70), (20, 50), (30, 20), (25, 100)])
def test_dew_point_is_where_the_steam_formulation_saturates(book: Book, state: tuple[int, int]) -> None:
    celsius, humidity = state
    theirs = _TSat_P(_PSat_T(celsius + 273.15) * humidity / 100) - 273.15
    assert result(book, "dew-point", air(*state), "dew_point", "degC") == pytest.approx(theirs, abs=0.03), IF97


@pytest.mark.parametrize("celsius", [2, 10, 20, 30, 40])
def test_saturated_air_holds_the_vapour_of_the_steam_tables(book: Book, celsius: int) -> None:
    """The gas law and the short curve leave out what the tables know of real steam: up to 0.45 % at 30 degrees C."""
    steam = IAPWS97(T=celsius + 273.15, x=1).rho * 1000
    assert result(book, "dew-point", air(celsius, 100), "water_in_air", "g/m^3") == pytest.approx(steam, rel=5e-3), IF97


@pytest.mark.parametrize("celsius", [-30, -5, 0, 12, 45])
def test_saturated_air_is_at_its_dew_point(book: Book, celsius: int) -> None:
    assert result(book, "dew-point", air(celsius, 100), "dew_point", "degC") == pytest.approx(celsius, abs=1e-9)


def test_heat_of_evaporation_is_the_librarys(book: Book) -> None:
    """iapws: near the 30 to 34 degrees C of a mouth and of skin."""
    constant = next(its for its in book.calculators["breath-water"].constants if its.name == "latent_heat")
    for celsius in (28, 30, 34):
        dry, wet = (IAPWS97(T=celsius + 273.15, x=x).h for x in (1, 0))
        assert constant.amount.si / 1000 == pytest.approx(dry - wet, rel=5e-3), IF97


@pytest.mark.parametrize(("celsius", "humidity", "warmer"), [(5, 90, 3), (10, 70, 0), (20, 50, 5), (1, 85, 2)])
def test_air_needed_by_the_steam_formulation(book: Book, celsius: int, humidity: int, warmer: int) -> None:
    headroom = saturated(celsius + warmer) - saturated(celsius) * humidity / 100
    found = result(book, "tent-air", tent(45, celsius, humidity, warmer), "air_needed", "m^3/h")
    assert found == pytest.approx(90 / headroom, rel=5e-3), IF97


@pytest.mark.parametrize("widths", [(52, 42), (48, 48), (30, 80)])
def test_floor_is_the_area_of_its_corners(book: Book, widths: tuple[int, int]) -> None:
    """numpy: the signed areas between neighbouring corners."""
    head, foot = widths
    x = np.array([-head / 2, head / 2, foot / 2, -foot / 2])
    y = np.array([0.0, 0.0, 86.0, 86.0])
    corners = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    feet = plain_units().Quantity(float(corners), "inch**2").to("foot**2").magnitude
    found = result(book, "floor-per-person", floor(f"{head} in", f"{foot} in", "86 in", 3), "floor", "ft^2")
    assert found == pytest.approx(feet, rel=1e-10), PINT


@pytest.mark.parametrize("height", [0.0, 0.3, 0.75, 1.19])
def test_width_is_numpys_straight_line(book: Book, height: float) -> None:
    found = result(book, "usable-width", wall("1.4 m", "1.2 m", f"{height} m"), "width", "m")
    assert found == pytest.approx(np.interp(height, [0, 1.2], [1.4, 0]), abs=1e-12), "numpy.interp"


def test_width_ends_at_the_peak(book: Book) -> None:
    assert "peak" in refused(book, "usable-width", wall("1.4 m", "1.2 m", "1.2 m"))


@pytest.mark.parametrize(("metres", "ratio"), [(1000, 0.9075), (2000, 0.8217), (3000, 0.7422)])
def test_thin_air_pushes_less(book: Book, metres: int, ratio: float) -> None:
    density = float(ambiance.Atmosphere(metres).density[0])
    given = panel("20 m/s", air_density=f"{density:.9f} kg/m^3")
    found = result(book, "wind-on-panel", given, "pressure", "Pa")
    assert found == pytest.approx(density * 200, rel=1e-8), "ambiance 1.3"
    assert found / result(book, "wind-on-panel", panel("20 m/s"), "pressure", "Pa") == pytest.approx(ratio, abs=5e-5), (
        FLUIDS
    )


@pytest.mark.parametrize("bow", [0.05, 0.15, 0.4])
def test_pull_is_pressure_times_the_radius_through_three_points(book: Book, bow: float) -> None:
    """numpy.linalg: the circle through both edges and the middle of a panel of 1.5 m."""
    points = np.array([[-0.75, 0.0], [0.75, 0.0], [0.0, bow]])
    a, b, c = np.linalg.solve(np.column_stack([points, np.ones(3)]), -(points**2).sum(axis=1))
    radius = np.sqrt(a**2 / 4 + b**2 / 4 - c)
    found = result(book, "wind-on-panel", panel("20 m/s", span="1.5 m", bow=f"{bow} m"), "pull", "N/m")
    assert found == pytest.approx(245 * radius, rel=1e-9)


@pytest.mark.parametrize("degrees", [5, 17.5, 30, 60])
def test_straps_balance(book: Book, degrees: float) -> None:
    """numpy.linalg: both straps carry the weight upwards and cancel sideways, with the gravity of scipy."""
    angle = np.radians(degrees)
    balance = [[np.cos(angle), -np.cos(angle)], [np.sin(angle), np.sin(angle)]]
    left, right = np.linalg.solve(balance, [0, 80 * constants.g])
    given = strap("80 kg", degrees)
    assert result(book, "strap-pull", given, "pull", "N") == pytest.approx(left, rel=1e-12)
    assert result(book, "strap-pull", given, "sideways", "N") == pytest.approx(right * np.cos(angle), rel=1e-12)


@pytest.mark.parametrize("percent", [0.05, 0.5, 1.0, 2.6])
def test_short_formula_lies_a_little_low(book: Book, percent: float) -> None:
    """scipy.integrate.quad: the parabola of that sag is at most a hair shorter than the grown ridge."""
    sag = result(book, "stretch-to-sag", ridge("3 m", str(percent)), "sag", "m")
    assert sag / 3 < 0.1
    half = quad(lambda x: np.hypot(1, 8 * sag * x / 9), 0, 1.5, epsrel=1e-13)[0]
    growth = 2 * half / 3 - 1
    assert 0.974 * percent / 100 < growth < percent / 100, "1.3 % of sag is 2.6 % of growth"


ONE_WAY = (("tent-air", "air_needed", "40 m^3/h", "sleepers"), ("strap-pull", "pull", "1 kN", "load"))


@pytest.mark.parametrize("asked", [*ONE_WAY, ("wind-on-panel", "force", "1 kN", "wind_speed")], ids="-".join)
def test_nobody_reads_these_backwards(book: Book, asked: tuple[str, str, str, str]) -> None:
    calculator, output, wanted, for_input = asked
    with pytest.raises(ProblemError):
        work_backwards(book, book.calculators[calculator], {}, output, wanted, for_input)
