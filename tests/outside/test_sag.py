"""Sag of a line: a textbook's cable, worked tables, and numerical lengths of the curve with scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from hangtag.book import Book

from .checks import Check, half_step, judge, result

CABLE = (
    "cable of 104 ft across 100 ft: Beer and Johnston, Vector Mechanics: Statics, chapter 7 (problem text), two terms"
)
STATICS = "statics of an evenly loaded line: level pull = load * span^2 / (8 sag)"
TABLE = "exact parabola, point load and two-term series, solved by scipy.optimize.brentq"

# Span in m and growth in percent: sag by the short formula, exact, and with a point load, in m.
SAGS = {
    ("3", "0.5"): ("0.1299", "0.1302", "0.1502"),
    ("3", "1"): ("0.1837", "0.1845", "0.2127"),
    ("3", "2"): ("0.2598", "0.2621", "0.3015"),
    ("3", "2.9"): ("0.3128", "0.3169", "0.3639"),
}


def line(span: str, stretch: str) -> dict[str, str]:
    """A line between two ends; stretch in percent."""
    return {"span": span, "stretch": f"{stretch} %", "load": "2 N/m"}


CHECKS = (
    Check("sag", line("100 ft", "4"), "sag_small", "12.247 ft", "derived", CABLE),
    Check("sag", line("100 ft", "4"), "sag_small", "12.25 ft", "derived", CABLE),
    Check("sag", line("100 ft", "4"), "sag", "12.463 ft", "library", TABLE),
    Check("sag", line("100 ft", "4"), "sag_point", "14.283 ft", "library", TABLE),
)


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize(("span", "stretch"), SAGS)
def test_table(book: Book, span: str, stretch: str) -> None:
    for output, theirs in zip(("sag_small", "sag", "sag_point"), SAGS[span, stretch], strict=True):
        found = result(book, "sag", line(f"{span} m", stretch), output, "m")
        assert abs(found - float(theirs)) <= half_step(theirs), TABLE


@pytest.mark.parametrize("span", [1.2, 3.0, 12.0])
@pytest.mark.parametrize("stretch", [0.05, 0.4, 2.9, 10.0])
def test_the_curve_is_as_long_as_the_line(book: Book, span: float, stretch: float) -> None:
    """scipy.integrate.quad along the parabola of the found sag gives the stretched length back."""
    sag = result(book, "sag", line(f"{span} m", str(stretch)), "sag", "m")
    half = quad(lambda x: np.hypot(1, 8 * sag * x / span**2), 0, span / 2, epsrel=1e-13)[0]
    assert 2 * half == pytest.approx(span * (1 + stretch / 100), rel=1e-11)


@pytest.mark.parametrize("stretch", [0.5, 1.0, 2.9, 4.0])
def test_order_of_the_models(book: Book, stretch: float) -> None:
    """Short formula < circle < catenary < parabola < two straight legs: each solved here with scipy on its own."""
    length = 1 + stretch / 100
    a = float(brentq(lambda a: 2 * a * np.sinh(1 / (2 * a)) - length, 0.3, 50))
    catenary = a * (np.cosh(1 / (2 * a)) - 1)
    angle = float(brentq(lambda t: t / np.sin(t) - length, 1e-3, 3))
    circle = (1 - np.cos(angle)) / (2 * np.sin(angle))
    small, exact, point = (
        result(book, "sag", line("1 m", str(stretch)), output, "m") for output in ("sag_small", "sag", "sag_point")
    )
    assert small < circle < catenary < exact < point


@pytest.mark.parametrize(("sag", "level", "along"), [(0.06, "37.5", None), (0.15, "15.0", "15.297")])
def test_pull(book: Book, sag: float, level: str, along: str | None) -> None:
    """2 N/m over 3 m; the growth that gives this sag is measured along the parabola."""
    half = quad(lambda x: np.hypot(1, 8 * sag * x / 9), 0, 1.5, epsrel=1e-13)[0]
    given = line("3 m", f"{(2 * half / 3 - 1) * 100:.12f}")
    assert result(book, "sag", given, "pull", "N") == pytest.approx(float(level), rel=1e-8), STATICS
    if along:
        assert abs(result(book, "sag", given, "pull_most", "N") - float(along)) <= half_step(along), STATICS
