"""From the zip, with the network off: read, follow links, find, calculate; in both looks."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Route

from hangtag.mkdocs_plugin import build_site
from hangtag.plain import build_plain
from tests.browser.conftest import Site
from tests.browser.kinds import open_finder
from tests.browser.support import computed, enter, field, open_calculator, shown
from tests.site.books import loaded, make_trial


@pytest.fixture(scope="module", params=[build_site, build_plain], ids=["themed", "plain"])
def unpacked(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Site:
    """A site as it comes out of its zip, on a stick whose name has a space."""
    folder = tmp_path_factory.mktemp("zip")
    book = make_trial(folder / "book")
    build: Callable[..., Path] = request.param
    archive = build(book, folder / "larkmoor", disk=True).with_suffix(".zip")
    stick = folder / "a stick"
    with zipfile.ZipFile(archive) as packed:
        packed.extractall(stick)
    site = stick / "larkmoor"
    return Site(loaded(book), site.as_uri() + "/", site, disk=True)


@pytest.fixture
def hut(browser: Browser) -> Iterator[Page]:
    """A page without any network, which must report no error."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, offline=True)
    heard: list[str] = []

    def refuse(route: Route) -> None:
        heard.append(f"asked: {route.request.url}")
        route.abort()

    context.route(lambda url: not url.startswith("file://"), refuse)
    page = context.new_page()
    page.on("console", lambda message: heard.append(message.text) if message.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: heard.append(str(error)))
    yield page
    context.close()
    assert heard == []


def test_a_reader_in_a_hut_reads_and_calculates(hut: Page, unpacked: Site) -> None:
    hut.goto(f"{unpacked.root}index.html")
    hut.locator("header").get_by_role("link", name="A to Z").click()
    hut.locator("article").get_by_role("link", name="Pole length", exact=True).first.click()
    assert hut.locator("h1").inner_text() == "Pole length"
    hut.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    calculator = unpacked.book.calculators["pole-mass"]
    for example in calculator.examples[:2]:
        enter(hut, calculator, example.given)
        assert shown(hut, calculator) == computed(hut, unpacked, calculator, example.given)


def test_a_list_and_a_curve_work_there_too(hut: Page, unpacked: Site) -> None:
    calculator = unpacked.book.calculators["pole-kit"]
    open_calculator(hut, unpacked, calculator)
    enter(hut, calculator, calculator.examples[0].given)
    assert shown(hut, calculator) == computed(hut, unpacked, calculator, calculator.examples[0].given)
    curved = next(its for its in unpacked.book.calculators.values() if its.curve)
    open_calculator(hut, unpacked, curved)
    assert hut.locator(".ht-plot").first.is_visible()
    assert field(hut, curved, curved.inputs[0].name).is_visible()


def test_the_finder_finds_there_too(hut: Page, unpacked: Site) -> None:
    hut.goto(f"{unpacked.root}index.html")
    assert open_finder(hut, "pole lenght")
    hut.locator("[role=listbox] [role=option]").first.click()
    hut.wait_for_url(unpacked.page("terms/pole-length"))
