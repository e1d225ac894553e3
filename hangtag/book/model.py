"""A whole book: the frozen data classes of the book itself, its areas, kinds of gear and danger words.

Must hold data only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.problems import Problem, Span
from hangtag.sources import Source
from hangtag.strings import LocalText, Strings
from hangtag.units import UnitList


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
    """A kind of gear: what it is called, the words that give it away, and the entries that belong on its tag."""

    id: str
    name: LocalText
    words: tuple[str, ...]
    tags: tuple[str, ...]
    path: str
    span: Span
    tag_spans: tuple[Span, ...] = ()


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
