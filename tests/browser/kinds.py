"""One page of each kind of a site, and the states a page can be in. Shared by tests that look at all kinds."""

from __future__ import annotations

from collections.abc import Mapping

from playwright.sync_api import Page

from tests.browser.conftest import Site


def kinds(site: Site) -> Mapping[str, str]:
    """The address of one page of each kind that the site has, by the kind's name.

    Not the page for missing addresses: it names its parts from the host's root, which is not that of a test's site.
    """
    book = site.book
    entry = next(entry for entry in book.entries.values() if entry.calculators and entry.scale)
    found = {
        "home": site.root if not site.disk else f"{site.root}index.html",
        "entry": site.page(f"terms/{entry.id}"),
        "calculator": site.page(f"calculators/{next(iter(book.calculators))}"),
        "area": site.page(f"areas/{next(iter(book.areas))}"),
        "index": site.page("a-to-z"),
        "sources": site.page("sources"),
        "about": site.page("about"),
    }
    for name in ("corrections", "read-a-tag", "gear"):
        if _has(site, name):
            found[name] = site.page(name)
    kind = next((kind for kind in book.gear.values() if _has(site, f"gear/{kind.id}")), None)
    if kind:
        found["kind of gear"] = site.page(f"gear/{kind.id}")
    return found


def _has(site: Site, path: str) -> bool:
    return any((site.folder / name).is_file() for name in (f"{path}/index.html", f"{path}.html"))


def type_a_mistake(page: Page) -> None:
    """Leave a word in every field for a number, so that each shows what is wrong with it."""
    for number in page.locator("input.ht-number:visible").all():
        number.fill("much")
        number.blur()


def open_finder(page: Page, words: str) -> bool:
    """Type into the finder and wait for its results; False where the page has none."""
    field = page.locator("input[role=combobox]:visible").first
    if not field.count():
        return False
    field.click()
    field.fill(words)
    page.locator("[role=listbox] [role=option]").first.wait_for(timeout=5000)
    return True
