"""One switch for the units of the whole site: fields, answers, scales and examples, there and back without a loss."""

from __future__ import annotations

import gzip

from playwright.sync_api import Browser, BrowserContext, Page

from hangtag.calculators import Calculator, QuantityInput
from hangtag.units import Unit
from tests.browser.conftest import Site
from tests.browser.support import field, of_every_kind, open_calculator, settled, shown

SWITCH = ".ht-units select"
OTHER = {"si": "us", "us": "si"}
# Texts of everything that a preference may change; of a scale its numbers, its name and its drawing.
_PLACES = """() => [...document.querySelectorAll(
  "[data-q], .ht-scale-axis, .ht-scale :is(text, title, desc), output, .ht-curve :is(text, td)")]
  .map((element) => element.textContent)"""


def prefer(page: Page, system: str) -> None:
    page.locator(SWITCH).select_option(system)
    if system:
        page.wait_for_selector(f"html[data-units-shown='{system}']")
    settled(page)


def units_of(its: QuantityInput) -> tuple[Unit, ...]:
    return (its.start.unit, its.unit, *its.also)


def fields(page: Page, calculator: Calculator) -> dict[str, tuple[str, str]]:
    """What stands in each field for a quantity, and its unit."""
    found = {}
    for its in calculator.inputs:
        if isinstance(its, QuantityInput):
            unit = field(page, calculator, f"{its.name}-unit")
            has_choice = unit.evaluate("element => element.localName === 'select'")
            text = field(page, calculator, its.name).input_value()
            found[its.name] = (text, unit.input_value() if has_choice else "")
    return found


def test_no_field_and_no_answer_keeps_a_unit_of_the_other_system(page: Page, web: Site) -> None:
    changed = 0
    for calculator in of_every_kind(web):
        open_calculator(page, web, calculator)
        before, shown_before = fields(page, calculator), shown(page, calculator)
        for system, other in OTHER.items():
            prefer(page, system)
            after = fields(page, calculator)
            for its in calculator.inputs:
                if not isinstance(its, QuantityInput):
                    continue
                unit = after[its.name][1]
                if unit and any(each.system != other for each in units_of(its)):
                    assert web.book.units.units[unit].system != other, (calculator.id, its.name, system)
                changed += after[its.name] != before[its.name]
            for step in calculator.outputs:
                if any(unit.system != other for unit in (step.unit, *step.also)):
                    slot = page.locator(f"[id='{calculator.id}-{step.name}'] [data-symbol]").first
                    prints = slot.text_content() or ""
                    wrong = {unit.prints for unit in (step.unit, *step.also) if unit.system == other}
                    right = {unit.prints for unit in (step.unit, *step.also) if unit.system != other}
                    assert prints.strip("\u00a0 ") not in wrong - right, (calculator.id, step.name, system)
        prefer(page, "")
        assert fields(page, calculator) == before, calculator.id
        assert shown(page, calculator) == shown_before, calculator.id
    assert changed


def test_there_and_back_loses_nothing(page: Page, web: Site) -> None:
    calculators = [its.id for its in of_every_kind(web)]
    entries = [entry.id for entry in web.book.entries.values() if not set(entry.calculators).isdisjoint(calculators)]
    pages = [f"terms/{entry}" for entry in entries] + [f"calculators/{its}" for its in calculators]
    changed = 0
    for path in pages:
        page.goto(web.page(path))
        page.wait_for_load_state("networkidle")
        settled(page)
        before = page.evaluate(_PLACES)
        seen = []
        for system in ("us", "si", "us"):
            prefer(page, system)
            seen.append(page.evaluate(_PLACES))
        assert seen[0] == seen[2], path
        changed += seen[0] != before or seen[1] != before
        prefer(page, "")
        assert page.evaluate(_PLACES) == before, path
    assert changed


