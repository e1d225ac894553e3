"""The pages of kinds of gear: complete, in reading order, every part of a drawing a link, nothing empty."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from hangtag.book import Book
from hangtag.drawings import find_drawing, read_drawing
from hangtag.pages import Page, pages
from hangtag.pages.gear import cards
from hangtag.pages.gear_drawing import large, parts, small
from hangtag.pages.writer import Writer
from hangtag.problems import Problems
from tests.pages.test_pages import block, headings, rendered
from tests.site.books import loaded, make_trial

KINDS = "tent tarp hammock pad bag quilt down-jacket synthetic-jacket rain-jacket pack shoe boot".split()
SECTIONS = ["matters", "words", "beside", "ask", "early", "calculators", "caution"]
LONGEST_LABEL = 16  # letters that have room beside the drawing on a phone


@pytest.fixture(scope="module")
def made(reference: Book) -> dict[str, Page]:
    """The pages of the reference book by their path."""
    return {page.path: page for page in pages(reference, block)}


@pytest.fixture(scope="module")
def w(reference: Book) -> Writer:
    """What writes the page of a kind."""
    return Writer(reference, "en", "gear/tent.md")


def words(page: Page) -> str:
    """The page's text as it is read."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", rendered(page))).split())


def test_the_twelve_kinds_in_their_order(reference: Book) -> None:
    assert list(reference.gear) == KINDS


@pytest.mark.parametrize("its_id", KINDS)
def test_a_kind_says_everything_and_no_number(reference: Book, its_id: str) -> None:
    kind = reference.gear[its_id]
    assert kind.in_short is not None
    assert kind.needs_time is not None
    assert len(str(kind.in_short).split()) <= 25
    assert (len(kind.matters), len(kind.ask)) == (3, 3)
    assert len(kind.tags) >= 10
    assert len(kind.wanted) >= 3
    assert kind.calculators
    for text in kind.texts:
        assert not re.search(r"\d", str(text)), text


@pytest.mark.parametrize("its_id", KINDS)
def test_a_page_has_its_sections_and_its_words_in_reading_order(
    reference: Book, made: dict[str, Page], its_id: str
) -> None:
    kind, page = reference.gear[its_id], made[f"gear/{its_id}.md"]
    assert headings(page) == SECTIONS
    section = page.markdown.partition("{ #words }")[2].partition("\n## ")[0]
    item = r"^1\. <span class=\"ht-gear-word\">\[[^\]]+\]\(\.\./terms/([a-z0-9-]+)\.md\)"
    listed = re.findall(item, section, re.MULTILINE)
    assert listed == list(kind.tags)
    assert section.count('class="ht-gear-wanted"') == len(kind.wanted)
    with_scale = [its for its in kind.tags if reference.entries[its].scale]
    assert section.count("Higher is ") == len(with_scale)
    read = words(page)
    for its in kind.tags:
        assert str(reference.entries[its].in_short).split("[[")[0] in read
    for its in (*kind.tags, *kind.beside):
        caution = reference.entries[its].caution
        if caution:
            assert " ".join(str(caution).split("[[")[0].split()) in read, its


def test_low_and_high_stand_with_their_basis(reference: Book, made: dict[str, Page]) -> None:
    lines = made["gear/tent.md"].markdown.splitlines()
    line = next(line for line in lines if line.startswith("1. <span") and "terms/hydrostatic-head.md" in line)
    scale = reference.entries["hydrostatic-head"].scale
    assert scale is not None
    assert "Low, under" in line
    assert str(scale.bands[0].says) in line
    assert str(scale.bands[-1].says) in line
    assert 'class="ht-basis"' in line


@pytest.mark.parametrize("its_id", KINDS)
def test_every_part_of_a_drawing_is_a_link_and_stands_in_the_list(
    w: Writer, made: dict[str, Page], its_id: str
) -> None:
    kind = w.book.gear[its_id]
    assert kind.drawing is not None
    found = parts(w, kind.drawing)
    assert {part.entry.id for part in found} <= {*kind.tags, *kind.beside}
    svg = str(large(w, kind.drawing))
    links = re.findall(r'<a class="ht-gear-link" href="hangtag:terms/([a-z0-9-]+)\.md" aria-label="([^"]+)">', svg)
    assert sorted(links) == sorted((part.entry.id, f"{part.words}: {part.entry.name}") for part in found)
    assert svg.count('tabindex="-1" aria-hidden="true"') == len(found)
    listed = re.findall(r'<li>([^<:]+): <a href="hangtag:terms/([a-z0-9-]+)\.md">', made[f"gear/{its_id}.md"].markdown)
    assert listed == [(part.words, part.entry.id) for part in found]


