"""A page as somebody reads it: length of lines, narrow screens, fingers, keys, own colours, the reader's own number."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Site
from tests.browser.kinds import kinds

SMALLEST_TARGET = 24  # CSS pixels
SMALLEST_CONTROL = 44
MOST_TABS = 12
SPACING = "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; }"
# The page's own policy forbids a style element; a sheet made by a script is the reader's, as an extension's would be.
ADD_STYLE = """css => { const sheet = new CSSStyleSheet(); sheet.replaceSync(css);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet]; }"""
# Links of running text may be as small as the text (WCAG 2.5.8, inline).
TARGETS = """() => [...document.querySelectorAll("a[href], button, input, select, summary, textarea")].filter((one) => {
    const style = getComputedStyle(one);
    if (!one.checkVisibility({ visibilityProperty: true }) || one.matches("svg *, .md-skip")) return false;
    const inline = style.display === "inline" && [...one.parentElement.childNodes].some((node) =>
      node !== one && node.textContent.trim());
    return !inline || one.matches("button, input, select, textarea");
  }).map((one) => {
    const box = one.getBoundingClientRect();
    const control = one.matches("button, input, select, textarea, summary");
    return [one.outerHTML.slice(0, 120), control, box.width, box.height];
  })"""

FOCUSED = """() => { const one = document.activeElement;
  const box = one.getClientRects()[0] || one.getBoundingClientRect();
  const style = getComputedStyle(one);
  const seen = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height / 2, 20));
  return { html: one.outerHTML.slice(0, 120), article: Boolean(one.closest("article")), page: one === document.body,
    left: box.left, right: box.right, top: box.top, bottom: box.bottom, onTop: one.contains(seen),
    ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 }; }"""


@pytest.fixture
def kind_pages(trial: Site) -> Mapping[str, str]:
    """One page of each kind."""
    return kinds(trial)


@pytest.fixture
def entry_page(page: Page, kind_pages: Mapping[str, str]) -> Page:
    """The page of an entry with a scale and calculators, its scripts at work."""
    page.goto(kind_pages["entry"])
    page.wait_for_selector("hangtag-calculator[data-live]")
    return page


def test_every_kind_of_page_fits_a_screen_of_320_pixels(page: Page, kind_pages: Mapping[str, str]) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    for kind, address in kind_pages.items():
        page.goto(address)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, kind
        page.evaluate(ADD_STYLE, SPACING)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, f"{kind}, spaced"


@pytest.mark.parametrize("width", [360, 1280])
def test_everything_that_is_pressed_is_large_enough(page: Page, kind_pages: Mapping[str, str], width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    for kind, address in kind_pages.items():
        page.goto(address)
        for html, is_control, wide, high in page.evaluate(TARGETS):
            assert high >= SMALLEST_TARGET, (kind, html, high)
            assert wide >= SMALLEST_TARGET or not is_control, (kind, html, wide)
            if is_control and 'type="checkbox"' not in html:
                assert high >= SMALLEST_CONTROL, (kind, html, high)


@pytest.mark.parametrize("width", [360, 1280])
def test_the_keyboard_reaches_the_article_soon_and_never_leaves_the_screen(
    page: Page, kind_pages: Mapping[str, str], width: int
) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(reduced_motion="reduce")  # else the page is still on its way when it is asked
    for kind in ("home", "entry"):
        page.goto(kind_pages[kind])
        first = None
        for stop in range(1, 41):
            page.keyboard.press("Tab")
            at = page.evaluate(FOCUSED)
            if at["page"]:
                break
            if at["article"] and first is None:
                first = stop
            assert at["ring"], (kind, at)
            assert at["right"] > 0, (kind, at)
            assert at["left"] < width, (kind, at)
            assert at["bottom"] > 0, (kind, at)
            assert at["top"] < 800, (kind, at)
            assert at["onTop"], (kind, at)
        assert first is not None, kind
        assert first <= MOST_TABS, (kind, first)


def test_lines_of_text_are_60_to_75_characters_long(entry_page: Page) -> None:
    entry_page.set_viewport_size({"width": 1280, "height": 800})
    # the width of a line over the mean width of its characters, in a paragraph of the text
    characters = entry_page.evaluate(
        """() => { const p = [...document.querySelectorAll("#meaning ~ p")].find((one) => one.textContent.length > 60);
        const range = document.createRange(); const probe = document.createElement("span");
        probe.textContent = "the quick brown fox jumps over a lazy dog and the nights grow cold in the fells".repeat(3);
        probe.style.whiteSpace = "nowrap"; probe.style.position = "absolute"; p.append(probe);
        const each = probe.getBoundingClientRect().width / probe.textContent.length; probe.remove();
        return p.getBoundingClientRect().width / each; }"""
    )
    assert 60 <= characters <= 75


def test_figures_are_of_one_width(entry_page: Page) -> None:
    for part in (".ht-value", ".ht-number", ".ht-bar", ".ht-bands .ht-limits"):
        figures = entry_page.locator(part).first.evaluate("one => getComputedStyle(one).fontVariantNumeric")
        assert "tabular-nums" in figures, part


def test_the_meaning_and_the_readers_number_come_first(entry_page: Page) -> None:
    """On a phone: name, sentence and field within the first two screens, before everything else."""
    order = entry_page.locator(".ht-article > *").evaluate_all(
        "all => all.map((one) => one.id || one.className || one.localName)"
    )
    figure = entry_page.locator(".ht-article > .ht-scale").evaluate("one => one.id")
    assert order.index("scale") < order.index("meaning")
    assert order.index(figure) == order.index("scale") + 1
    top = entry_page.locator("[data-own] input").bounding_box()
    assert top is not None
    assert top["y"] < 2 * 740


def test_what_the_reader_types_moves_the_scale_and_the_calculators(entry_page: Page) -> None:
    own = entry_page.locator("[data-own] input")
    other = entry_page.locator("hangtag-calculator [data-scale-of='pole-length'] input.ht-number").first
    answers = entry_page.locator("hangtag-calculator output").all_text_contents()
    own.fill("1.7 m")
    expect(entry_page.locator(".ht-mark-value")).to_have_text(re.compile(r"^1700\smm$"))
    expect(other).to_have_value("1.7")  # this field offers metres too
    assert entry_page.locator("hangtag-calculator output").all_text_contents() != answers
    current = entry_page.locator(".ht-bands [data-current] .ht-says").text_content()
    assert entry_page.locator(".ht-reading-says").text_content() == current
    other.fill("1300 mm")
    expect(own).to_have_value("1300")


def test_a_mistake_in_the_readers_number_is_said_beside_it(entry_page: Page) -> None:
    own = entry_page.locator("[data-own] input")
    marker = entry_page.locator(".ht-mark-value").text_content()
    own.fill("much")
    own.blur()
    error = entry_page.locator("[data-own] [data-error]")
    expect(error).to_be_visible()
    assert own.get_attribute("aria-invalid") == "true"
    assert (error.get_attribute("id") or "none") in (own.get_attribute("aria-describedby") or "")
    assert entry_page.locator(".ht-mark-value").text_content() == marker
    own.fill("1400")
    expect(error).to_be_hidden()
    assert own.get_attribute("aria-invalid") is None


def test_the_parts_of_a_long_page_can_be_reached_from_its_head(entry_page: Page) -> None:
    links: Locator = entry_page.locator("#parts a")
    assert links.count() > 3
    for link in links.all():
        anchor = (link.get_attribute("href") or "").removeprefix("#")
        assert entry_page.locator(f"[id='{anchor}']").count() == 1, anchor


def test_forced_colours_leave_the_pictures_readable(page: Page, kind_pages: Mapping[str, str]) -> None:
    page.emulate_media(forced_colors="active")
    page.goto(kind_pages["entry"])
    seen = page.evaluate(
        """() => { const of = (part, what) => getComputedStyle(document.querySelector(part))[what];
        return { paper: of("body", "backgroundColor"), filled: of(".ht-filled", "fill"), open: of(".ht-open", "fill"),
          mark: of(".ht-mark-line", "stroke"), letter: of(".ht-filled-letter", "fill"),
          number: of(".ht-tick-number", "fill") }; }"""
    )
    assert seen["filled"] != seen["paper"]
    assert seen["open"] == seen["paper"]
    assert seen["mark"] not in {seen["paper"], seen["filled"]}
    assert seen["letter"] != seen["filled"]
    assert seen["number"] != seen["paper"]


def test_a_link_to_a_term_is_a_plain_link(entry_page: Page) -> None:
    assert entry_page.locator("abbr").count() == 0
    assert entry_page.locator("a[title]").count() == 0
