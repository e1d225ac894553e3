"""The scripts of the page that reads a tag: the reader with what it needs before it, and a book's data for it.

Only that page loads them. Must not read tags: the rules are those of `hangtag/tag_reader/`.
"""

from __future__ import annotations

from typing import Any

from hangtag import markup, tag_reader, words
from hangtag.book import Book
from hangtag.browser.scripts import ascii_spelling, literal, nearest, without_comments
from hangtag.resources import template_dirs
from hangtag.strings import DEFAULT_LANGUAGE

# In the order in which they need each other; the normaliser of words goes after the first.
TAG_SCRIPTS = (
    "tag-items.js",
    "tag-quantities.js",
    "tag-match.js",
    "tag-judge.js",
    "tag-explain.js",
    "tag-reader.js",
    "tag-compare.js",
    "tag-view.js",
    "tag-page.js",
)


LABELS = "tag-"
SAMPLES = "tag-sample-"


def tags_script(book: Book) -> str:
    """scripts/tags.js: numbers, the normaliser of words, the reader, and the page."""
    folders = template_dirs(book)
    first, *rest = (nearest(folders, name).read_text(encoding="utf-8") for name in ("numbers.js", *TAG_SCRIPTS))
    return "".join(map(without_comments, (first, words.to_javascript(), *rest))) + "\n"


def tags_data(book: Book, *, disk: bool = False) -> str:
    """scripts/tags-data.js: the data of the Reader and of the page. `disk` says that pages end in .html."""
    language = book.language or DEFAULT_LANGUAGE
    data = {"reader": tag_reader.compile_book(book, language).data(), "page": page_data(book, language)}
    return f"hangtag.tag.load({literal({**data, 'disk': disk})});\n"


def samples(book: Book, language: str) -> dict[str, str]:
    """The invented tags by their kind of gear, for the kinds that the book has."""
    table = book.strings.table(language)
    return {kind: table[SAMPLES + kind] for kind in book.gear if SAMPLES + kind in table}


def page_data(book: Book, language: str) -> dict[str, Any]:
    """What the page needs beside the data of the Reader: its labels, units for eye, ear and address, questions."""
    table = book.strings.table(language)
    return {
        "labels": {
            name.removeprefix(LABELS): text
            for name, text in table.items()
            if name.startswith(LABELS) and not name.startswith(SAMPLES)
        },
        "units": {
            unit.id: [unit.prints if ascii_spelling(unit) else "", unit.says, ascii_spelling(unit)]
            for unit in book.units.units.values()
        },
        "calculators": {
            its.id: markup.plain_text(book, its.question.within(language)) for its in book.calculators.values()
        },
    }
