"""What the templates of the frame around a page may call, whichever look it has.

Must not know MkDocs, nor where a page is written: addresses come from the room that does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol

from hangtag.book import Book
from hangtag.pages.addresses import Addresses
from hangtag.pages.description import describe_html
from hangtag.pages.foot import tell_address
from hangtag.pages.head import structured_data


class _HasPath(Protocol):
    """A page's file, as the generator that makes the page knows it."""

    @property
    def src_uri(self) -> str:
        """The Markdown path of the page."""


class _HasFile(Protocol):
    @property
    def file(self) -> _HasPath:
        """Where the page comes from."""


def frame_words(book: Book, addresses: Addresses, address_of: Callable[[str], str]) -> Mapping[str, Callable[..., str]]:
    """The functions by name. `address_of` gives the address of a file of the site, below the site's root."""

    def label(name: str, **values: object) -> str:
        return book.strings.say(name, book.language, **values)

    def structured(page: _HasFile | None) -> str:
        return structured_data(book, page.file.src_uri if page else "", addresses, book.language)

    def tell_us(kind: str) -> str:
        return tell_address(book, kind, book.language)

    return {"label": label, "structured": structured, "tell_us": tell_us, "at": address_of}


def described(book: Book, html: str, title: str) -> str:
    """The description of a page that brings none, from its first paragraph."""
    return describe_html(html, title, book.strings.say("home-description", book.language))
