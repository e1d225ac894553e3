"""Books for tests: the trial book of this folder, and clubs' books that inherit the reference.

Everything in them is invented.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from hangtag.book import Book, load_book
from hangtag.problems import render
from hangtag.resources import reference_book

TRIAL = Path(__file__).parent / "book"
SHARED = Path(__file__).parents[1] / "compliance" / "book"

CLUB_CONFIG = """\
site_name: Larkmoor Hill Club
docs_dir: terms
theme: material
plugins:
  - hangtag:
      inherits: reference
"""


def make_trial(folder: Path) -> Path:
    """The trial book with the templates of the checkout, in a folder of its own."""
    shutil.copytree(TRIAL, folder)
    templates = reference_book() / "site_templates"
    shutil.copytree(templates, folder / "site_templates", ignore=shutil.ignore_patterns("docs"))
    return folder


def make_shared(folder: Path) -> Path:
    """The book of the shared cases as a site's book: the settings and templates of the trial book around it."""
    make_trial(folder)
    for name in ("calculators", "terms"):
        shutil.rmtree(folder / name)
        shutil.copytree(SHARED / name, folder / name)
    return folder


def loaded(root: Path) -> Book:
    """The book in a folder, which must have no problems."""
    found = load_book(root)
    assert found.book is not None, render(found.problems)
    return found.book


def write(root: Path, files: dict[str, str]) -> Path:
    """Write files by their path below `root`."""
    for path, text in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text, encoding="utf-8")
    return root
