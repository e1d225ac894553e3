"""The finder's scripts: the search with the normaliser before it, its data, and the whole text for a second look.

All are loaded on first use only. Must not rank: the rules are those of `hangtag/finder/`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from hangtag import markup, words
from hangtag.book import Book
from hangtag.browser.scripts import literal, nearest, without_comments
from hangtag.browser.shorten import shortened
from hangtag.finder import Index, index
from hangtag.finder.index import LABELS, labels
from hangtag.resources import template_dirs
from hangtag.strings import LocalText

# Of numbers.js the normaliser needs only this; pages with numbers of their own have all of it already.
_READINGS = re.compile(r"// <readings>\n(.*?)// </readings>", re.DOTALL)
_MARKDOWN = re.compile(r"[*_`#>|]+|^\s*[-+]\s+|\]\([^)]*\)|[\[\]]", re.MULTILINE)


def finder_script(book: Book) -> str:
    """scripts/finder.js: the readings of digits, the normaliser, the search, its words and its field."""
    folders = template_dirs(book)
    numbers, search, box = (
        nearest(folders, name).read_text(encoding="utf-8") for name in ("numbers.js", "finder.js", "finder-box.js")
    )
    readings = "".join(_READINGS.findall(numbers))
    said = {name.removeprefix(LABELS): text for name, text in labels(book).items()}
    sources = (
        "window.hangtag = window.hangtag || {};",
        f"hangtag.numbers ??= (function () {{\n{readings}return {{ honest }};\n}})();",
        words.to_javascript(),
        search,
        f"Object.assign(hangtag.finder.labels, {literal(said)});",
        box,
    )
    return shortened("\n".join(map(without_comments, sources))) + "\n"


def finder_data(book: Book, *, disk: bool) -> str:
    """scripts/finder-data.js: the index. `disk` says that pages end in .html."""
    its: Index = index(book)
    return f"hangtag.finder.load({literal({**its.data, 'disk': 1} if disk else its.data)});\n"


def finder_text(book: Book) -> str:
    """scripts/finder-text.js: where else words stand, with the text of every entry and each calculator's question."""
    source = nearest(template_dirs(book), "finder-text.js").read_text(encoding="utf-8")
    says = {name: book.strings.say(f"mentioned-{name}", book.language) for name in ("some", "none")}
    return f"{without_comments(source)}\nhangtag.finder.define({literal(says)}, {literal(list(_texts(book)))});\n"


def _texts(book: Book) -> Iterator[tuple[str, str, str]]:
    """(page, name, text) of every entry, then of every calculator."""
    language = book.language
    for entry in book.entries.values():
        parts: tuple[LocalText | None, ...] = (
            entry.in_short, entry.text, entry.needs_time, *entry.ask, entry.watch_out, entry.caution,
            *(its.how for its in entry.measured_by),
        )  # fmt: skip
        text = " ".join(_plain(book, part.within(language)) for part in parts if part is not None)
        yield f"terms/{entry.id}/", entry.name.within(language), text
    for calculator in book.calculators.values():
        yield f"calculators/{calculator.id}/", calculator.question.within(language), calculator.name.within(language)


def _plain(book: Book, text: str) -> str:
    """An author's text without links and marks, on one line."""
    return " ".join(_MARKDOWN.sub(" ", markup.plain_text(book, text)).split())
