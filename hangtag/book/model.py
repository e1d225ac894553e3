"""A whole book: the frozen data classes of the book itself, its areas, kinds of gear and danger words.

Must hold data only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from hangtag.calculators import Calculator
from hangtag.entries import Drawing, Entry
from hangtag.problems import Problem, Span
from hangtag.sources import Source
from hangtag.strings import LocalText, Strings
from hangtag.units import UnitList
from hangtag.version import __version__


@dataclass(frozen=True)
class Area:
    """A group of entries: a name, a sentence and an order (the order of `_areas.yml`)."""

    id: str
    name: LocalText
    sentence: LocalText
    path: str
    span: Span


@dataclass(frozen=True)
class Gear:
    """A kind of gear: its name, the words that give it away, what its tag prints, and what a buyer should know.

    `tags`, `wanted` and `beside` are ids of entries, `calculators` of calculators, each in the order to read them.
    """

    id: str
    name: LocalText
    words: tuple[str, ...]  # a word may stand in several kinds
    tags: tuple[str, ...]
    path: str
    span: Span
    tag_spans: tuple[Span, ...] = ()
    in_short: LocalText | None = None
    wanted: tuple[str, ...] = ()  # those of `tags` that a good tag states
    beside: tuple[str, ...] = ()  # what no tag prints
    matters: tuple[LocalText, ...] = ()
    ask: tuple[LocalText, ...] = ()
    needs_time: LocalText | None = None
    calculators: tuple[str, ...] = ()
    drawing: Drawing | None = None
    places: Mapping[str, Span] = field(default_factory=dict, compare=False)  # `wanted.0` and so on, for later Problems

    @property
    def has_page(self) -> bool:
        """Whether there is more to say of it than the words that give it away."""
        return bool(self.tags or self.matters or self.drawing)

    @property
    def texts(self) -> tuple[LocalText, ...]:
        """Every text of it in which `[[links]]` may stand."""
        return tuple(text for text in (self.in_short, *self.matters, *self.ask, self.needs_time) if text)


@dataclass(frozen=True)
class DangerWord:
    """Words on a tag that bring a caution whether or not an entry reads them."""

    words: tuple[str, ...]
    caution: LocalText
    path: str
    span: Span


@dataclass(frozen=True)
class Book:
    """A whole book, already checked and merged. Mappings keep the order of their files (ids sorted)."""

    root: Path
    title: str
    language: str
    areas: Mapping[str, Area]
    gear: Mapping[str, Gear]
    danger: tuple[DangerWord, ...]
    sources: Mapping[str, Source]
    units: UnitList
    entries: Mapping[str, Entry]
    calculators: Mapping[str, Calculator]
    strings: Strings
    parents: tuple[Path, ...]  # roots of the books this one inherits, nearest first
    tell_us: str | None = None  # where readers tell what is wrong: see `hangtag/tell_us.py`
    version: str = __version__  # what a citation names: the book's own, else that of the program

    def entries_of(self, area: str) -> tuple[Entry, ...]:
        """The entries of an area by name."""
        return tuple(sorted((e for e in self.entries.values() if e.area == area), key=lambda e: str(e.name).lower()))

    def entries_with(self, calculator: str) -> tuple[Entry, ...]:
        """The entries on whose page a calculator stands."""
        return tuple(entry for entry in self.entries.values() if calculator in entry.calculators)


@dataclass(frozen=True)
class Loaded:
    """What reading a book gave: every Problem, and the Book where there were none."""

    book: Book | None
    problems: tuple[Problem, ...]
