"""Working backwards on a page: the answers and words of Python, the address, the keyboard, who does not offer it."""

from __future__ import annotations

import gzip
import json
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Locator, Page

from hangtag.answers import Shown, Solution, measured, work_backwards
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceInput, RowsInput
from hangtag.numbers import show
from tests.browser.conftest import Site
from tests.browser.support import enter, field, of_every_kind, open_calculator
from tests.browser.test_addresses import HOSTILE

CASES = json.loads((Path(__file__).parents[1] / "compliance/backwards/answers.json").read_text(encoding="utf-8"))
PART = ".ht-backwards"


def ask(page: Page, name: str) -> Locator:
    return page.locator(f"{PART} [data-ask={name}]")


def open_part(page: Page) -> None:
    page.locator(f"{PART} > summary").click()
    page.wait_for_selector(f"{PART} [data-ask=unit] option", state="attached")


def question(page: Page, output: str, wanted: str, unknown: str) -> None:
    """Fill the sentence as a reader would."""
    ask(page, "output").select_option(output)
    ask(page, "input").select_option(unknown)
    ask(page, "value").fill(wanted)


def said(page: Page) -> tuple[list[str], str | None]:
    """The answers and the words beside them."""
    items = page.locator(f"{PART} li").evaluate_all("items => items.map((item) => item.firstChild.textContent)")
    because = ask(page, "because")
    return [spaced(item) for item in items], spaced(because.inner_text()) if because.is_visible() else None


def spaced(text: str) -> str:
    return text.replace("\u00a0", " ")


def in_words(book: Book, calculator: Calculator, unknown: str, solution: Solution) -> str:
    """An answer as the page says it: in the unit of the field."""
    its = next(one for one in calculator.inputs if one.name == unknown)
    assert not isinstance(its, RowsInput)
    if isinstance(its, ChoiceInput):
        return f"{its.label}: {next(option.label for option in its.options if option.name == solution.choice)}"
    unit = its.start.unit

    def shown(value: Shown) -> str:
        si = value.unit.to_si(value.value)
        return measured(show(unit.from_si(si), 6), unit)

    text = measured(show(unit.from_si(solution.si), 6), unit)
    if solution.ends and shown(solution.ends[0]) != shown(solution.ends[1]):
        text = book.strings.say("field-between", low=shown(solution.ends[0]), high=shown(solution.ends[1]))
    return spaced(f"{its.label}: {text}")


def expected(book: Book, calculator: Calculator, given: dict[str, str], *asked: str) -> tuple[list[str], str | None]:
    solved = work_backwards(book, calculator, given, *asked).solved
    assert solved is not None
    because = None if solved.because is None else spaced(solved.because)
    return [in_words(book, calculator, asked[2], its) for its in solved.answers], because


@pytest.mark.parametrize(
    "case",
    [case for case in CASES["cases"] if "answers" in case],
    ids=lambda case: f"{case['calculator']} {case['output']} {case['wanted']} {case['unknown']}",
)
def test_the_shared_cases(page: Page, shared_site: Site, case: dict[str, Any]) -> None:
    calculator = shared_site.book.calculators[case["calculator"]]
    open_calculator(page, shared_site, calculator)
    given = case.get("given", {})
    enter(page, calculator, given)
    asked = (case["output"], case["wanted"], case["unknown"])
    offered = ask(page, "input").locator("option").evaluate_all("options => options.map((option) => option.value)")
    if case["unknown"] not in offered:  # a choice of names alone is no answer to anything
        its = next(one for one in calculator.inputs if one.name == case["unknown"])
        assert isinstance(its, ChoiceInput)
        assert not all(option.amount for option in its.options)
        return
    open_part(page)
    question(page, *asked)
    answers, because = said(page)
    assert (answers, because) == expected(shared_site.book, calculator, given, *asked)
    assert because == case["because"]


