"""Every code of contradiction, what sets it off, and what does not."""

from __future__ import annotations

import pytest

from hangtag.tag_reader import CODES, Reader, read

BREAKS = [
    ("stack 34/26 mm, drop 4 mm", "drop-difference", True),
    ("Heel 30 mm, forefoot 22 mm, 4 mm drop", "drop-difference", True),
    ("Power bank 10000 mAh, 3.7 V, 47 Wh", "charge-and-energy", True),
    ("Packed weight 2 lb 4 oz (1.2 kg)", "two-units", True),
    ("20 °F (-20 °C) bag", "two-units", True),
    ("55 L (4200 cu in) pack", "two-units", True),
    ("tent, packed weight 1.2 kg, minimum weight 1.5 kg", "packed-below-minimum", False),
    ("Comfort -6 °C, limit -1 °C", "limit-above-comfort", False),
    ("HH 15000000 mm fly", "outside-scale", False),
    ("R-value 450 pad", "outside-scale", False),
]
HOLDS = [
    "stack 34/26 mm, drop 8 mm",
    "stack 34/26 mm, drop 9 mm",  # 34.4 less 25.6 is 8.8: rounding
    "Power bank 10000 mAh, 3.7 V, 37 Wh",
    "Battery 5000 mAh / 7.4 V (37 Wh)",
    "Packed weight 2 lb 4 oz (1.02 kg)",
    "20 °F (-7 °C) bag",
    "65 L (4000 cu in) pack",
    "tent, packed weight 1.5 kg, minimum weight 1.2 kg",
    "Comfort -1 °C, limit -6 °C",
    "Regular: comfort 2 °C limit -3 °C; long: comfort 0 °C limit -5 °C",
    "HH 60000 mm fly",
    "drop 4-8 mm, stack 34/26 mm",
]


@pytest.mark.parametrize(("text", "code", "certain"), BREAKS)
def test_what_cannot_be(text: str, code: str, certain: bool, reader: Reader) -> None:
    tag = read(reader, text)
    assert [(its.code, its.certain) for its in tag.contradictions] == [(code, certain)]
    found = tag.contradictions[0]
    assert found.because
    assert all(tag.readings[index].value is not None for index in found.readings)


@pytest.mark.parametrize("text", HOLDS)
def test_what_can_be(text: str, reader: Reader) -> None:
    assert read(reader, text).contradictions == ()


def test_every_code_is_known_and_shown(reader: Reader) -> None:
    assert {code for _, code, _ in BREAKS} == reader.codes
    assert reader.codes > CODES


def test_a_thousand_times_says_another_unit(reader: Reader) -> None:
    found = read(reader, "drop 9000 mm", kind="shoe").contradictions
    assert [its.code for its in found] == ["outside-scale"]
    assert "ten times" in found[0].because
    found = read(reader, "drop 90000 mm", kind="shoe").contradictions
    assert "another unit" in found[0].because


def test_both_numbers_stand_in_the_words(reader: Reader) -> None:
    found = read(reader, "stack 34/26 mm, drop 4 mm").contradictions[0]
    assert "4\u00a0mm, 34\u00a0mm, 26\u00a0mm" in found.because
