"""Where things lie on disk: which folder is the book that is meant, and where its templates are looked for.

Must not read what stands in the files: whether a book is a good one is `book.py`'s to say.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Protocol

from hangtag.problems import Problem, ProblemError, near_hint

CONFIG = "mkdocs.yml"
TERMS = "terms"
CALCULATORS = "calculators"
TEMPLATES = "site_templates"

_PACKAGE = Path(__file__).resolve().parent


class HasRoots(Protocol):
    """What template_dirs needs to know of a Book."""

    @property
    def root(self) -> Path:
        """The folder of the book."""

    @property
    def parents(self) -> Sequence[Path]:
        """The folders of the books it inherits, nearest first."""


def is_book(folder: Path) -> bool:
    """Whether a folder holds mkdocs.yml and terms/."""
    return (folder / CONFIG).is_file() and (folder / TERMS).is_dir()


def reference_book() -> Path:
    """The reference book: the checkout beside the package, or the copy that the wheel carries."""
    checkout = _PACKAGE.parent
    return checkout if is_book(checkout) else _PACKAGE / "_book"


def find_book(given: Path | None = None) -> Path:
    """The folder of the book that is meant: the one given, else the one here, else the reference book.

    Raises ProblemError where the given folder is no book.
    """
    if given is None:
        here = Path.cwd()
        return here if is_book(here) else reference_book()
    folder = Path(os.path.abspath(given.expanduser()))  # noqa: PTH100  resolve() would follow links and change what is shown
    if is_book(folder):
        return folder
    raise ProblemError(_no_book(given, folder))


def template_dirs(book: HasRoots) -> list[Path]:
    """The site_templates folders to look in: the book's own, each parent's, the reference book's."""
    found: list[Path] = []
    for root in (book.root, *book.parents, reference_book()):
        folder = root / TEMPLATES
        if folder.is_dir() and folder.resolve() not in [other.resolve() for other in found]:
            found.append(folder)
    return found


def _no_book(given: Path, folder: Path) -> Problem:
    shown = os.fspath(given)
    if not folder.exists():
        names = sorted(_names(folder.parent))
        return Problem("book-missing", {"path": shown}, hint=near_hint(folder.name, names))
    if not folder.is_dir():
        return Problem("book-not-a-folder", {"path": shown}, hint="Name the folder that holds mkdocs.yml.")
    lacks = CONFIG if not (folder / CONFIG).is_file() else f"{TERMS}/"
    return Problem("book-incomplete", {"path": shown, "lacks": lacks}, hint=_book_near(folder))


def _book_near(folder: Path) -> str | None:
    for near in (folder.parent, *(folder / name for name in sorted(_names(folder)))):
        if is_book(near):
            return f"Did you mean {near}?"
    return f"A book is a folder with {CONFIG}, {TERMS}/ and {CALCULATORS}/."


def _names(folder: Path) -> Iterator[str]:
    try:
        yield from (child.name for child in folder.iterdir() if child.is_dir())
    except OSError:
        return
