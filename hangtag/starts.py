"""A start for authors: the first files of a book, of an entry and of a calculator, from site_templates/start/.

Whatever is written passes `hangtag check` as it is, and nothing that is there already is ever changed. Each file names
its JSON Schema by a relative path to a copy inside the book, which every editor finds, without a network and after a
clone on another machine. Must not print.
"""

from __future__ import annotations

import difflib
import os
import string
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from hangtag import schema
from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.problems import Problem, ProblemError, near_hint, shown_path
from hangtag.resources import CALCULATORS, CONFIG, TEMPLATES, TERMS, reference_book

SCHEMAS = "schema"  # the folder of a book
_LONGEST = 60  # letters of an id
_ALLOWED = frozenset(string.ascii_lowercase + string.digits + "-")
# `index` is the page of a folder; some systems keep the others for devices
_RESERVED = frozenset({"index", "con", "prn", "aux", "nul", "com1", "lpt1"})
_FIRST = ("warmth", "hut-blanket")  # area and id of a new book's first entry
_UNIT = "mm"
_NEAR = 0.8  # how alike two ids are of which one may be a slip


@dataclass(frozen=True)
class Started:
    """The file to edit first, every file that was written, and the id of something that has nearly the same name."""

    edit: Path
    written: tuple[Path, ...]
    near: str | None = None


def new_book(parent: Path, name: str) -> Started:
    """A club's book in a new or empty folder of `parent`. Raises ProblemError where it cannot be."""
    folder = parent / id_of(name)
    if not parent.is_dir():
        beside = [path.name for path in parent.parent.iterdir()] if parent.parent.is_dir() else []
        raise ProblemError(Problem("book-missing", {"path": parent}, hint=near_hint(parent.name, beside)))
    if folder.exists() and not folder.is_dir():
        raise ProblemError(Problem("new-file-there", {"path": folder}, hint="Choose another name."))
    if folder.is_dir() and any(folder.iterdir()):
        hint = "Choose another name, or name another folder with --book."
        raise ProblemError(Problem("new-folder-full", {"path": folder}, hint=hint))
    area, its_id = _FIRST
    first = folder / TERMS / area / f"{its_id}.yml"
    schemas = _schemas(folder)
    title = name.strip()
    texts = {
        folder / CONFIG: _filled("mkdocs.yml", title=_quoted(title)),
        folder / "README.md": _filled("README.md", title=title),
        first: _filled("first.yml", schema=schemas.beside(first, "term.json")),
    }
    return Started(first, _write({**texts, **schemas.missing}))


def new_term(book: Book, name: str, area: str | None) -> Started:
    """An entry of the book. Raises ProblemError for a name that is taken or none, and an area that is unknown."""
    its_id = id_of(name)
    _sure_is_new(its_id, book.entries, book)
    _sure_is_no_name(_readable(name), book)
    path = book.root / TERMS / _area(book, area) / f"{its_id}.yml"
    return _start(book, path, "term", name, book.entries)


def new_calculator(book: Book, name: str) -> Started:
    """A calculator of the book. Raises ProblemError for a name that is taken or none."""
    its_id = id_of(name)
    _sure_is_new(its_id, book.calculators, book)
    return _start(book, book.root / CALCULATORS / f"{its_id}.yml", "calculator", name, book.calculators)


def id_of(name: str) -> str:
    """The id that a readable name gives: `Hydrostatic head` is hydrostatic-head. Raises ProblemError for no name."""
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", name.strip()) if not unicodedata.combining(sign))
    its_id = "-".join(
        plain.lower().replace("_", " ").replace("'", "").replace("\N{RIGHT SINGLE QUOTATION MARK}", "").split()
    )
    if not its_id:
        raise ProblemError(Problem("new-no-name", {}, hint='Write it as on a tag: "Hydrostatic head".'))
    wrong = sorted(set(its_id) - _ALLOWED)
    if wrong or its_id.strip("-") != its_id:
        nearest = "-".join("".join(sign if sign in _ALLOWED else " " for sign in its_id).replace("-", " ").split())
        hint = "Use letters a to z, digits, spaces and hyphens" + (f": {nearest}" if nearest else ".")
        raise ProblemError(Problem("new-bad-name", {"name": name}, hint=hint))
    if len(its_id) > _LONGEST:
        raise ProblemError(
            Problem("new-long-name", {"count": len(its_id), "most": _LONGEST}, hint="Choose a shorter one.")
        )
    if its_id in _RESERVED:
        raise ProblemError(
            Problem("new-bad-name", {"name": name}, hint="That name is kept for other uses: choose another.")
        )
    return its_id


def _readable(name: str) -> str:
    """The name as a reader meets it: what was typed as an id gets its spaces, and the first letter is a capital."""
    words = name.strip()
    if " " not in words and words == words.lower():
        words = words.replace("-", " ").replace("_", " ")
    return words[:1].upper() + words[1:]


