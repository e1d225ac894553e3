"""The finder in a page: the same results as Python in every build, by keyboard, spoken, small, and never a dead end."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route

from hangtag.book import Book
from hangtag.finder import Found, Index, find, index
from tests.browser.conftest import Site, Sites
from tests.browser.support import until
from tests.finder.corpus import HALVES, cases

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
SMALLEST = 44  # CSS pixels
SHOWN = """() => [...document.querySelectorAll("[role=option]")].map((option) => option.textContent.trim())"""


@pytest.fixture(params=["http", "file"])
def reference_site(request: pytest.FixtureRequest, sites: Sites) -> Site:
    """The reference book over http below a sub-path with a strict policy, and from file://."""
    return sites.get("reference", request.param)


@pytest.fixture
def its_index(reference_site: Site) -> Index:
    """What Python finds in."""
    return index(reference_site.book)


def type_into(page: Page, typed: str, where: str = "header") -> None:
    """Type as a reader does, until results or the nearest names stand there."""
    page.locator(f"#ht-find-{where}").fill(typed)
    page.wait_for_selector(f"[data-find={where}] [role=option]")


def shown(found: Found) -> list[str]:
    listed = [f"{its.name} {its.because}" for its in found.results]
    return listed or [near.name for near in found.nearest]


def entry_page(site: Site) -> str:
    return site.page("terms/denier")


def test_nothing_is_loaded_before_it_is_used(page: Page, reference_site: Site) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(entry_page(reference_site))
    page.wait_for_timeout(200)
    assert not [url for url in asked if "finder" in url and not url.endswith(".css")]
    page.locator("#ht-find-header").focus()
    until(page, lambda: sum("finder" in url and url.endswith(".js") for url in asked) == 2)


def test_every_query_finds_what_python_finds(page: Page, reference_site: Site, its_index: Index) -> None:
    page.goto(entry_page(reference_site))
    type_into(page, "denier")
    queries = [case.query for half in HALVES for case in cases(half)]
    in_page = page.evaluate("queries => queries.map((query) => hangtag.finder.find(query))", queries)
    assert in_page == [find(its_index, query).as_json() for query in queries]
    for query in ("1500 mm", "cold from below", "xqzzqx"):
        page.locator("#ht-find-header").fill(query)
        until(page, lambda: page.evaluate(SHOWN) == shown(find(its_index, query)))  # noqa: B023  asked at once


def test_a_result_leads_to_its_page_with_the_value(page: Page, reference_site: Site) -> None:
    page.goto(reference_site.root + ("index.html" if reference_site.disk else ""))
    type_into(page, "1500 mm", "home")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("/terms/hydrostatic-head"))
    assert page.url.split("?")[0].rstrip("/") == reference_site.page("terms/hydrostatic-head").rstrip("/")
    assert page.url.endswith("?value=1500%20mm")


def test_keyboard_alone(page: Page, sites: Sites) -> None:
    site = sites.get("reference", "http")
    page.goto(entry_page(site))
    field = page.locator("#ht-find-header")
    type_into(page, "cold tent")
    many = len(page.evaluate(SHOWN))

    def current() -> int:
        chosen = page.locator("[role=option][aria-selected=true]")
        if not chosen.count():
            return -1
        assert field.get_attribute("aria-activedescendant") == chosen.get_attribute("id")
        return int(str(chosen.get_attribute("id")).removeprefix("ht-find-header-list"))

    assert (field.get_attribute("aria-expanded"), current()) == ("true", -1)
    for key, at in (("ArrowDown", 0), ("ArrowDown", 1), ("ArrowUp", 0), ("ArrowUp", many - 1), ("ArrowDown", 0)):
        page.keyboard.press(key)
        assert current() == at
    page.keyboard.press("Escape")
    assert field.get_attribute("aria-expanded") == "false"
    assert field.input_value() == "cold tent"
    page.keyboard.press("Escape")
    assert field.input_value() == ""
    page.keyboard.type("denier")
    page.wait_for_selector("[role=option]")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "A to Z of all entries"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector(".ht-find-foot li a, .ht-find-foot div p")
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "ht-find-header"


