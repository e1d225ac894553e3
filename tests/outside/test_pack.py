"""Packs: a worked kit list summed by hand, a trip's mornings, and conversions by a general library."""

from __future__ import annotations

from functools import cache

import numpy as np
import pint
import pytest

from hangtag.answers import work_backwards
from hangtag.book import Book
from hangtag.problems import ProblemError

from .checks import Check, judge, result

SUMS = "a kit list added up by hand: base 6180 g, consumables 5000 g, worn 1450 g, poles 480 g"
MORNINGS = "base + (food + fuel) * days still to come + water, by hand"
PINT = "pint 0.25"

KIT = """what\tweight\tcount\tgoes\tthree\tpad
Pack\t1200\t1\tback\tyes\tno
Shelter\t1150\t1\tback\tyes\tno
Sleeping bag\t1350\t1\tback\tyes\tno
Pad\t450\t1\tback\tno\tyes
Clothes\t900\t1\tback\tno\tno
Kitchen\t350\t1\tback\tno\tno
Water kit\t180\t1\tback\tno\tno
Rest\t600\t1\tback\tno\tno
Food\t700\t4\tused\tno\tno
Gas\t200\t1\tused\tno\tno
Water\t1 kg\t2\tused\tno\tno
Worn\t1450\t1\tworn\tno\tno
Poles\t480\t1\thand\tno\tno"""


def kit(**choices: str) -> dict[str, str]:
    """The worked kit list with the reader's choices."""
    return {"kit": KIT, **choices}


def ladder(output: str, expected: str, **choices: str) -> Check:
    """A rung of the worked kit."""
    return Check("pack-ladder", kit(**choices), output, expected, "derived", SUMS)


def trip(days: int, day: int = 1) -> dict[str, str]:
    """A trip on one kit."""
    return {
        "base_weight": "4.5 kg",
        "food": "0.7 kg",
        "fuel": "25 g",
        "water": "2 kg",
        "days": str(days),
        "day": str(day),
    }


CHECKS = (
    ladder("base_weight", "6180 g"),
    ladder("pack_weight", "11180 g"),
    ladder("skin_out_weight", "13110 g"),
    ladder("base_weight", "6660 g", hands="base"),
    ladder("skin_out_weight", "13110 g", hands="base"),
    ladder("share", "0.67152 plain", pad_is="inside"),
    ladder("share", "0.59871 plain", pad_is="outside"),
    ladder("total_weight", "11180 g", total_means="pack"),
    ladder("total_weight", "13110 g", total_means="skin_out"),
    ladder("total_weight", "83.110 kg", total_means="body", body_mass="70 kg"),
    ladder("base_weight", "13.6246 lb"),
    ladder("pack_weight", "24.6477 lb"),
    ladder("skin_out_weight", "28.9026 lb"),
    *(
        Check("pack-days", trip(5, day), "morning_weight", f"{weight} kg", "derived", MORNINGS)
        for day, weight in enumerate(("10.125", "9.400", "8.675", "7.950", "7.225"), start=1)
    ),
    Check("pack-days", trip(5), "mean_morning", "8.675 kg", "derived", MORNINGS),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.calculator} {check.output} {check.number}")
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


def test_five_days_and_two_differ_by_three_days_of_food_and_fuel(book: Book) -> None:
    five, two = (result(book, "pack-days", trip(days), "first_morning", "kg") for days in (5, 2))
    assert five - two == pytest.approx(3 * (0.700 + 0.025), rel=1e-12), MORNINGS
    ends = [result(book, "pack-days", trip(days), "last_morning", "kg") for days in (5, 2)]
    assert ends[0] == ends[1], "the last morning of both carries one day's food and fuel"


def test_two_ways_to_list_a_trip_agree(book: Book) -> None:
    """Five days and two days as kit lists: the pack rungs differ by the same three days as the mornings do."""
    packs = [
        result(book, "pack-ladder", {"kit": f"Kit\t4500\nFood\t700\t{n}\tused\nGas\t25\t{n}\tused"}, "pack_weight", "g")
        for n in (5, 2)
    ]
    assert packs[0] - packs[1] == pytest.approx(3 * 725, rel=1e-12), SUMS


def test_mean_of_the_mornings_is_numpys(book: Book) -> None:
    for days in (1, 4, 9):
        mornings = [result(book, "pack-days", trip(days, day), "morning_weight", "kg") for day in range(1, days + 1)]
        found = result(book, "pack-days", trip(days), "mean_morning", "kg")
        assert found == pytest.approx(float(np.mean(mornings)), rel=1e-12), "numpy.mean"


@cache
def plain_units() -> pint.UnitRegistry[float]:
    """pint as it comes."""
    return pint.UnitRegistry()


def test_margins_are_pints(book: Book) -> None:
    units = plain_units()
    rating = units.Quantity(35.0, "pound").to("kilogram").magnitude
    given = {"pack_weight": "11.18 kg", "load_rating": "35 lb", "kit_bulk": "3000 in^3", "volume": "55 L"}
    assert result(book, "pack-fit", given, "load_margin", "kg") == pytest.approx(rating - 11.18, rel=1e-12), PINT
    volume = units.Quantity(55.0, "liter").to("inch**3").magnitude
    assert volume == pytest.approx(3356.306, abs=5e-4)
    assert result(book, "pack-fit", given, "room_margin", "in^3") == pytest.approx(volume - 3000, rel=1e-10), PINT


def test_an_empty_list_weighs_nothing(book: Book) -> None:
    given = {"kit": "", "body_mass": "0 kg"}
    for output in ("base_weight", "pack_weight", "skin_out_weight", "total_weight"):
        assert result(book, "pack-ladder", given, output, "kg") == 0
    assert result(book, "pack-ladder", given, "share", "plain") == 0


def test_water_is_not_worked_out_backwards(book: Book) -> None:
    with pytest.raises(ProblemError):
        work_backwards(book, book.calculators["pack-days"], {}, "first_morning", "8 kg", "water")
