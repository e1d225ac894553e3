"""The block of a calculator as Python writes it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from hangtag.book import Book
from hangtag.browser import calculator_html, formula_script, literal
from hangtag.entries import Addition
from hangtag.problems import ProblemError, Span
from hangtag.strings import LocalText
from tests.site.books import loaded


@pytest.fixture(scope="module")
def book(trial: Path) -> Book:
    return loaded(trial)


def text(words: str) -> LocalText:
    return LocalText({"en": words})


def cautions(book: Book, calculator: str) -> list[str]:
    html = str(calculator_html(book, book.calculators[calculator]))
    return [part.split("</div>")[0] for part in html.split('<div class="ht-caution">')[1:]]


def test_it_is_one_block_that_markdown_leaves_alone(book: Book) -> None:
    for calculator in book.calculators.values():
        lines = str(calculator_html(book, calculator)).splitlines()
        assert lines[0] == '<div class="ht-calc">'
        assert lines[-1] == "</div>"
        assert all(line.strip() for line in lines)


def test_its_own_caution_stands_beside_the_answer(book: Book) -> None:
    assert cautions(book, "pole-mass") == ['<p class="ht-caution-name">Caution</p><p>Heavy poles hurt toes.</p>']


def test_without_one_it_carries_that_of_its_entry(book: Book) -> None:
    (caution,) = cautions(book, "pole-sway")
    assert "A <strong>long</strong> pole may break" in caution
    assert '<a href="hangtag:terms/pole-wood.md">about the wood</a>' in caution
    assert "bends &lt; 5 mm" in caution


def test_inherited_and_added_cautions_are_always_there(book: Book) -> None:
    entry = book.entries["pole-length"]
    addition = Addition("The club", "2026-11-20", None, (), text("The hut is cold."), (), "", Span(1, 1, 1, 1))
    changed = replace(
        book,
        entries={
            **book.entries,
            entry.id: replace(entry, inherited_caution=text("The first entry warned."), additions=(addition,)),
        },
        calculators={
            **book.calculators,
            "pole-mass": replace(book.calculators["pole-mass"], inherited_caution=text("The first one warned.")),
        },
    )
    found = "".join(cautions(changed, "pole-mass"))
    for words in ("Heavy poles hurt toes.", "The first one warned.", "The first entry warned.", "The hut is cold."):
        assert words in found
    assert "The club, 2026-11-20" in found


def test_an_authors_html_is_shown_and_never_run(book: Book) -> None:
    calculator = replace(
        book.calculators["pole-mass"],
        name=text("<b>Mass</b>"),
        question=text("How <script>alert(1)</script>?"),
        holds_for=text("R_IP < *5* & `x`"),
        caution=text("<img src=x onerror=alert(1)>\n\n[x](hangtag:terms/pole-wood.md)"),
    )
    html = str(calculator_html(book, calculator, heading="h3"))
    assert "<b>" not in html
    assert "<script" not in html
    assert "<img" not in html
    assert "R_IP &lt; *5* &amp; `x`" in html


def test_start_values_without_an_answer_say_why_and_show_no_number(book: Book) -> None:
    calculator = book.calculators["pole-sway"]
    html = str(calculator_html(book, calculator, given={"size": "0"}))
    assert "Steepness would divide by zero." in html
    assert "nan" not in html
    assert '<div class="ht-results ht-old">' in html


def test_given_values_are_read_as_a_reader_types_them(book: Book) -> None:
    html = str(calculator_html(book, book.calculators["pole-mass"], given={"length": "1.5k"}))
    assert 'value="1500"' in html
    with pytest.raises(ProblemError):
        calculator_html(book, book.calculators["pole-mass"], given={"length": "much"})


def test_a_literal_cannot_end_a_script() -> None:
    assert literal("</script>\u2028\u2029") == '"\\u003c/script>\\u2028\\u2029"'


def test_a_formula_script_names_its_file_and_holds_no_words(book: Book) -> None:
    for calculator in book.calculators.values():
        script = formula_script(calculator)
        assert script.startswith(f"// Generated from calculators/{calculator.id}.yml.")
        for its in calculator.inputs:
            assert str(its.label) not in script
