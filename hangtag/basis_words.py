"""Why a number may be believed, in words: the sentence that stands beside every number a reader meets.

The words are labels of the strings table; how a source is named in short is decided here. Must not know any output
format: a page passes in how it writes names and text.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from hangtag.book import Book
from hangtag.sources import Basis, Source
from hangtag.strings import DEFAULT_LANGUAGE

_DESIGNATION = re.compile(r"^[^:,;(–—]*[0-9][^,;(–—]*?(?=: | – | — |, |; | \(|$)")


def source_name(source: Source) -> str:
    """A source in the words a reader would ask for it by: a standard by its number, other works by author and title."""
    title = source.title
    if source.kind == "standard":
        number = _DESIGNATION.match(title)
        title = number[0].strip() if number else title
    elif source.authors and source.authors not in title:
        title = f"{source.authors}, {title}"
    year = source.edition or source.year
    return f"{title} ({year})" if year and year not in title else title


def basis_words(
    book: Book,
    basis: Basis,
    language: str = DEFAULT_LANGUAGE,
    *,
    name: Callable[[Source], str] = source_name,
    text: Callable[[str], str] = str,
) -> str:
    """One basis in words, such as `common practice, no source`.

    `name` writes a source (a page makes it a link), `text` writes what an author wrote (a page escapes it).
    """

    def named(source_id: str | None) -> str:
        source = book.sources.get(source_id or "")
        return name(source) if source else text(source_id or "")

    values = {
        "source": named(basis.source),
        "of": named(basis.of),
        "at": text(basis.at or ""),
        "working": text((basis.working or "").strip()),
        "by": text(basis.by or ""),
        "date": text(basis.date or ""),
    }
    label = "basis-" + basis.kind.replace(" ", "-")
    if basis.kind == "reported" and basis.at:
        label += "-at"
    if basis.kind == "derived" and not basis.working:
        label += "-only"
    return book.strings.say(label, language, **values)
