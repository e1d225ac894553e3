"""An entry on paper: sheets counted in the PDF that Chromium writes, and what the print styles keep and leave out."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Site, Sites

MOST_SHEETS = {"A4": 2, "Letter": 3}  # Letter is 18 mm shorter
# A long text, many bands, a curve and a drawing; the longest working; a list of things with the longest sum.
LONG = ("temperature-rating", "baffle-construction", "base-weight")
_PAGE = re.compile(rb"/Type\s*/Page\b(?!s)")
# Every text a sheet shows is a grey, dark enough to read; so are the lines of pictures.
COLOURS = """() => [...document.querySelectorAll("article :is(p, li, h1, h2, span, output, input, text, mn, dd)")]
  .filter((one) => one.checkVisibility() && one.textContent.trim() && !one.matches(".ht-filled-letter"))
  .map((one) => getComputedStyle(one)[one instanceof SVGElement ? "fill" : "color"])"""


@pytest.fixture(scope="module")
def book(sites: Sites) -> Site:
    """The reference book, whose entries are as long as real ones."""
    return sites.get("reference", "http")


@pytest.mark.parametrize("entry", LONG)
def test_a_long_entry_takes_two_sheets(page: Page, book: Site, entry: str) -> None:
    page.goto(book.page(f"terms/{entry}"))
    page.wait_for_selector("hangtag-calculator[data-live]")
    sheets = {size: len(_PAGE.findall(page.pdf(format=size, print_background=False))) for size in MOST_SHEETS}
    assert all(1 <= sheets[size] <= most for size, most in MOST_SHEETS.items()), sheets


def test_paper_keeps_numbers_and_leaves_out_what_needs_a_finger(page: Page, book: Site) -> None:
    page.goto(book.page("terms/hydrostatic-head"))
    page.wait_for_selector("hangtag-calculator[data-live]")
    page.locator("[data-own] input").fill("1500")
    answer = page.locator("hangtag-calculator output [data-number]").first.inner_text()
    page.emulate_media(media="print")
    assert answer in page.locator(".ht-results").first.inner_text()
    assert page.locator("[data-own] input").is_visible()
    assert page.locator("hangtag-calculator input").first.input_value() == "1500"
    for kept in (".ht-working", ".ht-own-numbers", ".ht-caution", ".ht-bar", "#sources", ".ht-reading"):
        assert page.locator(kept).first.is_visible(), kept
    for gone in (".ht-header nav", ".ht-units", ".ht-switch", "#parts", ".ht-backwards", ".ht-more", ".ht-copy"):
        assert not page.locator(gone).first.is_visible(), gone


def test_paper_says_where_each_work_is_published(page: Page, book: Site) -> None:
    page.goto(book.page("terms/hydrostatic-head"))
    targets = page.locator(".ht-target")
    assert targets.count() > 1
    assert not targets.first.is_visible()
    page.emulate_media(media="print")
    assert all(target.inner_text().startswith("https://") for target in targets.all())


def test_what_is_folded_stays_folded_and_what_was_opened_is_printed(page: Page, book: Site) -> None:
    page.goto(book.page("terms/hydrostatic-head"))
    page.emulate_media(media="print")
    folded = page.locator(".ht-fold-calc")
    assert not folded.first.is_visible()
    folded.first.evaluate("one => { one.open = true; }")
    assert folded.first.locator("output").first.is_visible()


def test_paper_needs_no_colour(page: Page, book: Site) -> None:
    page.emulate_media(media="print", color_scheme="dark")
    page.goto(book.page("terms/hydrostatic-head"))
    colours = set(page.evaluate(COLOURS))
    assert colours
    for colour in colours:
        red, green, blue = (int(part) for part in re.findall(r"\d+", colour)[:3])
        assert red == green == blue, colour
        assert red <= 0x55, colour
