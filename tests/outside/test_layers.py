"""Layers and cold: units of warmth, overfill, clothes, pairs of ratings and height, against tables and libraries."""

from __future__ import annotations

from functools import cache

import ambiance
import pint
import pytest
from scipy import constants

from hangtag.book import Book

from .checks import Check, judge, refused, result

DEFINITION = "1 clo = 0.155 m2K/W and 1 tog = 0.1 m2K/W by definition; R from the International Table Btu"
GLOSSARY = "American Meteorological Society Glossary, 'clo': 0.18 degrees C per kcal/(m2 h); 1 clo for 0.64 cm"
LAW = "conductivity = 0.025 + C / density, a table worked by hand for a box of 50 mm and fill power 750"
GARMENTS = "garment table after ASHRAE 55 in pythermalcomfort 4.8.1, added by hand; air layer of 0.11 m2K/W from memory"
WIND_RULE = "wind rule of ISO 11079 as coded in pythermalcomfort 4.8.1, worked once more by hand"
REQUIRED = "pythermalcomfort 4.8.1, IREQ at -15 degrees C, M 116, logged when it was run"
RATIO = "(32 - limit) / (32 - comfort) of made-up tags, by hand; no source says which ratio is ordinary"
AMBIANCE = "ambiance 1.3.1: 1976 standard atmosphere by geometric height"
LAPSE = "6.5 K/km of ISO 2533, by hand"
WEAKER_GRAVITY = (0.02, "the library also counts that gravity weakens with height")

# -------------------------------------------------------------------------------------------------- units of warmth


def units(warmth: str, output: str, expected: str, mark: str = "derived") -> Check:
    """A number on a tag in another unit."""
    if mark == "published":
        rounded = (0.0003, "the definition was later rounded to 0.155")
        return Check("insulation-units", {"warmth": warmth}, output, expected, "published", GLOSSARY, *rounded)
    return Check("insulation-units", {"warmth": warmth}, output, expected, "derived", DEFINITION)


OF_UNITS = (
    units("1 clo", "in_rsi", "0.155 m^2*K/W"),
    units("1 clo", "in_rsi", "0.154772 m^2*K/W", "published"),
    units("1 clo", "in_tog", "1.55 tog"),
    units("1 clo", "in_r", "0.88013 R"),
    units("1 tog", "in_clo", "0.64516 clo"),
    units("1 tog", "in_r", "0.56783 R"),
    units("1 R", "in_rsi", "0.17611 m^2*K/W"),
    units("4.2 R", "in_clo", "4.7720 clo"),
    units("6.9 R", "in_tog", "12.152 tog"),
    units("0.74 m^2*K/W", "in_r", "4.2 R"),
)

# -------------------------------------------------------------------------------------------------------- overfill

BOXES = {  # times the loose weight: m2K/W with C of 0.13
    "1.0": "0.615",
    "1.2": "0.695",
    "1.5": "0.799",
    "2": "0.940",
    "3": "1.142",
    "4": "1.279",
}


def box(times: str) -> dict[str, str]:
    """A box of 50 mm with 750 fill power."""
    percent = (float(times) - 1) * 100
    return {"overfill": f"{percent:.6g} %", "fill_power": "750 in^3/oz", "thickness": "50 mm"}


OF_BOXES = (
    *(
        Check("overfill-gain", box(times), "warmth_low", f"{warmth} m^2*K/W", "derived", LAW)
        for times, warmth in BOXES.items()
    ),
    Check(
        "overfill-gain",
        box("1.0"),
        "warmth_high",
        "1.211 m^2*K/W",
        "published",
        GLOSSARY,
        0.04,
        "the upper end was set near that rule of thumb, not on it",
    ),
)

# --------------------------------------------------------------------------------------------------------- clothes

WORN = 1.09  # clo of the garments below


