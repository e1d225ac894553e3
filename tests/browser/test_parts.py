"""The parts that open, for everybody: axe, the narrowest screen, letter spacing, and controls large enough to touch."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page

from hangtag.calculators import Calculator
from tests.browser.conftest import Site
from tests.browser.support import of_every_kind, open_calculator, settled
from tests.browser.test_pages import SMALLEST_CONTROL, SPACE_OUT, SPACING, violations


def with_parts(site: Site) -> list[Calculator]:
    """Calculators with a curve, with a ribbon, with bands behind it, and one that is one-way."""
    its = list(site.book.calculators.values())
    kinds = [
        [one for one in its if one.curve and not one.program.domain.uncertain],
        [one for one in its if one.curve and one.program.domain.uncertain],
        [one for one in its if one.curve and any(step.scale and step.name == one.curve.of for step in one.steps)],
        [one for one in its if one.one_way],
    ]
    return [kind[0] for kind in kinds if kind]


def open_all(page: Page, site: Site, calculator: Calculator) -> None:
    open_calculator(page, site, calculator)
    page.evaluate("() => document.querySelectorAll('details').forEach((details) => { details.open = true; })")
    if page.locator(".ht-backwards").count():
        page.wait_for_selector(".ht-backwards [data-ask=unit] option", state="attached")
    settled(page)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing(browser: Browser, web: Site, width: int, scheme: str) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    for calculator in with_parts(web):
        open_all(page, web, calculator)
        assert violations(page) == [], calculator.id
        if page.locator(".ht-backwards").count():
            page.locator("[data-ask=value]").fill("much")
            page.locator("[data-ask=value]").blur()
            page.wait_for_selector("[data-ask=error]:visible")
            assert violations(page) == [], calculator.id
    context.close()


def test_nothing_is_wider_than_the_narrowest_screen(page: Page, web: Site) -> None:
    page.set_viewport_size({"width": 320, "height": 800})
    for calculator in web.book.calculators.values():
        open_all(page, web, calculator)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, calculator.id
        page.evaluate(SPACE_OUT, SPACING)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, calculator.id


def test_controls_are_large_enough_to_touch(page: Page, web: Site) -> None:
    for calculator in of_every_kind(web):
        open_all(page, web, calculator)
        selector = ":is(.ht-units, .ht-backwards, .ht-curve) :is(input, select, button, summary):visible"
        for control in page.locator(selector).all():
            box = control.bounding_box()
            assert box is not None
            assert box["height"] >= SMALLEST_CONTROL, (calculator.id, control.inner_text())
