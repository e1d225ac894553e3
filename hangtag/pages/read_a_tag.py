"""What stands on the page that reads a tag: its samples, and the first of them read when the page is made.

Must not write Markdown; the tree of what was read is `tag_view`'s.
"""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from hangtag import tag_reader
from hangtag.book import Book
from hangtag.browser.tags import page_data, samples
from hangtag.pages.tag_view import TagView, written
from hangtag.pages.writer import Writer

PAGE = "read-a-tag.md"


def reads_tags(book: Book) -> bool:
    """Whether any entry says how tags print it: only then is there something to read."""
    return any(entry.reads for entry in book.entries.values())


def read_a_tag_view(w: Writer) -> dict[str, Any]:
    """Everything `read-a-tag.md.j2` prints."""
    its = samples(w.book, w.language)
    return {
        "kinds": list(w.book.gear.values()),
        "samples": [(w.book.gear[kind], text) for kind, text in its.items()],
        "worked": _worked(w, *next(iter(its.items()))) if its else None,
    }


def _worked(w: Writer, kind: str, text: str) -> tuple[str, Markup]:
    """The first sample and everything read in it, as the browser would show it."""
    reader = tag_reader.compile_book(w.book, w.language)
    tag = tag_reader.read(reader, text, kind).as_json()
    view = TagView(reader.data(), page_data(w.book, w.language))
    return text, Markup("\n").join(written(section) for section in view.explained(tag))
