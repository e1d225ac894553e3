"""Fabrics: weights, strengths, wet cloth and films against the standards institute, specifications and a library."""

from __future__ import annotations

from functools import cache

import numpy as np
import pint
import pytest
from scipy import constants

from hangtag.answers import work
from hangtag.book import Book

from .checks import Check, judge, result

INSTITUTE = "1 oz/yd2 = 33.90575 g/m2: NIST SP 811 B.8, read in the CRAN package NISTunits 1.0.1"
PINT = "pint 0.25 default_en.txt: denier, tex, ounce, yard, force_pound"
MIL7020 = "MIL-C-7020H type I as printed in a secondary table: 42 lbf/in, 5 lbf tear, 120 x 120 yarns per inch"
MILL = "cotton mills' formula as printed: g/m2 = 23.25 [EPI (1 + c) / Ne + PPI (1 + c) / Ne]"
DENSITY = "density: Morton and Hearle, Physical Properties of Textile Fibres, 4th ed. 2008, Tables 5.1 and 5.2"
D1909 = (
    "ASTM D1909 regains, as printed in Bioresources and Bioprocessing 2020, DOI 10.1186/s40643-020-00339-1, Table 10"
)
CONTENT = "moisture content M = 100 R / (100 + R) of the reported regain R"
ASSUMED = "a share of the dry weight by hand; the share is assumed"
COATINGS = "thickness = weight per area / density by hand; densities from memory"
RODS = "a bundle of n round rods: length per gram * n * pi * d"
HANDS = "worked by hand from the definition of tex: 1 N/tex = 1e6 N m/kg"
MARTINDALE = "pressures of the wool rubbing test, 9 and 12 kPa, as printed in summaries of ISO 12947"
AS4399 = "classes of AS 4399:2020 on the page of the Australian radiation agency: 15 minimum, 30 good, 50 excellent"
SHARES = "transmitted fraction = 1 / UPF (CIE S 017:2020, 17-26-075), averaged by area"


@cache
def plain_units() -> pint.UnitRegistry[float]:
    """pint as it comes."""
    return pint.UnitRegistry()


# ------------------------------------------------------------------------------------------------------------ weight


def panel(weight: str, sides: tuple[str, str], output: str, expected: str, source: str = PINT) -> Check:
    """A piece of cloth without hems."""
    given = {"fabric_weight": weight, "length": sides[0], "width": sides[1], "allowance": "0 percent"}
    return Check("fabric-panel", given, output, expected, "reported" if source == INSTITUTE else "library", source)


ONE_METRE, TARP, SQUARE = ("1 m", "1 m"), ("10 ft", "12 ft"), ("3 m", "3 m")
GRAMS = {  # oz/yd2: g/m2
    "0.51": "17.29",
    "0.8": "27.12",
    "1.1": "37.30",
    "1.6": "54.25",
    "1.9": "64.42",
    "2.2": "74.59",
}
PANELS = (
    panel("1 oz/yd^2", ONE_METRE, "weight", "33.90575 g", INSTITUTE),
    *(panel(f"{ounces} oz/yd^2", ONE_METRE, "weight", f"{grams} g") for ounces, grams in GRAMS.items()),
    panel("100 g/m^2", ("3 ft", "3 ft"), "weight", "2.949352 oz"),
    panel("1.1 oz/yd^2", TARP, "area", "13.333 yd^2"),
    panel("1.1 oz/yd^2", TARP, "weight", "14.667 oz"),
    panel("1.1 oz/yd^2", TARP, "weight", "415.8 g"),
    panel("1.1 oz/yd^2", SQUARE, "weight", "335.7 g"),
)


def woven(yarn: str, count: str, crimp: str, expected: str, output: str = "fabric_weight") -> Check:
    """A square cloth: the same yarn and count both ways."""
    given = {"warp_yarn": yarn, "weft_yarn": yarn, "ends": count, "picks": count, "crimp": crimp}
    return Check("yarns-to-weight", given, output, expected, "library", PINT)