def clothes(more: float, wind: str = "0.4", cloth: str = "8", walking: str = "0 m/s") -> dict[str, str]:
    """Long underwear, thick trousers, sweatshirt, thick socks and boots, and `more` clo."""
    return {
        "top": "long_top",
        "bottoms": "long_bottoms",
        "legs": "thick",
        "middle": "sweat_shirt",
        "feet": "boots",
        "more": f"{more:.6g} clo",
        "wind": f"{wind} m/s",
        "walking": walking,
        "outer_cloth": f"{cloth} L/(m^2*s)",
    }


OF_WIND = {  # L/(m2 s) and m/s: clo that are left of 2
    ("8", "0.4"): "1.941",
    ("8", "5"): "1.433",
    ("8", "10"): "1.163",
    ("1000", "0.4"): "1.868",
    ("1000", "5"): "1.050",
    ("1000", "10"): "0.615",
}
WIDENS = (0.03, "the library widens by the warmth that is left, this page by the warmth of the clothes")
OF_CLOTHES = (
    Check("clothing-layers", clothes(0), "clothing", "1.09 clo", "derived", GARMENTS),
    Check("clothing-layers", clothes(0), "clothing", "0.16895 m^2*K/W", "derived", GARMENTS),
    Check("clothing-layers", clothes(0), "with_air", "0.25323 m^2*K/W", "derived", GARMENTS),
    Check("clothing-layers", clothes(0), "with_air", "1.634 clo", "derived", GARMENTS),
    *(
        Check("clothing-layers", clothes(2 - WORN, wind, cloth), "in_wind", f"{left} clo", "derived", WIND_RULE)
        for (cloth, wind), left in OF_WIND.items()
    ),
    *(
        Check(
            "clothing-layers",
            clothes(worn - WORN, walking="0.3016 m/s"),
            "in_wind",
            f"{left} clo",
            "library",
            REQUIRED,
            *WIDENS,
        )
        for worn, left in ((2.6981, "2.5246"), (3.0514, "2.8532"))
    ),
)

# ------------------------------------------------------------------------------------------- ratings, and the height


def pair(comfort: int, limit: int) -> dict[str, str]:
    """Two temperatures of one tag."""
    return {"comfort": f"{comfort} degC", "limit": f"{limit} degC"}


def camp(valley: str, low: str, high: str) -> dict[str, str]:
    """A camp above a valley."""
    return {"valley": valley, "valley_altitude": low, "camp_altitude": high}


OF_PAIRS = tuple(
    Check("rating-spread", pair(*temperatures), "ratio", f"{ratio} plain", "derived", RATIO)
    for temperatures, ratio in (((5, 0), "1.185"), ((-2, -8), "1.176"), ((0, -6), "1.188"), ((-10, -17), "1.167"))
)
OF_HEIGHT = (
    *(
        Check(
            "altitude-temperature",
            camp("15 degC", "0 m", f"{metres} m"),
            "camp",
            f"{celsius} degC",
            "library",
            AMBIANCE,
            *WEAKER_GRAVITY,
        )
        for metres, celsius in ((1000, "8.5010"), (2000, "2.0041"), (3000, "-4.4908"), (4000, "-10.9836"))
    ),
    Check("altitude-temperature", camp("12 degC", "600 m", "2100 m"), "camp", "2.25 degC", "derived", LAPSE),
    Check("altitude-temperature", camp("50 degF", "0 ft", "1000 ft"), "camp", "46.43 degF", "derived", LAPSE),
)

ALL = (*OF_UNITS, *OF_BOXES, *OF_CLOTHES, *OF_PAIRS, *OF_HEIGHT)


@pytest.mark.parametrize("check", ALL, ids=lambda check: f"{check} {check.number} {check.mark}")
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


# ---------------------------------------------------------------------------------------------- libraries, run here


@cache
def plain_units() -> pint.UnitRegistry[float]:
    """pint as it comes."""
    return pint.UnitRegistry()


@pytest.mark.parametrize("clo", [0.05, 0.7, 8.93])
def test_units_are_scipys(book: Book, clo: float) -> None:
    customary = constants.degree_Fahrenheit * constants.foot**2 * constants.hour / constants.Btu_IT
    given = {"warmth": f"{clo} clo"}
    assert result(book, "insulation-units", given, "in_r", "R") == pytest.approx(clo * 0.155 / customary, rel=1e-12)
    loss = result(book, "insulation-units", given, "loss", "W/(m^2*K)")
    assert loss == pytest.approx(1 / (0.155 * clo), rel=1e-12)


