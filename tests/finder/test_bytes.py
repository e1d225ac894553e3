"""What the finder costs a reader, on first use and never before."""

from __future__ import annotations

import gzip

from hangtag.book import Book
from hangtag.browser import finder_data, finder_script
from hangtag.finder import find, index
from tests.finder.books import grown

MOST_CODE, MOST_DATA = 10_000, 8_000
MOST_AN_ENTRY = 80  # bytes, of a book of 150 entries as rich as the reference book


def compressed(text: str) -> int:
    return len(gzip.compress(text.encode(), 9, mtime=0))


def test_code_and_data_are_small(reference: Book) -> None:
    assert compressed(finder_script(reference)) <= MOST_CODE
    assert compressed(finder_data(reference, disk=False)) <= MOST_DATA


def test_data_grow_slower_than_the_book(reference: Book) -> None:
    small, large = grown(reference, 150), grown(reference, 600)
    assert compressed(finder_data(small, disk=False)) <= 150 * MOST_AN_ENTRY
    assert compressed(finder_data(large, disk=False)) <= 600 * compressed(finder_data(small, disk=False)) / 150
    its = index(large)
    names = [str(entry.name) for entry in list(large.entries.values())[::40]]
    assert [find(its, name).results[0].name for name in names] == names


def test_the_same_book_gives_the_same_bytes(reference: Book) -> None:
    assert finder_data(reference, disk=False) == finder_data(reference, disk=False)
