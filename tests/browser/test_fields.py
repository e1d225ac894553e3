"""What a reader types: units that switch and come back, mistakes in words, one announcement a pause."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page

from hangtag.calculators import Calculator, QuantityInput
from tests.browser.conftest import Site
from tests.browser.support import computed, field, of_every_kind, open_calculator, open_paused, shown

BAD = ("abc", "", "1.2.3", "1e3", "12 parsecs")
REST = 800  # milliseconds
COUNT_CHANGES = """() => {
  const status = document.querySelector("hangtag-calculator [role=status]");
  window.changes = [];
  new MutationObserver(() => window.changes.push(status.textContent))
    .observe(status, {childList: true, characterData: true, subtree: true});
}"""


def quantities(calculator: Calculator) -> list[QuantityInput]:
    return [its for its in calculator.inputs if isinstance(its, QuantityInput)]


def error_of(page: Page, calculator: Calculator, name: str) -> Locator:
    return page.locator(f"[id='{calculator.id}-{name}-error']")


def test_a_unit_switch_converts_keeps_focus_and_comes_back_whole(page: Page, web: Site) -> None:
    switched = 0
    for calculator in of_every_kind(web):
        open_calculator(page, web, calculator)
        before = shown(page, calculator)
        for its in quantities(calculator):
            control = field(page, calculator, its.name)
            unit = field(page, calculator, f"{its.name}-unit")
            text = control.input_value()
            for other in its.also:
                unit.focus()
                unit.select_option(other.id)
                alike = its.start.unit.to_si(1) == other.to_si(1)  # mm/s and L/(m²·s) count the same
                assert text == "0" or alike or control.input_value() != text, (calculator.id, its.name, other.id)
                assert unit.evaluate("select => document.activeElement === select")
                assert shown(page, calculator)["answers"] == before["answers"], (calculator.id, its.name, other.id)
                unit.select_option(its.start.unit.id)
                assert control.input_value() == text
                switched += 1
        assert shown(page, calculator) == before
    assert switched


# What a reader meets at a field: its error, whether that is tied to it, and whether the last answer is marked as old.
_STATE = """([id, name]) => {
  const control = document.getElementById(`${id}-${name}`);
  const error = document.getElementById(`${id}-${name}-error`);
  const seen = (element) => Boolean(element && element.checkVisibility() && element.getBoundingClientRect().height);
  return {
    error: seen(error) ? error.innerText : null,
    invalid: control.getAttribute("aria-invalid"),
    tied: (control.getAttribute("aria-describedby") || "").split(" ").includes(error.id),
    old: document.querySelector(".ht-results").classList.contains("ht-old"),
    noted: seen(document.querySelector(".ht-old-note")),
    answers: [...document.querySelectorAll("output")].map((output) => output.textContent),
  };
}"""


def test_every_bad_text_gets_words_and_the_last_answer_stays(page: Page, web: Site) -> None:
    for calculator in web.book.calculators.values():
        open_calculator(page, web, calculator)
        for its in quantities(calculator):
            control = field(page, calculator, its.name)
            text = control.input_value()
            good = page.evaluate(_STATE, [calculator.id, its.name])
            assert good | {"answers": []} == {
                "error": None, "invalid": None, "tied": False, "old": False, "noted": False, "answers": [],
            }  # fmt: skip
            for bad in BAD:
                control.fill(bad)
                control.blur()
                state = page.evaluate(_STATE, [calculator.id, its.name])
                assert state.pop("error"), (calculator.id, its.name, bad)
                assert state == {
                    "invalid": "true", "tied": True, "old": True, "noted": True, "answers": good["answers"],
                }, (calculator.id, its.name, bad)  # fmt: skip
            assert "undefined" not in error_of(page, calculator, its.name).inner_text()
            control.fill(text)
            assert page.evaluate(_STATE, [calculator.id, its.name]) == good


def test_values_outside_the_range_name_the_limit(page: Page, web: Site) -> None:
    for calculator in of_every_kind(web):
        open_calculator(page, web, calculator)
        for its in quantities(calculator):
            control = field(page, calculator, its.name)
            text = control.input_value()
            for limit, step in ((its.low, -1), (its.high, 1)):
                # the limit itself is in the range, in its own unit; the next step is not
                control.fill(f"{limit.text} {limit.unit.prints if limit.unit.id != 'plain' else ''}")
                control.blur()
                assert not error_of(page, calculator, its.name).is_visible(), (calculator.id, its.name, limit.text)
                control.fill(f"{float(limit.text) + step} {limit.unit.prints if limit.unit.id != 'plain' else ''}")
                control.blur()
                words = error_of(page, calculator, its.name).inner_text()
                assert limit.text.replace("-", "−").split(".")[0][:1] in words
            control.fill(text)


def test_an_error_waits_until_the_reader_rests(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_paused(page, trial, calculator)
    field(page, calculator, "width").press_sequentially(" parsecs")
    error = error_of(page, calculator, "width")
    assert not error.is_visible()
    page.clock.run_for(REST - 50)
    assert not error.is_visible()
    page.clock.run_for(100)
    assert "parsecs" in error.inner_text()


def test_ten_keys_make_one_announcement_and_loading_makes_none(page: Page, web: Site) -> None:
    for calculator in of_every_kind(web):
        open_paused(page, web, calculator)
        status = page.locator("hangtag-calculator [role=status]").first
        assert status.inner_text() == ""
        page.evaluate(COUNT_CHANGES)
        numbers = page.locator(".ht-fields :is(input.ht-number, .ht-cell-number input)")
        if numbers.count() == 0:  # choices alone: nobody types
            continue
        control = numbers.first
        control.press("End")
        control.press_sequentially("0000000000", delay=20)
        for _ in range(10):
            control.press("Backspace")
        assert page.evaluate("window.changes") == []
        page.clock.run_for(REST + 50)
        heard = page.evaluate("window.changes")
        assert heard == [" ".join(shown(page, calculator)["spoken"])]
        page.clock.run_for(10 * REST)
        assert page.evaluate("window.changes") == heard


def test_a_mistake_is_announced_with_its_field(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    page.clock.install()
    open_calculator(page, trial, calculator)
    field(page, calculator, "width").fill("wide")
    page.clock.run_for(REST + 50)
    words = page.locator("hangtag-calculator [role=status]").first.inner_text()
    assert words.startswith("Pole width: ")
    assert error_of(page, calculator, "width").inner_text().removeprefix("Mistake:").strip() in words


@pytest.mark.parametrize(
    ("typed", "echo", "unit", "text"),
    [
        ("1,5 m", "Read as 1.5 m.", "m", "1.5"),
        ("1 500", "Read as 1500 mm.", "mm", "1500"),
        ("1,500", "Read as 1500 mm.", "mm", "1500"),
        ("1.5k", "Read as 1500 mm.", "mm", "1500"),
        ("50 in", "Read as 50 in.", "in", "50"),
        ("50in", "Read as 50 in.", "in", "50"),
    ],
)
def test_what_was_understood_is_echoed_and_a_typed_unit_switches(  # noqa: PLR0913  one row of the table
    page: Page, trial: Site, typed: str, echo: str, unit: str, text: str
) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    control = field(page, calculator, "length")
    control.fill(typed)
    assert page.locator("#pole-mass-length-echo").inner_text().replace("\u00a0", " ") == echo
    assert field(page, calculator, "length-unit").input_value() == unit
    assert shown(page, calculator) == computed(page, trial, calculator, {"length": typed})
    control.blur()
    assert control.input_value() == text


def test_a_unit_the_field_does_not_offer_is_read_too(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    control = field(page, calculator, "width")
    control.fill("1 in")
    control.blur()
    assert control.input_value() == "1 in"
    assert page.locator("#pole-mass-width-echo").inner_text().replace("\u00a0", " ") == "Read as 1 in."
    assert shown(page, calculator) == computed(page, trial, calculator, {"width": "1 in"})


def test_a_failed_requirement_is_an_answer_in_words(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    page.clock.install()
    open_calculator(page, trial, calculator)
    before = shown(page, calculator)["answers"]
    field(page, calculator, "length").fill("100")
    field(page, calculator, "width").fill("100")
    refusal = page.locator(".ht-refusal").first
    assert refusal.inner_text() == "A pole must be longer than wide; see Pole wood."
    assert shown(page, calculator)["answers"] != before  # the narrower pole before had an answer
    assert page.locator(".ht-old-note").first.is_visible()
    page.clock.run_for(REST + 50)
    assert page.locator("hangtag-calculator [role=status]").first.inner_text() == refusal.inner_text()
    field(page, calculator, "width").fill("99")
    assert not refusal.is_visible()


def test_a_result_that_does_not_exist_is_said_in_words(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-sway"]
    open_calculator(page, trial, calculator)
    field(page, calculator, "size").fill("0")
    assert page.locator(".ht-refusal").first.inner_text() == (
        "These values have no answer: Steepness would divide by zero."
    )


def test_only_whole_numbers_where_things_are_counted(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    field(page, calculator, "poles").fill("2.5")
    field(page, calculator, "poles").blur()
    assert error_of(page, calculator, "poles").inner_text().endswith("Needs a whole number.")


def test_the_pad_of_digits_is_asked_for_exactly_where_no_value_is_negative(page: Page, web: Site) -> None:
    for calculator in web.book.calculators.values():
        open_calculator(page, web, calculator)
        assert page.locator("hangtag-calculator input:not([type=text], [type=checkbox])").count() == 0
        for its in quantities(calculator):
            negative = any(unit.from_si(its.low.si) < 0 for unit in (its.unit, *its.also))
            wanted = None if negative or its.between else "decimal"  # two ends are typed with a word between them
            assert field(page, calculator, its.name).get_attribute("inputmode") == wanted, its.name
