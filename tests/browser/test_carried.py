"""The exported Markdown as another generator's site: calculators work, and links within HTML lead on in any form."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from playwright.sync_api import Browser, Page

from hangtag.mkdocs_plugin.quiet import listening
from hangtag.plain import export_docs
from tests.browser.conftest import Site
from tests.browser.support import computed, enter, open_calculator, shown
from tests.site.books import loaded, make_trial


@pytest.fixture(scope="module")
def carried(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The trial book, exported and built by MkDocs alone with its own theme, one file a page."""
    folder = tmp_path_factory.mktemp("carried")
    book = make_trial(folder / "book")
    exported = export_docs(book, folder / "docs")
    with listening():
        config = load_config(str(exported / "mkdocs.yml"), site_dir=str(folder / "site"), use_directory_urls=False)
        build(config)
    site = Path(config.site_dir)
    return Site(loaded(book), site.as_uri() + "/", site, disk=True)


@pytest.fixture
def visitor(browser: Browser) -> Iterator[Page]:
    """A page without any network: that theme asks other hosts, which are none of ours."""
    context = browser.new_context(offline=True)
    yield context.new_page()
    context.close()


def test_a_calculator_works_in_it(visitor: Page, carried: Site) -> None:
    calculator = carried.book.calculators["pole-mass"]
    open_calculator(visitor, carried, calculator)
    enter(visitor, calculator, calculator.examples[0].given)
    assert shown(visitor, calculator) == computed(visitor, carried, calculator, calculator.examples[0].given)
    assert visitor.locator(".ht-article h1").is_visible()


def test_links_within_html_lead_on_where_a_page_is_a_file(visitor: Page, carried: Site) -> None:
    visitor.goto(carried.page("terms/pole-length"))
    links = visitor.locator("a[data-page]")
    wanted = dict(links.evaluate_all("all => all.map(one => [one.getAttribute('data-page'), one.href])"))
    assert wanted
    for page, address in wanted.items():
        path, sharp, place = page.partition("#")
        assert address == f"{carried.root}{path.removesuffix('.md')}.html{sharp}{place}"
        visitor.goto(address)
        assert not place or visitor.locator(f"[id='{place}']").count() == 1, page
