"""The reader in the browser gives what Python gives, key for key: readings, places, sentences, and what the page shows.

Runs the very scripts that a site holds. Of the held-out half only a count is told.
"""

from __future__ import annotations

import gzip
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangtag import browser, tag_reader
from hangtag.book import Book
from hangtag.browser.tags import page_data, samples
from hangtag.pages.tag_view import TagView
from hangtag.tag_reader import Reader
from hangtag.tag_reader.compare import MOST_TAGS, compare
from tests.site.books import loaded, make_trial
from tests.v8 import V8

from .corpus import HALVES, cases

MOST_SCRIPT, MOST_DATA = 28_000, 58_000  # bytes, as a server sends them; on this page alone
# What the scripts touch when they load: a page without a place for tags.
_NO_PAGE = """
var document = { currentScript: { src: "scripts/tags.js" }, getElementById() { return null; } };
var URL = class { constructor(address) { this.href = address; } };
"""
_FRAGMENTS = sorted({word for case in cases("tuned") for word in case.text.split()})
_MARKS = "0123456789.,'-/x+±<>()°%k\"″′½mgDlbft:;|•™®éß﹣－Ａ１²\n\u200f\u00a0\u2028\0😀"
_WORD = st.sampled_from(_FRAGMENTS) | st.text(st.sampled_from(_MARKS), min_size=1, max_size=6)
_TAGS = st.lists(_WORD, max_size=14).map(" ".join)
_SIDES = ["", "Fly 15D, 1200 mm. Weight 34 oz", "Fly 20D, 1,800mm; weight 964 g; ISO 811", "850+ fill, 30D fly"]


@pytest.fixture(scope="module")
def reader(reference: Book) -> Reader:
    return tag_reader.compile_book(reference)


@pytest.fixture(scope="module")
def v8(reference: Book) -> V8:
    """The shipped scripts with the shipped data."""
    context = V8()
    context.load(_NO_PAGE)
    context.load(browser.tags_script(reference))
    context.load(browser.tags_data(reference))
    return context


@pytest.fixture(scope="module")
def view(reference: Book, reader: Reader) -> TagView:
    return TagView(reader.data(), page_data(reference, "en"))


@pytest.fixture(scope="module")
def differs(reader: Reader, v8: V8) -> Callable[[str, str | None], str]:
    """Where the two readings of a text part, or nothing."""

    def both(text: str, kind: str | None) -> str:
        ours = tag_reader.read(reader, text, kind).as_json()
        return first_difference(ours, v8.call("hangtag.tag.read", text, kind)["gives"])

    return both


def first_difference(ours: Any, theirs: Any, place: str = "tag") -> str:  # noqa: ANN401  any JSON
    """The first place at which two documents differ; a list and a tuple are one."""
    if isinstance(ours, dict) and isinstance(theirs, dict) and ours.keys() == theirs.keys():
        pairs = [(f"{place}.{key}", value, theirs[key]) for key, value in ours.items()]
    elif isinstance(ours, list | tuple) and isinstance(theirs, list) and len(ours) == len(theirs):
        pairs = [(f"{place}[{at}]", *pair) for at, pair in enumerate(zip(ours, theirs, strict=True))]
    else:
        return "" if ours == theirs else f"{place}: {ours!r} | {theirs!r}"
    return next((found for at, mine, its in pairs if (found := first_difference(mine, its, at))), "")


@pytest.mark.parametrize("half", HALVES)
def test_every_line_of_the_corpus(differs: Callable[[str, str | None], str], half: str) -> None:
    found = [difference for case in cases(half) if (difference := differs(case.text, case.kind))]
    shown = found if half == "tuned" else []
    assert len(found) == 0, f"{len(found)} lines differ {shown}"


@given(text=_TAGS, kind=st.sampled_from(["", "", "tent", "pack", "shoe", "rain-jacket"]))
@settings(max_examples=150)
def test_any_tag(differs: Callable[[str, str | None], str], text: str, kind: str) -> None:
    assert differs(text, kind or None) == ""


@given(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=60))
@settings(max_examples=100)
def test_any_text(differs: Callable[[str, str | None], str], text: str) -> None:
    assert differs(text, None) == ""


def test_long_and_hostile_text(differs: Callable[[str, str | None], str]) -> None:
    digits = "HH " + "9" * 400 + " mm"
    for text in (digits, "<script>alert(1)</script> 20D", "1x" * 500, "__proto__ constructor 20D", "\ufeff"):
        assert differs(text, None) == ""


@pytest.mark.parametrize("half", HALVES)
def test_the_page_shows_the_same(reader: Reader, v8: V8, view: TagView, half: str) -> None:
    wrong = 0
    for case in cases(half):
        tag = tag_reader.read(reader, case.text, case.kind).as_json()
        theirs = v8.call("hangtag.tag.explained", tag)["gives"]
        wrong += first_difference(view.explained(tag), theirs) != ""
    assert wrong == 0


def test_side_by_side_is_the_same(reader: Reader, v8: V8, view: TagView) -> None:
    lines = [*_SIDES, *(case.text for case in cases("tuned"))]
    for at in range(0, len(lines) - MOST_TAGS, 2):
        tags = [tag_reader.read(reader, line) for line in lines[at : at + 2 + at % 3]]
        rows = [row.as_json() for row in compare(reader, tags)]
        theirs = v8.call("hangtag.tag.compare", [tag.as_json() for tag in tags])["gives"]
        assert first_difference(rows, theirs) == ""
        shown = v8.call("hangtag.tag.sideBySide", rows, len(tags))["gives"]
        assert first_difference(view.side_by_side(rows, len(tags)), shown) == ""


def test_a_limit_in_a_unit_that_no_tag_prints(tmp_path: Path) -> None:
    root = make_trial(tmp_path / "book")  # its scale ends at 60 in, and the entry below reads no inches
    entry = root / "terms/trail/pole-length.yml"
    reads = 'reads: {quantity: {unit: mm, plausible: [500 mm, 2000 mm]}, patterns: ["pole {q}"]}\n'
    entry.write_text(entry.read_text(encoding="utf-8") + reads, encoding="utf-8")
    book = loaded(root)
    tag = tag_reader.read(tag_reader.compile_book(book), "pole 1524 mm")
    context = V8()
    for source in (_NO_PAGE, browser.tags_script(book), browser.tags_data(book)):
        context.load(source)
    assert [one.band["says"] for one in tag.readings if one.band] == ["sticks for most hills"]
    assert first_difference(tag.as_json(), context.call("hangtag.tag.read", "pole 1524 mm", None)["gives"]) == ""


def test_budget(reference: Book) -> None:
    script, data = (len(gzip.compress(its(reference).encode(), 9)) for its in (browser.tags_script, browser.tags_data))
    print(f"tags.js {script} bytes, tags-data.js {data} bytes")
    assert script <= MOST_SCRIPT
    assert data <= MOST_DATA


def test_each_sample_tells_its_kind_and_leaves_nothing_unread(reference: Book, reader: Reader) -> None:
    its = samples(reference, "en")
    assert len(its) == 6
    for kind, text in its.items():
        tag = tag_reader.read(reader, text)
        assert tag.kind == kind
        assert not tag.unread, [one.text for one in tag.unread]
        assert not [one for one in tag.contradictions if one.certain]
