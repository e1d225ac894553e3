"""The plain look in a browser, under the policy that its build wrote: pages, links, calculators, axe, keyboard.

One page of each kind and one calculator of each sort: what stands inside an article is the same as in the themed look
(tests/site/test_plain.py), whose suites go through them all.
"""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import cast

import pytest
from playwright.sync_api import Page

from hangtag.calculators import RowsInput
from hangtag.output import read_policy
from hangtag.plain import build_plain
from tests.browser.conftest import SECURITY, Site, Sites
from tests.browser.kinds import kinds
from tests.browser.support import computed, controls, enter, field, open_calculator, shown
from tests.browser.test_axe import ALL, check, found
from tests.site.books import loaded, make_trial


class _Strict(http.server.SimpleHTTPRequestHandler):
    """Sends the line that stands in the site, as the README tells a web server to do."""

    policy = ("", "")

    def end_headers(self) -> None:
        self.send_header(*self.policy)
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Keep the tests' output free of requests."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the sites of this room stand."""
    return tmp_path_factory.mktemp("looks")


@pytest.fixture(scope="module")
def book(folder: Path) -> Path:
    """The trial book."""
    return make_trial(folder / "book")


@pytest.fixture(scope="module")
def plain_web(folder: Path, book: Path) -> Iterator[Site]:
    """Its plain look over http, below a path."""
    site = build_plain(book, folder / "club" / "gear")
    name, _, value = read_policy(site).partition(": ")
    handler = type("Handler", (_Strict,), {"policy": (name, value)})
    serve = functools.partial(cast("type[_Strict]", handler), directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), serve)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield Site(loaded(book), f"http://127.0.0.1:{server.server_address[1]}/club/gear/", site, disk=False)
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def plain_disk(folder: Path, book: Path) -> Site:
    """Its plain look from file://."""
    site = build_plain(book, folder / "disk", disk=True)
    return Site(loaded(book), site.as_uri() + "/", site, disk=True)


@pytest.fixture(params=["web", "disk"])
def plain(request: pytest.FixtureRequest) -> Site:
    """The plain look in each way to visit it."""
    return cast("Site", request.getfixturevalue(f"plain_{request.param}"))


def test_every_other_test_visits_the_themed_look_under_the_policy_that_is_written(sites: Sites) -> None:
    assert read_policy(sites.get("trial", "http").folder) == f"Content-Security-Policy: {SECURITY}"


def test_no_kind_of_page_breaks_the_policy_or_a_rule_of_axe(page: Page, plain_web: Site) -> None:
    # the fixture `page` fails on any message in the console and on any request to another host
    for kind, address in kinds(plain_web).items():
        answer = page.goto(address)
        assert answer is not None
        assert answer.headers["content-security-policy"] == SECURITY
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, kind
        assert found(page, ALL) == [], kind
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(kinds(plain_web)["entry"])
    check(page, "entry")


def test_every_kind_of_page_opens_from_disk(page: Page, plain_disk: Site) -> None:
    for kind, address in kinds(plain_disk).items():
        page.goto(address)
        assert page.locator("article h1").is_visible(), kind
        assert page.evaluate("document.documentElement.className") == "js", kind


def test_a_reader_finds_the_way_by_links_alone(page: Page, plain: Site) -> None:
    page.goto(kinds(plain)["home"])
    page.locator("header").get_by_role("link", name="A to Z").click()
    assert page.url == plain.page("a-to-z")
    page.locator("article").get_by_role("link", name="Pole length", exact=True).first.click()
    assert page.url == plain.page("terms/pole-length")
    page.locator("article .ht-kicker a").first.click()
    assert page.url.startswith(plain.page("areas/trail").removesuffix("/"))
    page.locator("header .ht-name").click()
    assert page.url in {plain.root, f"{plain.root}index.html"}


def test_an_old_address_leads_on(page: Page, plain: Site) -> None:
    page.goto(plain.page("terms/stick-length") + "?value=1700mm#scale")
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    assert page.url == plain.page("terms/pole-length") + "?value=1700mm#scale"
    assert field(page, plain.book.calculators["pole-mass"], "length").input_value() == "1700"


def test_calculators_give_the_numbers_of_python(page: Page, plain: Site) -> None:
    sorts = {any(isinstance(its, RowsInput) for its in its.inputs): its for its in plain.book.calculators.values()}
    assert len(sorts) == 2
    for calculator in sorts.values():
        example = calculator.examples[0]
        open_calculator(page, plain, calculator)
        enter(page, calculator, example.given)
        assert shown(page, calculator) == computed(page, plain, calculator, example.given), calculator.id


def test_the_keyboard_alone_reaches_text_and_fields(page: Page, plain: Site) -> None:
    calculator = plain.book.calculators["pole-mass"]
    open_calculator(page, plain, calculator)
    page.keyboard.press("Tab")
    skip = page.locator(".md-skip")
    assert skip.evaluate("link => link === document.activeElement")
    box = skip.bounding_box()
    assert box is not None
    assert box["y"] >= 0
    page.keyboard.press("Enter")
    wanted = controls(page, calculator).evaluate_all("all => all.map((one) => one.id)")
    reached: list[str] = []
    for _ in range(40):
        page.keyboard.press("Tab")
        at = page.evaluate("document.activeElement.id")
        ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert ring != "none", at
        reached.append(at)
        if at == wanted[-1]:
            break
    assert [at for at in reached if at in wanted] == wanted


def test_light_and_dark_is_kept_from_page_to_page(page: Page, plain_web: Site) -> None:
    page.goto(plain_web.root)
    page.locator(".ht-switch").click()
    look = page.evaluate("document.documentElement.dataset.look")
    page.goto(plain_web.page("about"))
    assert page.evaluate("document.documentElement.dataset.look") == look == "dark"
