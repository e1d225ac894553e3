"""Where a site is built, and how it takes the place of the last one: aside first, then by two renames.

A killed run leaves at most a folder beside the site, which the next run finishes or takes away. Must not know what is
in a site.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from hangtag.problems import Problem, ProblemError
from hangtag.resources import CALCULATORS, TEMPLATES, TERMS

SOURCES = (TERMS, CALCULATORS, TEMPLATES)  # folders of a book that no site may take
MARK = ".hangtag-site"


@dataclass(frozen=True)
class Place:
    """The folder of a site, and the two beside it that exist only while it is being replaced."""

    out: Path

    @property
    def aside(self) -> Path:
        """Where the new site grows."""
        return self.out.with_name(f".{self.out.name}.hangtag-new")

    @property
    def away(self) -> Path:
        """Where the last site waits while the new one takes its name."""
        return self.out.with_name(f".{self.out.name}.hangtag-old")


def place_for(out: Path, book: Path) -> Place:
    """The place for a site. Raises ProblemError where it would take something that is not a site of ours."""
    out = out.absolute()
    holds_book = out.resolve() in (book.resolve(), *book.resolve().parents)
    if holds_book or any(out.resolve().is_relative_to(book.resolve() / name) for name in SOURCES):
        raise ProblemError(Problem("out-holds-book", {"path": str(out)}, hint="Name another folder after --out."))
    if out.exists() and not out.is_dir():
        raise ProblemError(Problem("out-not-a-folder", {"path": str(out)}, hint="Name a folder after --out."))
    if out.is_dir() and any(out.iterdir()) and not (out / MARK).is_file():
        raise ProblemError(
            Problem("out-not-ours", {"path": str(out), "mark": MARK}, hint="Name an empty or a new folder after --out.")
        )
    return Place(out)


def tidy(place: Place) -> None:
    """Finish or undo what a killed run left: the last site comes back unless the new one has its name already."""
    if place.away.exists():
        if place.out.exists():
            shutil.rmtree(place.away)
        else:
            place.away.rename(place.out)
    if place.aside.exists():
        shutil.rmtree(place.aside)


@contextmanager
def new_site(place: Place) -> Iterator[Path]:
    """An empty folder to build in; on leaving it takes the place of the last site, or is gone where building failed."""
    try:
        tidy(place)
        place.aside.mkdir(parents=True)
        yield place.aside
        (place.aside / MARK).write_text("Made by hangtag build, which replaces this folder whole.\n", encoding="utf-8")
        if place.out.exists():
            place.out.rename(place.away)
        place.aside.rename(place.out)
        shutil.rmtree(place.away, ignore_errors=True)
    except OSError as error:
        reason = error.strerror or str(error)
        raise ProblemError(Problem("site-not-written", {"path": str(place.out), "reason": reason})) from error
    finally:
        shutil.rmtree(place.aside, ignore_errors=True)
        if place.away.exists() and not place.out.exists():
            place.away.rename(place.out)
