"""The list of a book's pages: which template makes each, and with what.

Hand-written pages are only found here; they need no template. Must not know MkDocs or at the scripts: a calculator's
block is handed in by the room that joins both.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.pages import lists
from hangtag.pages.calculator_view import calculator_view
from hangtag.pages.description import describe
from hangtag.pages.entry_view import entry_view
from hangtag.pages.writer import Writer, area_path, calculator_path, entry_path
from hangtag.resources import template_dirs
from hangtag.strings import DEFAULT_LANGUAGE

# (book, calculator, language, tag of its heading or "") -> one block of HTML that begins at column 0
CalculatorHtml = Callable[[Book, Calculator, str, str], str]


@dataclass(frozen=True)
class Page:
    """One page as Markdown with front matter. `path` is where it stands among the pages, such as `terms/denier.md`."""

    path: str
    title: str
    markdown: str
    source: Path | None
    description: str


def pages(book: Book, calculator_html: CalculatorHtml, language: str = DEFAULT_LANGUAGE) -> list[Page]:
    """Every page that is made from the book, hand-written ones aside (see `hand_written`)."""
    return list(_Builder(book, calculator_html, language).all())


def hand_written(book: Book) -> dict[str, Path]:
    """The hand-written pages of the book and its parents by their path; the nearest book's page of a name wins."""
    found: dict[str, Path] = {}
    for folder in reversed(template_dirs(book)):
        docs = folder / "docs"
        for file in sorted(docs.rglob("*.md")):
            found[file.relative_to(docs).as_posix()] = file
    return found


class _Builder:
    """Renders the templates of one book; they are looked for in its own folder first, then in each parent's."""

    def __init__(self, book: Book, calculator_html: CalculatorHtml, language: str) -> None:
        self._book = book
        self._language = language
        self._calculator_html = calculator_html
        self._templates = jinja2.Environment(
            loader=jinja2.FileSystemLoader([str(folder) for folder in template_dirs(book)]),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )

    def all(self) -> Iterator[Page]:
        """The pages in the order a reader would meet them."""
        book = self._book
        home = self._writer("index.md")
        yield self._page(home, "home", book.title, home.say_text("home-description"), None, lists.home_view(home))
        for area in book.areas.values():
            w = self._writer(area_path(area.id))
            title = w.words(area.name)
            names = ", ".join(w.words(entry.name) for entry in book.entries_of(area.id))
            description = describe(w.words(area.sentence), title, w.say_text("area-description-end", names=names))
            yield self._page(w, "area", title, description, area.path, lists.area_view(w, area))
        index = self._writer("a-to-z.md")
        yield self._list(index, "index", lists.index_view(index))
        for entry in book.entries.values():
            yield self._entry(entry.id)
        for calculator in book.calculators.values():
            w = self._writer(calculator_path(calculator.id))
            title = w.words(calculator.name)
            description = describe(w.words(calculator.question), title, w.say_text("calculator-description-end"))
            yield self._page(w, "calculator", title, description, calculator.path, calculator_view(w, calculator))
        sources = self._writer("sources.md")
        yield self._list(sources, "sources", lists.sources_view(sources))

    def _entry(self, entry_id: str) -> Page:
        entry = self._book.entries[entry_id]
        w = self._writer(entry_path(entry.id))
        title = w.words(entry.name)
        description = describe(w.words(entry.in_short), title, w.say_text("entry-description-end"))
        return self._page(w, "entry", title, description, entry.path, entry_view(w, entry))

    def _list(self, w: Writer, kind: str, view: dict[str, Any]) -> Page:
        return self._page(w, kind, w.say_text(f"{kind}-title"), w.say_text(f"{kind}-description"), None, view)

    def _page(  # noqa: PLR0913  what a page is made of
        self, w: Writer, kind: str, title: str, description: str, source: str | None, view: dict[str, Any]
    ) -> Page:
        body = self._templates.get_template(f"{kind}.md.j2").render(
            w=w, book=self._book, calculator_html=self._calculator, **view
        )
        front = {"title": title, "description": description, "kind": kind}
        # JSON is YAML too, and quotes whatever an author wrote.
        matter = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in front.items())
        return Page(w.path, title, f"---\n{matter}---\n\n{body}", Path(source) if source else None, description)

    def _calculator(self, calculator: Calculator, heading: str) -> Markup:
        return Markup(self._calculator_html(self._book, calculator, self._language, heading).strip())

    def _writer(self, path: str) -> Writer:
        return Writer(self._book, self._language, path)
