"""Drop and heel angle against worked figures and numpy."""

from __future__ import annotations

import numpy as np
import pytest

from hangtag.book import Book

from .checks import Check, judge, result

TRIGONOMETRY = "plane trigonometry: angle = atan(drop / distance from heel to ball)"
TRIAL = "shoes of a randomised trial of drops of 10, 6 and 0 mm (Malisoux and others 2016, read in a review's table)"


def shoe(stacks: str, output: str, expected: str, source: str, base: str = "167.4 mm") -> Check:
    """Stacks as a tag prints them, heel first."""
    heel, forefoot = stacks.split("/")
    given = {"heel_stack": f"{heel} mm", "forefoot_stack": f"{forefoot} mm", "heel_to_ball": base}
    return Check("shoe-drop", given, output, expected, "reported" if source is TRIAL else "derived", source)


CHECKS = (
    shoe("30/22", "drop", "8 mm", TRIGONOMETRY),
    shoe("30/22", "heel_angle", "2.7361 deg", TRIGONOMETRY),
    shoe("24/14", "heel_angle", "3.4830 deg", TRIGONOMETRY, "164.3 mm"),
    shoe("24/14", "drop", "10 mm", TRIAL),
    shoe("21/15", "drop", "6 mm", TRIAL),
    shoe("21/21", "drop", "0 mm", TRIAL),
)


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize(("heel", "forefoot"), [(30, 22), (40, 28), (12, 12), (18, 22)])
def test_angle_is_numpys(book: Book, heel: int, forefoot: int) -> None:
    given = {"heel_stack": f"{heel} mm", "forefoot_stack": f"{forefoot} mm", "heel_to_ball": "170 mm"}
    angle = np.degrees(np.arctan2(heel - forefoot, 170.0))
    assert result(book, "shoe-drop", given, "heel_angle", "deg") == pytest.approx(angle, rel=1e-13, abs=1e-13)
