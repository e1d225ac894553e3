"""Small pieces of HTML that several rooms print: grouped digits, links inside raw HTML, an author's text as HTML.

A link in raw HTML names its target by its path in the site (`hangtag:terms/denier.md`); the room that knows the
generator turns it into an address. Must not know pages, templates or MkDocs.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from markdown import Markdown
from markupsafe import Markup, escape

if TYPE_CHECKING:
    from collections.abc import Callable

    from hangtag.book import Book
    from hangtag.entries import Scale

TARGET = "hangtag:"
_TARGETS = re.compile(rf'\b(href|src)="{TARGET}([^"#?]*)([^"]*)"')
_LINK = re.compile(r"\[\[([a-z0-9-]+)(?:\|([^\]\n]+))?\]\]")
_ENOUGH_TO_GROUP = 5


def grouped(text: str) -> Markup:
    """A number's text with its whole digits in threes from five digits on: `10<span class="ht-g">000</span>`.

    A style draws the gaps, so that the number is still copied and spoken as one.
    """
    whole, point, decimals = text.partition(".")
    sign = whole[: len(whole) - len(whole.lstrip("-−"))]
    digits = whole[len(sign) :]
    if not (digits.isascii() and digits.isdigit()) or len(digits) < _ENOUGH_TO_GROUP:
        return escape(text)
    first = len(digits) % 3 or 3
    groups = Markup("").join(
        Markup('<span class="ht-g">{}</span>').format(digits[at : at + 3]) for at in range(first, len(digits), 3)
    )
    return escape(sign + digits[:first]) + groups + escape(point + decimals)


def target(path: str) -> str:
    """The address of a file of the site, for `href` and `src` in raw HTML, until the real one is known."""
    return TARGET + path


def resolved(html: str, address: Callable[[str], str | None]) -> str:
    """HTML with every `hangtag:` address as a real one; those for which `address` knows none are left."""

    def one(match: re.Match[str]) -> str:
        attribute, path, rest = match.groups()
        found = address(path)
        return match[0] if found is None else f'{attribute}="{found}{rest}"'

    return _TARGETS.sub(one, html)


def plain_text(book: Book, text: str) -> str:
    """An author's text with its `[[links]]` as their words alone: for places that hold no HTML."""
    return _LINK.sub(lambda match: match[2] or _name_of(book, match[1]), text)


def inline(book: Book, text: str) -> Markup:
    """An author's plain text as HTML: all escaped but its `[[links]]`."""
    out, last = Markup(""), 0
    for match in _LINK.finditer(text):
        out += escape(text[last : match.start()])
        words = match[2] or _name_of(book, match[1])
        out += Markup('<a href="{}">{}</a>').format(target(f"terms/{match[1]}.md"), words)
        last = match.end()
    return out + escape(text[last:])


def block(book: Book, text: str) -> Markup:
    """An author's Markdown as HTML for a raw HTML block: links resolved, HTML in it shown as typed."""
    source = _LINK.sub(
        lambda match: f"[{match[2] or _name_of(book, match[1])}]({target(f'terms/{match[1]}.md')})", text
    )
    return Markup(_markdown()(source))


@cache
def _markdown() -> Callable[[str], str]:
    """A Markdown converter that knows no raw HTML, so that an author's `<` is shown and never run."""
    converter = Markdown(output_format="html")
    converter.preprocessors.deregister("html_block")
    converter.inlinePatterns.deregister("html")
    return lambda text: converter.reset().convert(text)


def _name_of(book: Book, entry: str) -> str:
    return str(book.entries[entry].name)


def limits(scale: Scale) -> str:
    """The limits of a scale's bands for a script, each in its own unit: `1000 mmH2O; 20 kPa =`.

    The sign marks a limit that belongs to the band it ends. Bands are compared in the limit's own unit.
    """
    written = []
    for band in scale.bands[:-1]:
        limit = band.below or band.up_to
        if limit is not None:
            written.append(f"{limit.text} {limit.unit.id}{'' if band.below else ' ='}")
    return "; ".join(written)
