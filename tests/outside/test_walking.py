"""Walking with a load: vectors of the equations as several public implementations compute them, the sign trap."""

from __future__ import annotations

import numpy as np
import pytest

from hangtag.answers import work_backwards
from hangtag.book import Book
from hangtag.problems import ProblemError

from .checks import Check, half_step, judge, refused, result

PANDOLF = "Pandolf, Givoni and Goldman 1977, J Appl Physiol 43:577, as computed by public implementations that agree"
SANTEE = "Santee and others 2001 and 2003, slope signed, as computed by public implementations that agree"
SOULE = (
    "terrain factors of Soule and Goldman 1972, DOI 10.1152/jappl.1972.32.5.706, as printed in public implementations"
)


def walk(load: str, speed: str, grade: str, terrain: str = "blacktop", body: str = "70 kg") -> dict[str, str]:
    """A walker of 70 kg; load in kg, speed in m/s, grade in percent."""
    return {
        "body_mass": body,
        "load": f"{load} kg",
        "speed": f"{speed} m/s",
        "grade": f"{grade} percent",
        "terrain": terrain,
    }


def effort(given: dict[str, str], expected: str, source: str = PANDOLF) -> Check:
    """What the body works."""
    return Check("walking-effort", given, "effort", expected, "reported", source)


CHECKS = (
    effort(walk("0", "1.34", "0"), "293.538 W"),
    effort(walk("0", "1.34", "0"), "252.57 kcal/h"),
    effort(walk("20", "1.34", "0"), "362.0999 W"),
    effort(walk("20", "1.34", "0"), "311.56 kcal/h"),
    effort(walk("20", "0", "0"), "119.6939 W"),
    effort(walk("20", "0", "0"), "102.99 kcal/h"),
    effort(walk("20", "1.34", "5", "light_brush"), "663.8411 W"),
    effort(walk("20", "1.34", "5", "light_brush"), "571.18 kcal/h"),
    effort(walk("10", "1.34", "0"), "323.7 W"),
    effort(walk("30", "1.34", "0"), "411.1 W"),
    effort(walk("20", "1.34", "-10"), "281.9383 W", SANTEE),
)
SIGNED = {"-2": "343.96", "-4": "313.03", "-6": "292.38", "-8": "282.02", "-10": "281.94", "-12": "292.15"}
UNSIGNED = {"-2": 436.69, "-4": 498.48, "-6": 570.56, "-8": 652.92, "-10": 745.57, "-12": 848.50}
TERRAIN = {
    "blacktop": 1.0,
    "dirt_road": 1.1,
    "light_brush": 1.2,
    "heavy_brush": 1.5,
    "swamp": 1.8,
    "loose_sand": 2.1,
    "snow_15": 2.5,
    "snow_25": 3.3,
    "snow_35": 4.1,
}


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize("grade", SIGNED)
def test_the_slope_keeps_its_sign_downhill(book: Book, grade: str) -> None:
    found = result(book, "walking-effort", walk("20", "1.34", grade), "effort", "W")
    assert abs(found - float(SIGNED[grade])) <= half_step(SIGNED[grade]), SANTEE
    assert abs(found - UNSIGNED[grade]) > 90, "some implementations lose the sign; ours must not"


def test_downhill_has_a_least_effort(book: Book) -> None:
    """The signed form is lowest at -9.0 %, with 280.69 W; a form without the sign has no such place."""
    grades = np.arange(-12, -2, 0.1)
    efforts = [result(book, "walking-effort", walk("20", "1.34", f"{grade:.1f}"), "effort", "W") for grade in grades]
    assert grades[int(np.argmin(efforts))] == pytest.approx(-9.0, abs=0.05), SANTEE
    assert min(efforts) == pytest.approx(280.69, abs=0.005), SANTEE


def test_the_correction_sets_in_with_a_step(book: Book) -> None:
    level, below = (
        result(book, "walking-effort", walk("20", "1.34", grade), "effort", "W") for grade in ("0", "-0.0000001")
    )
    assert below - level == pytest.approx(385.18 - 362.10, abs=0.01), SANTEE


@pytest.mark.parametrize("terrain", TERRAIN)
def test_terrain(book: Book, terrain: str) -> None:
    assert result(book, "walking-effort", walk("20", "1", "3", terrain), "ground", "plain") == TERRAIN[terrain], SOULE


def test_another_hand_computes_the_same(book: Book) -> None:
    """Both equations written out with numpy, over loads, speeds, slopes and grounds."""
    random = np.random.default_rng(1977)
    grounds = ("blacktop", "dirt_road", "light_brush")
    for _ in range(60):
        body, share, v, g = random.uniform((50, 0, 0.9, -12), (110, 0.6, 2, 20))
        terrain = grounds[int(random.integers(3))]
        eta, load = TERRAIN[terrain], body * share
        total = body + load
        watts = 1.5 * body + 2 * total * share**2 + eta * total * (1.5 * v**2 + 0.35 * v * g)
        if g < 0:
            watts -= eta * (g * total * v / 3.5 - total * (g + 6) ** 2 / body + 25 - v**2)
        given = walk(f"{load:.12f}", f"{v:.12f}", f"{g:.12f}", terrain, f"{body:.12f} kg")
        assert result(book, "walking-effort", given, "effort", "W") == pytest.approx(watts, rel=1e-10), (
            PANDOLF,
            SANTEE,
        )


def test_no_answer_falls_below_standing(book: Book) -> None:
    """Where the correction is offered, going downhill is never easier than standing with the same load."""
    for body in ("40 kg", "70 kg", "150 kg"):
        for speed in ("0.8334", "1.2", "2"):
            for grade in range(-12, 0):
                given = walk("6", speed, str(grade), "light_brush", body)
                standing = sum(result(book, "walking-effort", given, of, "W") for of in ("standing", "bearing"))
                assert result(book, "walking-effort", given, "effort", "W") > standing


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (walk("20", "2.1", "0"), "7 km/h"),
        (walk("50", "1", "0"), "0.7 of the body"),
        (walk("20", "1.34", "-12.5"), "12 % down"),
        (walk("20", "0.5", "-3"), "3 km/h"),
        (walk("20", "1.34", "-3", "snow_25"), "road only"),
    ],
    ids=["fast", "heavy", "steep", "slow downhill", "snow downhill"],
)
def test_outside_its_range_there_is_no_number(book: Book, given: dict[str, str], words: str) -> None:
    assert words in refused(book, "walking-effort", given)


def test_a_load_is_not_worked_out_backwards(book: Book) -> None:
    with pytest.raises(ProblemError):
        work_backwards(book, book.calculators["walking-effort"], {}, "effort", "400 W", "load")
