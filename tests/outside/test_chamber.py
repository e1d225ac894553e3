"""The shape of a chamber against another solver, numerical integrals and the worked table of arcs."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from hangtag.book import Book

from .checks import half_step, refused, result
from .conduction import Arc

GEOMETRY = "plane geometry: an arc of half-angle t has chord / length = sin t / t; solved by scipy.optimize.brentq"
MODELS = "arcs that hold 30, 60 and 120 g/m2 of 750 in3/oz down, set up for a finite-element model"

# Length over chord: half-angle in degrees, peak / chord, section / chord^2, mean / peak.
ARCS = {
    "1.02": ("19.711", "0.1737", "0.1165", "0.6707"),
    "1.05": ("30.849", "0.2759", "0.1867", "0.6767"),
    "1.10": ("42.914", "0.3930", "0.2700", "0.6868"),
    "1.20": ("58.828", "0.5638", "0.3988", "0.7073"),
    "1.30": ("69.987", "0.7000", "0.5097", "0.7280"),
}
# Chord and arc in mm: mean and peak in mm.
CHAMBERS = {
    ("50", "54.67"): ("13.01", "18.97"),
    ("75", "78.25"): ("13.01", "19.26"),
    ("100", "102.48"): ("13.01", "19.36"),
    ("50", "65.50"): ("26.01", "35.63"),
    ("75", "86.78"): ("26.01", "37.24"),
    ("100", "109.34"): ("26.01", "37.95"),
    ("150", "156.51"): ("26.01", "38.51"),
    ("75", "110.94"): ("52.02", "67.93"),
    ("100", "131.00"): ("52.02", "71.25"),
    ("150", "173.55"): ("52.02", "74.48"),
}


def shape(  # noqa: PLR0913  a chamber, and what is asked of it
    book: Book, output: str, unit: str, spacing: float, arc: float, faces: str = "both"
) -> float:
    """An output of the calculator, from millimetres."""
    given = {"spacing": f"{spacing:.9f} mm", "arc": f"{arc:.9f} mm", "faces": faces}
    return result(book, "chamber-shape", given, output, unit)


@pytest.mark.parametrize("ratio", ARCS)
def test_table_of_arcs(book: Book, ratio: str) -> None:
    spacing, arc = 100.0, 100 * float(ratio)
    found = (
        shape(book, "half_angle", "deg", spacing, arc),
        shape(book, "peak", "mm", spacing, arc) / 100,
        shape(book, "section", "cm^2", spacing, arc) / 100,
        shape(book, "mean_thickness", "mm", spacing, arc) / shape(book, "peak", "mm", spacing, arc),
    )
    for ours, theirs in zip(found, ARCS[ratio], strict=True):
        assert abs(ours - float(theirs)) <= half_step(theirs), GEOMETRY


@pytest.mark.parametrize(("spacing", "arc"), CHAMBERS)
def test_chambers_of_the_model(book: Book, spacing: str, arc: str) -> None:
    """The arcs were printed to 0.01 mm; where the cloth is nearly flat that leaves 0.03 mm of thickness open."""
    for output, theirs in zip(("mean_thickness", "peak"), CHAMBERS[spacing, arc], strict=True):
        found = shape(book, output, "mm", float(spacing), float(arc))
        assert found == pytest.approx(float(theirs), abs=0.03), MODELS


@pytest.mark.parametrize("spacing", [35.0, 100.0, 180.0])
@pytest.mark.parametrize("ratio", [1.0005, 1.03, 1.17, 1.4, 1.55, 1.57])
def test_another_solver_and_integrals(book: Book, spacing: float, ratio: float) -> None:
    """scipy finds the angle; scipy.integrate.quad measures the section and the length of the bulging cloth."""
    angle = float(brentq(lambda t: np.sin(t) / t - 1 / ratio, 1e-3, np.pi / 2, xtol=1e-14))
    found = shape(book, "half_angle", "deg", spacing, spacing * ratio)
    assert found == pytest.approx(np.degrees(angle), rel=1e-9), GEOMETRY
    arc = Arc(spacing, angle)
    half = quad(lambda x: 2 * float(arc.half_thickness(np.asarray(x))), 0, spacing / 2, epsrel=1e-11)[0]
    assert shape(book, "section", "cm^2", spacing, spacing * ratio) == pytest.approx(2 * half / 100, rel=1e-7)
    assert shape(book, "peak", "mm", spacing, spacing * ratio) == pytest.approx(arc.peak, rel=1e-8)
    assert angle * spacing / np.sin(angle) == pytest.approx(spacing * ratio, rel=1e-9), (
        "the arc is as long as the cloth"
    )


def test_a_flat_lining_halves_it(book: Book) -> None:
    for output, unit in (("peak", "mm"), ("section", "cm^2"), ("mean_thickness", "mm")):
        both, one = (shape(book, output, unit, 100, 115, faces) for faces in ("both", "one"))
        assert one == pytest.approx(both / 2, rel=1e-12)


def test_limits(book: Book) -> None:
    """A full circle has pi/4 of its width as mean thickness; a nearly flat arc is a parabola, 2/3 of its peak."""
    assert shape(book, "mean_thickness", "mm", 100, 157.07) == pytest.approx(100 * np.pi / 4, rel=2e-4)
    flat = [shape(book, output, "mm", 100, 100.05) for output in ("mean_thickness", "peak")]
    assert flat[0] / flat[1] == pytest.approx(2 / 3, rel=5e-4)
    assert "longer" in refused(book, "chamber-shape", {"spacing": "100 mm", "arc": "100 mm"})
    assert "half a circle" in refused(book, "chamber-shape", {"spacing": "100 mm", "arc": "158 mm"})
