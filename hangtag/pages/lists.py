"""What stands on the pages that list others: home, an area, A to Z, and the sources. Must not write Markdown."""

from __future__ import annotations

import itertools
import unicodedata
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hangtag.book import Area
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.pages.entry_view import sample_html
from hangtag.pages.gear import cards
from hangtag.pages.samples import samples
from hangtag.pages.uses import Use, uses
from hangtag.pages.writer import Writer
from hangtag.sources import BASIS_NEEDS, SOURCE_KINDS, Source

_MOST_ON_HOME_TAG = 8
_MOST_QUESTIONS = 8


@dataclass(frozen=True)
class Name:
    """One line of A to Z: a name, and the entry it leads to; `main` where it is the entry's own name."""

    text: str
    entry: Entry
    main: bool


def home_view(w: Writer) -> dict[str, Any]:
    """Ways in: a tag's lines, the areas with their entries, the questions."""
    areas = [(area, w.book.entries_of(area.id)) for area in w.book.areas.values()]
    return {
        "gear": cards(w),
        "areas": [(area, entries) for area, entries in areas if entries],
        "tag": list(itertools.islice(_tag_lines(w, _tagged(w)), _MOST_ON_HOME_TAG)),
        "questions": _questions(w)[:_MOST_QUESTIONS],
    }


def _tagged(w: Writer) -> list[tuple[Entry, ...]]:
    """What the tag of the first kind of gear prints, so that it could hang in a shop; else the entries of each area."""
    for kind in w.book.gear.values():
        if kind.wanted:
            return [tuple(w.book.entries[name] for name in (*kind.wanted, *kind.tags))]
    return [w.book.entries_of(area) for area in w.book.areas]


def _tag_lines(w: Writer, groups: list[tuple[Entry, ...]]) -> Iterator[tuple[Markup, Entry]]:
    """One printed line an entry, going round the groups, so that the first few show them all."""
    seen: set[str] = set()
    for row in itertools.zip_longest(*groups):
        for entry in row:
            if entry is None or entry.id in seen:
                continue
            seen.add(entry.id)
            lines = samples(w.book, entry)
            if lines:
                yield sample_html(max(lines[:2], key=len)), entry


def _questions(w: Writer) -> list[Calculator]:
    """Calculators that stand on an entry's page, one an entry in turn, so that no entry takes all the places."""
    queues = [list(entry.calculators) for entry in w.book.entries.values()]
    turns = itertools.chain.from_iterable(itertools.zip_longest(*queues))
    return [w.book.calculators[name] for name in dict.fromkeys(turns) if name in w.book.calculators]


def area_view(w: Writer, area: Area) -> dict[str, Any]:
    """The entries of one area, and the questions of their calculators."""
    entries = w.book.entries_of(area.id)
    names = dict.fromkeys(name for entry in entries for name in entry.calculators)
    return {
        "area": area,
        "entries": [(entry, [sample_html(line) for line in samples(w.book, entry)[:1]]) for entry in entries],
        "calculators": [w.book.calculators[name] for name in names if name in w.book.calculators],
    }


def index_view(w: Writer) -> dict[str, Any]:
    """Every name under its first letter, and every calculator by its question."""
    names = [
        Name(name.within(w.language), entry, name is entry.name)
        for entry in w.book.entries.values()
        for name in (entry.name, *entry.also)
    ]
    letters: dict[str, list[Name]] = defaultdict(list)
    for name in sorted(names, key=lambda name: (_folded(name.text), not name.main)):
        letters[_letter(name.text)].append(name)
    questions = sorted(w.book.calculators.values(), key=lambda calculator: _folded(w.words(calculator.question)))
    in_order = sorted(letters.items(), key=lambda pair: (pair[0] == "#", pair[0]))
    return {"letters": dict(in_order), "questions": questions}


def _folded(text: str) -> str:
    return "".join(char for char in unicodedata.normalize("NFD", text.casefold()) if not unicodedata.combining(char))


def _letter(text: str) -> str:
    first = _folded(text)[:1].upper()
    return first if first.isalpha() else "#"


def sources_view(w: Writer) -> dict[str, Any]:
    """The bibliography by kind with every use of each work, and a count of numbers that have no source."""
    found = list(uses(w.book))
    used: dict[str, list[Use]] = defaultdict(list)
    for use in found:
        for source in dict.fromkeys(use.sources):
            used[source].append(use)
    kinds: dict[str, list[tuple[Source, list[tuple[Use, list[Use]]]]]] = {}
    for kind in SOURCE_KINDS:
        works = sorted((s for s in w.book.sources.values() if s.kind == kind), key=lambda source: _folded(source.title))
        if works:
            kinds[kind] = [(work, _by_page(used[work.id])) for work in works]
    return {"kinds": kinds, "unsourced": _unsourced(found)}


def _by_page(found: list[Use]) -> list[tuple[Use, list[Use]]]:
    """Uses grouped by the page they stand on: (one of them, all of them)."""
    groups: dict[str, list[Use]] = defaultdict(list)
    for use in found:
        groups[use.page].append(use)
    return [(group[0], group) for group in groups.values()]


def _unsourced(found: list[Use]) -> list[tuple[Use, list[tuple[str, int]]]]:
    """For each page the kinds of basis without a source on it, strongest first, with how many numbers have it."""
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    first: dict[str, Use] = {}
    for use in found:
        if use.basis and not use.sources:
            counts[use.page][use.basis.kind] += 1
            first.setdefault(use.page, use)
    strength = list(BASIS_NEEDS)
    return [
        (first[page], sorted(kinds.items(), key=lambda pair: strength.index(pair[0]))) for page, kinds in counts.items()
    ]
