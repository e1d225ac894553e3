"""What every room of tests shares: where the project lies, the reference book, and how property tests run."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

from hangtag.book import Book
from hangtag.problems import render
from hangtag.resources import reference_book

# a shared machine may be slow at any moment: time is no reason to fail
settings.register_profile("hangtag", deadline=None)
settings.load_profile("hangtag")


def pytest_addoption(parser: pytest.Parser) -> None:
    """`pytest tests/bad --reset` writes the expected texts anew; review them as a diff."""
    parser.addoption("--reset", action="store_true", help="write the expected texts of tests/bad anew")


@pytest.fixture(scope="session")
def project() -> Path:
    """The root of the checkout."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def reference() -> Book:
    """The reference book, which must have no problems."""
    from hangtag.checking import check_book

    loaded = check_book(reference_book())
    assert loaded.book is not None, "\n" + render(loaded.problems)
    assert not loaded.problems, "\n" + render(loaded.problems)
    return loaded.book


@pytest.fixture(scope="session")
def shared(project: Path) -> Book:
    """The book of the language-neutral cases, tests/compliance/book, which must have no problems."""
    from hangtag.checking import check_book

    loaded = check_book(project / "tests" / "compliance" / "book")
    assert loaded.book is not None, "\n" + render(loaded.problems)
    assert not loaded.problems, "\n" + render(loaded.problems)
    return loaded.book
