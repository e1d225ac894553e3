"""Water heads against conventional water, the limits of EN 343, and measured loads of knees and seats."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import constants

from hangtag.book import Book

from .checks import Check, judge, result

CONVENTIONAL = "conventional water of 9.80665 Pa per mm: NIST SP 811 B.8, read in the CRAN package NISTunits 1.0.1"
EN343 = "EN 343:2019 water penetration classes, as printed in several summaries that agree (816, 1326, 2040 mm)"
KNEE = "force on one knee, 339 N: Clinical Biomechanics 2011, DOI 10.1016/j.clinbiomech.2011.01.016; area assumed"
SEAT = "mean pressure of sitting, 8.11 kPa: BioMedical Engineering OnLine 2018, DOI 10.1186/s12938-018-0621-2, Table 2"
WORKED = "pressure of a load at standard gravity over an assumed area, as millimetres of conventional water"

HEADS = {  # mm: kPa, psi, bar
    "800": ("7.8453", "1.1379", "0.0785"),
    "1200": ("11.768", "1.7068", "0.1177"),
    "1500": ("14.710", "2.1335", "0.1471"),
    "2000": ("19.613", "2.8447", "0.1961"),
    "3000": ("29.420", "4.2670", "0.2942"),
    "5000": ("49.033", "7.1117", "0.4903"),
    "10000": ("98.0665", "14.2233", "0.9807"),
    "20000": ("196.133", "28.4467", "1.9613"),
}
OF_HEADS = tuple(
    Check("water-column", {"head": f"{head} mm"}, "pressure", f"{number} {unit}", "reported", CONVENTIONAL)
    for head, numbers in HEADS.items()
    for number, unit in zip(numbers, ("kPa", "psi", "bar"), strict=True)
)

ROUNDED = "the summaries take 102 mm per kPa and round"
OF_EN343 = tuple(
    Check("water-column", {"head": limit}, "column_height", f"{mm} mm", "reported", EN343, 1, ROUNDED)
    for limit, mm in (("8 kPa", 816), ("13 kPa", 1326), ("20 kPa", 2040))
)

INVERSE = (
    Check("water-column", {"head": "1 psi"}, "column_height", "703.07 mm", "reported", CONVENTIONAL),
    Check("water-column", {"head": "25 psi"}, "column_height", "17577 mm", "reported", CONVENTIONAL),
)


def body(load: str, area: str, expected: str, source: str, loosened: tuple[float, str] | tuple[()] = ()) -> Check:
    """A load over an area, as a head of water."""
    given = {"load": load, "contact_area": area}
    return Check("rain-and-knees", given, "pressure_as_head", expected, "derived", source, *loosened)


AS_MASS = (1.0, "339 N is given as the mass 34.568 kg, and the table's contact area is round")
OF_BODIES = (
    body("34.568 kg", "40 cm^2", "8642 mmH2O", KNEE, AS_MASS),
    body("34.568 kg", "80 cm^2", "4321 mmH2O", KNEE, AS_MASS),
    body("34.568 kg", "20 cm^2", "17284 mmH2O", KNEE, AS_MASS),
    body("75 kg", "220 cm^2", "3409 mmH2O", WORKED),
    body("75 kg", "30 cm^2", "25000 mmH2O", WORKED),
)


@pytest.mark.parametrize("check", [*OF_HEADS, *OF_EN343, *INVERSE, *OF_BODIES], ids=str)
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


@pytest.mark.parametrize("area", [20, 40, 80, 160])
def test_head_under_a_knee_is_scipys_gravity(book: Book, area: int) -> None:
    pascals = 30 * constants.g / (area * constants.centi**2)
    given = {"load": "30 kg", "contact_area": f"{area} cm^2"}
    found = result(book, "rain-and-knees", given, "pressure_as_head", "kPa")
    assert np.isclose(found * 1000, pascals, rtol=1e-14), "scipy.constants.g"
