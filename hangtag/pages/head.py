"""What a page says of itself to machines: its entry as a schema.org DefinedTerm, the book and its areas as sets.

Only where the site knows its own address, since every term is named by its address. The words are those of the page.
Must not know MkDocs; whoever writes the head of a page puts this into it.
"""

from __future__ import annotations

import json
import posixpath

from markupsafe import Markup

from hangtag.book import Area, Book
from hangtag.entries import Entry
from hangtag.pages.addresses import Addresses
from hangtag.pages.writer import Writer, area_path, entry_path

HOME = "index.md"
Linked = dict[str, object]


def structured_data(book: Book, path: str, addresses: Addresses, language: str) -> Markup:
    """The page's data as an element of its head; empty for a page that has none.

    A block of data is no script: no browser runs it, and a strict content security policy lets it be.
    """
    found = linked_data(book, path, addresses, language)
    if found is None:
        return Markup("")
    # what an author wrote must not end the element
    text = json.dumps(found, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    return Markup(f'<script type="application/ld+json">{text}</script>')


def linked_data(book: Book, path: str, addresses: Addresses, language: str) -> Linked | None:
    """The JSON-LD of the page at a Markdown path, or None."""
    if addresses.root is None:
        return None
    w = Writer(book, language, path)
    kind, name = posixpath.split(path)
    its_id = name.removesuffix(".md")
    if path == HOME:
        return _book(w, addresses)
    if kind == "terms" and its_id in book.entries:
        return _term(w, book.entries[its_id], addresses)
    if kind == "areas" and its_id in book.areas:
        return _area(w, book.areas[its_id], addresses)
    return None


def _term(w: Writer, entry: Entry, addresses: Addresses) -> Linked:
    also = list(dict.fromkeys(name.within(w.language) for name in entry.also))
    return {
        "@context": "https://schema.org",
        "@type": "DefinedTerm",
        "@id": _id(entry_path(entry.id), entry.id, addresses),
        "name": w.words(entry.name),
        **({"alternateName": also} if also else {}),
        "description": w.words(entry.in_short),
        "url": addresses.of(entry_path(entry.id)),
        "termCode": entry.id,
        "inDefinedTermSet": {"@id": _id(HOME, "home", addresses)},
    }


def _book(w: Writer, addresses: Addresses) -> Linked:
    return {
        "@context": "https://schema.org",
        "@type": "DefinedTermSet",
        "@id": _id(HOME, "home", addresses),
        "name": w.book.title,
        "description": w.say_text("home-description"),
        "url": addresses.of(HOME),
        "inLanguage": w.book.language,
        "version": w.book.version,
        "hasPart": [{"@id": _id(area_path(area.id), area.id, addresses)} for area in w.book.areas.values()],
    }


def _area(w: Writer, area: Area, addresses: Addresses) -> Linked:
    return {
        "@context": "https://schema.org",
        "@type": "DefinedTermSet",
        "@id": _id(area_path(area.id), area.id, addresses),
        "name": w.words(area.name),
        "description": w.words(area.sentence),
        "url": addresses.of(area_path(area.id)),
        "inLanguage": w.book.language,
        "isPartOf": {"@id": _id(HOME, "home", addresses)},
        "hasDefinedTerm": [
            {"@id": _id(entry_path(entry.id), entry.id, addresses)} for entry in w.book.entries_of(area.id)
        ],
    }


def _id(path: str, anchor: str, addresses: Addresses) -> str:
    """What a set or a term is named by: the heading of its page."""
    return f"{addresses.of(path)}#{anchor}"
