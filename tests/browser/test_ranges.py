"""Values that are known only as a range: a field for one, answers with two ends, and the words for which is which."""

from __future__ import annotations

import gzip
import random
from typing import Any

import pytest
from playwright.sync_api import Page

from hangtag.answers import work
from hangtag.calculators import Calculator, QuantityInput
from hangtag.numbers import Refused
from hangtag.typed import read_range
from tests.browser.conftest import Site
from tests.browser.support import computed, field, open_calculator, shown
from tests.browser.test_fields import REST, error_of

FLEX = "pole-flex"


@pytest.fixture
def flex(page: Page, trial: Site) -> Calculator:
    """The calculator of the trial book with an uncertain constant and a field for a range, opened."""
    calculator = trial.book.calculators[FLEX]
    open_calculator(page, trial, calculator)
    return calculator


@pytest.mark.parametrize(
    "typed",
    [
        "800 to 1000",
        "800-1000",
        "800–1000",
        "800 — 1000",
        "1000 to 800",
        "0.8 to 1 m",
        "160 to 1000 mm",
        "30 in to 1 m",
        "1,5 to 2,25 m",
        "1k to 1.5k",
        "900",
        "35 in",
        "900 to 900",
        "1 m to 1000",
    ],
)
def test_a_range_is_read_as_in_python(page: Page, flex: Calculator, trial: Site, typed: str) -> None:
    control = field(page, flex, "length")
    control.fill(typed)
    assert shown(page, flex) == computed(page, trial, flex, {"length": typed})
    control.blur()
    html = computed_text(trial, flex, typed)
    assert control.input_value() == html
    assert shown(page, flex) == computed(page, trial, flex, {"length": typed})


def computed_text(site: Site, calculator: Calculator, typed: str) -> str:
    """What Python would write into the field."""
    its = next(its for its in calculator.inputs if its.name == "length")
    assert isinstance(its, QuantityInput)
    low, high = read_range(typed, (its.unit, *its.also), site.book.units)
    unit = high.unit
    first = low.number if low.unit == unit else f"{low.number} {low.unit.prints}"
    return first if (low.number, low.unit) == (high.number, high.unit) else f"{first} to {high.number}"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("50 to 1000", "Needs 100 mm or more."),
        ("200 to 4000", "Needs 3 m or less."),
        ("much to 1000", "much does not begin with a number"),
        ("200 to much", "much does not begin with a number"),
        ("200 to 300 to 400", "holds more than one number"),
        ("to 300", "to 300 does not begin with a number"),
        ("200 kg to 300 kg", "measures another thing"),
        ("", "Type a number"),
        ("NaN to 1e999", "1e999 is written as a power of ten"),
    ],
)
def test_a_bad_range_gets_words_and_the_last_answer_stays(page: Page, flex: Calculator, typed: str, words: str) -> None:
    before = shown(page, flex)
    control = field(page, flex, "length")
    control.fill(typed)
    control.blur()
    assert words in error_of(page, flex, "length").inner_text().replace("\u00a0", " ")
    assert control.get_attribute("aria-invalid") == "true"
    assert shown(page, flex) == before
    control.fill("900 to 1200")
    assert not error_of(page, flex, "length").is_visible()


def test_a_range_switches_its_unit_and_comes_back_whole(page: Page, flex: Calculator) -> None:
    control, unit = field(page, flex, "length"), field(page, flex, "length-unit")
    control.fill("777 to 1001")
    before = shown(page, flex)["answers"]
    for other in ("in", "m", "in"):
        unit.select_option(other)
        assert control.input_value() != "777 to 1001"
        assert shown(page, flex)["answers"] == before
    unit.select_option("mm")
    assert control.input_value() == "777 to 1001"


def test_the_echo_says_what_was_read(page: Page, flex: Calculator) -> None:
    field(page, flex, "length").fill("0.8-1 m")
    assert page.locator("#pole-flex-length-echo").inner_text().replace("\u00a0", " ") == "Read as 0.8 to 1 m."


def test_both_ends_say_when_they_hold_and_which_band_they_fall_in(page: Page, flex: Calculator) -> None:
    dry = page.locator("[data-step=dry]").first
    words = dry.locator(".ht-when").inner_text().replace("\u00a0", " ")
    assert words == "720 mm where Shrinking 0.8, Pole length 900 mm; 1320 mm where Shrinking 1.1, Pole length 1200 mm."
    assert dry.locator("[data-end=low]").inner_text().startswith("At the lower end: short sticks")
    assert dry.locator("[data-end=high]").inner_text().startswith("At the upper end: sticks for most hills")
    field(page, flex, "length").fill("200 to 300")
    assert dry.locator("[data-end=low]").inner_text().startswith("At both ends: short sticks")
    assert not dry.locator("[data-end=high]").is_visible()


@pytest.mark.usefixtures("flex")
def test_an_answer_that_nothing_uncertain_touches_is_one_number(page: Page) -> None:
    half = page.locator("[data-step=half]").first
    assert " to " not in half.locator("output").inner_text()
    assert not half.locator(".ht-when").is_visible()


