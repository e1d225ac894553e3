"""The picture of a curve: the script draws what Python draws, for every curve of every book."""

from __future__ import annotations

import gzip
from typing import Any

from playwright.sync_api import Browser, Page

from hangtag.browser import calculator_html
from hangtag.calculators import Calculator
from tests.browser.conftest import Site
from tests.browser.support import Given, enter, field, of_every_kind, open_calculator, separated, settled, to_compare

_READ = """([id, html]) => {
  const root = html ? new DOMParser().parseFromString(html, "text/html") : document;
  const figure = root.querySelector(`hangtag-calculator[data-calculator="${id}"] .ht-curve`);
  const attributes = (selector, names) => [...figure.querySelectorAll(selector)].map((element) =>
    [...names.map((name) => element.getAttribute(name)), element.textContent]);
  return {
    nowhere: figure.hasAttribute("data-nowhere"),
    line: attributes(".ht-line", ["d"]),
    ribbon: attributes(".ht-ribbon", ["d"]),
    x: attributes(".ht-plot-x > *", ["x"]),
    y: attributes(".ht-plot-y > *", ["y"]),
    bands: attributes(".ht-plot-bands > *", ["y"]),
    here: figure.hasAttribute("data-nowhere") ? [] : attributes(".ht-here", ["x", "y", "width", "height", "data-late"]),
    words: figure.hasAttribute("data-nowhere") ? "" : figure.querySelector(".ht-curve-here").textContent,
    axes: attributes("[data-axis]", []),
    table: attributes("td", []),
  };
}"""


def curves(site: Site) -> list[Calculator]:
    """The calculators that have one."""
    found = [its for its in to_compare(site) if its.curve]
    assert found
    return found


def some_curves(site: Site) -> list[Calculator]:
    """One for each kind of calculator that has one."""
    return [its for its in of_every_kind(site) if its.curve]


def drawn(page: Page, calculator: Calculator) -> dict[str, Any]:
    settled(page)
    found: dict[str, Any] = page.evaluate(_READ, [calculator.id, None])
    return found


def computed(page: Page, site: Site, calculator: Calculator, given: Given) -> dict[str, Any]:
    typed = {name: value if isinstance(value, str) else separated(value) for name, value in given.items()}
    html = str(calculator_html(site.book, calculator, given=typed))
    found: dict[str, Any] = page.evaluate(_READ, [calculator.id, html])
    return found


def open_curve(page: Page, site: Site, calculator: Calculator) -> None:
    open_calculator(page, site, calculator)
    page.wait_for_function("() => window.hangtag.curve !== undefined")


def test_the_script_draws_what_python_draws(page: Page, site: Site) -> None:
    for calculator in curves(site):
        open_curve(page, site, calculator)
        assert drawn(page, calculator) == computed(page, site, calculator, {}), calculator.id
        for example in calculator.examples:
            open_curve(page, site, calculator)
            enter(page, calculator, example.given)
            assert drawn(page, calculator) == computed(page, site, calculator, example.given), calculator.id


def test_a_unit_switch_moves_the_numbers_to_round_ones(page: Page, web: Site) -> None:
    switched = 0
    for calculator in some_curves(web):
        assert calculator.curve is not None
        open_curve(page, web, calculator)
        before = drawn(page, calculator)
        select = field(page, calculator, f"{calculator.curve.across}-unit")
        if select.evaluate("element => element.localName") != "select":
            continue
        units = select.locator("option").evaluate_all("options => options.map((option) => option.value)")
        start = select.input_value()
        for unit in units:
            if unit == start:
                continue
            select.select_option(unit)
            after = drawn(page, calculator)
            assert after["line"] == before["line"]  # the same curve, other numbers below it
            assert after["x"] != before["x"]
            select.select_option(start)
            assert drawn(page, calculator) == before
            switched += 1
    assert switched


def test_a_gap_and_a_point_without_an_answer(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_curve(page, trial, calculator)
    for values in ({"width": "100 mm"}, {"length": "100 mm", "width": "100 mm"}):
        enter(page, calculator, values)
        assert drawn(page, calculator) == computed(page, trial, calculator, values)
    assert page.locator(".ht-curve-here").is_hidden()
    # a mistake leaves the picture as it was
    before = drawn(page, calculator)
    field(page, calculator, "length").fill("much")
    assert drawn(page, calculator) == before


def test_without_javascript_the_picture_and_its_table_are_there(browser: Browser, web: Site) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 320, "height": 700})
    page = context.new_page()
    for calculator in curves(web):
        page.goto(web.page(f"calculators/{calculator.id}"))
        assert page.locator(".ht-plot").is_visible()
        page.locator(".ht-curve-text > summary").click()
        assert page.locator(".ht-curve-text td").first.is_visible()
        box = page.locator(".ht-plot .ht-line").bounding_box()
        assert box is not None
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 320
    context.close()


def test_every_number_of_the_axes_has_room_on_the_narrowest_screen(page: Page, web: Site) -> None:
    page.set_viewport_size({"width": 320, "height": 700})
    for calculator in curves(web):
        open_curve(page, web, calculator)
        settled(page)
        for text in page.locator(".ht-plot-y text").all():
            box = text.bounding_box()
            assert box is not None
            assert box["x"] >= 0, calculator.id
        ends = 0.0
        for text in page.locator(".ht-plot-x text").all():
            box = text.bounding_box()
            assert box is not None
            assert box["x"] > ends, (calculator.id, text.inner_text())
            ends = box["x"] + box["width"]
        assert ends <= 320


def test_on_paper_the_table_is_open(page: Page, web: Site) -> None:
    page.emulate_media(media="print")
    for calculator in some_curves(web):
        open_curve(page, web, calculator)
        assert page.locator(".ht-curve-text td").first.is_visible(), calculator.id
        assert page.locator(".ht-backwards").is_hidden() or page.locator(".ht-backwards").count() == 0


def test_the_script_is_small_and_only_pages_with_a_curve_ask_for_it(page: Page, web: Site) -> None:
    assert len(gzip.compress((web.folder / "scripts/curve.js").read_bytes(), 9)) <= 1_500
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for calculator in of_every_kind(web):
        asked.clear()
        open_calculator(page, web, calculator)
        page.wait_for_load_state("networkidle")
        assert any(url.endswith("/curve.js") for url in asked) == bool(calculator.curve), calculator.id


def test_in_forced_colours_the_line_and_the_point_are_seen(browser: Browser, trial: Site) -> None:
    context = browser.new_context(forced_colors="active")
    page = context.new_page()
    open_curve(page, trial, trial.book.calculators["pole-mass"])
    colour = "(element, name) => getComputedStyle(element)[name]"
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    for selector, name in ((".ht-line", "stroke"), (".ht-here circle", "fill"), (".ht-here text", "fill")):
        assert page.locator(selector).first.evaluate(f"element => ({colour})(element, '{name}')") != ground
    context.close()
