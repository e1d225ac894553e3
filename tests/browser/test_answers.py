"""The page shows what Python computes: with the start values, for every worked example, without JavaScript."""

from __future__ import annotations

from playwright.sync_api import Browser, Page

from tests.browser.conftest import Site
from tests.browser.support import computed, controls, enter, open_calculator, shown, to_compare


def test_every_worked_example_gives_what_python_gives(page: Page, site: Site) -> None:
    for calculator in to_compare(site):
        for example in calculator.examples:
            open_calculator(page, site, calculator)
            enter(page, calculator, example.given)
            assert shown(page, calculator) == computed(page, site, calculator, example.given), calculator.id


def test_the_start_values_give_what_python_gives(page: Page, site: Site) -> None:
    for calculator in to_compare(site):
        open_calculator(page, site, calculator)
        start = computed(page, site, calculator, {})
        assert shown(page, calculator) == start, calculator.id
        # and after the script has worked once
        first = controls(page, calculator).first
        if first.evaluate("control => control.localName === 'input'"):
            text = first.input_value()
            first.fill("")
            first.fill(text)
        else:
            first.dispatch_event("input")
        assert shown(page, calculator) == start, calculator.id


def test_without_javascript_the_page_has_everything(browser: Browser, site: Site) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    for calculator in to_compare(site):
        page.goto(site.page(f"calculators/{calculator.id}"))
        assert shown(page, calculator) == computed(page, site, calculator, {}), calculator.id
        assert page.locator("noscript").first.is_visible()
    context.close()


def test_an_entry_page_has_its_calculators(page: Page, site: Site) -> None:
    asked = {calculator.id for calculator in to_compare(site)}
    for entry in site.book.entries.values():
        if asked.isdisjoint(entry.calculators):
            continue
        page.goto(site.page(f"terms/{entry.id}"))
        for name in entry.calculators:
            calculator = site.book.calculators[name]
            assert shown(page, calculator) == computed(page, site, calculator, {}), name