# -------------------------------------------------------------------------------------------- what must not be there


def _sure_is_new(its_id: str, living: Mapping[str, Entry] | Mapping[str, Calculator], book: Book) -> None:
    its = living.get(its_id)
    if its is None:
        former = next((other for other in living.values() if its_id in other.was), None)
        if former is not None:
            hint = f"Links to it lead to {former.id} now: choose another name."
            raise ProblemError(Problem("new-was-there", {"id": its_id, "now": former.id}, hint=hint))
        return
    own = Path(its.path).is_relative_to(book.root)
    hint = "Edit that file, or choose another name." if own else "Choose another name."
    if not own and isinstance(its, Entry):
        hint = f"It is inherited. To add to it, write {TERMS}/{its.area}/{its_id}.adds.yml; else choose another name."
    where = shown_path(its.path, book.root) if own else "the book this one inherits"
    raise ProblemError(Problem("new-taken", {"id": its_id, "where": where}, hint=hint))


def _sure_is_no_name(name: str, book: Book) -> None:
    wanted = " ".join(name.lower().split())
    for entry in book.entries.values():
        if any(wanted == " ".join(word.lower().split()) for text in (entry.name, *entry.also) for word in text):
            hint = f"Choose another name, or see: hangtag show {entry.id}"
            raise ProblemError(Problem("new-name-shared", {"name": name, "id": entry.id}, hint=hint))


def _area(book: Book, area: str | None) -> str:
    known = ", ".join(book.areas)
    if area is None:
        if len(book.areas) == 1:
            return next(iter(book.areas))
        hint = f"The areas are {known}." if known else f"Begin one in {TERMS}/_areas.yml."
        raise ProblemError(Problem("new-without-area", {}, hint=hint))
    if area not in book.areas:
        hint = near_hint(area, book.areas) or f"The areas are {known}; a new one begins in {TERMS}/_areas.yml."
        raise ProblemError(Problem("unknown-area", {"area": area}, hint=hint))
    return area


# -------------------------------------------------------------------------------------------------------- writing


@dataclass(frozen=True)
class _Schemas:
    """The folder of a book's JSON Schemas, and those of them that are not there yet."""

    folder: Path
    missing: Mapping[Path, str] = field(default_factory=dict)

    def beside(self, file: Path, name: str) -> str:
        """The address of a schema in the first line of a file."""
        return Path(os.path.relpath(self.folder / name, file.parent)).as_posix()


def _schemas(root: Path) -> _Schemas:
    kept = root / TEMPLATES / SCHEMAS
    if kept.is_dir():  # a book with templates of its own, such as the reference book
        return _Schemas(kept)
    folder = root / SCHEMAS
    return _Schemas(
        folder, {folder / name: text for name, text in schema.files().items() if not (folder / name).exists()}
    )


def _start(book: Book, path: Path, kind: str, name: str, living: Mapping[str, object]) -> Started:
    schemas = _schemas(book.root)
    unit = _UNIT if _UNIT in book.units.units else next(iter(book.units.units))
    text = _filled(
        f"{kind}.yml",
        schema=schemas.beside(path, f"{kind}.json"),
        name=_quoted(_readable(name)),
        id=path.stem,
        unit=unit,
    )
    return Started(path, _write({path: text, **schemas.missing}), _nearly(path.stem, living))


def _nearly(its_id: str, living: Iterable[str]) -> str | None:
    near = difflib.get_close_matches(its_id, living, n=1, cutoff=_NEAR)
    return near[0] if near else None


def _filled(template: str, **values: str) -> str:
    text = (reference_book() / TEMPLATES / "start" / template).read_text(encoding="utf-8")
    return string.Template(text).substitute(values)


def _quoted(words: str) -> str:
    """A text for YAML, in quotes where it could be read as anything but words."""
    plain = words[:1].isalpha() and all(sign.isalnum() or sign in " -" for sign in words)
    odd = words.lower() in ("true", "false", "null", "yes", "no", "on", "off", "y", "n")
    return words if plain and not odd else '"' + words.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _write(texts: Mapping[Path, str]) -> tuple[Path, ...]:
    """Write files that must be new; where one fails, none is left. Raises ProblemError."""
    written: list[Path] = []
    for path, text in texts.items():
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("x", encoding="utf-8", newline="\n") as file:
                written.append(path)
                file.write(text)
        except FileExistsError as error:
            _take_away(written)
            there = Path(error.filename or path)
            raise ProblemError(Problem("new-file-there", {"path": there}, hint="Choose another name.")) from error
        except OSError as error:
            _take_away(written)
            reason = (error.strerror or str(error)).lower()
            hint = "Name a folder that you may write in with --book."
            raise ProblemError(Problem("new-not-written", {"path": path, "reason": reason}, hint=hint)) from error
    return tuple(written)


def _take_away(written: list[Path]) -> None:
    for path in written:
        path.unlink(missing_ok=True)
