"""Classes of rain clothing and spray ratings against the tables that independent summaries print alike."""

from __future__ import annotations

import pytest

from hangtag.book import Book

from .checks import result

EN343 = "EN 343:2019, tables of water penetration and Ret classes, as printed in several summaries that agree"
SPRAY = "AATCC 22 and ISO 4920 side by side, as printed in several summaries that agree"

# Cloth new, cloth aged, seams new, seams aged in kPa: class. A row just at each limit, and just below it.
WATER = (
    ("8 0 8 0", 1),
    ("7.99 0 8 0", 0),
    ("8 0 7.99 0", 0),
    ("8 8 8 0", 2),
    ("8 7.99 8 0", 1),
    ("20 13 13 0", 3),
    ("20 12.99 13 0", 2),
    ("20 13 12.99 0", 2),
    ("40 20 20 20", 4),
    ("40 19.99 20 20", 3),
    ("40 20 20 19.99", 3),
    ("40 40 40 0", 3),
    ("0 20 0 20", 4),
)
MILLIMETRES = (("816", 2), ("1326", 3), ("2040", 4))  # as the summaries print 8, 13 and 20 kPa
RET = {"15": 4, "15.01": 3, "25": 3, "25.01": 2, "40": 2, "40.01": 1, "2": 4, "700": 1}
GRADES = {"100": 5, "90": 4, "80": 3, "70": 2, "50": 1, "0": 0}


@pytest.mark.parametrize(("kilopascals", "expected"), WATER)
def test_water_class(book: Book, kilopascals: str, expected: int) -> None:
    names = ("cloth_new", "cloth_aged", "seams_new", "seams_aged")
    given = {name: f"{number} kPa" for name, number in zip(names, kilopascals.split(), strict=True)}
    assert result(book, "rain-class", given, "water_class", "plain") == expected, EN343


@pytest.mark.parametrize(("millimetres", "expected"), MILLIMETRES)
def test_limits_as_summaries_print_them(book: Book, millimetres: str, expected: int) -> None:
    given = dict.fromkeys(("cloth_new", "cloth_aged", "seams_new", "seams_aged"), f"{millimetres} mm")
    assert result(book, "rain-class", given, "water_class", "plain") == expected, EN343


@pytest.mark.parametrize("ret", RET)
def test_ret_class(book: Book, ret: str) -> None:
    assert result(book, "rain-class", {"ret": f"{ret} m2Pa/W"}, "ret_class", "plain") == RET[ret], EN343


@pytest.mark.parametrize("rating", GRADES)
def test_spray_grade(book: Book, rating: str) -> None:
    assert result(book, "spray-rating", {"rating": rating}, "grade", "plain") == GRADES[rating], SPRAY
