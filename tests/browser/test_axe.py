"""What axe finds on one page of each kind: narrow and wide, light and dark, plain, finder open, mistakes shown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import Site
from tests.browser.kinds import kinds, open_finder, type_a_mistake

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ALL = {"runOnly": TAGS}
# Rules that can differ between light and dark or between widths; the others would look at the same tree again.
COLOUR = ["color-contrast", "link-in-text-block"]
OF_COLOUR = {"runOnly": {"type": "rule", "values": COLOUR}}
OF_WIDTH = {"runOnly": {"type": "rule", "values": [*COLOUR, "target-size", "scrollable-region-focusable"]}}


def found(page: Page, options: Mapping[str, object]) -> list[tuple[str, list[str]]]:
    """Each broken rule with the elements that break it."""
    violations = Axe().run(page, options=dict(options)).response["violations"]
    return [(one["id"], [node["html"][:160] for node in one["nodes"]]) for one in violations]


def check(page: Page, where: str) -> None:
    """On a phone in light by all rules, else by those that may differ; without motion, for colours on their way."""
    narrow = page.evaluate("innerWidth") < 600
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    assert found(page, ALL if narrow else OF_WIDTH) == [], f"{where}, light"
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    assert found(page, OF_COLOUR) == [], f"{where}, dark"


@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing_on_any_kind_of_page(page: Page, trial: Site, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    for kind, address in kinds(trial).items():
        page.goto(address)
        check(page, kind)


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("state", ["finder open", "mistakes shown", "all unfolded"])
def test_axe_finds_nothing_in_any_state(
    page: Page, trial: Site, width: int, state: Literal["finder open", "mistakes shown", "all unfolded"]
) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    for kind in ("home", "entry") if state == "finder open" else ("entry", "calculator"):
        page.goto(kinds(trial)[kind])
        if state == "finder open":
            assert open_finder(page, "pole"), kind
        elif state == "mistakes shown":
            page.wait_for_selector("[data-live]")
            type_a_mistake(page)
        else:
            page.locator(".ht-article details").evaluate_all("all => all.forEach(one => { one.open = true; })")
        check(page, f"{kind}, {state}")
