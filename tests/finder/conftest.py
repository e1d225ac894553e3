"""The index of the reference book, and the built script with its data in V8."""

from __future__ import annotations

import pytest

from hangtag.book import Book
from hangtag.browser import finder_data, finder_script
from hangtag.finder import Index, index
from tests.v8 import V8


@pytest.fixture(scope="session")
def found_in(reference: Book) -> Index:
    """The index of the reference book."""
    return index(reference)


@pytest.fixture(scope="session")
def v8(reference: Book) -> V8:
    """What a page loads on first use: the whole script as it is sent, and the data."""
    context = V8()
    context.load(finder_script(reference))
    context.load(finder_data(reference, disk=False))
    return context
