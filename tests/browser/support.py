"""Reading and using a calculator in a page, and the same numbers from Python."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from typing import cast

from playwright.sync_api import Locator, Page

from hangtag.browser import calculator_html
from hangtag.calculators import Calculator, ChoiceInput, RowsInput
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
    ends: visible(".ht-when, .ht-band[data-end] [data-at]").map(text),
    pictures: [...calculator.querySelectorAll(".ht-picture :is(li, rect)")].map((element) =>
      element.localName === "li" ? text(element) :
        ["x", "y", "width", "height", "class"].map((name) => element.getAttribute(name)).join(" ")),
    spoken: visible("output").map((output) => output.dataset.spoken),
  };
}"""


def of_every_kind(site: Site) -> list[Calculator]:
    """The calculators to try what our scripts do with: whole books of examples are for what they compute.

    Of the trial book all; of another book one for each set of things a calculator may be made of, the longest first.
    """
    its = sorted(site.book.calculators.values(), key=lambda one: len(one.inputs))
    return its if site.book.root.name.startswith("trial") else list({_made_of(one): one for one in its}.values())


def to_compare(site: Site) -> list[Calculator]:
    """The calculators whose numbers are compared with Python's: all of them, from the disk one of every kind."""
    return of_every_kind(site) if site.disk else list(site.book.calculators.values())


def _made_of(its: Calculator) -> frozenset[str]:
    kinds = {type(one).__name__ for one in its.inputs}
    kinds |= {name for name in ("curve", "one_way", "picture", "tables", "requires") if getattr(its, name)}
    return frozenset(kinds | ({"uncertain"} if its.program.domain.uncertain else set()))


def shown(page: Page, calculator: Calculator) -> dict[str, list[str]]:
    """What a page shows of a calculator's values."""
    return cast("dict[str, list[str]]", page.evaluate(_READ, [calculator.id, None]))


Given = Mapping[str, str | Sequence[Mapping[str, str]]]


def computed(page: Page, site: Site, calculator: Calculator, given: Given) -> dict[str, list[str]]:
    """The same, as Python writes it for given values."""
    typed = {name: value if isinstance(value, str) else separated(value) for name, value in given.items()}
    html = str(calculator_html(site.book, calculator, given=typed))
    return cast("dict[str, list[str]]", page.evaluate(_READ, [calculator.id, html]))


def open_calculator(page: Page, site: Site, calculator: Calculator, query: str = "") -> None:
    """A calculator's own page, its script at work."""
    page.goto(site.page(f"calculators/{calculator.id}") + query)
    page.wait_for_selector(f"[data-calculator='{calculator.id}'][data-live]", timeout=5000)


def open_paused(page: Page, site: Site, calculator: Calculator) -> None:
    """The same with a clock that stands still until a test moves it, however slow the machine is."""
    page.clock.install(time=0)
    open_calculator(page, site, calculator)
    page.clock.pause_at(3600)


def field(page: Page, calculator: Calculator, name: str) -> Locator:
    """The field of an input."""
    return page.locator(f"[id='{calculator.id}-{name}']")


def separated(rows: Sequence[Mapping[str, str]]) -> str:
    """Rows as a spreadsheet would save them."""
    names = list(dict.fromkeys(name for row in rows for name in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def until(page: Page, holds: Callable[[], bool]) -> None:
    """Wait until something holds: the pages' policy forbids that a script asks for it."""
    for _ in range(200):
        if holds():
            return
        page.wait_for_timeout(20)
    raise AssertionError


def settled(page: Page) -> None:
    """Wait until the browser has painted: pictures are drawn then."""
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def paste(page: Page, calculator: Calculator, name: str, text: str, button: str = "replace") -> None:
    """Put text into the box for pasting, and take it over."""
    box = field(page, calculator, f"{name}-paste")
    if not box.is_visible():
        page.locator(f"hangtag-calculator[data-calculator='{calculator.id}'] .ht-paste > summary").click()
    box.fill(text)
    page.locator(f"hangtag-calculator[data-calculator='{calculator.id}'] [data-do={button}]").click()


def enter(page: Page, calculator: Calculator, given: Given) -> None:
    """Fill the fields as a reader would."""
    for its in calculator.inputs:
        value = given.get(its.name)
        if value is None:
            continue
        if isinstance(its, RowsInput):
            paste(page, calculator, its.name, value if isinstance(value, str) else separated(value))
            box = field(page, calculator, f"{its.name}-paste")
            until(page, lambda: box.input_value() == "")  # noqa: B023  asked at once
        elif isinstance(its, ChoiceInput):
            field(page, calculator, its.name).select_option(str(value))
        else:
            field(page, calculator, its.name).fill(str(value))


def controls(page: Page, calculator: Calculator) -> Locator:
    """The fields for numbers and choices, those in rows too."""
    own = page.locator(f"hangtag-calculator[data-calculator='{calculator.id}'] .ht-fields")
    return own.locator(":is(input.ht-number, .ht-cell-number input, select.ht-choice)")