def test_a_typed_number_is_converted_and_comes_back_as_typed(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    length = field(page, calculator, "length")
    length.fill("1.27k")
    length.blur()
    for _ in range(3):
        prefer(page, "us")
        assert (length.input_value(), field(page, calculator, "length-unit").input_value()) == ("50", "in")
        prefer(page, "")
        assert (length.input_value(), field(page, calculator, "length-unit").input_value()) == ("1270", "mm")
    # a number the field cannot read stays as it is
    length.fill("much")
    prefer(page, "us")
    assert length.input_value() == "much"
    length.fill("60")
    page.locator("#pole-mass-length-unit").select_option("mm")
    length.fill("2540")
    prefer(page, "us")
    assert length.input_value() == "100"


def test_the_answer_in_the_preferred_unit_stands_first(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    symbols = page.locator("#pole-mass-mass [data-symbol]")
    printed = symbols.all_text_contents()
    assert [its.strip("\u00a0") for its in printed] == ["kg", "lb", "g"]
    spoken = page.locator("#pole-mass-mass").get_attribute("data-spoken") or ""
    prefer(page, "us")
    assert [its.strip("\u00a0") for its in symbols.all_text_contents()] == ["lb", "kg", "g"]
    assert "pounds" in (page.locator("#pole-mass-mass").get_attribute("data-spoken") or "")
    prefer(page, "")
    assert symbols.all_text_contents() == printed
    assert page.locator("#pole-mass-mass").get_attribute("data-spoken") == spoken


def test_it_is_remembered_on_every_page(context: BrowserContext, web: Site) -> None:
    page = context.new_page()
    page.goto(web.root)
    page.locator(SWITCH).select_option("us")
    calculator = web.book.calculators["pole-mass" if "pole-mass" in web.book.calculators else "down-loft"]
    for path in (f"calculators/{calculator.id}", "a-to-z"):
        page.goto(web.page(path))
        page.wait_for_load_state("networkidle")
        assert page.locator(SWITCH).input_value() == "us"
    open_calculator(page, web, calculator)
    page.wait_for_selector("html[data-units-shown='us']")
    assert any(unit and web.book.units.units[unit].system == "us" for _, unit in fields(page, calculator).values())
    address = page.url
    page.wait_for_timeout(1000)
    assert page.url == address  # to prefer a unit is no value to share


def test_without_storage_it_holds_for_the_page(page: Page, trial: Site) -> None:
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('closed', 'SecurityError'); }});"
    )
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    prefer(page, "us")
    assert field(page, calculator, "length-unit").input_value() == "in"
    prefer(page, "")
    assert field(page, calculator, "length-unit").input_value() == "mm"


def test_without_javascript_everything_is_as_printed(browser: Browser, trial: Site) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(trial.page("calculators/pole-mass"))
    assert page.locator(SWITCH).is_hidden()
    assert field(page, trial.book.calculators["pole-mass"], "length-unit").input_value() == "mm"
    context.close()


def test_a_scale_has_round_numbers_of_the_unit(page: Page, trial: Site) -> None:
    page.goto(trial.page("terms/pole-length") + "?value=1500mm")
    page.wait_for_load_state("networkidle")
    prefer(page, "us")
    assert page.locator(".ht-scale .ht-tick-number").all_text_contents() == ["0", "20", "40", "60"]
    assert page.locator(".ht-mark-value").text_content() == "59.06\u00a0in"
    assert page.locator(".ht-scale-axis").text_content() == "Pole length, in in (inches)"
    assert page.locator(".ht-scale title").text_content() == "Scale of Pole length from 0\u00a0in to 78.74\u00a0in"
    limits = page.locator(".ht-limits .ht-q").all_text_contents()
    assert limits[0].startswith("39.37 in")
    assert page.locator(".ht-scale [data-current]").get_attribute("data-band") == "1"


def test_a_worked_example_is_shown_in_the_preferred_unit(page: Page, trial: Site) -> None:
    page.goto(trial.page("calculators/pole-mass"))
    page.wait_for_load_state("networkidle")
    before = page.locator(".ht-example .ht-q").all_text_contents()
    assert any("50 in" in text for text in before)
    prefer(page, "si")
    after = page.locator(".ht-example .ht-q").all_text_contents()
    assert any("1270 mm" in text for text in after)
    assert not any(" in" in text.replace(" inches", "") for text in after)


def test_its_script_is_small(web: Site) -> None:
    assert len(gzip.compress((web.folder / "scripts/preference.js").read_bytes(), 9)) <= 2_500
    assert len(gzip.compress((web.folder / "scripts/theme.js").read_bytes(), 9)) <= 1_500
