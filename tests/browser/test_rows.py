"""A list in a page: rows that are filled, added, moved, removed and pasted, with words for every mistake."""

from __future__ import annotations

import csv
import gzip
import random
import re
from pathlib import Path
from typing import cast
from urllib.parse import quote, unquote

import pytest
from playwright.sync_api import Browser, Locator, Page

from hangtag.answers import read_field
from hangtag.calculators import Calculator, RowsInput
from hangtag.problems import ProblemError
from tests.browser.conftest import Site
from tests.browser.support import computed, enter, field, open_calculator, open_paused, paste, shown, until
from tests.browser.test_fields import COUNT_CHANGES, REST
from tests.browser.test_pages import violations

KIT = "pole-kit"
HEAD = "what,weight,count,goes,spare"
MOST = 200
HOSTILE = (
    "NaN",
    "1e999",
    "<script>alert(1)</script>",
    "x" * 10_000,
    "what,weight\nA,NaN",
    "what,weight\nA,1e999",
    "what,weight\nA,Infinity g",
    "what,weight\nA,-1",
    "what,weight\nA,12 kPa",
    "what,count\nA,1.5",
    "what,goes\nA,__proto__",
    "weight,constructor\n1,2\n" * 3,
    "a,b,c,d,e,f,g",
    '"',
    "\t\t\t\t\t\t\t\t",
    "9" * 500,
    "\u0000",
)


@pytest.fixture
def kit(page: Page, trial: Site) -> Calculator:
    """The list of the trial book, opened."""
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    return calculator


def rows(page: Page) -> list[str]:
    """What stands in every row: the values of its cells, in order."""
    script = """rows => rows.map((row) => [...row.querySelectorAll("input, select")]
      .map((one) => one.type === "checkbox" ? (one.checked ? "yes" : "no") : one.value).join(" | "))"""
    return cast("list[str]", page.locator(".ht-rows > .ht-row").evaluate_all(script))


def row(page: Page, number: int) -> Locator:
    return page.get_by_role("group", name=f"Row {number}", exact=True)


def press(page: Page, number: int, button: str) -> None:
    row(page, number).get_by_role("button", name=button).click()
    until(page, lambda: bool(page.evaluate("Boolean(hangtag.edits)")))  # comes with the first touch


def add(page: Page) -> None:
    page.get_by_role("button", name="Add a row").click()
    until(page, lambda: bool(page.evaluate("Boolean(hangtag.edits)")))


def focused(page: Page) -> str:
    return str(
        page.evaluate(
            "(({activeElement: at}) => at.closest('.ht-row')?.getAttribute('aria-label') ?? at.textContent)(document)"
        )
    )


LONG, SHORT = "Long, straight | 500 | 2 | pack | no", 'A "short" one | 1 lb | 1 | hand | yes'
NEW = " | 0 | 1 | pack | no"


def test_the_start_rows_stand_in_the_page_without_javascript(browser: Browser, sites_of_trial: Site) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(sites_of_trial.page(f"calculators/{KIT}"))
    html = page.content()
    assert 'value="Long, straight"' in html
    assert 'value="1 lb"' in html
    assert page.locator(".ht-rows > .ht-row").count() == 2
    calculator = sites_of_trial.book.calculators[KIT]
    assert shown(page, calculator) == computed(page, sites_of_trial, calculator, {})
    context.close()