COTTON = {  # numbers 20 and 40 of the cotton count, in tex
    "warp_yarn": f"{590.5412475 / 20} tex",
    "ends": "100 threads/in",
    "weft_yarn": f"{590.5412475 / 40} tex",
    "picks": "50 threads/in",
    "crimp": "5 percent",
}
ROUNDED_MILL = "the mills round 23.24965 to 23.25"
WOVEN = (
    woven("30 denier", "120 threads/in", "0 percent", "31.496 g/m^2"),
    woven("30 denier", "120 threads/in", "0 percent", "0.929 oz/yd^2"),
    woven("30 denier", "120 threads/in", "5 percent", "33.07 g/m^2"),
    woven("30 denier", "120 threads/in", "5 percent", "0.975 oz/yd^2"),
    woven("20 denier", "190 threads/in", "0 percent", "33.25 g/m^2"),
    woven("20 denier", "190 threads/in", "0 percent", "0.981 oz/yd^2"),
    woven("20 denier", "190 threads/in", "0 percent", "380 threads/in", "count"),
    Check("yarns-to-weight", COTTON, "fabric_weight", "152.578 g/m^2", "derived", MILL, 0.003, ROUNDED_MILL),
)

# ---------------------------------------------------------------------------------------------------------- strength


def strip(given: tuple[str, str, str], output: str, expected: str) -> Check:
    """Yarn, threads and tenacity, with nothing lost in the weave."""
    values = dict(zip(("yarn", "threads", "tenacity"), given, strict=True), efficiency="100 percent")
    return Check("strip-strength", values, output, expected, "derived", HANDS)


PARACHUTE = {"yarn": "30 denier", "threads": "120 threads/in", "tenacity": "0.47 N/tex", "efficiency": "100 percent"}
ROUND_LIMIT = "2 %: the limit is a round number, 0.47 N/tex a handbook sample, and the yarn of 30 denier from memory"
LAMINATE = ("6 tex", "10 threads/cm", "3 N/tex")  # 6 g/m2 in one direction
STRONG = ("20 denier", "190 threads/in", "0.66 N/tex")
STRENGTHS = (
    Check("strip-strength", PARACHUTE, "strip", "42 lbf/in", "reported", MIL7020, 0.84, ROUND_LIMIT),
    strip(STRONG, "yarn_break", "1.467 N"),
    strip(STRONG, "breaking_length", "67.3 km"),
    strip(("20 denier", "190 threads/in", "0.26 N/tex"), "breaking_length", "26.5 km"),
    strip(LAMINATE, "strip", "900 N/50mm"),
    strip(LAMINATE, "strip", "18000 N/m"),
    strip(LAMINATE, "strip", "102.8 lbf/in"),
)

TEAR = {"tear": "5 lbf", "strip": "42 lbf/in", "threads": "120 threads/in"}
TEAR_METRIC = {"tear": "22.24 N", "strip": "367.8 N/50mm", "threads": "120 threads/in"}
TEARS = (
    Check("tear-yarns", TEAR, "yarn_break", "0.35 lbf", "derived", MIL7020),
    Check("tear-yarns", TEAR, "yarns", "14.3 plain", "derived", MIL7020),
    Check("tear-yarns", TEAR_METRIC, "yarns", "14.3 plain", "library", PINT),
)

# ------------------------------------------------------------------------------------- water, coatings, films, fibres


def fly(area: str, weight: str, fibre: str, pick_up: str) -> dict[str, str]:
    """Cloth that was rained on."""
    return {"area": area, "fabric_weight": weight, "fibre": fibre, "pick_up": pick_up}


