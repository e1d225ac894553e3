"""The Reader of the reference book, made once."""

from __future__ import annotations

import pytest

from hangtag.book import Book
from hangtag.tag_reader import Reader, compile_book


@pytest.fixture(scope="session")
def reader(reference: Book) -> Reader:
    """What the tags of the reference book are read with."""
    return compile_book(reference)