def test_rows_are_added_moved_and_removed_by_keyboard_alone(page: Page, kit: Calculator, trial: Site) -> None:
    page.get_by_role("button", name="Add a row").focus()
    page.keyboard.press("Enter")
    until(page, lambda: len(rows(page)) == 3)
    assert rows(page) == [LONG, SHORT, NEW]
    assert focused(page) == "Row 3"
    page.keyboard.type("Third")
    page.keyboard.press("Tab")
    page.keyboard.type("250")
    assert rows(page)[2] == "Third | 250 | 1 | pack | no"
    for name in ("How many", "Where", "Spare, or lent"):
        page.keyboard.press("Tab")
        assert page.evaluate(
            "document.querySelector(`label[for='${document.activeElement.id}']`).textContent"
        ).startswith(name)
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # Move up
    page.keyboard.press("Enter")
    assert rows(page) == ["Third | 250 | 1 | pack | yes", LONG, SHORT]
    assert focused(page) == "Row 1"
    page.keyboard.press("Enter")  # it is the first already
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # Move down
    assert rows(page) == [LONG, "Third | 250 | 1 | pack | yes", SHORT]
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # Remove
    assert rows(page) == [LONG, SHORT]
    assert focused(page) == "Row 2"
    press(page, 2, "Remove")
    press(page, 1, "Remove")
    assert focused(page) == "Add a row"
    assert shown(page, kit)["answers"][:2] == computed(page, trial, kit, {"kit": HEAD})["answers"][:2]
    assert shown(page, kit)["answers"][0].startswith("0")


def test_every_change_gives_what_python_gives(page: Page, kit: Calculator, trial: Site) -> None:
    row(page, 1).get_by_label("Weight of one").fill("1.2k")
    row(page, 1).get_by_label("How many").fill("3")
    row(page, 2).get_by_label("Where").select_option("pack")
    row(page, 2).get_by_label("Spare").uncheck()
    given = {"kit": [{"weight": "1200 g", "count": "3"}, {"weight": "1 lb"}]}
    assert shown(page, kit) == computed(page, trial, kit, given)


def test_a_column_changes_its_unit_and_comes_back_whole(page: Page, kit: Calculator) -> None:
    before = shown(page, kit)
    start = rows(page)
    unit = page.get_by_label("Unit of Weight of one")
    unit.select_option("lb")
    assert rows(page)[1].startswith('A "short" one | 1 | ')
    assert row(page, 1).get_by_role("textbox", name=re.compile("^Weight of one ?, pounds$")).count() == 1
    assert shown(page, kit) == before
    add(page)
    row(page, 3).get_by_label("Weight of one").fill("2")
    unit.select_option("kg")
    assert row(page, 3).get_by_label("Weight of one").input_value() == "0.90718474"
    press(page, 3, "Remove")
    unit.select_option("g")
    assert rows(page) == [start[0], 'A "short" one | 453.59237 | 1 | hand | yes']
    assert shown(page, kit) == before


def test_what_happened_is_announced_once(page: Page, trial: Site) -> None:
    calculator = trial.book.calculators[KIT]
    open_paused(page, trial, calculator)
    page.evaluate(COUNT_CHANGES)
    press(page, 2, "Move up")
    press(page, 1, "Move up")
    press(page, 1, "Remove")
    assert page.evaluate("window.changes") == []
    page.clock.run_for(REST + 50)
    heard = page.evaluate("window.changes")
    assert heard == ["Row 1 removed. 1 left. " + " ".join(shown(page, calculator)["spoken"])]
    press(page, 1, "Move down")
    page.clock.run_for(REST + 50)
    assert page.evaluate("window.changes")[1].startswith("Row 1 is the last already. ")


def test_mistakes_stand_beside_their_cells_and_in_a_summary_that_leads_there(page: Page, trial: Site) -> None:
    page.clock.install()
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    before = shown(page, calculator)["answers"]
    weight, count = row(page, 1).get_by_label("Weight of one"), row(page, 2).get_by_label("How many")
    weight.fill("heavy")
    count.fill("")
    count.blur()
    page.clock.run_for(REST + 50)
    summary = page.get_by_role("group", name="Mistakes in the list", exact=True)
    assert "Mistakes in the list: 2." in summary.inner_text()
    assert "Row 1, Weight of one: heavy does not begin with a number." in summary.inner_text()
    assert "Row 2, How many: Type a number" in summary.inner_text()
    for control, words in ((weight, "heavy does not begin"), (count, "Type a number")):
        assert control.get_attribute("aria-invalid") == "true"
        line = page.locator(f"[id='{control.get_attribute('aria-describedby')}']")
        assert words in line.inner_text()
    assert shown(page, calculator)["answers"] == before
    assert page.locator(".ht-old-note").first.is_visible()
    assert (
        page.locator("hangtag-calculator [role=status]")
        .first.inner_text()
        .startswith("Poles: Row 1, Weight of one: heavy")
    )
    summary.get_by_role("button").nth(1).click()
    assert count.evaluate("control => document.activeElement === control")
    assert violations(page) == []
    weight.fill("500")
    count.fill("1")
    count.blur()
    assert not summary.is_visible()
    assert weight.get_attribute("aria-invalid") is None
    assert not weight.get_attribute("aria-describedby")


