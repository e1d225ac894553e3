"""Every page for everybody: axe, narrow screens, keyboard alone, nothing that jumps, nothing that is heavy."""

from __future__ import annotations

import gzip
from urllib.parse import unquote

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from hangtag.calculators import Calculator, QuantityColumn, QuantityInput, RowsInput
from tests.browser.conftest import Site
from tests.browser.support import controls, field, of_every_kind, open_calculator, settled, shown, until

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
SMALLEST_TARGET = 24  # CSS pixels
SMALLEST_CONTROL = 44


def addresses(site: Site) -> list[str]:
    """Every page of a site."""
    pages = [str(file.relative_to(site.folder).parent) for file in sorted(site.folder.rglob("index.html"))]
    old = {f"terms/{was}" for entry in site.book.entries.values() for was in entry.was}
    return [site.root if path == "." else site.page(path) for path in pages if path not in old]


def kinds(site: Site) -> list[str]:
    """One page of each kind."""
    entry = next(entry for entry in site.book.entries.values() if entry.calculators)
    area, calculator = next(iter(site.book.areas)), next(iter(site.book.calculators))
    paths = [f"terms/{entry.id}", f"calculators/{calculator}", f"areas/{area}", "a-to-z", "sources", "about"]
    return [site.root, *(site.page(path) for path in paths)]


def violations(page: Page) -> list[tuple[str, list[str]]]:
    found = Axe().run(page, options=RULES).response["violations"]
    return [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing(browser: Browser, web: Site, width: int, scheme: str) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    for address in kinds(web):
        page.goto(address)
        assert violations(page) == [], address
    # with a mistake in every field: the trial book has all kinds of fields
    for calculator in of_every_kind(web)[:: 1 if web.book.root.name.startswith("trial") else 5]:
        open_calculator(page, web, calculator)
        for its in calculator.inputs:
            if isinstance(its, QuantityInput):
                field(page, calculator, its.name).fill("much")
                field(page, calculator, its.name).blur()
        assert violations(page) == [], calculator.id
    context.close()


SPACING = "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; }"
SPACE_OUT = """(css) => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  document.adoptedStyleSheets.push(sheet);
}"""
_WIDTHS = """() => [document.documentElement, ...document.querySelectorAll("hangtag-calculator")]
  .map((element) => element.scrollWidth)"""


def test_nothing_is_wider_than_the_screen(page: Page, web: Site) -> None:
    for address in addresses(web):
        page.goto(address)
        for width in (1280, 360, 320):
            page.set_viewport_size({"width": width, "height": 800})
            assert max(page.evaluate(_WIDTHS)) <= width, (address, width)
        page.evaluate(SPACE_OUT, SPACING)
        assert max(page.evaluate(_WIDTHS)) <= 320, (address, "letters spaced out")


# Every control that is seen: its id, width and height.
_SIZES = """() => [...document.querySelectorAll("hangtag-calculator :is(input, select, button)")]
  .filter((control) => control.checkVisibility({ visibilityProperty: true }))
  .map((control) => [control.id || control.textContent, control.getBoundingClientRect()])
  .map(([name, box]) => [name, box.width, box.height])"""


def test_controls_are_large_enough_to_touch(page: Page, web: Site) -> None:
    for calculator in web.book.calculators.values():
        open_calculator(page, web, calculator)
        for name, width, height in page.evaluate(_SIZES):
            assert height >= SMALLEST_CONTROL, (calculator.id, name)
            assert width >= SMALLEST_TARGET, (calculator.id, name)


# Where the focus is, how it is shown, and whether that is inside a calculator.
_FOCUS = """() => {
  const its = document.activeElement;
  const style = getComputedStyle(its);
  return [its.id || "", style.outlineStyle + style.boxShadow, Boolean(its.closest("hangtag-calculator"))];
}"""


def test_a_calculator_works_with_the_keyboard_alone(page: Page, web: Site) -> None:
    for calculator in web.book.calculators.values():
        open_calculator(page, web, calculator)
        page.locator("h1").first.evaluate("heading => { heading.tabIndex = -1; heading.focus(); }")
        reached: list[str] = []
        for _ in range(400):
            page.keyboard.press("Tab")
            at, ring, inside = page.evaluate(_FOCUS)
            if not inside:
                if reached:
                    break
                continue
            assert ring != "nonenone", at
            reached.append(at)
        wanted = controls(page, calculator).evaluate_all("all => all.map((one) => one.id)")
        assert [at for at in reached if at in wanted] == wanted
        before = shown(page, calculator)
        first = controls(page, calculator).first
        first.focus()
        if first.evaluate("control => control.localName === 'input'"):
            page.keyboard.press("ControlOrMeta+a")
            page.keyboard.type(another(calculator))
        else:
            page.keyboard.press("ArrowDown")
            if shown(page, calculator) == before:  # it was the last choice
                page.keyboard.press("ArrowUp")
        after = shown(page, calculator)
        assert (after["answers"], after["formulas"]) != (before["answers"], before["formulas"]), calculator.id


def another(calculator: Calculator) -> str:
    """A value for the first field for numbers, next to the one it starts with."""
    for its in calculator.inputs:
        for number in its.columns if isinstance(its, RowsInput) else (its,):
            if isinstance(number, QuantityInput | QuantityColumn):
                start = float(number.start.text)
                step = 1.0 if number.whole else start / 100 or float(number.high.text) / 100
                return f"{start + step:.10g} {(number.start if start else number.high).unit.id}"
    raise AssertionError


_ALL_LIVE = """() => document.readyState === "complete"
  && !document.querySelector("hangtag-calculator:not([data-live])")"""


def test_an_entry_is_light_and_its_script_moves_nothing(page: Page, web: Site) -> None:
    page.add_init_script(
        "window.shifts = [];"
        "new PerformanceObserver(list => list.getEntries().forEach(entry => window.shifts.push(entry.value)))"
        ".observe({type: 'layout-shift', buffered: true});"
    )
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(request.url))
    for entry in web.book.entries.values():
        asked.clear()
        page.goto(web.page(f"terms/{entry.id}"))
        until(page, lambda: page.evaluate(_ALL_LIVE))
        settled(page)
        sizes = {url: _packed(web, _file_of(web, url)) for url in asked}
        assert sum(sizes.values()) <= 100_000, sizes
        assert sum(page.evaluate("window.shifts")) <= 0.02, entry.id


def test_our_scripts_stay_small(web: Site) -> None:
    assert _packed(web, "scripts/hangtag.js") <= 12_000
    for calculator in web.book.calculators:
        assert _packed(web, f"calculators/{calculator}/formula.js") <= 1_500, calculator


def _file_of(site: Site, url: str) -> str:
    path = unquote(url).removeprefix(site.root).partition("?")[0]
    return path + "index.html" if path.endswith("/") else path


def _packed(site: Site, path: str) -> int:
    return len(gzip.compress((site.folder / path).read_bytes(), 9))