BIG, SHAKEN = fly("20 m^2", "40 g/m^2", "nylon", "60 percent"), fly("20 m^2", "40 g/m^2", "nylon", "30 percent")
NYLON = fly("1 m^2", "35 g/m^2", "nylon", "0 percent")
NAVY = "regain of nylon in standard air, 4.2 %: US Navy training manual 14218"
WET = (
    Check("wet-fly", BIG, "outside", "480 g", "derived", ASSUMED),
    Check("wet-fly", SHAKEN, "outside", "240 g", "derived", ASSUMED),
    Check("wet-fly", NYLON, "bone_dry", "33.59 g", "derived", NAVY),
    Check("wet-fly", NYLON, "inside", "1.41 g", "derived", NAVY),
    *(
        Check("wet-fly", fly("1 m^2", "100 g/m^2", fibre, "0 percent"), "inside", f"{held} g", "derived", CONTENT)
        for fibre, held in (("polyester", "0.398"), ("cotton", "7.834"), ("silk", "9.910"))
    ),
)


def coated(grams: int, coating: str, expected: str) -> Check:
    """So many grams of a coating on a cloth of 37 g/m2."""
    given = {"finished": f"{37 + grams} g/m^2", "base": "37 g/m^2", "coating": coating}
    return Check("coating-thickness", given, "thickness", expected, "derived", COATINGS)


def laminate(ounces: str, output: str, expected: str) -> Check:
    """A laminate between two polyester films of 0.18 mil."""
    given = {"total": f"{ounces} oz/yd^2", "films": "2", "gauge": "0.18 mil", "film_density": "1.39 g/cm^3"}
    return Check("laminate-check", given, output, expected, "derived", DENSITY)


LAYERS = (
    coated(10, "polyurethane", "8.3 um"),
    coated(10, "silicone", "9.5 um"),
    coated(50, "polyethylene", "54 um"),
    laminate("0.51", "film_weight", "12.7 g/m^2"),
    laminate("0.51", "fibre_weight", "4.58 g/m^2"),  # 17.29 - 12.71
    laminate("1.43", "fibre_weight", "35.78 g/m^2"),  # 48.49 - 12.71
)


def filament(yarn: str, filaments: str, fibre: str, expected: str) -> Check:
    """A diameter that follows from a handbook density."""
    given = {"linear_density": yarn, "filaments": filaments, "fibre": fibre}
    return Check("filament-surface", given, "diameter", expected, "derived", DENSITY)


FILAMENTS = (
    filament("10 denier", "10", "nylon", "11.140 um"),
    filament("10 denier", "10", "polyester", "10.088 um"),
    filament("10 denier", "10", "silk", "10.275 um"),
    filament("10 denier", "10", "uhmwpe", "12.077 um"),
    filament("20 denier", "34", "nylon", "8.544 um"),
)

# ----------------------------------------------------------------------------------------------------- rubbing and sun


def rubbed(grams: str, expected: str, *loosened: float | str) -> Check:
    """The wool rubbing test on 6.45 cm2; both weights are from memory."""
    mark, source = ("reported", MARTINDALE) if loosened else ("derived", "weight over area at standard gravity")
    given = {"load": f"{grams} g", "area": "6.45 cm^2"}
    return Check("rub-pressure", given, "pressure", expected, mark, source, *loosened)  # type: ignore[arg-type]


def sun(upf: str, output: str, expected: str, share: str = "0", patch: str = "15") -> Check:
    """What passes a cloth with or without a thinner part."""
    given = {"upf": upf, "patch_share": f"{share} percent", "patch_upf": patch}
    return Check("upf-passes", given, output, expected, "derived", SHARES)


SUMMARIES = "the summaries print whole kilopascals, and the weights are from memory"
WEAR = (
    rubbed("595", "9 kPa", 0.1, SUMMARIES),
    rubbed("795", "12 kPa", 0.1, SUMMARIES),
    rubbed("595", "9.05 kPa"),
    rubbed("795", "12.09 kPa"),
    sun("15", "passes", "6.67 percent"),
    sun("25", "passes", "4.0 percent"),
    sun("40", "passes", "2.5 percent"),
    sun("50", "passes", "2.0 percent"),
    sun("50", "together", "23.1 plain", share="50"),
)


