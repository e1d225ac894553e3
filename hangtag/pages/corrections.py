"""Every changed number of a book by date, the newest first: as a page, and as an Atom feed (RFC 4287).

Made from the `history` of entries and calculators. Must not know where a feed is served.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any
from xml.etree import ElementTree as ET

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Change, Entry
from hangtag.pages.addresses import Addresses
from hangtag.pages.writer import Writer, calculator_path, entry_path

PAGE = "corrections.md"
FEED = "corrections.xml"
_ATOM = "http://www.w3.org/2005/Atom"
_NEVER = "1970-01-01"  # a feed must say when it was updated, and nothing in this book has a date


@dataclass(frozen=True)
class Correction:
    """One line of history, and whose it is."""

    owner: Entry | Calculator
    change: Change

    @property
    def page(self) -> str:
        """The page the number stands on."""
        return entry_path(self.owner.id) if isinstance(self.owner, Entry) else calculator_path(self.owner.id)

    @property
    def anchor(self) -> str:
        """Its place on the page of corrections: it follows from what the line says, so more lines do not move it."""
        change = self.change
        said = f"{self.page}\n{change.date}\n{change.was}\n{change.now}"
        return f"{self.owner.id}-{change.date}-{hashlib.sha256(said.encode()).hexdigest()[:6]}"


def corrections(book: Book) -> list[Correction]:
    """Every line of history of a book, the newest first, then by page."""
    owners: tuple[Entry | Calculator, ...] = (*book.entries.values(), *book.calculators.values())
    found = [Correction(owner, change) for owner in owners for change in owner.history]
    return sorted(found, key=lambda one: one.change.date, reverse=True)


def corrections_view(w: Writer, addresses: Addresses) -> dict[str, Any]:
    """Everything `corrections.md.j2` prints: the dates with their lines, and whether there is a feed."""
    days = groupby(corrections(w.book), key=lambda one: one.change.date)
    return {"days": [(date, list(lines)) for date, lines in days], "feed": addresses.file(FEED)}


def feed(book: Book, addresses: Addresses, language: str) -> str | None:
    """The corrections as an Atom feed; None where the site does not know its address, since a feed needs one."""
    page, own = addresses.of(PAGE), addresses.file(FEED)
    if page is None or own is None:
        return None
    found = corrections(book)

    def say(name: str, **values: object) -> str:
        return book.strings.say(name, language, **values)

    root = ET.Element("feed", {"xmlns": _ATOM, "xml:lang": language})
    _add(root, "id", page)
    _add(root, "title", say("corrections-feed-title", book=book.title))
    _add(root, "subtitle", say("corrections-description"))
    _add(root, "updated", _moment(max(_dates(book, found), default=_NEVER)))
    _add(_add(root, "author"), "name", book.title)
    _add(root, "link", rel="self", type="application/atom+xml", href=own)
    _add(root, "link", rel="alternate", type="text/html", href=page)
    for one in found:
        entry = _add(root, "entry")
        change = one.change
        words = {"was": change.was, "now": change.now, "because": change.because}
        _add(entry, "id", f"{page}#{one.anchor}")
        _add(entry, "title", one.owner.name.within(language))
        _add(entry, "updated", _moment(change.date))
        _add(entry, "link", rel="alternate", type="text/html", href=addresses.of(one.page) or "")
        _add(entry, "content", say("corrections-line", **words), type="text")
    ET.indent(root)
    return ET.tostring(root, encoding="unicode", xml_declaration=False).join(
        ('<?xml version="1.0" encoding="utf-8"?>\n', "\n")
    )


def _dates(book: Book, found: list[Correction]) -> Iterator[str]:
    yield from (one.change.date for one in found)
    yield from (entry.reviewed for entry in book.entries.values() if entry.reviewed)


def _moment(date: str) -> str:
    """A date, which may be a month or a year alone, as RFC 3339 wants it: its first moment."""
    return "-".join([*date.split("-"), "01", "01"][:3]) + "T00:00:00Z"


def _add(parent: ET.Element, name: str, text: str | None = None, **attributes: str) -> ET.Element:
    element = ET.SubElement(parent, name, attributes)
    element.text = text
    return element