@pytest.mark.usefixtures("kit")
@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("11 kg", "Needs 10 kg or less."),
        ("-1", "Needs 0 g or more."),
        ("1e3", "power of ten"),
        ("3 parsecs", "parsecs is no unit known here"),
        ("3 mm", "mm measures another thing"),
    ],
)
def test_a_cell_is_read_like_a_field(page: Page, typed: str, words: str) -> None:
    weight = row(page, 1).get_by_label("Weight of one")
    weight.fill(typed)
    until(page, lambda: words in row(page, 1).inner_text().replace("\u00a0", " "))


def test_a_mistake_moves_no_button_away_under_the_finger(page: Page, kit: Calculator, trial: Site) -> None:
    row(page, 2).get_by_label("Weight of one").fill("heavy")
    add(page)
    until(page, lambda: len(rows(page)) == 3)
    row(page, 1).get_by_label("Weight of one").fill("heavy")
    page.locator(".ht-paste > summary").click()
    assert field(page, kit, "kit-paste").is_visible()
    assert shown(page, kit)["answers"] == computed(page, trial, kit, {})["answers"]


@pytest.mark.usefixtures("kit")
def test_a_typed_unit_stays_with_its_number(page: Page) -> None:
    weight = row(page, 1).get_by_label("Weight of one")
    weight.fill("0,5kg")
    weight.blur()
    assert weight.input_value() == "0.5 kg"


# -------------------------------------------------------------------------------------------------------------- pasting


@pytest.mark.parametrize(
    "text",
    [
        'One\t2 kg\t3\tOn the pack\tno\nTwo, or "too"\t1 lb\t1\tin the hand\tyes',
        f'{HEAD}\nOne,2 kg,3,pack,no\n"Two, or ""too""",1 lb,1,hand,yes\n',
        (
            'Weight of one;"Spare, or lent";Kind;How many;Where\r\n2 kg;no;One;3;pack\r\n\r\n'
            '1 lb;yes;"Two, or ""too""";1;hand\r\n'
        ),
    ],
    ids=["tabs", "commas", "a header by label, semicolons"],
)
def test_cells_of_a_spreadsheet_become_rows(page: Page, kit: Calculator, trial: Site, text: str) -> None:
    paste(page, kit, "kit", text)
    until(page, lambda: rows(page)[0].startswith("One "))
    assert rows(page) == ["One | 2 kg | 3 | pack | no", 'Two, or "too" | 1 lb | 1 | hand | yes']
    assert focused(page) == "Row 1"
    assert not field(page, kit, "kit-paste").is_visible()
    assert shown(page, kit) == computed(page, trial, kit, {"kit": text})


def test_rows_are_added_to_the_list(page: Page, kit: Calculator) -> None:
    paste(page, kit, "kit", "Third\t3 g", "append")
    until(page, lambda: len(rows(page)) == 3)
    assert rows(page) == [LONG, SHORT, "Third | 3 | 1 | pack | no"]


def paste_into(control: Locator, text: str) -> None:
    control.evaluate(
        """(control, text) => {
          const data = new DataTransfer();
          data.setData("text/plain", text);
          control.dispatchEvent(new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true}));
        }""",
        text,
    )


@pytest.mark.usefixtures("kit")
def test_cells_pasted_into_a_field_become_rows_below_it(page: Page) -> None:
    paste_into(row(page, 1).get_by_label("Kind"), "A\t1\nB\t2\n")
    until(page, lambda: len(rows(page)) == 4)
    assert rows(page) == [LONG, "A | 1 | 1 | pack | no", "B | 2 | 1 | pack | no", SHORT]
    add(page)
    paste_into(row(page, 5).get_by_label("Kind"), "C\t3")
    until(page, lambda: rows(page)[-1].startswith("C "))
    assert len(rows(page)) == 5  # it took the place of the new one