def test_the_count_is_spoken_once_the_reader_rests(page: Page, sites: Sites) -> None:
    page.goto(entry_page(sites.get("reference", "http")))
    type_into(page, "denie")
    page.evaluate(
        "() => { window.spoken = []; new MutationObserver(() => spoken.push(document.querySelector("
        "'[data-find] [role=status]').textContent)).observe(document.querySelector('[data-find] [role=status]'),"
        " {childList: true}); }"
    )
    page.locator("#ht-find-header").press_sequentially("r 20D")
    until(page, lambda: page.evaluate("spoken.length") > 0)
    page.wait_for_timeout(100)
    assert page.evaluate("spoken") == ["1 found. First: Denier, this is its name."]


def test_no_dead_end(page: Page, reference_site: Site) -> None:
    page.goto(entry_page(reference_site))
    type_into(page, "xqzzqx")
    assert "Nothing found for “xqzzqx”" in page.locator(".ht-find-nothing").inner_text()
    assert len(page.evaluate(SHOWN)) == 3
    page.locator(".ht-find-foot a").first.click()
    page.wait_for_url(re.compile("/a-to-z"))


def test_the_whole_text_is_a_second_list(page: Page, reference_site: Site) -> None:
    page.goto(entry_page(reference_site))
    type_into(page, "hypothermia")
    page.locator(".ht-find button").click()
    links = page.locator(".ht-find-foot li a")
    links.first.wait_for()
    assert "hypothermia" in page.locator(".ht-find-foot li").first.inner_text().lower()
    address = str(links.first.get_attribute("href"))
    page.goto(address)
    assert page.locator("h1").count() == 1


def test_a_lost_address_is_searched(page: Page, sites: Sites) -> None:
    site = sites.get("reference", "http")
    lost = (site.folder / "404.html").read_text(encoding="utf-8")
    # the page names files from the top of its host; a host that serves a sub-path is told so with `site_url`
    prefix = site.root.split("/", 3)[3]

    def answer(route: Route) -> None:
        body = lost.replace('src="/', f'src="/{prefix}').replace('href="/', f'href="/{prefix}')
        route.fulfill(status=200, body=body, content_type="text/html")

    page.route("**/terms/hidrostatic-head/", answer)
    page.goto(site.page("terms/hidrostatic-head"))
    page.wait_for_selector("[data-find=path] [role=option]")
    assert page.locator("#ht-find-path").input_value() == "hidrostatic head"
    assert page.locator("[data-find=path] [role=option]").first.inner_text().startswith("Hydrostatic head")
    page.locator("h1").click()
    assert page.locator("[data-find=path] [role=option]").first.is_visible()


def test_without_scripts_there_is_no_empty_promise(browser: Browser, sites: Sites) -> None:
    site = sites.get("reference", "http")
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(entry_page(site))
    assert not page.locator("#ht-find-header").is_visible()
    assert page.locator("nav a", has_text="A to Z").first.is_visible()
    context.close()


@pytest.mark.parametrize(("width", "scheme"), [(320, "light"), (1280, "dark")])
def test_open_it_is_large_enough_narrow_enough_and_clean(
    browser: Browser, sites: Sites, width: int, scheme: str
) -> None:
    site = sites.get("reference", "http")
    context = browser.new_context(viewport={"width": width, "height": 740}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    for address, where in ((site.root, "home"), (entry_page(site), "header")):
        page.goto(address)
        for typed in ("cold tent", "x" * 60):
            type_into(page, typed, where)
            page.keyboard.press("ArrowDown")
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            for control in page.locator(".ht-find :is(input, button, a):visible").all():
                box = control.bounding_box()
                assert box is not None
                assert box["height"] >= SMALLEST
            found = Axe().run(page, options=RULES).response["violations"]
            assert [(one["id"], one["nodes"][0]["html"][:200]) for one in found] == []
    context.close()


def test_built_files_are_small(sites: Sites) -> None:
    site = sites.get("reference", "http")
    sizes = {name: _size(site.folder / "scripts" / name) for name in ("finder.js", "finder-data.js", "find-field.js")}
    assert sizes["finder.js"] <= 10_000
    assert sizes["finder-data.js"] <= 8_000
    assert sizes["find-field.js"] <= 1_000


def _size(file: Path) -> int:
    return len(gzip.compress(file.read_bytes(), 9, mtime=0))


def test_the_book_is_the_one_python_knows(reference: Book, sites: Sites) -> None:
    assert sites.get("reference", "http").book.entries.keys() == reference.entries.keys()