def test_every_step_of_the_working_carries_both_ends(page: Page, flex: Calculator) -> None:
    field(page, flex, "length").fill("1000 to 2000")
    first = shown(page, flex)["formulas"][0].replace("\u00a0", " ")
    assert first == "=(1000 to 2000 mm)×(0.8 to 1.1)=800 to 2200 mm"


def test_both_ends_are_spoken_and_kept_in_the_address(page: Page, trial: Site) -> None:
    page.clock.install()
    calculator = trial.book.calculators[FLEX]
    open_calculator(page, trial, calculator)
    field(page, calculator, "length").fill("30 in to 1 m")
    page.clock.run_for(REST + 50)
    assert (
        "Dry length: 609.6 to 1100 millimetres." in page.locator("hangtag-calculator [role=status]").first.inner_text()
    )
    kept, before = page.url, shown(page, calculator)
    assert "length=30in%20to%201m" in kept
    page.goto("about:blank")
    page.goto(kept)
    page.wait_for_selector("[data-live]")
    assert shown(page, calculator) == before


_ENDS = """points => {
  const calculator = document.querySelector("hangtag-calculator");
  return points.map(([low, high, part]) => {
    const values = calculator.values().set("length", (low + high) / 2).set("part", part);
    const uncertain = new Map([["shrink", [0.8, 1.1]]]);
    if (low < high) uncertain.set("length", [low, high]);
    const ends = hangtag.ranges.endsOf(calculator.data, values, uncertain);
    return [...ends].map(([name, {low, high, lowAt, highAt}]) =>
      [name, low, high, Object.fromEntries(lowAt), Object.fromEntries(highAt)]);
  });
}"""


def test_both_languages_find_the_same_ends_to_the_bit(page: Page, flex: Calculator) -> None:
    from hangtag.formula.bounds import ends_of

    draw = random.Random(8)  # noqa: S311  samples, no secrets
    points = []
    for _ in range(60):
        low, high = sorted(draw.uniform(0.1, 3) for _ in range(2))
        points.append([low, low if draw.random() < 0.2 else high, draw.uniform(0, 2)])
    program = flex.program
    assert program.bounds["odd"] == "sampled"
    assert program.bounds["dry"] == "corners"
    for (low, high, part), found in zip(points, page.evaluate(_ENDS, points), strict=True):
        values: dict[str, Any] = {"length": (low + high) / 2, "part": part, "shrink": (0.8 + 1.1) / 2}
        uncertain = {"shrink": (0.8, 1.1)} | ({"length": (low, high)} if low < high else {})
        wanted = [
            [name, its.low, its.high, dict(its.low_at), dict(its.high_at)]
            for name, its in ends_of(program.run, values, uncertain, program.bounds).items()
        ]
        assert found == wanted


@pytest.mark.usefixtures("flex")
def test_both_languages_read_any_range_alike(page: Page, trial: Site) -> None:
    draw = random.Random(3)  # noqa: S311  samples, no secrets
    parts = ["1", "0.5", "2,5", "10k", " to ", "-", "–", " - ", " ", "mm", "in", "m", "−", "x"]
    texts = ["".join(draw.choices(parts, k=draw.randint(1, 7))) for _ in range(400)]
    found = page.evaluate(
        """texts => texts.map((text) => {
          try {
            const ends = hangtag.ranges.readRange(text, ["mm", "m", "in"], "en");
            return ends.map(({number, unit, si}) => [number, unit, si]);
          } catch (error) {
            return error.code;
          }
        })""",
        texts,
    )
    own = tuple(trial.book.units.units[unit] for unit in ("mm", "m", "in"))
    for text, one in zip(texts, found, strict=True):
        try:
            wanted: object = [[end.number, end.unit.id, end.si] for end in read_range(text, own, trial.book.units)]
        except Refused as error:
            wanted = error.code
        assert one == wanted, repr(text)


def test_a_requirement_that_fails_at_one_end_is_said(page: Page, flex: Calculator, trial: Site) -> None:
    """What holds in the middle may fail at an end; both languages ask at every corner."""
    field(page, flex, "length").fill("120 to 1000")
    refused = work(trial.book, flex, {"length": "120 to 1000"}).refused
    assert refused is not None
    assert page.locator(".ht-refusal").inner_text() == refused.because == "That is a peg."
    field(page, flex, "length").fill("160 to 1000")
    assert not page.locator(".ht-refusal").is_visible()


def test_python_and_the_page_agree_on_the_words(trial: Site) -> None:
    calculator = trial.book.calculators[FLEX]
    result = next(its for its in work(trial.book, calculator, {}).steps if its.name == "dry")
    assert result.low_when == "Shrinking 0.8, Pole length 900\u00a0mm"


def test_its_script_is_small(trial: Site) -> None:
    assert len(gzip.compress((trial.folder / "scripts" / "ranges.js").read_bytes(), 9)) <= 3_000
