"""The drawing of a scale: where things stand, which numbers are written, and that it says all in words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangtag.entries import Scale
from hangtag.pages.scale import anchor, draw, middle, percent, stretches, ticks, two_figures
from tests.site.books import loaded, make_trial

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def scale(tmp_path_factory: pytest.TempPathFactory) -> Scale:
    root: Path = make_trial(tmp_path_factory.mktemp("trial") / "book")
    found = loaded(root).entries["pole-length"].scale
    assert found is not None
    return found


def parsed(scale: Scale, here: float) -> ET.Element:
    drawn = draw("pole-length", scale, here, title="A & B", described="1200 mm lies in: < long")
    return ET.fromstring(drawn.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))  # noqa: S314  our own text


def test_values_stand_where_their_share_of_the_bar_is(scale: Scale) -> None:
    assert [percent(scale, metres) for metres in (-1, 0, 0.5, 1.2, 2, 9)] == pytest.approx([0, 0, 25, 60, 100, 100])


def test_stretches_fill_the_bar_and_alternate(scale: Scale) -> None:
    found = stretches(scale)
    assert [(one.letter, one.filled) for one in found] == [("a", True), ("b", False), ("c", True)]
    assert [one.start for one in found] == pytest.approx([0, 50, 76.2])  # 60 in are 1524 mm of 2000
    assert [one.end for one in found] == pytest.approx([50, 76.2, 100])


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0, 20000, (0, 5000, 10000, 15000, 20000)),
        (0, 25000, (0, 10000, 20000)),
        (300, 1000, (400, 600, 800, 1000)),
        (0, 10, (0, 2, 4, 6, 8, 10)),
        (-10, 40, (-10, 0, 10, 20, 30, 40)),
        (0, 0.3, (0, 0.1, 0.2, 0.3)),
        (1.5, 8.5, (2, 4, 6, 8)),
    ],
)
def test_ticks_are_round(low: float, high: float, expected: tuple[float, ...]) -> None:
    assert ticks(low, high) == expected


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_there_are_few_ticks_and_all_lie_on_the_bar(low: float, width: float) -> None:
    found = ticks(low, low + width)
    assert len(found) <= 6
    assert all(low - width * 1e-6 <= tick <= low + width * (1 + 1e-6) for tick in found)


def test_the_marker_and_its_value_move_together(scale: Scale) -> None:
    root = parsed(scale, 1.2)
    mark = root.find(f".//{SVG}svg[@id='scale-pole-length-mark']")
    value = root.find(f".//{SVG}text[@id='scale-pole-length-value']")
    assert mark is not None
    assert value is not None
    assert mark.get("x") == value.get("x") == "60%"
    assert "".join(value.itertext()).replace("\N{NO-BREAK SPACE}", " ") == "1200 mm"


def test_values_near_an_end_are_set_inwards() -> None:
    assert [anchor(at) for at in (0, 10, 50, 90, 100)] == ["start", "start", "middle", "end", "end"]


def test_the_drawing_says_what_it_shows(scale: Scale) -> None:
    root = parsed(scale, 1.2)
    assert root.get("role") == "img"
    named = [root.find(f".//*[@id='{name}']") for name in (root.get("aria-labelledby") or "").split()]
    assert [element.text for element in named if element is not None] == ["A & B", "1200 mm lies in: < long"]


def test_the_drawing_needs_no_style_of_its_own(scale: Scale) -> None:
    drawn = draw("pole-length", scale, 1.2, title="", described="")
    assert not re.search(r"style=|fill=|stroke=|#[0-9a-f]{3}|url\(", drawn)


def test_the_middle_is_a_round_value(scale: Scale) -> None:
    assert middle(scale) == pytest.approx(1.0)


def test_two_figures_keep_the_size_of_a_number() -> None:
    assert [float(two_figures(value)) for value in (0, 12_500, 1581.1, 4.94, 100, -0.0126)] == [
        0,
        13_000,
        1600,
        4.9,
        100,
        -0.013,
    ]