@pytest.mark.usefixtures("kit")
def test_one_word_is_pasted_as_ever(page: Page) -> None:
    taken = (
        row(page, 1)
        .get_by_label("Kind")
        .evaluate(
            """control => {
          const data = new DataTransfer();
          data.setData("text/plain", "Sticks, long");
          const how = {clipboardData: data, bubbles: true, cancelable: true};
          return !control.dispatchEvent(new ClipboardEvent("paste", how));
        }"""
        )
    )
    assert taken is False


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "A,heavy\nB,1\nC,1,x",
            ["Mistakes: 2.", "Row 1, Weight of one: heavy does not begin", "Row 3, How many: x does not begin"],
        ),
        ("A,1,1,nowhere", ["Row 1, Where: nowhere is none of: On the pack, In the hand."]),
        ("A,1,1,pack,no,more", ["Row 1 has more than 5 cells."]),
        ("", ["There is nothing to take over yet."]),
        (HEAD, ["There is nothing to take over yet."]),
        ("\n".join(f"{i},heavy" for i in range(9)), ["Row 5, Weight", "and 4 more"]),
    ],
)
def test_mistakes_in_what_was_pasted_are_told_with_their_rows(
    page: Page, kit: Calculator, text: str, words: list[str]
) -> None:
    paste(page, kit, "kit", text)
    told = page.get_by_role("group", name="Mistakes in what was pasted")
    told.wait_for()
    for each in words:
        assert each in told.inner_text()
    assert rows(page) == [LONG, SHORT]
    assert field(page, kit, "kit-paste").input_value() == text
    assert field(page, kit, "kit-paste").is_visible()


def test_pasted_mistakes_in_a_field_are_told_at_the_box(page: Page, kit: Calculator) -> None:
    paste_into(row(page, 1).get_by_label("Kind"), "A\theavy")
    told = page.get_by_role("group", name="Mistakes in what was pasted")
    told.wait_for()
    assert "Row 1, Weight of one: heavy" in told.inner_text()
    assert field(page, kit, "kit-paste").input_value() == "A\theavy"


def test_two_thousand_rows_get_words_at_once(page: Page, kit: Calculator) -> None:
    paste(page, kit, "kit", "\n".join(f"Stick {i}\t{i}" for i in range(2000)))
    told = page.get_by_role("group", name="Mistakes in what was pasted")
    told.wait_for(timeout=2000)
    assert f"A list takes {MOST} rows at most." in told.inner_text()
    assert rows(page) == [LONG, SHORT]


def test_a_list_may_be_full_and_then_takes_no_more(page: Page, kit: Calculator, trial: Site) -> None:
    text = "\n".join(f"Stick {i}\t{i} g" for i in range(MOST))
    paste(page, kit, "kit", text)
    until(page, lambda: len(rows(page)) == MOST)
    assert shown(page, kit) == computed(page, trial, kit, {"kit": text})
    add(page)
    assert len(rows(page)) == MOST
    assert page.evaluate(
        "((ids) => ids.length === new Set(ids).size)([...document.querySelectorAll('[id]')].map((one) => one.id))"
    )
    row(page, MOST).get_by_label("Weight of one").fill("1 kg")
    assert shown(page, kit)["answers"] != computed(page, trial, kit, {"kit": text})["answers"]


# --------------------------------------------------------------------------------- the same text, read in two languages

