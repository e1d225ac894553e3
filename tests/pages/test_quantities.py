"""Numbers with units in a sentence are marked up, and nothing else is."""

from __future__ import annotations

from fractions import Fraction

import pytest

from hangtag.pages.quantities import mark_quantities, quantity_pattern
from hangtag.units import Dimension, Unit, UnitList


def unit(prints: str) -> Unit:
    return Unit(prints, prints, prints, (), prints, None, Dimension(), Fraction(1))


PATTERN = quantity_pattern(UnitList({prints: unit(prints) for prints in ("mm", "m", "m²", "in", "g/m²", "plain")}))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a column of 10000 mm.", "a column of [10'000 mm]."),
        ("1000 mm to 1.5 m", "[1000 mm] to [1.5 m]"),
        ("30 g/m² on 2 m²", "[30 g/m²] on [2 m²]"),
        ("5 in 10 tests", "5 in 10 tests"),
        ("ISO 24231 and 10000 things", "ISO 24231 and 10000 things"),
        ("1,500 mm", "1,500 mm"),
        ("3 metres, 4 mmx", "3 metres, 4 mmx"),
        ("&#42; mm", "&#42; mm"),
    ],
)
def test_quantities_are_found(text: str, expected: str) -> None:
    marked = str(mark_quantities(text, PATTERN))
    plain = marked.replace('<span class="ht-q" translate="no">', "[").replace('<span class="ht-g">', "'")
    assert plain.replace("'000</span>", "'000").replace("</span>", "]") == expected
