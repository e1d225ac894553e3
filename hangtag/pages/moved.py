"""A page at an old address that leads to the new one and keeps query and fragment.

Without a script it still has a plain link; it is not for search engines. Must not decide which addresses are old.
"""

from __future__ import annotations

import html
import posixpath

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.pages.addresses import Addresses
from hangtag.pages.description import describe
from hangtag.pages.writer import Writer, calculator_path, entry_path


def moved(book: Book, was: str, its: Entry | Calculator, disk: bool, addresses: Addresses) -> tuple[str, str]:
    """The path and the HTML of the page at the old id `was`. `disk` gives addresses that work without a web server."""
    path_of = entry_path if isinstance(its, Entry) else calculator_path
    here, there = Addresses("", folders=not disk).below(path_of(was)), path_of(its.id)
    path = f"{here}index.html" if here.endswith("/") else here
    to = _relative(path, Addresses("", folders=not disk).below(there))
    canonical = addresses.of(there)
    w = Writer(book, book.language, there)
    title = html.escape(w.words(its.name))
    sentence, more = (its.in_short, "entry") if isinstance(its, Entry) else (its.question, "calculator")
    description = html.escape(describe(w.words(sentence), w.words(its.name), w.say_text(f"{more}-description-end")))
    own_address = f'<meta property="og:url" content="{html.escape(canonical)}">\n' if canonical else ""
    return (
        path,
        f"""<!doctype html>
<html lang="{book.language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>{title}</title>
<meta name="description" content="{description}">
<link rel="canonical" href="{html.escape(canonical or to)}">
<meta property="og:title" content="{title}">
<meta property="og:type" content="article">
<meta property="og:site_name" content="{html.escape(book.title)}">
<meta property="og:description" content="{description}">
{own_address}<script src="{_relative(path, "scripts/moved.js")}" data-to="{to}"></script>
</head>
<body>
<p><a href="{to}">{title}</a></p>
</body>
</html>
""",
    )


def _relative(path: str, to: str) -> str:
    relative = posixpath.relpath(to, posixpath.dirname(path))
    return f"{relative}/" if to.endswith("/") else relative
