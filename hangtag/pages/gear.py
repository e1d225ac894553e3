"""What stands on the page of a kind of gear and on the page that lists them, gathered for their templates.

The way in for a reader who has no word yet. Must not write Markdown, and must not say a number that no entry says.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hangtag.book import Gear
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.pages import gear_drawing
from hangtag.pages.entry_view import BandRow, sample_html, scale_view
from hangtag.pages.samples import samples
from hangtag.pages.writer import Writer, entry_path
from hangtag.strings import LocalText

INDEX = "gear/index.md"
_MOST_CALCULATORS = 6


@dataclass(frozen=True)
class Card:
    """One kind to choose: its name and its picture, where it has one."""

    kind: Gear
    picture: Markup | None


@dataclass(frozen=True)
class Word:
    """One word on a tag: its entry, how it is printed, what low and high mean; `wanted` where a good tag states it."""

    entry: Entry
    printed: Markup | None
    higher: LocalText | None
    low: BandRow | None
    high: BandRow | None
    wanted: bool


def cards(w: Writer) -> list[Card]:
    """Every kind that has a page, in the book's order."""
    return [Card(kind, gear_drawing.small(w, kind)) for kind in w.book.gear.values() if kind.has_page]


def gear_index_view(w: Writer) -> dict[str, Any]:
    """Everything `gear-index.md.j2` prints."""
    return {"gear": cards(w)}


def gear_view(w: Writer, kind: Gear) -> dict[str, Any]:
    """Everything `gear.md.j2` prints."""
    entries = w.book.entries
    named = [entries[its_id] for its_id in dict.fromkeys((*kind.tags, *kind.beside))]
    return {
        "kind": kind,
        "drawing": gear_drawing.large(w, kind.drawing) if kind.drawing else None,
        "parts": gear_drawing.parts(w, kind.drawing) if kind.drawing else (),
        "words": [_word(w, kind, entries[its_id]) for its_id in kind.tags],
        "beside": [entries[its_id] for its_id in kind.beside],
        "early": [] if kind.needs_time else [entry for entry in named if entry.needs_time],
        "calculators": _calculators(w, kind),
        "cautions": _cautions(w, named),
        "target": entry_target,
        "others": [other for other in w.book.gear.values() if other.has_page and other is not kind],
    }


def entry_target(entry: Entry) -> str:
    """An entry's path in the site, for a link in raw HTML."""
    return entry_path(entry.id)


def _word(w: Writer, kind: Gear, entry: Entry) -> Word:
    lines = samples(w.book, entry)
    view = scale_view(w, entry)
    rows = view.rows if view and len(view.rows) > 1 else ()
    return Word(
        entry,
        sample_html(lines[0]) if lines else None,
        view.scale.higher_is if view else None,
        rows[0] if rows else None,
        rows[-1] if rows else None,
        entry.id in kind.wanted,
    )


def _calculators(w: Writer, kind: Gear) -> list[Calculator]:
    """Those the book names for it, else the first of each entry on its tag."""
    names = kind.calculators or tuple(name for its_id in kind.tags for name in w.book.entries[its_id].calculators[:1])
    return [w.book.calculators[name] for name in list(dict.fromkeys(names))[:_MOST_CALCULATORS]]


def _cautions(w: Writer, named: list[Entry]) -> list[tuple[LocalText, list[Entry]]]:
    """Every caution of these entries, each once, with the entries that give it."""
    found: dict[str, list[Entry]] = defaultdict(list)
    texts: dict[str, LocalText] = {}
    for entry in named:
        for text in _cautions_of(entry):
            words = w.words(text)
            texts.setdefault(words, text)
            if entry not in found[words]:
                found[words].append(entry)
    return [(texts[words], entries) for words, entries in found.items()]


def _cautions_of(entry: Entry) -> Iterator[LocalText]:
    for text in (entry.caution, entry.inherited_caution, *(added.caution for added in entry.additions)):
        if text:
            yield text
