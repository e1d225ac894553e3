"""Copying a link: to the calculator's own page with the values that stand in its fields; it says what it copied.

Data for machines in the head needs no exception from a strict policy either.
"""

from __future__ import annotations

import mimetypes
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Route

from hangtag.mkdocs_plugin import build_site
from tests.browser.conftest import SECURITY, Site, Sites
from tests.browser.support import computed, field, open_calculator, shown, until
from tests.site.linked import SITE, make_linked

NO_CLIPBOARD = "Object.defineProperty(navigator, 'clipboard', { value: undefined })"


def copied(page: Page) -> str:
    return str(page.evaluate("() => navigator.clipboard.readText()"))


def press(page: Page) -> Locator:
    """Press "Copy link" with the keyboard, and give what stands around it."""
    place = page.locator(".ht-copy").first
    place.locator("button").focus()
    page.keyboard.press("Enter")
    until(page, place.locator("[data-said]").is_visible)
    return place


def status(page: Page) -> str:
    heard = page.locator("hangtag-calculator [role=status]").first
    until(page, lambda: heard.text_content() != "")
    return heard.text_content() or ""


def test_a_calculators_own_page_copies_its_address(page: Page, context: BrowserContext, trial: Site) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator, "?from=club")
    field(page, calculator, "length").fill("1.5 m")
    place = press(page)
    link = trial.page("calculators/pole-mass") + "?from=club&length=1.5m&width=25mm&fibre=ash&poles=2"
    assert copied(page) == link
    said = "Copied: the link to Mass of a pole, with Pole length 1.5\u00a0m; Pole width 25\u00a0mm; Wood Ash; Poles 2."
    assert place.locator("[data-said]").inner_text() == said
    assert status(page) == said
    assert place.locator("input").is_hidden()
    field(page, calculator, "width").fill("wide")
    press(page)
    until(page, lambda: "Nothing is copied" in (place.locator("[data-said]").text_content() or ""))
    assert copied(page) == link


def test_an_entry_copies_a_link_to_the_calculators_page(page: Page, context: BrowserContext, trial: Site) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    calculator = trial.book.calculators["pole-mass"]
    page.goto(trial.page("terms/pole-length") + "#scale")
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    press(page)
    assert copied(page) == trial.page("calculators/pole-mass"), "start values need no address"
    field(page, calculator, "length").fill("60 in")
    press(page)
    until(page, lambda: "?" in copied(page))
    assert copied(page) == trial.page("calculators/pole-mass") + "?length=60in&width=25mm&fibre=ash&poles=2"
    assert page.url == trial.page("terms/pole-length") + "#scale"


@pytest.mark.parametrize("start", ["terms/pole-length", "calculators/pole-mass"])
def test_where_a_page_may_not_copy_the_link_is_shown_selected(page: Page, sites: Sites, start: str) -> None:
    site = sites.get("trial", "file")
    calculator = site.book.calculators["pole-mass"]
    page.add_init_script(NO_CLIPBOARD)
    page.goto(site.page(start))
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    field(page, calculator, "length").fill("60 in")
    place = press(page)
    box = place.locator("input")
    assert box.is_visible()
    selected = page.evaluate("() => String(document.activeElement.value.slice(document.activeElement.selectionStart))")
    assert (
        selected
        == box.input_value()
        == site.page("calculators/pole-mass") + "?length=60in&width=25mm&fibre=ash&poles=2"
    )
    assert "is selected below" in status(page)
    page.goto(selected)
    page.wait_for_selector("[data-live]")
    assert shown(page, calculator) == computed(page, site, calculator, {"length": "60 in"})


def test_a_list_goes_along(page: Page, context: BrowserContext, trial: Site) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    calculator = trial.book.calculators["pole-kit"]
    open_calculator(page, trial, calculator)
    page.locator(".ht-row [data-do=remove]").first.click()
    until(page, lambda: status(page) != "")  # only then is the focus where it stays
    press(page)
    assert "#rows=" in copied(page)


@pytest.fixture(scope="module")
def linked_sites(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The trial book as a site that knows its address, for the web and for disk."""
    root = make_linked(tmp_path_factory.mktemp("linked") / "book")
    return {kind: build_site(root, root.parent / kind, disk=kind == "disk") for kind in ("web", "disk")}


def test_data_in_the_head_needs_no_exception_from_a_strict_policy(
    browser: Browser, linked_sites: dict[str, Path]
) -> None:
    def answer(route: Route) -> None:
        path = urlsplit(route.request.url).path.removeprefix(urlsplit(SITE).path)
        file = linked_sites["web"] / path / ("index.html" if path.endswith("/") or not path else "")
        kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
        route.fulfill(body=file.read_bytes(), content_type=kind, headers={"Content-Security-Policy": SECURITY})

    page = browser.new_page()
    heard: list[str] = []
    page.on("console", lambda message: heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.route("**/*", answer)
    for path in ("", "areas/trail/", "terms/pole-length/"):
        page.goto(SITE + path)
        assert page.locator("script[type='application/ld+json']").count() == 1
    page.wait_for_selector("[data-live]")
    page.close()
    assert heard == []


def test_a_copy_on_disk_passes_on_the_link_to_the_site(page: Page, linked_sites: dict[str, Path]) -> None:
    page.add_init_script(NO_CLIPBOARD)
    for path in ("terms/pole-length.html", "calculators/pole-mass/index.html"):
        page.goto((linked_sites["disk"] / path).as_uri())
        page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
        page.locator("[id='pole-mass-length']").fill("60 in")
        box = press(page).locator("input")
        assert box.input_value() == f"{SITE}calculators/pole-mass/?length=60in&width=25mm&fibre=ash&poles=2"
