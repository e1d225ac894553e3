"""The picture of an answer across a field: where its points stand, and that it says all in words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from pathlib import Path

import pytest

from hangtag.answers import work
from hangtag.book import Book
from hangtag.browser import calculator_html
from hangtag.browser.curve import HEIGHT, POINTS, TOP, Plot, draw, plot
from hangtag.calculators import Calculator
from tests.site.books import loaded

SVG = "{http://www.w3.org/2000/svg}"
POINT = re.compile(r"([ML])(-?[0-9.]+) (-?[0-9.]+)")


@pytest.fixture(scope="module")
def book(trial: Path) -> Book:
    return loaded(trial)


def plotted(book: Book, calculator: Calculator, given: Mapping[str, str] | None = None) -> Plot:
    """The picture for given values."""
    step = next(its for its in calculator.steps if calculator.curve and its.name == calculator.curve.of)
    scale = book.entries[step.scale].scale if step.scale else None
    inputs = work(book, calculator, given or {}).inputs
    found = plot(calculator, inputs, lambda low, high: f"{low} to {high}", scale)
    assert found is not None
    return found


def places(path: str) -> list[tuple[str, float, float]]:
    return [(letter, float(x), float(y)) for letter, x, y in POINT.findall(path)]


def test_sixty_points_stand_where_the_answers_are(book: Book) -> None:
    calculator = book.calculators["pole-mass"]  # across a length of 100 to 2540 mm: twice as long, laid end to end
    drawn = plotted(book, calculator)
    points = places(drawn.line)
    assert [letter for letter, _, _ in points] == ["M", *"L" * (POINTS - 1)]
    assert (points[0][1], points[-1][1]) == (0, 100)
    assert [text for _, text in drawn.y_ticks] == ["0", "2000", "4000", "6000"]
    for at in (0, 17, 42, 59):
        length = 100 + 2440 * at / 59
        assert points[at][1] == pytest.approx(100 * at / 59, abs=0.01)
        assert points[at][2] == pytest.approx((6000 - 2 * length) / 6000 * HEIGHT, abs=0.01)


def test_the_point_of_the_reader_is_marked_with_its_values(book: Book) -> None:
    drawn = plotted(book, book.calculators["pole-mass"], {"length": "1500", "poles": "3"})
    assert drawn.here is not None
    x, y = drawn.here
    assert x == pytest.approx((1500 - 100) / 2440 * 100)
    top = float(drawn.y_ticks[-1][1])
    assert y == pytest.approx((top - 4500) / top * HEIGHT)
    assert (drawn.here_x, drawn.here_y) == ("1500\u00a0mm", "4500\u00a0mm")


def test_the_axis_is_in_the_readers_unit(book: Book) -> None:
    drawn = plotted(book, book.calculators["pole-mass"], {"length": "60 in"})
    assert [text for _, text in drawn.x_ticks] == ["25", "50", "75", "100"]
    assert drawn.across.id == "in"
    assert [row.x for row in drawn.rows] == ["25", "50", "75", "100"]
    assert [row.y for row in drawn.rows] == ["1270", "2540", "3810", "5080"]


def test_a_point_without_an_answer_is_a_gap(book: Book) -> None:
    drawn = plotted(book, book.calculators["pole-sway"])  # divides by the size, which begins at 0
    points = places(drawn.line)
    assert len(points) == POINTS - 1
    assert points[0][0] == "M"
    assert drawn.rows[0].x == "0"
    assert drawn.rows[0].y is None
    # in the middle of a line: two pieces
    gap = plotted(book, book.calculators["pole-mass"], {"width": "100"})
    assert places(gap.line)[0][1] > 0
    assert all(letter == "L" for letter, _, _ in places(gap.line)[1:])


def test_where_the_reader_has_no_answer_nothing_is_marked(book: Book) -> None:
    drawn = plotted(book, book.calculators["pole-mass"], {"length": "100", "width": "100"})
    assert drawn.here is None
    html = calculator_html(book, book.calculators["pole-mass"], given={"length": "100", "width": "100"})
    assert " data-nowhere>" in html


def test_a_value_beyond_the_curve_widens_it(reference: Book) -> None:
    calculator = reference.calculators["rain-and-knees"]
    curve = calculator.curve
    assert curve is not None
    drawn = plotted(reference, calculator, {"contact_area": "500 cm^2"})
    assert curve.high.si < 0.05
    assert drawn.here is not None
    assert drawn.here[0] == 100


def test_what_is_uncertain_is_a_ribbon_around_the_line(reference: Book) -> None:
    uncertain = [its for its in reference.calculators.values() if its.curve and its.program.domain.uncertain]
    assert uncertain
    for calculator in uncertain:
        drawn = plotted(reference, calculator)
        line = places(drawn.line)
        pieces = drawn.ribbon.removesuffix("Z").split("Z")
        assert len(pieces) == len(line) - 1
        for before, after, piece in zip(line, line[1:], pieces, strict=False):
            corners = places(piece)
            assert [x for _, x, _ in corners] == [before[1], after[1], after[1], before[1]]
            assert corners[3][2] <= before[2] <= corners[0][2]  # higher values stand nearer to the top
            assert corners[2][2] <= after[2] <= corners[1][2]
        assert " to " in drawn.here_y
    assert plotted(reference, reference.calculators["down-loft"]).ribbon == ""


def test_the_bands_of_the_scale_lie_behind(book: Book) -> None:
    drawn = plotted(book, book.calculators["pole-mass"])
    assert [(band.letter, band.filled) for band in drawn.bands] == [("c", True), ("b", False), ("a", True)]
    top = float(drawn.y_ticks[-1][1])
    wanted = [0, (top - 1524) / top * HEIGHT, (top - 1000) / top * HEIGHT]
    assert [band.y for band in drawn.bands] == pytest.approx(wanted)
    html = calculator_html(book, book.calculators["pole-mass"])
    table = html[html.index('class="ht-curve-text"') : html.index("</figure>")]
    assert '<span class="ht-letter">b</span> up to 60\u00a0in: sticks for most hills' in table
    assert "common practice, no source" in table


def test_an_answer_that_never_changes_has_a_line_in_the_middle(book: Book) -> None:
    calculator = book.calculators["pole-sway"]
    drawn = plotted(book, calculator, {"hand": "0", "grip": "0"})
    assert {y for _, _, y in places(drawn.line)} == {HEIGHT / 2}


def test_the_drawing_says_what_it_shows_and_needs_no_style(book: Book) -> None:
    for calculator in book.calculators.values():
        if calculator.curve is None:
            continue
        drawn = draw(plotted(book, calculator), "a&b", "Mass < all")
        assert not re.search(r"style=|fill=|stroke=|url\(", drawn)
        root = ET.fromstring(drawn.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))  # noqa: S314  our own
        assert root.get("role") == "img"
        title = root.find(f"{SVG}title")
        assert title is not None
        assert (title.get("id"), title.text) == (root.get("aria-labelledby"), "Mass < all")
        here = root.find(f"{SVG}svg[@class='ht-here']")
        assert here is not None
        assert float(here.get("y", "")) + float(here.get("height", "")) == pytest.approx(TOP + HEIGHT)


def test_the_same_values_stand_in_a_table(book: Book) -> None:
    calculator = book.calculators["pole-mass"]
    html = str(calculator_html(book, calculator))
    drawn = plotted(book, calculator)
    for row in drawn.rows:
        answer = work(book, calculator, {"length": row.x})
        if not answer.refused:
            reach = next(its for its in answer.steps if its.name == "reach")
            assert row.y == reach.shown.text
            assert f"<td>{row.y}</td>" in html
