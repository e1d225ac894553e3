"""Tokens become items: one spelling for many, marks that only part put aside, stretches numbered."""

from __future__ import annotations

import pytest

from hangtag.tag_reader import Reader
from hangtag.tag_reader.items import items


def shown(text: str, reader: Reader) -> str:
    """Items parted by spaces, segments by a bar."""
    its = items(text, reader.spelling)
    out = ""
    for at, word in enumerate(its.word):
        bar = " | " if at and its.segment[at] != its.segment[at - 1] else " "
        out += (bar if at else "") + word
    return out


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Min. weight: 2 lbs, 4 oz", "minimum weight 2 lb | 4 oz"),
        ("20-denier sewn-through R-value", "20 denier sewn through r value"),
        ("20-30 L", "20 - 30 l"),
        ("28 sq. ft. floor", "28 sq ft floor"),
        ("1200 mm. Floor 20D", "1200 mm | floor 20 d"),
        ("6 oz. Floor 20D", "6 oz | floor 20 d"),
        ("6 oz. floor", "6 oz floor"),
        ("WEIGHT 6 OZ. FLOOR", "weight 6 oz floor"),
        ("HH >= 20 m", "hh > 20 m"),
        ("30Dx40D", "30 d x 40 d"),
        ("10kmm 10kg", "10 k mm 10 kg"),
        ("750cuin", "750 cu in"),
        ("open 8:30", "open 8 : 30"),
        ("nylon\npolyester", "nylon | polyester"),
        ("Deneir Polester 5 grammes 3 Ltrs", "denier polyester 5 g 3 l"),
        ("a; b | c • d", "a | b | c | d"),
        ("", ""),
        (".,;:", ""),
    ],
)
def test_words_and_segments(text: str, expected: str, reader: Reader) -> None:
    assert shown(text, reader) == expected


def test_places_are_those_of_the_text(reader: Reader) -> None:
    text = "🏕 Min. 30Dx40D — 10kmm"
    its = items(text, reader.spelling)
    written = [text[start:end] for start, end in zip(its.start, its.end, strict=True)]
    assert written == ["🏕", "Min", "30", "D", "x", "40", "D", "—", "10", "k", "mm"]


def test_a_colon_is_remembered(reader: Reader) -> None:
    its = items("Fly: 20D", reader.spelling)
    assert list(zip(its.word, its.gap, strict=True)) == [("fly", " "), ("20", ":"), ("d", "")]
