"""The quantity layer: every honest way to read a number, with its unit, its bound and what follows it."""

from __future__ import annotations

import pytest

from hangtag.tag_reader import Reader
from hangtag.tag_reader.items import items
from hangtag.tag_reader.quantities import Quantities, Quantity, half_width


def found(text: str, reader: Reader, at: int = 0) -> list[Quantity]:
    its = items(text, reader.spelling)
    return Quantities(its, reader.grammar, frozenset()).at(at)


def longest(text: str, reader: Reader) -> list[tuple[tuple[float, ...], str, str]]:
    """Values, unit's spelling and bound of each amount of the quantity that takes most of the text."""
    best = max(found(text, reader), key=lambda quantity: quantity.end)
    return [(amount.values, amount.spelling, amount.bound) for amount in best.amounts]


@pytest.mark.parametrize(
    ("text", "values", "spelling", "bound"),
    [
        ("1500 mm", (1500,), "mm", "exact"),
        ("1,500 mm", (1500, 1.5), "mm", "exact"),
        ("1.500 mm", (1500, 1.5), "mm", "exact"),
        ("1.500,25 mm", (1500.25,), "mm", "exact"),
        ("1,95 kg", (1.95,), "kg", "exact"),
        ("10 000 mm", (10000,), "mm", "exact"),
        ("10\u2009000 mm", (10000,), "mm", "exact"),
        ("10k", (10000,), "", "exact"),
        ("1.5k mm", (1500,), "mm", "exact"),
        ("−6 °C", (-6,), "° c", "exact"),
        ("–6 °C", (-6,), "° c", "exact"),
        ("+5 °C", (5,), "° c", "exact"),
        ("20 degrees Fahrenheit", (20,), "° f", "exact"),
        ("850+ cuin", (850,), "", "at least"),
        ("20 L+", (20,), "l", "at least"),
        ("< 6", (6,), "", "at most"),
        ("≥ 6", (6,), "", "at least"),
        ("up to 6 kg", (6,), "kg", "at most"),
        ("no more than 6 kg", (6,), "kg", "at most"),
        ("approx. 6 kg", (6,), "kg", "about"),
        ("~6 kg", (6,), "kg", "about"),
        ("850 g ± 5 %", (850,), "g", "about"),
        ("850 g +/- 10 g", (850,), "g", "about"),
        ("2½ lb", (2.5,), "lb", "exact"),
        ("2 1/2 lb", (2.5,), "lb", "exact"),
        ("¾ oz", (0.75,), "oz", "exact"),
        ("5 grams", (5,), "g", "exact"),
        ("20-denier", (20,), "denier", "exact"),
        ("20 den", (20,), "denier", "exact"),
        ("120 g/m²", (120,), "g / m 2", "exact"),
        ("8000 g/m²/24h", (8000,), "g / m 2 / 24 h", "exact"),
    ],
)
def test_one_amount(text: str, values: tuple[float, ...], spelling: str, bound: str, reader: Reader) -> None:
    assert longest(text, reader) == [(values, spelling, bound)]


def test_pounds_and_ounces_are_one_weight_in_either_unit(reader: Reader) -> None:
    compounds = [its.amounts[0] for its in found("2 lb 4 oz", reader) if its.end == 4]
    assert [(its.values, its.spelling) for its in compounds] == [((2.25,), "lb"), ((36.0,), "oz")]


@pytest.mark.parametrize("text", ["5'10\"", "5 ft 10 in", "5′ 10″", "5 feet 10 inches", "5ft10in"])
def test_feet_and_inches(text: str, reader: Reader) -> None:
    its = items(text, reader.spelling)
    whole = [one for one in found(text, reader) if one.end == its.count]
    assert [one.amounts[0].values[0] for one in whole] == [pytest.approx(5 + 10 / 12), 70.0]


def test_ounces_beyond_a_pound_are_no_compound(reader: Reader) -> None:
    assert all(its.end <= 2 for its in found("2 lb 40 oz", reader))


@pytest.mark.parametrize("text", ["20-30 L", "20 – 30 L", "20 to 30 L", "20L - 30L", "20 litres to 30 litres"])
def test_ranges(text: str, reader: Reader) -> None:
    assert longest(text, reader) == [((20,), "l", "at least"), ((30,), "l", "at most")]


def test_a_falling_range_has_its_bounds_turned(reader: Reader) -> None:
    assert longest("0 to -5 °C", reader) == [((0,), "° c", "at most"), ((-5,), "° c", "at least")]


@pytest.mark.parametrize("text", ["20 °F (-7 °C)", "20°F / -7°C", "20F/-7C"])
def test_the_same_again_in_other_units(text: str, reader: Reader) -> None:
    best = max(found(text, reader), key=lambda quantity: quantity.end)
    assert [(its.values[0], its.spelling, its.again) for its in best.amounts] == [
        (20, best.amounts[0].spelling, False),
        (-7, best.amounts[1].spelling, True),
    ]


@pytest.mark.parametrize("text", ["10000 mm / 8000 g", "8 oz / 2500 g", "5 kg (20 g)x"])
def test_two_quantities_are_not_the_same_again(text: str, reader: Reader) -> None:
    assert all(not amount.again for its in found(text, reader) for amount in its.amounts)


def test_a_dash_between_label_and_number_may_be_a_minus(reader: Reader) -> None:
    assert found("Limit - 6 °C", reader, at=2)[0].amounts[0].values == (6, -6)


@pytest.mark.parametrize(
    ("number", "half"),
    [
        ("8", 0.5),
        ("8.5", 0.05),
        ("0.25", 0.005),
        ("1500", 37.5),
        ("4000", 100.0),
        ("105", 0.5),
        ("20", 0.5),
        ("0", 0.5),
    ],
)
def test_half_a_unit_in_the_last_place(number: str, half: float) -> None:
    assert half_width(number, float(number)) == half
