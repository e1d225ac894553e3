"""A page of a large book weighs what it weighs in a small one: nothing on it lists the whole book."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import yaml

from hangtag.book import Book
from hangtag.pages import pages
from hangtag.resources import reference_book
from hangtag.strings import LocalText
from tests.site.books import loaded, make_trial

SMALL, LARGE = 150, 1_500
MOST_GROWTH = 0.02
MOST_IN_NAV = 8


def book_of(book: Book, count: int) -> Book:
    """The book with entries added until it has `count`."""
    pattern = next(entry for entry in book.entries.values() if not entry.scale)
    names = [f"stick-{number}" for number in range(count - len(book.entries))]
    added = {
        name: dataclasses.replace(pattern, id=name, name=LocalText({"en": name}), also=(), was=()) for name in names
    }
    return dataclasses.replace(book, entries={**book.entries, **added})


def sizes(book: Book) -> dict[str, int]:
    """The bytes of every entry's and calculator's page that both books have."""
    made = pages(book, lambda *_: "<div></div>")  # a calculator's block knows no other entry
    return {
        page.path: len(page.markdown.encode()) for page in made if page.path.startswith(("terms/pole", "calculators/"))
    }


def test_a_page_does_not_grow_with_the_book(tmp_path: Path) -> None:
    book = loaded(make_trial(tmp_path / "trial"))
    small, large = sizes(book_of(book, SMALL)), sizes(book_of(book, LARGE))
    assert small.keys() == large.keys()
    assert len(small) > 3
    for path, size in small.items():
        assert abs(large[path] - size) <= MOST_GROWTH * size, path


def test_the_frame_of_a_page_lists_only_the_pages_of_the_book_itself() -> None:
    """The theme's side of a page is made from `nav`, which names a handful of pages however large the book is."""
    config = yaml.safe_load((reference_book() / "mkdocs.yml").read_text(encoding="utf-8").replace("!ENV", ""))
    assert len(config["nav"]) <= MOST_IN_NAV
    for path in (reference_book() / "site_templates" / "overrides").rglob("*.html"):
        assert "book.entries" not in path.read_text(encoding="utf-8"), path
