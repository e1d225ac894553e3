"""The ladder and the steps: drawn by Python, redrawn by the page, every value in text."""

from __future__ import annotations

import gzip

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Site
from tests.browser.support import computed, field, open_calculator, paste, shown, until
from tests.browser.test_pages import violations

KIT, DAYS = "pole-kit", "pole-days"


def lines(page: Page) -> list[str]:
    """What the picture shows, without spaces that a style makes and units in words."""
    script = """lines => lines.map((line) => {
      const copy = line.cloneNode(true);
      copy.querySelectorAll(".ht-heard").forEach((heard) => heard.remove());
      return copy.textContent;
    })"""
    return [" ".join(text.split()) for text in page.locator(".ht-picture li").evaluate_all(script)]


def test_a_ladder_adds_its_parts_and_says_them(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    assert lines(page) == ["On the pack 1 kg", "With those in hand + 0.4536 kg 1.454 kg", "With body + 70 kg 71.45 kg"]
    text = "what,weight,count,goes\nA,2 kg,2,pack\nB,4 kg,1,hand"
    paste(page, calculator, "kit", text)
    field(page, calculator, "body").fill("8")
    until(page, lambda: lines(page)[0].endswith(" 4 kg"))
    assert lines(page) == ["On the pack 4 kg", "With those in hand + 4 kg 8 kg", "With body + 8 kg 16 kg"]
    assert shown(page, calculator) == computed(page, trial, calculator, {"kit": text, "body": "8"})
    bars = page.locator(".ht-rung rect").evaluate_all(
        "bars => bars.map((bar) => [bar.getAttribute('x'), bar.getAttribute('width')])"
    )
    assert bars == [["0%", "25%"], ["25%", "25%"], ["50%", "50%"]]


def test_the_lowest_rung_stands_at_the_foot_and_is_read_first(page: Page, trial: Site) -> None:
    open_calculator(page, trial, trial.book.calculators[KIT])
    tops = page.locator(".ht-ladder li").evaluate_all("rungs => rungs.map((rung) => rung.getBoundingClientRect().top)")
    assert tops == sorted(tops, reverse=True)


def test_an_empty_list_leaves_a_ladder_without_parts(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator, "?body=0kg#rows=what,weight")
    until(page, lambda: page.locator(".ht-rows > .ht-row").count() == 0)
    assert lines(page)[0] == "On the pack 0 kg"
    assert shown(page, calculator) == computed(page, trial, calculator, {"kit": "what,weight", "body": "0"})


def test_a_mistake_leaves_the_picture_as_it_was(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    before = shown(page, calculator)["pictures"]
    field(page, calculator, "body").fill("much")
    assert shown(page, calculator)["pictures"] == before


def test_steps_skip_what_has_no_answer_and_mark_the_readers_own(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators[DAYS]
    open_calculator(page, trial, calculator)
    assert lines(page) == ["Day 1 10 kg", "Day 2 8 kg", "Day 3 6 kg", "Day 4 4 kg"]
    assert page.locator(".ht-picture [aria-current]").inner_text().startswith("Day 2")
    field(page, calculator, "days").fill("6")
    field(page, calculator, "burnt").fill("1000 g")
    field(page, calculator, "day").fill("5")
    assert lines(page)[-1] == "Day 6 6 kg"
    assert page.locator(".ht-picture [aria-current]").inner_text().startswith("Day 5")
    given = {"days": "6", "burnt": "1000 g", "day": "5"}
    assert shown(page, calculator) == computed(page, trial, calculator, given)
    heights = page.locator(".ht-stair").evaluate_all("bars => bars.map((bar) => Number(bar.getAttribute('height')))")
    assert heights == sorted(heights, reverse=True)
    assert len(heights) == 6


def test_steps_are_drawn_where_the_readers_own_number_has_no_answer(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators[DAYS]
    open_calculator(page, trial, calculator)
    field(page, calculator, "day").fill("12")
    assert page.locator(".ht-refusal").inner_text() == "That day comes after the last."
    assert len(lines(page)) == 4
    assert page.locator(".ht-picture [aria-current]").count() == 0


def test_five_days_and_two_days_of_one_kit_differ_by_three_days_of_food_and_fuel(page: Page, sites: object) -> None:
    site = sites.get("reference", "http")  # type: ignore[attr-defined]
    calculator = site.book.calculators["pack-days"]
    first = []
    for days in ("5", "2"):
        open_calculator(page, site, calculator)
        for name, value in (
            ("base_weight", "4.5 kg"),
            ("food", "0.7 kg"),
            ("fuel", "25 g"),
            ("water", "2 kg"),
            ("days", days),
        ):
            field(page, calculator, name).fill(value)
        assert len(lines(page)) == int(days)
        first.append(float(lines(page)[0].split()[-2]))
    assert first == [10.13, 7.95]  # 10.125 is shown with four figures
    exact = page.evaluate(
        """days => days.map((days) => {
          const calculator = document.querySelector("hangtag-calculator");
          const values = calculator.values().set("days", days).set("day", 1);
          return calculator.data.run(values, hangtag.formulas).get("first_morning");
        })""",
        [5, 2],
    )
    assert exact[0] - exact[1] == pytest.approx(3 * (0.7 + 0.025), abs=1e-12)


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("name", [KIT, DAYS])
def test_pictures_fit_and_axe_finds_nothing(page: Page, trial: Site, width: int, name: str) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    open_calculator(page, trial, trial.book.calculators[name])
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert violations(page) == []


def test_a_picture_prints_without_javascript(browser: Browser, trial: Site) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(trial.page(f"calculators/{KIT}"))
    assert lines(page)[2] == "With body + 70 kg 71.45 kg"
    context.close()


def test_its_script_is_small(trial: Site) -> None:
    assert len(gzip.compress((trial.folder / "scripts" / "pictures.js").read_bytes(), 9)) <= 1_500