TRICKY = (
    *HOSTILE,
    'a,"b\nc",2\nd,1',
    'a"b,1\n"a"b,1\n"a""b",1\n"a" ,1\n "a",1',
    "kind,weight of one\nA,1",
    "weight\n1\n2",
    "what,what\nA,B",
    "A;1;2\nB;1,5;2",
    "A\t1,234\nB\t1.234,5",
    "\ufeffwhat,weight\nA,1",
    " what , weight \n A , 1 ",
    "A,1\r\rB,2\r\n\r\nC,3",
    "A,,,\n,,,,\n,1",
    "A,1 lb,3,IN THE HAND,YES",
    "A,1,1,hand,maybe",
    "spare,goes\nno,pack\nyes,Hand",
    "A,\u0661\u0662",
    "A,1\u00a0kg",
    "\n".join("A,1" for _ in range(201)),
    HEAD + "\n" + "\n".join("A,1" for _ in range(200)),
)
_READ = """texts => {
  const field = document.querySelector("hangtag-calculator").fields.find((one) => one.columns);
  const cells = (row) => field.columns.map(({name, units}) => units ? row.get(name).si : row.get(name).text);
  return texts.map((text) => {
    const {found, faults} = hangtag.edits.read(field, text);
    return faults.length ? faults.map(({code, values}) => field.say(code, values)) : found.map(cells);
  });
}"""


def read_in_python(site: Site, text: str) -> list[object]:
    field = next(its for its in site.book.calculators[KIT].inputs if isinstance(its, RowsInput))
    try:
        found = read_field(site.book, field, text).rows or ()
    except ProblemError as error:
        return [str(problem.values["because"]) for problem in error.problems]
    return [[cell.text if cell.unit is None else cell.si for cell in row] for row in found]


@pytest.mark.usefixtures("kit")
def test_both_languages_read_the_same_rows_and_say_the_same_of_the_rest(page: Page, trial: Site) -> None:
    add(page)
    for text, found in zip(TRICKY, page.evaluate(_READ, list(TRICKY)), strict=True):
        assert found == read_in_python(trial, text), text[:200]


@pytest.mark.usefixtures("kit")
def test_both_languages_read_any_text_alike(page: Page, trial: Site) -> None:
    draw = random.Random(5)  # noqa: S311  samples, no secrets
    parts = [
        "A",
        "b c",
        '"',
        '""',
        ",",
        ",",
        "\t",
        ";",
        "\n",
        "\r\n",
        " ",
        "1",
        "2.5",
        "1,5",
        "kg",
        "lb",
        "pack",
        "hand",
        "yes",
        "what",
        "weight",
        "-",
        "\u00e9",
    ]
    texts = ["".join(draw.choices(parts, k=draw.randint(1, 24))) for _ in range(400)]
    add(page)
    for text, found in zip(texts, page.evaluate(_READ, texts), strict=True):
        assert found == read_in_python(trial, text), repr(text)


# ------------------------------------------------------------------------------------------------ what an address keeps


def test_the_address_keeps_the_list(page: Page, trial: Site) -> None:
    page.clock.install()
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    row(page, 2).get_by_label("Kind").fill('100 % & #1, "é"')
    row(page, 2).get_by_label("Weight of one").fill("2 lb")
    page.clock.run_for(REST + 50)
    assert "#rows=" in page.url
    assert "?" not in page.url
    kept, answers = page.url, shown(page, calculator)
    text = unquote(kept.split("#rows=")[1])
    assert text.splitlines()[0] == HEAD
    assert list(csv.reader(text.splitlines()))[2] == ['100 % & #1, "é"', "2lb", "1", "hand", "yes"]
    assert computed(page, trial, calculator, {"kit": text}) == answers
    page.goto("about:blank")
    page.goto(kept)
    until(page, lambda: rows(page)[-1].startswith("100 %"))
    assert rows(page)[1] == '100 % & #1, "é" | 2 lb | 1 | hand | yes'
    assert shown(page, calculator) == answers
    page.clock.run_for(REST + 50)
    assert page.url == kept


def test_the_start_list_leaves_the_address_as_it_is(page: Page, trial: Site) -> None:
    page.clock.install()
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator, "#examples")
    press(page, 1, "Move down")
    page.clock.run_for(REST + 50)
    assert "#rows=" in page.url
    press(page, 1, "Move down")
    page.clock.run_for(REST + 50)
    assert "#" not in page.url.removesuffix("#examples")


@pytest.mark.usefixtures("kit")
def test_a_link_that_is_followed_on_the_page_itself_is_read_too(page: Page) -> None:
    page.evaluate("location.hash = 'rows=' + encodeURIComponent('what,weight\\nOnly,7g')")
    until(page, lambda: len(rows(page)) == 1)
    assert rows(page) == ["Only | 7 | 1 | pack | no"]


