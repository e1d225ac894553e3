"""Where a folder of ours is written, and how it takes the place of the last one: aside first, then by two renames.

A killed run leaves at most a folder beside the site, which the next run finishes or takes away. Must not know what is
in it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from hangtag.problems import Problem, ProblemError
from hangtag.resources import CALCULATORS, TEMPLATES, TERMS

SOURCES = (TERMS, CALCULATORS, TEMPLATES)  # folders of a book that nothing of ours may take


@dataclass(frozen=True)
class Kind:
    """What a folder is: the file by which we know it for ours, what that file says, and what to do about another."""

    mark: str
    note: str
    code: str
    hint: str


SITE = Kind(
    ".hangtag-site", "Made by hangtag build, which replaces this folder whole.\n", "out-not-ours", "after --out."
)
DOCS = Kind(
    ".hangtag-docs", "Made by hangtag export-docs, which replaces this folder whole.\n", "docs-not-ours", "there."
)


@dataclass(frozen=True)
class Place:
    """A folder of ours, and the two beside it that exist only while it is being replaced."""

    out: Path
    kind: Kind = SITE

    @property
    def aside(self) -> Path:
        """Where the new one grows."""
        return self.out.with_name(f".{self.out.name}.hangtag-new")

    @property
    def away(self) -> Path:
        """Where the last one waits while the new one takes its name."""
        return self.out.with_name(f".{self.out.name}.hangtag-old")


def place_for(out: Path, book: Path, kind: Kind = SITE) -> Place:
    """The place for a folder of ours. Raises ProblemError where it would take something that is none."""
    out = out.absolute()
    holds_book = out.resolve() in (book.resolve(), *book.resolve().parents)
    if holds_book or any(out.resolve().is_relative_to(book.resolve() / name) for name in SOURCES):
        raise ProblemError(Problem("out-holds-book", {"path": str(out)}, hint=f"Name another folder {kind.hint}"))
    if out.exists() and not out.is_dir():
        raise ProblemError(Problem("out-not-a-folder", {"path": str(out)}, hint=f"Name a folder {kind.hint}"))
    if out.is_dir() and any(out.iterdir()) and not (out / kind.mark).is_file():
        hint = f"Name an empty or a new folder {kind.hint}"
        raise ProblemError(Problem(kind.code, {"path": str(out), "mark": kind.mark}, hint=hint))
    return Place(out, kind)


def tidy(place: Place) -> None:
    """Finish or undo what a killed run left: the last folder comes back unless the new one has its name already."""
    if place.away.exists():
        if place.out.exists():
            shutil.rmtree(place.away)
        else:
            place.away.rename(place.out)
    if place.aside.exists():
        shutil.rmtree(place.aside)


@contextmanager
def new_site(place: Place) -> Iterator[Path]:
    """An empty folder to build in; on leaving it takes the place of the last one, or is gone where writing failed."""
    try:
        tidy(place)
        place.aside.mkdir(parents=True)
        yield place.aside
        (place.aside / place.kind.mark).write_text(place.kind.note, encoding="utf-8")
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
