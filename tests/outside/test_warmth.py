"""Warmth of down, batts and stacked pads: worked tables, a glossary, measured nonwovens and general libraries."""

from __future__ import annotations

import pytest
from iapws.humidAir import Air
from scipy import constants

from hangtag.book import Book

from .checks import Check, ends, half_step, judge, result

LAW = "R = weight per area / (0.025 density + C), worked for C of 0.04 and of 0.13; 1 in3/oz is 0.5780366720 cm3/g"
GLOSSARY = "American Meteorological Society Glossary, 'clo': 1 clo for 0.64 cm of material"
NONWOVENS = "polyester nonwovens: Mechanics of Advanced Composite Structures, article 8335, abstract"
SERIES = "thermal resistances in series add; the Btu is that of the International Table"

# Fill power: m2K/W of 100 g/m2, with most and with least radiation.
OF_100_GRAMS = {
    "550": ("0.4793", "0.8429"),
    "650": ("0.5088", "0.9386"),
    "750": ("0.5329", "1.0239"),
    "850": ("0.5528", "1.1003"),
    "950": ("0.5697", "1.1692"),
}
# Fill powers: the ratio of weights by thickness, and by warmth at the two ends of C.
OF_A_CHANGE = {
    ("650", "850"): ("0.7647", None, "0.9203"),
    ("600", "900"): ("0.6667", None, "0.8811"),
    ("750", "800"): ("0.9375", None, "0.9808"),
}
OZ_PER_YD2 = {  # g/m2: oz/yd2, clo at 0.6, at 0.8 and at 0.9 clo per oz/yd2
    "40": ("1.180", "0.71", "0.94", "1.06"),
    "60": ("1.770", "1.06", "1.42", "1.59"),
    "100": ("2.949", "1.77", "2.36", "2.65"),
    "133": ("3.923", "2.35", "3.14", "3.53"),
    "200": ("5.899", "3.54", "4.72", "5.31"),
}


def of_100_grams(fill_power: str) -> dict[str, str]:
    """100 g of down on one square metre."""
    return {"fill_power": f"{fill_power} in^3/oz", "fill_weight": "100 g", "area": "1 m^2"}


@pytest.mark.parametrize("fill_power", OF_100_GRAMS)
def test_ends_of_down_are_the_worked_ones(book: Book, fill_power: str) -> None:
    found = ends(book, "down-warmth", of_100_grams(fill_power), "resistance", "m^2*K/W")
    for ours, theirs in zip(found, OF_100_GRAMS[fill_power], strict=True):
        assert abs(ours - float(theirs)) <= half_step(theirs), LAW


def test_conductivity_at_750_brackets_the_rule_of_thumb_from_above(book: Book) -> None:
    low, high = ends(book, "down-warmth", of_100_grams("750"), "conductivity", "W/(m*K)")
    assert (round(low, 4), round(high, 4)) == (0.0423, 0.0814), LAW
    rule = 0.0064 / 0.155  # metres over m2K/W
    assert low == pytest.approx(rule, rel=0.03), GLOSSARY


def test_clo_of_an_inch_at_750(book: Book) -> None:
    thickness = result(book, "down-warmth", of_100_grams("750"), "thickness", "in")
    low, high = ends(book, "down-warmth", of_100_grams("750"), "resistance", "clo")
    assert (round(low / thickness, 2), round(high / thickness, 2)) == (2.01, 3.87), LAW


def test_still_air_is_the_librarys(book: Book) -> None:
    """iapws, reference equation for the transport properties of air: 0.025 W/(m K) from frost to a warm room."""
    constant = next(its for its in book.calculators["down-warmth"].constants if its.name == "still_air")
    at_ten = Air(T=283.15, P=0.101325).k
    assert round(at_ten, 3) == constant.amount.si == 0.025
    for celsius in (-10, 0, 20):
        assert Air(T=273.15 + celsius, P=0.101325).k == pytest.approx(constant.amount.si, rel=0.06)


@pytest.mark.parametrize("pair", OF_A_CHANGE, ids=" to ".join)
def test_change_of_fill_power(book: Book, pair: tuple[str, str]) -> None:
    given = {
        "fill_power_have": f"{pair[0]} in^3/oz",
        "fill_weight_have": "600 g",
        "fill_power_other": f"{pair[1]} in^3/oz",
    }
    by_loft, _, most = OF_A_CHANGE[pair]
    assert result(book, "equal-warmth", given, "loft_weight", "g") / 600 == pytest.approx(float(by_loft), abs=5e-5)
    low, high = ends(book, "equal-warmth", given, "warm_weight", "g")
    assert abs(high / 600 - float(most)) <= half_step(most), LAW
    assert float(by_loft) < low / 600 < high / 600 < 1, "warmth asks for more than thickness, and still saves"


@pytest.mark.parametrize("grams", OZ_PER_YD2)
def test_batts(book: Book, grams: str) -> None:
    ounces, *warmth = OZ_PER_YD2[grams]
    assert abs(float(grams) / float(book.units.units["oz/yd^2"].factor * 1000) - float(ounces)) <= half_step(ounces)
    for rate, clo in zip(("0.6", "0.8", "0.9"), warmth, strict=True):
        given = {"areal_weight": f"{grams} g/m^2", "warmth_per_weight": f"{rate} clo/oz"}
        assert abs(result(book, "synthetic-warmth", given, "warmth", "clo") - float(clo)) <= half_step(clo)
    given = {"areal_weight": f"{grams} g/m^2", "warmth_per_weight": "0.6 to 0.9"}
    low, high = ends(book, "synthetic-warmth", given, "warmth", "clo")
    assert (round(low, 6), round(high, 6)) == pytest.approx(
        (float(grams) / 33.9057474751 * 0.6, float(grams) / 33.9057474751 * 0.9), abs=1e-6
    ), "1 oz/yd2 is 33.9057 g/m2"


MEASURED = (
    Check(
        "synthetic-warmth",
        {"areal_weight": "100 g/m^2", "warmth_per_weight": "0.989"},
        "warmth",
        "0.4522 m^2*K/W",
        "published",
        NONWOVENS,
        0.0005,
        "its clo per oz/yd2 was worked out from the measurement and rounded",
    ),
    Check(
        "synthetic-warmth",
        {"areal_weight": "300 g/m^2", "warmth_per_weight": "0.222"},
        "warmth",
        "0.305 m^2*K/W",
        "published",
        NONWOVENS,
        0.001,
        "its clo per oz/yd2 was worked out from the measurement and rounded",
    ),
)
STACKS = (
    Check("pad-stack", {"pads": "Foam\t2\nAir\t4.2"}, "stack", "6.2 R", "derived", SERIES),
    Check("pad-stack", {"pads": "Foam\t2\nAir\t4.2"}, "stack", "1.09188 m^2*K/W", "derived", SERIES),
    Check("pad-stack", {"pads": "Air\t4.2"}, "stack", "4.7720 clo", "derived", SERIES),
)


@pytest.mark.parametrize("check", [*MEASURED, *STACKS], ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


def test_stack_is_scipys_sum_in_any_order(book: Book) -> None:
    customary = constants.degree_Fahrenheit * constants.foot**2 * constants.hour / constants.Btu_IT
    pads = ["Foam\t2", "Air\t0.74 m2K/W", "Sit pad\t1.1"]
    expected = (2 + 1.1) * customary + 0.74
    for order in (pads, pads[::-1]):
        found = result(book, "pad-stack", {"pads": "\n".join(order)}, "stack", "m^2*K/W")
        assert found == pytest.approx(expected, rel=1e-13), "scipy.constants.Btu_IT"
