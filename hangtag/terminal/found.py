"""What the finder found, as lines: each name with its id and why it is there. Must not rank."""

from __future__ import annotations

from collections.abc import Iterator

from hangtag.book import Book
from hangtag.finder import Found
from hangtag.terminal.lines import BLANK, Kind, Line, Words


def found_lines(book: Book, found: Found) -> Iterator[Line]:
    """The results best first, or the nearest names; at the end the command that shows the first of them."""
    words = Words(book, book.language)
    for result in found.results:
        yield Line(f"{result.name} ({result.id})", Kind.RESULT)
        yield Line(result.because, Kind.SOFT, indent=2)
    if not found.results:
        yield Line(words.say("search-nearest", typed=found.query))
        yield from (Line(f"{near.name} ({near.id})", Kind.RESULT, indent=2) for near in found.nearest)
    shown = next((its.term for its in found.results if its.term), None) or next((n.id for n in found.nearest), None)
    if shown:
        yield BLANK
        yield Line(f"hangtag show {shown}", Kind.COMMAND)