def test_density_of_loose_down_is_pints(book: Book) -> None:
    density = (1 / plain_units().Quantity(750.0, "inch**3/ounce")).to("kilogram/meter**3").magnitude
    assert result(book, "overfill-gain", box("1.0"), "loose_density", "kg/m^3") == pytest.approx(density, rel=1e-12)
    added = result(book, "overfill-gain", box("1.2"), "more_down", "g/m^2")
    assert added == pytest.approx(density * 0.05 * 0.2 * 1000, rel=1e-9)


def test_a_fifth_more_down_never_gives_a_fifth_more_warmth(book: Book) -> None:
    """With a C of 0.08 the worked table has 0.928 over 0.838, a gain of 10.7 %: it lies between the two ends."""
    least, most = (
        result(book, "overfill-gain", box("1.2"), output, "percent") for output in ("gain_least", "gain_most")
    )
    assert 0 < least < 10.7 < most < 20, LAW


@pytest.mark.parametrize("times", ["1.2", "2", "4"])
def test_the_middle_of_the_table_lies_between_the_ends(book: Book, times: str) -> None:
    middle = {"1.2": 0.928, "2": 1.181, "4": 1.485}[times]
    low, high = (
        result(book, "overfill-gain", box(times), output, "m^2*K/W") for output in ("warmth_low", "warmth_high")
    )
    assert low < middle < high, LAW


def test_a_windproof_layer_keeps_more_than_an_open_one(book: Book) -> None:
    for wind in ("0.4", "5", "10", "18"):
        shell, knit = (
            result(book, "clothing-layers", clothes(0.91, wind, cloth), "in_wind", "clo") for cloth in ("8", "1000")
        )
        assert shell > knit, WIND_RULE


def test_a_pair_in_fahrenheit_is_pints(book: Book) -> None:
    quantity = plain_units().Quantity
    comfort, limit = (quantity(celsius, "degC").to("degF").magnitude for celsius in (-2.0, -8.0))
    given = {"comfort": f"{comfort:.9f} degF", "limit": f"{limit:.9f} degF"}
    ratio = result(book, "rating-spread", given, "ratio", "plain")
    assert ratio == pytest.approx(result(book, "rating-spread", pair(-2, -8), "ratio", "plain"), rel=1e-9)


def test_an_ordinary_pair_is_not_unusual_and_a_wide_one_is(book: Book) -> None:
    for temperatures in ((5, 0), (-2, -8), (0, -6), (-10, -17)):
        assert result(book, "rating-spread", pair(*temperatures), "beyond", "K") == 0, RATIO
    assert result(book, "rating-spread", pair(0, -15), "beyond", "K") == pytest.approx(7.64), RATIO
    assert "swapped" in refused(book, "rating-spread", pair(-8, -2))


@pytest.mark.parametrize("metres", [300, 1800, 4500])
def test_cooling_is_the_standard_atmospheres(book: Book, metres: int) -> None:
    low, high = (float(ambiance.Atmosphere(height).temperature[0]) for height in (300, 300 + metres))
    given = camp(f"{low - 273.15:.9f} degC", "300 m", f"{300 + metres} m")
    assert result(book, "altitude-temperature", given, "camp", "degC") == pytest.approx(high - 273.15, abs=0.03), (
        AMBIANCE
    )


def test_dry_air_cools_between_the_slow_and_the_fast_number(book: Book) -> None:
    """scipy's gravity over 1005 J/(kg K), the heat capacity of dry air: 9.76 K/km, the most that rising air does."""
    dry = constants.g / 1005 * 1000
    ends = (
        result(book, "altitude-temperature", camp("10 degC", "0 m", "1000 m"), output, "degC")
        for output in ("camp_fast", "camp", "camp_slow")
    )
    fast, usual, slow = ends
    assert fast < 10 - dry < usual < slow
