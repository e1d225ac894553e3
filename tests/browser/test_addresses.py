"""Values in addresses: a calculator's own page keeps its fields there, an entry's page takes `?value=`."""

from __future__ import annotations

from typing import cast
from urllib.parse import quote

import pytest
from playwright.sync_api import Page

from hangtag.calculators import QuantityInput, RowsInput
from tests.browser.conftest import Site
from tests.browser.support import computed, enter, field, of_every_kind, open_calculator, shown, to_compare, until

HOSTILE = (
    "NaN",
    "Infinity",
    "-Infinity",
    "undefined",
    "null",
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "'\"`",
    "__proto__",
    "constructor",
    "toString",
    "1e999",
    "0x10",
    "9" * 400,
    "1" * 5000,
    "\u202e12",
    "%",
    "\x00",
    "--5",
    "${1}",
    "{value}",
)


def typed(page: Page) -> list[str]:
    """What stands in all fields of a page's calculator, those of rows too."""
    script = "all => all.map((one) => one.type === 'checkbox' ? String(one.checked) : one.value)"
    return cast("list[str]", page.locator(".ht-fields :is(input, select)").evaluate_all(script))


def test_an_address_restores_the_fields_of_every_example(page: Page, site: Site) -> None:
    for calculator in to_compare(site):
        page.clock.install()
        for example in calculator.examples:
            open_calculator(page, site, calculator, "?from=club&x=%zz#here")
            enter(page, calculator, example.given)
            page.keyboard.press("Tab")
            page.clock.run_for(1000)
            address = page.url
            assert "from=club&x=%zz" in address
            lists = any(isinstance(its, RowsInput) for its in calculator.inputs)
            assert address.endswith("#here") or (lists and "#rows=" in address), calculator.id
            texts = typed(page)
            page.goto("about:blank")
            page.goto(address)
            page.wait_for_selector("[data-live]")
            until(page, lambda: typed(page) == texts)  # noqa: B023  asked at once
            assert shown(page, calculator) == computed(page, site, calculator, example.given)


def test_start_values_stand_in_no_address(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    page.clock.install()
    open_calculator(page, trial, calculator)
    start = page.url
    field(page, calculator, "length").fill("1500")
    page.clock.run_for(1000)
    assert page.url == start + "?length=1500mm&width=25mm&fibre=ash&poles=2"
    field(page, calculator, "length").fill("1200")
    page.clock.run_for(1000)
    assert page.url == start


def test_every_unit_of_every_field_survives_its_address(page: Page, web: Site) -> None:
    for calculator in of_every_kind(web):
        page.clock.install()
        for its in calculator.inputs:
            if not isinstance(its, QuantityInput):
                continue
            for unit in its.also:
                open_calculator(page, web, calculator)
                field(page, calculator, f"{its.name}-unit").select_option(unit.id)
                page.clock.run_for(1000)
                before = (field(page, calculator, its.name).input_value(), shown(page, calculator))
                page.reload()
                page.wait_for_selector("[data-live]")
                assert field(page, calculator, f"{its.name}-unit").input_value() == unit.id
                after = (field(page, calculator, its.name).input_value(), shown(page, calculator))
                assert after == before, (calculator.id, its.name, unit.id)


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_address_gets_words(page: Page, trial: Site, hostile: str) -> None:
    for calculator in trial.book.calculators.values():
        query = "&".join(f"{its.name}={quote(hostile)}" for its in calculator.inputs) + f"&__proto__={quote(hostile)}"
        open_calculator(page, trial, calculator, f"?{query}")
        before = computed(page, trial, calculator, {})["answers"]
        assert shown(page, calculator)["answers"] == before
        for error in page.locator("[data-input]:not(.ht-list) .ht-error").all():
            assert error.is_visible()
        assert page.locator("hangtag-calculator [role=status]").first.inner_text() == ""
        text = page.locator("hangtag-calculator").inner_text().replace(hostile, "").replace(hostile.strip(), "")
        for word in ("NaN", "Infinity", "undefined", "[object"):
            assert word not in text


def test_broken_escapes_harm_nothing(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    page.clock.install()
    open_calculator(page, trial, calculator, "?length=%E0%A4%A&width=30mm&&=&width=40")
    assert field(page, calculator, "width").input_value() == "30"
    field(page, calculator, "length").fill("900")
    page.clock.run_for(1000)
    assert "length=900mm&width=30mm" in page.url


def test_an_entry_takes_a_value_for_its_scale_and_the_first_field_on_it(page: Page, sites_of_trial: Site) -> None:
    page.goto(sites_of_trial.page("terms/pole-length") + "?value=1700mm")
    calculator = sites_of_trial.book.calculators["pole-mass"]
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    assert field(page, calculator, "length").input_value() == "1700"
    assert shown(page, calculator) == computed(page, sites_of_trial, calculator, {"length": "1700 mm"})
    assert page.locator(".ht-mark").get_attribute("x") == "85%"
    assert page.locator(".ht-mark-value").text_content() == "1700\u00a0mm"
    assert page.locator(".ht-scale [data-current]").get_attribute("data-band") == "2"
    assert "long & < sharp sticks" in (page.locator(".ht-scale desc").text_content() or "")
    # typing moves the marker, and leaves the address alone
    field(page, calculator, "length").fill("60 in")
    assert page.locator(".ht-scale [data-current]").get_attribute("data-band") == "1"
    assert page.url.endswith("?value=1700mm")


def test_a_marker_stays_on_its_scale(page: Page, trial: Site) -> None:
    page.goto(trial.page("terms/pole-length") + "?value=90 in")
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    assert page.locator(".ht-mark").get_attribute("x") == "100%"


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_value_on_an_entry_gets_words(page: Page, trial: Site, hostile: str) -> None:
    page.goto(trial.page("terms/pole-length") + f"?value={quote(hostile)}")
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    assert page.locator(".ht-scale [data-error]").is_visible()
    assert page.locator("#pole-mass-length-error").is_visible()
    assert page.locator(".ht-mark").get_attribute("x") == "60%"


def test_an_old_address_leads_on_with_query_and_fragment(page: Page, sites_of_trial: Site) -> None:
    page.goto(sites_of_trial.page("terms/stick-length") + "?value=1700mm#pole-mass-name")
    page.wait_for_selector("[data-calculator='pole-mass'][data-live]")
    assert page.url == sites_of_trial.page("terms/pole-length") + "?value=1700mm#pole-mass-name"
    assert page.locator(".ht-mark").get_attribute("x") == "85%"