def test_every_answer_of_every_calculator_asks_for_every_field(page: Page, web: Site) -> None:
    asked = 0
    for calculator in of_every_kind(web):
        if calculator.one_way:
            continue
        open_calculator(page, web, calculator)
        if page.locator(PART).count() == 0:
            continue
        open_part(page)
        for output in calculator.outputs:
            ask(page, "output").select_option(output.name)
            wanted = ask(page, "value").input_value()
            unit = ask(page, "unit").input_value()
            for option in ask(page, "input").locator("option").all():
                unknown = option.get_attribute("value") or ""
                question(page, output.name, wanted, unknown)
                typed = f"{wanted} {unit if unit != 'plain' else ''}".strip()
                found = expected(web.book, calculator, {}, output.name, typed, unknown)
                assert said(page) == found, (calculator.id, output.name, typed, unknown)
                asked += 1
    assert asked > 10


def test_the_answer_goes_into_the_field_on_request(page: Page, web: Site) -> None:
    tried = 0
    for calculator in of_every_kind(web):
        open_calculator(page, web, calculator)
        if page.locator(PART).count() == 0:
            continue
        open_part(page)
        output, unknown = ask(page, "output").input_value(), ask(page, "input").input_value()
        if any(its.name == unknown for its in calculator.inputs if isinstance(its, ChoiceInput)):
            continue  # a choice has no reach between two ends
        unit = ask(page, "unit").input_value()
        low, high = _reach(page, output, unit)
        wanted = f"{low + (high - low) * 0.43:.6f}"
        ask(page, "value").fill(wanted)
        before = field(page, calculator, unknown).input_value()
        if page.locator(f"{PART} li button").count() == 0:
            continue
        assert field(page, calculator, unknown).input_value() == before
        page.locator(f"{PART} li button").first.click()
        assert page.evaluate("document.activeElement.localName") == "button"  # and the focus stays
        if page.locator(".ht-refusal").first.is_visible() or calculator.program.domain.uncertain:
            continue
        si = page.evaluate(
            "([id, name]) => { const its = document.querySelector(`[data-calculator='${id}']`);"
            " return its.tried(its.values()).results.get(name); }",
            [calculator.id, output],
        )
        step = next(its for its in calculator.outputs if its.name == output)
        of = next(its for its in (step.unit, *step.also) if its.id == unit)
        assert of.from_si(si) == pytest.approx(float(wanted), rel=2e-4, abs=1e-4), calculator.id
        tried += 1
    assert tried


def _reach(page: Page, output: str, unit: str) -> tuple[float, float]:
    """What the output is at both ends of the field, in a unit."""
    low, high = page.evaluate(
        """([output, unit]) => {
          const its = document.querySelector("hangtag-calculator");
          const name = its.querySelector("[data-ask=input]").value;
          const data = its.fields.find((field) => field.name === name).data;
          const found = [];
          for (let i = 8; i <= 56; i += 1) {
            const [low, high] = [data.low, data.high].map((limit) => hangtag.units.toSi(...limit));
            const { results } = its.tried(its.values().set(name, low + (high - low) * i / 64));
            if (results) found.push(hangtag.units.fromSi(results.get(output), unit));
          }
          return [Math.min(...found), Math.max(...found)];
        }""",
        [output, unit],
    )
    return low, high


@pytest.mark.parametrize("mark", ["ask", "?", "%3F"])
def test_an_address_asks(page: Page, sites_of_trial: Site, mark: str) -> None:
    calculator = sites_of_trial.book.calculators["pole-mass"]
    open_calculator(page, sites_of_trial, calculator, f"?mass=2kg&length={mark}&width=30mm")
    page.wait_for_selector(f"{PART} li")
    given = {"width": "30 mm"}
    assert said(page) == expected(sites_of_trial.book, calculator, given, "mass", "2 kg", "length")
    assert field(page, calculator, "length").input_value() == "1200"  # its own value stays
    assert field(page, calculator, "width").input_value() == "30"
    assert page.locator("hangtag-calculator [role=status]").first.inner_text() == ""


