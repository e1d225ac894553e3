"""A page of a kind of gear for everybody: axe, the keyboard through the drawing, the narrowest screen, dark."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Site, Sites
from tests.browser.test_pages import RULES

KIND = "boot"

# The drawing's words on the screen, and the rings and boxes of what is focused.
_WORDS = """() => [...document.querySelectorAll(".ht-gear-drawing text")].filter((each) => each.getClientRects().length)
  .map((each) => { const box = each.getBoundingClientRect();
    return [each.textContent, box.left, box.top, box.right, box.bottom]; })"""
_FOCUSED = """() => { const at = document.activeElement, box = at.getBoundingClientRect();
  const room = at.querySelector("rect");
  return {name: at.getAttribute("aria-label"), width: box.width, height: box.height,
    ring: room ? getComputedStyle(room).strokeWidth : "", href: at.href.baseVal ?? at.href}; }"""


@pytest.fixture
def site(sites: Sites) -> Site:
    return sites.get("reference", "http")


@pytest.mark.parametrize(("path", "width", "scheme"), [(f"gear/{KIND}", 320, "dark"), ("gear", 1280, "light")])
def test_axe_finds_nothing_and_nothing_is_wider_than_the_screen(
    browser: Browser, site: Site, path: str, width: int, scheme: str
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(site.page(path))
    found = Axe().run(page, options=RULES).response["violations"]
    assert [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


def test_the_keyboard_goes_through_the_words_of_the_drawing(page: Page, site: Site) -> None:
    drawing = site.book.gear[KIND].drawing
    assert drawing is not None
    page.goto(site.page(f"gear/{KIND}"))
    page.locator(".ht-kicker a").focus()
    met = []
    for _ in drawing.parts:
        page.keyboard.press("Tab")
        met.append(page.evaluate(_FOCUSED))
    assert len({one["name"] for one in met}) == len(drawing.parts)
    for one in met:
        assert one["name"], one
        assert one["ring"] == "3px", one
        assert one["height"] >= 24, one
        assert one["width"] >= 24, one
    page.keyboard.press("Enter")
    page.wait_for_url("**/terms/**")
    entry = site.book.entries[page.url.rstrip("/").rpartition("/")[2]]
    assert met[-1]["name"].endswith(f": {entry.name}")


@pytest.mark.parametrize("kind", ["tent", "bag", "rain-jacket", "boot"])
def test_words_beside_a_drawing_stand_apart_and_on_the_screen(page: Page, site: Site, kind: str) -> None:
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(site.page(f"gear/{kind}"))
        seen = page.evaluate(_WORDS)
        assert len(seen) >= 6
        for at, (words, left, top, right, bottom) in enumerate(seen):
            assert left >= 0, words
            assert right <= width, words
            for other, left2, top2, right2, bottom2 in seen[at + 1 :]:
                apart = right <= left2 or right2 <= left or bottom <= top2 + 3 or bottom2 <= top + 3
                assert apart, (width, words, other)