def test_a_list_that_is_too_long_for_the_address_is_offered_as_a_file(page: Page, trial: Site, tmp_path: Path) -> None:
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    text = "\n".join([f"=1+{i} {'long ' * 20}\t{i} g\t2" for i in range(80)])
    paste(page, calculator, "kit", text)
    until(page, lambda: len(rows(page)) == 80)
    words = page.locator("[data-long]")
    words.wait_for()
    assert "too long for the page's address" in words.inner_text()
    assert "#rows=" not in page.url
    before = shown(page, calculator)
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save as a CSV file").click()
    assert waiting.value.suggested_filename == "pole-kit.csv"
    file = tmp_path / "saved.csv"
    waiting.value.save_as(file)
    saved = file.read_text(encoding="utf-8")
    assert saved.startswith("\ufeff" + HEAD + "\n'=1+0 long")  # no spreadsheet takes it for a formula
    assert computed(page, trial, calculator, {"kit": saved})["answers"] == before["answers"]
    open_calculator(page, trial, calculator)
    enter(page, calculator, {"kit": saved})
    assert shown(page, calculator)["answers"] == before["answers"]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_addresses_get_words(page: Page, trial: Site, text: str) -> None:
    calculator = trial.book.calculators[KIT]
    start = computed(page, trial, calculator, {})
    open_calculator(page, trial, calculator, "#rows=" + quote(text, safe=""))
    until(page, lambda: page.locator("[data-faults]").is_visible() or rows(page) != [LONG, SHORT])
    _no_nonsense(page)
    if page.locator("[data-faults]").is_visible():
        assert shown(page, calculator)["answers"] == start["answers"]
        assert "cannot be read" in page.locator("[data-faults]").inner_text()


@pytest.mark.parametrize("end", ["%", "%E9", "%zz", "", "&x=1"])
def test_broken_addresses_get_words(page: Page, trial: Site, end: str) -> None:
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator, "#rows=" + end)
    until(page, lambda: page.locator("[data-faults]").is_visible() or rows(page) != [LONG, SHORT])
    _no_nonsense(page)


def _no_nonsense(page: Page) -> None:
    seen = page.locator("hangtag-calculator").inner_text()
    assert not re.search(
        r"NaN|Infinity|undefined|\[object",
        seen.replace("NaN does not begin", "").replace("Infinity g does not begin", ""),
    )
    assert page.locator("hangtag-calculator script").count() == 0


# -------------------------------------------------------------------------------------------------------- for everybody


@pytest.mark.parametrize("width", [320, 360, 1280])
def test_it_fits_and_can_be_touched(page: Page, trial: Site, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    calculator = trial.book.calculators[KIT]
    open_calculator(page, trial, calculator)
    add(page)
    page.locator(".ht-paste > summary").click()
    row(page, 1).get_by_label("Weight of one").fill("heavy " * 5)
    row(page, 1).get_by_label("Weight of one").blur()
    page.locator("[data-faults]").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for control in page.locator("hangtag-calculator :is(input, select, button, textarea, summary)").all():
        box = control.bounding_box()
        if box is not None:
            assert box["height"] >= 44, control.evaluate("one => one.outerHTML")
            assert box["width"] >= 44 or control.evaluate("one => one.localName === 'input'")
    assert violations(page) == []


@pytest.mark.usefixtures("kit")
def test_every_cell_has_a_label_of_its_own(page: Page) -> None:
    add(page)
    for control in page.locator(".ht-rows :is(input, select)").all():
        assert control.evaluate("one => one.labels.length") == 1


def test_its_scripts_are_small_and_other_pages_do_not_load_them(page: Page, trial: Site) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.rsplit("/", 1)[1]))
    open_calculator(page, trial, trial.book.calculators["pole-mass"])
    assert not {"rows.js", "edits.js", "ranges.js", "pictures.js"} & set(asked)
    for name in ("rows.js", "edits.js"):
        assert len(gzip.compress((trial.folder / "scripts" / name).read_bytes(), 9)) <= 3_000, name