def test_the_question_stands_in_the_address_while_its_part_is_open(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    page.clock.install()
    open_calculator(page, trial, calculator, "?from=club")
    start = page.url
    open_part(page)
    question(page, "mass", "2 lb", "width")
    page.clock.run_for(1000)
    assert page.url == start + "&mass=2lb&length=1200mm&width=ask&fibre=ash&poles=2"
    status = page.locator("hangtag-calculator [role=status]").first
    assert spaced(status.inner_text()).startswith("Pole width: ")
    asked = said(page)
    address = page.url
    page.goto("about:blank")
    page.goto(address)
    page.wait_for_selector(f"{PART} li")
    assert said(page) == asked
    assert ask(page, "unit").input_value() == "lb"
    part = page.locator(PART)
    part.evaluate("its => { window.told = new Promise((done) => its.addEventListener('toggle', () => done())); }")
    page.locator(f"{PART} > summary").click()
    page.evaluate("() => window.told")
    page.clock.run_for(1000)
    assert page.url == start


def test_another_field_changes_the_answer(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator, "?mass=2kg&length=ask")
    page.wait_for_selector(f"{PART} li")
    before = said(page)
    field(page, calculator, "width").fill("30")
    after = said(page)
    assert after != before
    assert after == expected(trial.book, calculator, {"width": "30"}, "mass", "2 kg", "length")


def test_a_unit_switch_keeps_the_wanted_value(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator, "?mass=2kg&length=ask")
    page.wait_for_selector(f"{PART} li")
    before = said(page)
    ask(page, "unit").select_option("g")
    assert ask(page, "value").input_value() == "2000"
    assert said(page) == before
    ask(page, "unit").select_option("kg")
    assert ask(page, "value").input_value() == "2"


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_question_gets_words(page: Page, trial: Site, hostile: str) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator, f"?mass={quote(hostile)}&length=ask")
    page.wait_for_selector(f"{PART} [data-ask=unit] option", state="attached")
    wrong = ask(page, "error").is_visible()
    assert ask(page, "value").get_attribute("aria-invalid") == str(wrong).lower()
    answers, because = said(page)
    assert answers == []
    assert bool(because) != wrong  # a number of eighty digits is one, and out of reach
    text = page.locator("hangtag-calculator").inner_text().replace(hostile, "").replace(hostile.strip(), "")
    for word in ("NaN", "Infinity", "undefined", "[object"):
        assert word not in text


def test_a_question_that_is_none_harms_nothing(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    for query in ("?length=ask", "?length=ask&width=ask&mass=2kg", "?mass=2kg", "?mass=ask", "?poles=ask&x=?"):
        open_calculator(page, trial, calculator, query)
        page.wait_for_load_state("networkidle")
        assert field(page, calculator, "length").input_value() == "1200"
        assert "undefined" not in page.locator("hangtag-calculator").inner_text()


def test_a_one_way_calculator_says_why_it_is_not_offered(page: Page, site: Site) -> None:
    found = [its for its in site.book.calculators.values() if its.one_way]
    assert found
    for calculator in found:
        reason = str(calculator.one_way).strip()
        open_calculator(page, site, calculator, "?length=ask")
        assert page.locator(PART).count() == 0
        assert reason.split("[[")[0].split("\n")[0][:60] in page.locator(".ht-one-way").inner_text()


def test_the_keyboard_alone_asks_and_takes_the_answer(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators["pole-mass"]
    open_calculator(page, trial, calculator)
    page.locator(f"{PART} > summary").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{PART} [data-ask=unit] option", state="attached")
    for name in ("output", "value", "unit", "input"):
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.dataset.ask") == name
        if name == "value":
            page.keyboard.press("ControlOrMeta+a")
            page.keyboard.type("3000")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Use 1500\u00a0mm"
    page.keyboard.press("Enter")
    assert field(page, calculator, "length").input_value() == "1500"


def test_its_script_is_small_and_asked_for_when_it_opens(page: Page, trial: Site) -> None:
    assert len(gzip.compress((trial.folder / "scripts/backwards.js").read_bytes(), 9)) <= 3_500
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    open_calculator(page, trial, trial.book.calculators["pole-mass"])
    page.wait_for_load_state("networkidle")
    assert not any(url.endswith("/backwards.js") for url in asked)
    open_part(page)
    assert any(url.endswith("/backwards.js") for url in asked)
