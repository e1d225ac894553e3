"""The book that the outside checks judge."""

from __future__ import annotations

import pytest

from hangtag.book import Book


@pytest.fixture(scope="session")
def book(reference: Book) -> Book:
    """The book in this repository."""
    return reference
