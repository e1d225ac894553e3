"""Reading and using a calculator in a page, and the same numbers from Python."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from playwright.sync_api import Locator, Page

from hangtag.browser import calculator_html
from hangtag.calculators import Calculator, ChoiceInput
from tests.browser.conftest import Site

# Everything of one calculator that depends on its values: numbers, formulas with numbers, the band and the basis shown.
_READ = """([id, html]) => {
  const root = html ? new DOMParser().parseFromString(html, "text/html") : document;
  const calculator = root.querySelector(`hangtag-calculator[data-calculator="${id}"]`);
  const visible = (selector) => [...calculator.querySelectorAll(selector)].filter((each) => !each.hidden);
  const text = (element) => {
    const copy = element.cloneNode(true);
    copy.querySelectorAll(".ht-heard").forEach((heard) => heard.remove());
    return copy.textContent;
  };
  return {
    answers: visible("output").map(text),
    formulas: visible("math.ht-own-numbers").map(text),
    bands: visible("[data-band]").map(text),
    options: visible("[data-option]").map(text),
    spoken: visible("output").map((output) => output.dataset.spoken),
  };
}"""


def shown(page: Page, calculator: Calculator) -> dict[str, list[str]]:
    """What a page shows of a calculator's values."""
    return cast("dict[str, list[str]]", page.evaluate(_READ, [calculator.id, None]))


def computed(page: Page, site: Site, calculator: Calculator, given: Mapping[str, str]) -> dict[str, list[str]]:
    """The same, as Python writes it for given values."""
    html = str(calculator_html(site.book, calculator, given=given))
    return cast("dict[str, list[str]]", page.evaluate(_READ, [calculator.id, html]))


def open_calculator(page: Page, site: Site, calculator: Calculator, query: str = "") -> None:
    """A calculator's own page, its script at work."""
    page.goto(site.page(f"calculators/{calculator.id}") + query)
    page.wait_for_selector(f"[data-calculator='{calculator.id}'][data-live]", timeout=5000)


def field(page: Page, calculator: Calculator, name: str) -> Locator:
    """The field of an input."""
    return page.locator(f"[id='{calculator.id}-{name}']")


def enter(page: Page, calculator: Calculator, given: Mapping[str, str]) -> None:
    """Fill the fields as a reader would."""
    for its in calculator.inputs:
        if its.name in given:
            if isinstance(its, ChoiceInput):
                field(page, calculator, its.name).select_option(given[its.name])
            else:
                field(page, calculator, its.name).fill(given[its.name])