@pytest.mark.parametrize("check", [*PANELS, *WOVEN, *STRENGTHS, *TEARS, *WET, *LAYERS, *FILAMENTS, *WEAR], ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize("gram_force", [1, 5.44, 7.48])
def test_tenacity_of_old_unit_is_pints(book: Book, gram_force: float) -> None:
    """A textbook table on the web prints 8.838 cN/tex for 1 gf/den; a library has 8.826."""
    of_a_tex = plain_units().Quantity(gram_force, "gram_force / denier").to("newton / tex").magnitude
    given = {"yarn": "1 tex", "tenacity": f"{gram_force} gf/den"}
    found = result(book, "strip-strength", given, "yarn_break", "N")
    assert np.isclose(found, of_a_tex, rtol=1e-12), PINT
    assert np.isclose(found, gram_force * 0.08825985, rtol=1e-7), PINT


def test_cloth_of_parachute_specification_keeps_its_weight_limit(book: Book) -> None:
    """MIL-C-7020H type I is the ripstop of 1.1 oz/yd2: its plain yarns (30 denier, from memory) must weigh less."""
    given = {"warp_yarn": "30 denier", "weft_yarn": "30 denier", "ends": "120 threads/in", "picks": "120 threads/in"}
    bare, waved = (
        result(book, "yarns-to-weight", given | {"crimp": f"{crimp} percent"}, "fabric_weight", "oz/yd^2")
        for crimp in (0, 12)
    )
    assert 0.9 < bare < waved < 1.1, MIL7020


@pytest.mark.parametrize(("fibre", "regain"), [("cotton", 8.5), ("silk", 11.0)])
def test_regain_is_the_reported_one(book: Book, fibre: str, regain: float) -> None:
    given = fly("3 m^2", "120 g/m^2", fibre, "40 percent")
    water, dry = (result(book, "wet-fly", given, output, "g") for output in ("inside", "bone_dry"))
    assert 100 * water / dry == pytest.approx(regain, rel=1e-12), D1909


@pytest.mark.parametrize(("fibre", "density"), [("nylon", 1140.0), ("polyester", 1390.0), ("silk", 1340.0)])
def test_surface_is_that_of_a_bundle_of_rods(book: Book, fibre: str, density: float) -> None:
    mass_per_length = plain_units().Quantity(75.0, "denier").to("kilogram / meter").magnitude
    width = np.sqrt(4 * mass_per_length / 72 / (np.pi * density))
    rods = 72 * np.pi * width / mass_per_length * constants.gram
    given = {"linear_density": "75 denier", "filaments": "72", "fibre": fibre}
    assert np.isclose(result(book, "filament-surface", given, "surface", "m^2/g"), rods, rtol=1e-12), RODS


def test_tag_that_cannot_carry_its_films_is_refused(book: Book) -> None:
    """0.34 oz/yd2 is 11.53 g/m2, and two polyester films of 0.18 mil alone weigh 12.7 g/m2."""
    given = {"total": "0.34 oz/yd^2", "films": "2", "gauge": "0.18 mil", "film_density": "1.39 g/cm^3"}
    assert work(book, book.calculators["laminate-check"], given).refused is not None, DENSITY


@pytest.mark.parametrize("share", [0, 10, 35, 80, 100])
def test_two_parts_average_what_passes_as_numpy_does(book: Book, share: int) -> None:
    average = np.average([1 / 50, 1 / 15], weights=[100 - share, share])
    given = {"upf": "50", "patch_share": f"{share} percent", "patch_upf": "15"}
    assert np.isclose(result(book, "upf-passes", given, "passes", "plain"), average, rtol=1e-12), SHARES
    assert np.isclose(result(book, "upf-passes", given, "together", "plain"), 1 / average, rtol=1e-12), SHARES


def test_classes_of_sun_protection_start_where_the_agency_says(book: Book) -> None:
    scale = book.entries["upf"].scale
    assert scale is not None
    assert [band.below.si for band in scale.bands if band.below] == [15, 30, 50], AS4399