@pytest.mark.parametrize("its_id", KINDS)
def test_a_drawing_keeps_the_rules(w: Writer, its_id: str) -> None:
    kind = w.book.gear[its_id]
    assert kind.drawing is not None
    assert kind.drawing.file == f"gear-{its_id}.svg"
    file = find_drawing((w.book.root,), kind.drawing.file)
    assert file is not None
    root = read_drawing(file, Problems())
    assert root is not None
    assert root.attributes["viewBox"].startswith("0 0 640 ")
    drawn = [shape for shape in root.walk() if shape.part]
    assert {shape.part for shape in drawn} == set(kind.drawing.parts)
    for shape in drawn:
        label = [text for text in shape.walk() if text.name == "text"]
        assert [text.attributes["class"] for text in label] == ["d-text", "d-note"]
        first, second = ("".join(str(child) for child in text.children) for text in label)
        assert len(first) <= LONGEST_LABEL
        assert second.casefold() == str(w.book.entries[kind.drawing.parts[shape.part or ""]].name).casefold()


def test_the_small_form_is_the_thing_alone(w: Writer) -> None:
    found = cards(w)
    assert [card.kind.id for card in found] == KINDS
    for card in found:
        picture = str(card.picture)
        assert 'aria-hidden="true"' in picture
        assert "d-line" in picture
        for left_out in ("<text", "<a ", " id=", "d-label", "d-extra", "d-mark", "d-frame"):
            assert left_out not in picture, (card.kind.id, left_out)


def test_the_home_page_and_the_list_show_every_kind(made: dict[str, Page]) -> None:
    for path in ("index.md", "gear/index.md"):
        listed = re.findall(r'<li><a href="hangtag:gear/([a-z-]+)\.md"><svg', made[path].markdown)
        assert listed == KINDS


def test_a_kind_without_more_than_tags_has_a_short_page(tmp_path: Path) -> None:
    trial = {page.path: page for page in pages(loaded(make_trial(tmp_path / "book")), block)}
    assert headings(trial["gear/pole.md"]) == ["words", "calculators", "caution"]
    assert "<figure" not in trial["gear/pole.md"].markdown
    assert headings(trial["gear/stick.md"]) == ["words", "calculators", "caution"]
    assert 'data-part="fly"' in trial["gear/stick.md"].markdown
    # a group of the drawing that the book links nowhere is drawn and no more
    assert 'data-part="poles"' in trial["gear/stick.md"].markdown
    assert "hangtag:terms/hydrostatic-head.md" not in trial["gear/stick.md"].markdown


def test_a_book_without_kinds_has_no_such_pages(tmp_path: Path) -> None:
    root = make_trial(tmp_path / "book")
    (root / "terms" / "_gear.yml").unlink()
    for entry in (root / "terms" / "trail").glob("*.yml"):
        text = re.sub(r"\n *kinds: .*", "", entry.read_text(encoding="utf-8"))
        entry.write_text(text, encoding="utf-8")
    made = {page.path: page for page in pages(loaded(root), block)}
    assert not [path for path in made if path.startswith("gear/")]
    assert "by-picture" not in headings(made["index.md"])


def test_a_part_without_words_is_named_by_its_id(tmp_path: Path) -> None:
    root = make_trial(tmp_path / "book")
    drawing = root / "site_templates" / "drawings" / "gear-tent.svg"
    drawing.write_text(re.sub(r"(?s)<g class=\"d-label\">.*?</g>", "", drawing.read_text(encoding="utf-8")), "utf-8")
    w = Writer(loaded(root), "en", "gear/stick.md")
    kind = w.book.gear["stick"]
    assert kind.drawing is not None
    assert [part.words for part in parts(w, kind.drawing)] == ["Fly", "Poles"]
    assert "ht-gear-link" not in large(w, kind.drawing)
    assert small(w, w.book.gear["pole"]) is None
