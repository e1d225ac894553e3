"""What the first view of an entry costs: bytes of all requests, other hosts, and what moves while it loads."""

from __future__ import annotations

import gzip

import pytest
from playwright.sync_api import Page, Response

from tests.browser.conftest import Site, Sites
from tests.browser.kinds import kinds

MOST_BYTES = 100_000  # packed, of all requests of a first view
ENTRIES = ("hydrostatic-head", "base-weight")  # many bands and four calculators; a list of things
SHIFTS = """window.shifts = []; new PerformanceObserver((list) => list.getEntries().forEach((entry) =>
  window.shifts.push(entry.value))).observe({ type: "layout-shift", buffered: true });"""


@pytest.mark.parametrize("entry", ENTRIES)
def test_the_first_view_of_an_entry_is_light(page: Page, sites: Sites, entry: str) -> None:
    responses: list[Response] = []
    page.on("response", lambda response: responses.append(response))  # noqa: PLW0108  Playwright asks for a function
    page.goto(sites.get("reference", "http").page(f"terms/{entry}"))
    page.wait_for_load_state("networkidle")
    sizes = {response.url: len(gzip.compress(response.body(), 9)) for response in responses}
    assert sum(sizes.values()) < MOST_BYTES, sizes
    assert all(address.startswith("http://127.0.0.1:") for address in sizes), sizes
    assert not [address for address in sizes if address.endswith("-data.js")], "fetched before anybody searched"


def test_nothing_of_ours_moves_while_a_page_loads(page: Page, trial: Site) -> None:
    page.add_init_script(SHIFTS)
    for kind in ("home", "entry", "calculator", "kind of gear"):
        page.goto(kinds(trial)[kind])
        page.wait_for_load_state("networkidle")
        assert page.evaluate("window.shifts.reduce((sum, one) => sum + one, 0)") == 0, kind
