"""Drawings: what may stand in one, what of it stands in a page, and that those of the reference book keep its rules."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown import Markdown

from hangtag.book import Book
from hangtag.drawings import Shape, find_drawing, read_drawing
from hangtag.entries import Entry
from hangtag.pages.drawing import figure
from hangtag.pages.writer import Writer
from hangtag.problems import ProblemError, Problems, render
from hangtag.resources import reference_book
from tests.site.books import loaded, make_trial, write

TEMPLATES = reference_book() / "site_templates"
ALL = sorted((TEMPLATES / "drawings").glob("*.svg"))
FILES = [file for file in ALL if not file.name.startswith("gear-")]  # kinds of gear have rules of their own
MOST_BYTES = 6_000
LETTER = {"d-text": 10.5, "d-note": 9.5}  # its mean width on a phone, in units of the drawing, measured in a browser
# Words, units and numbers that nobody can see as a thing.
NOT_SEEN = {
    "battery-energy",
    "carried-share",
    "clo",
    "maker-fabric-name",
    "moisture-regain",
    "nylon",
    "polyester",
    "season-words",
    "tog",
}
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 300">'
TIP = f"""{HEAD}
  <!-- a comment -->
  <g id="part-wood"><path class="d-line" d="M0 0L9 9"/></g>
  <g id="part-tip"><circle class="d-mark" cx="9" cy="9" r="3"/>

  </g>
  <text class="d-text" x="9" y="9">a &lt;b&gt; &amp;
    c</text>
</svg>
"""


def shapes(file: Path) -> Shape:
    problems = Problems()
    root = read_drawing(file, problems)
    assert not problems, render(problems.sorted())
    assert root is not None
    return root


def words(shape: Shape) -> str:
    return "".join(child if isinstance(child, str) else words(child) for child in shape.children)


def labels(root: Shape) -> list[str]:
    return [words(shape) for shape in root.walk() if shape.name == "text"]


# ----------------------------------------------------------------------------------------------- the reference book's


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_obeys_the_rules(file: Path) -> None:
    root = shapes(file)
    box = [float(number) for number in root.attributes["viewBox"].split()]
    assert box[:3] == [0, 0, 640]
    assert 240 <= box[3] <= 420, "neither a strip nor longer than a phone's screen"
    assert file.stat().st_size <= MOST_BYTES
    known = set(re.findall(r"\.(d-[a-z-]+)", (TEMPLATES / "styles" / "figures.css").read_text(encoding="utf-8")))
    for shape in root.walk():
        classes = set(shape.attributes.get("class", "").split())
        assert classes <= known, f"{shape.name} has a class without a style"
        assert classes or shape.name in {"svg", "g", "tspan"}, f"{shape.name} would be a black area"
        for value in shape.attributes.values():
            assert not re.search(r"\d\.\d{3}", value), "coordinates are rounded"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_words_stay_inside(file: Path) -> None:
    """Letters grow on a phone; still no label leaves the drawing."""
    for shape in shapes(file).walk():
        if shape.name != "text":
            continue
        width, x = LETTER[shape.attributes["class"]] * len(words(shape)), float(shape.attributes["x"])
        anchor = shape.attributes.get("text-anchor", "start")
        start = x - {"start": 0, "middle": width / 2, "end": width}[anchor]
        assert start >= 0, words(shape)
        assert start + width <= 640, words(shape)


def test_every_thing_that_can_be_seen_has_a_drawing(reference: Book) -> None:
    without = {entry.id for entry in reference.entries.values() if entry.drawing is None}
    assert without <= NOT_SEEN, "give it a drawing, or say here that there is nothing to see"


def test_no_file_is_left_over(reference: Book) -> None:
    used = {entry.drawing.file for entry in reference.entries.values() if entry.drawing}
    used |= {kind.drawing.file for kind in reference.gear.values() if kind.drawing}
    assert {file.name for file in ALL} == used


def drawn(book: Book) -> Iterator[tuple[Entry, Shape, str, dict[str, str]]]:
    for entry in book.entries.values():
        if entry.drawing:
            file = find_drawing((book.root, *book.parents), entry.drawing.file)
            assert file is not None
            yield entry, shapes(file), str(entry.drawing.alt), entry.drawing.parts


def test_says_in_words_what_it_shows(reference: Book) -> None:
    seen: dict[str, str] = {}
    for entry, _, alt, _ in drawn(reference):
        assert entry.drawing is not None
        assert 50 <= len(alt) <= 300, entry.id
        assert alt.endswith("."), entry.id
        assert not re.match(r"(?i)(an? )?(line )?(drawing|picture|image)", alt), entry.id
        assert seen.setdefault(alt, entry.drawing.file) == entry.drawing.file, "one text for two drawings"


def test_no_number_that_the_entry_does_not_state(reference: Book) -> None:
    for entry, root, alt, _ in drawn(reference):
        parts = [entry.in_short, entry.text, *(its.how for its in entry.measured_by)]
        stated = " ".join(str(part) for part in parts)
        if " one " in stated or "metre" in stated:
            stated += " 1"
        for number in re.findall(r"\d+(?:\.\d+)?", " ".join([alt, *labels(root)])):
            assert re.search(rf"(?<![\d.]){re.escape(number)}(?!\.?\d)", stated), f"{entry.id}: {number}"


def test_every_part_leads_somewhere(reference: Book) -> None:
    """A part of a file is linked on at least one of the pages that show it, and on none to the page itself."""
    linked: dict[str, set[str]] = defaultdict(set)
    held: dict[str, set[str]] = {}
    for entry, root, _, parts in drawn(reference):
        assert entry.drawing is not None
        assert entry.id not in parts.values()
        linked[entry.drawing.file] |= set(parts)
        held[entry.drawing.file] = {shape.part for shape in root.walk() if shape.part}
    assert linked == held


# -------------------------------------------------------------------------------------------------------- in the page


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    book = make_trial(tmp_path / "book")
    return write(
        book,
        {
            "site_templates/drawings/pole-tip.svg": TIP,
            "terms/trail/pole-tip.yml": (
                "name: Pole tip\nin_short: The end.\ntext: It ends.\n"
                "drawing: {file: pole-tip.svg, alt: 'A \"tip\" <b>', parts: {wood: pole-wood, tip: pole-length}}\n"
            ),
            "terms/trail/pole-end.yml": (
                "name: Pole end\nin_short: The end.\ntext: It ends.\n"
                "drawing: {file: pole-tip.svg, alt: 'A \"tip\" <b>'}\n"
            ),
        },
    )


def made(book: Book, entry: str, *, listed: bool = True) -> str:
    drawing = book.entries[entry].drawing
    assert drawing is not None
    return str(figure(Writer(book, "en", f"terms/{entry}.md"), drawing, listed=listed))


def test_an_image_with_its_words(trial: Path) -> None:
    html = made(loaded(trial), "pole-end")
    root = ET.fromstring(html)  # noqa: S314  our own text
    svg = root.find("svg")
    assert svg is not None
    assert svg.attrib == {"viewBox": "0 0 640 300", "role": "img", "aria-label": 'A "tip" <b>'}
    assert root.findall(".//a") == []
    assert [text.text for text in root.iter("text")] == ["a <b> & c"]


def test_parts_are_links_once_for_the_pointer_and_once_for_all(trial: Path) -> None:
    root = ET.fromstring(made(loaded(trial), "pole-tip"))  # noqa: S314
    svg = root.find("svg")
    assert svg is not None
    assert svg.attrib["aria-hidden"] == "true", "an image may hold nothing that takes focus"
    assert "role" not in svg.attrib
    inside = [(link.attrib["href"], link.attrib["tabindex"]) for link in svg.iter("a")]
    assert inside == [("hangtag:terms/pole-wood.md", "-1"), ("hangtag:terms/pole-length.md", "-1")]
    caption = root.find("figcaption")
    assert caption is not None
    listed = [(link.attrib["href"], link.text) for link in caption.iter("a")]
    assert listed == [("hangtag:terms/pole-wood.md", "Pole wood"), ("hangtag:terms/pole-length.md", "Pole length")]
    heard = root.find("p[@class='ht-heard']")
    assert heard is not None
    assert heard.text == 'A "tip" <b>'


def test_no_list_where_the_page_has_its_own(trial: Path) -> None:
    assert "figcaption" not in made(loaded(trial), "pole-tip", listed=False)


def test_ids_stay_in_the_file(trial: Path) -> None:
    html = made(loaded(trial), "pole-tip")
    assert " id=" not in html
    assert 'data-part="tip"' in html


def test_markdown_leaves_it_alone(trial: Path) -> None:
    html = made(loaded(trial), "pole-tip")
    page = Markdown(extensions=["attr_list", "md_in_html", "tables", "toc"]).convert(f"before\n\n{html}\nafter\n")
    assert page == f"<p>before</p>\n{html}\n<p>after</p>"


def test_the_nearest_books_file_wins(trial: Path, tmp_path: Path) -> None:
    near = write(tmp_path / "near", {"site_templates/drawings/pole-tip.svg": TIP})
    assert find_drawing((near, trial), "pole-tip.svg") == near / "site_templates/drawings/pole-tip.svg"
    assert find_drawing((near, trial), "../drawings/pole-tip.svg") is None


def test_a_file_that_went_bad_since_the_check(trial: Path) -> None:
    book = loaded(trial)
    (trial / "site_templates/drawings/pole-tip.svg").write_text(f"{HEAD}<script/></svg>", encoding="utf-8")
    with pytest.raises(ProblemError, match="may not stand in a drawing"):
        made(book, "pole-tip")
    (trial / "site_templates/drawings/pole-tip.svg").unlink()
    with pytest.raises(ProblemError, match="there is no drawing"):
        made(book, "pole-tip")


# ------------------------------------------------------------------------------------------------------ any file at all


@pytest.mark.parametrize(
    ("inside", "code"),
    [
        ("<g>" * 30 + "</g>" * 30, "drawing-too-deep"),
        ("<path class='d-line' d='M0 0" + "h1" * 40_000 + "'/>", "drawing-too-large"),
        ("<animate/>", "drawing-element"),
        ("<foreignObject/>", "drawing-element"),
        ("<svg/>", "drawing-element"),
        ("<g filter='url(#f)'/>", "drawing-attribute"),
        ("<g xlink:href='#f'/>", "drawing-attribute"),
        ("<text class='d-text' onfocus='f()'>a</text>", "drawing-attribute"),
        ("<path class='d-line' id='part-edge' d='M0 0'/>", "drawing-attribute"),
    ],
)
def test_refused(tmp_path: Path, inside: str, code: str) -> None:
    file = tmp_path / "a.svg"
    file.write_text(f"{HEAD}{inside}</svg>", encoding="utf-8")
    problems = Problems()
    assert read_drawing(file, problems) is None
    assert {problem.code for problem in problems.sorted()} == {code}


@given(
    st.one_of(
        st.binary(max_size=200),
        st.text(max_size=100).map(lambda text: f"{HEAD}{text}</svg>".encode("utf-8", "replace")),
        st.lists(st.sampled_from(["<g>", "</g>", "<a>", "<path d='", "'/>", "&x;", "<!--", "-->", "é", "<text>"]))
        .map("".join)
        .map(lambda text: f"{HEAD}{text}</svg>".encode()),
    )
)
def test_any_file_is_read_or_told(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    file = tmp_path_factory.getbasetemp() / "any.svg"
    file.write_bytes(content)
    problems = Problems()
    root = read_drawing(file, problems)
    assert (root is None) == bool(problems)
    assert render(problems.sorted()) or root is not None
