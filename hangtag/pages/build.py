"""The list of a book's pages: which template makes each, and with what.

Hand-written pages are only found here; they need no template. Must not know MkDocs or at the scripts: a calculator's
block is handed in by the room that joins both.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.pages import headings, lists
from hangtag.pages.addresses import Addresses
from hangtag.pages.calculator_view import calculator_view
from hangtag.pages.corrections import PAGE as CORRECTIONS
from hangtag.pages.corrections import corrections_view
from hangtag.pages.description import describe
from hangtag.pages.entry_view import entry_view
from hangtag.pages.foot import foot
from hangtag.pages.gear import INDEX as GEAR
from hangtag.pages.gear import gear_index_view, gear_view
from hangtag.pages.read_a_tag import PAGE as READ_A_TAG
from hangtag.pages.read_a_tag import read_a_tag_view, reads_tags
from hangtag.pages.writer import Writer, area_path, calculator_path, entry_path, gear_path
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


def pages(
    book: Book,
    calculator_html: CalculatorHtml,
    language: str = DEFAULT_LANGUAGE,
    addresses: Addresses = Addresses(),  # noqa: B008  frozen, and says that the site knows no address of its own
) -> list[Page]:
    """Every page that is made from the book, hand-written ones aside (see `hand_written`)."""
    return list(each_page(book, calculator_html, language, addresses))


def each_page(
    book: Book,
    calculator_html: CalculatorHtml,
    language: str = DEFAULT_LANGUAGE,
    addresses: Addresses = Addresses(),  # noqa: B008  as above
) -> Iterator[Page]:
    """The same pages, each made when it is asked for."""
    return _Builder(book, calculator_html, language, addresses).all()


def pages_about(
    book: Book,
    its: Entry | Calculator,
    calculator_html: CalculatorHtml,
    addresses: Addresses = Addresses(),  # noqa: B008  as above
) -> Iterator[Page]:
    """The own page of an entry or a calculator, and where a calculator stands on the pages of entries, those."""
    builder = _Builder(book, calculator_html, book.language or DEFAULT_LANGUAGE, addresses)
    if isinstance(its, Entry):
        yield builder.entry(its.id)
    else:
        yield builder.calculator(its)
        for entry in book.entries_with(its.id):
            yield builder.entry(entry.id)


def hand_written(book: Book) -> dict[str, Path]:
    """The hand-written pages of the book and its parents by their path; the nearest book's page of a name wins."""
    found: dict[str, Path] = {}
    for folder in reversed(template_dirs(book)):
        docs = folder / "docs"
        for file in sorted(docs.rglob("*.md")):
            found[file.relative_to(docs).as_posix()] = file
    return found


@lru_cache(maxsize=4)
def templates(folders: tuple[str, ...]) -> jinja2.Environment:
    """The templates of pages in these folders, the nearest first; a template that changed on disk is read again."""
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(folders),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


class _Builder:
    """Renders the templates of one book; they are looked for in its own folder first, then in each parent's."""

    def __init__(self, book: Book, calculator_html: CalculatorHtml, language: str, addresses: Addresses) -> None:
        self._book = book
        self._addresses = addresses
        self._language = language
        self._calculator_html = calculator_html
        self._templates = templates(tuple(str(folder) for folder in template_dirs(book)))

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
        yield from self._gear()
        if reads_tags(book):
            reading = self._writer(READ_A_TAG)
            title, description = reading.say_text("tag-title"), reading.say_text("tag-description")
            yield self._page(reading, "read-a-tag", title, description, None, read_a_tag_view(reading))
        index = self._writer("a-to-z.md")
        yield self._list(index, "index", lists.index_view(index))
        for entry in book.entries.values():
            yield self.entry(entry.id)
        for calculator in book.calculators.values():
            yield self.calculator(calculator)
        sources = self._writer("sources.md")
        yield self._list(sources, "sources", lists.sources_view(sources))
        changed = self._writer(CORRECTIONS)
        yield self._list(changed, "corrections", corrections_view(changed, self._addresses))

    def _gear(self) -> Iterator[Page]:
        """The page of each kind of gear, after the page that lists them; none where no kind has one."""
        kinds = [kind for kind in self._book.gear.values() if kind.has_page]
        if kinds:
            index = self._writer(GEAR)
            yield self._list(index, "gear-index", gear_index_view(index))
        for kind in kinds:
            w = self._writer(gear_path(kind.id))
            title = w.words(kind.name)
            sentence = w.words(kind.in_short) if kind.in_short else title
            description = describe(sentence, title, w.say_text("gear-description-end"))
            yield self._page(w, "gear", title, description, kind.path, gear_view(w, kind))

    def calculator(self, calculator: Calculator) -> Page:
        """The page of one calculator."""
        w = self._writer(calculator_path(calculator.id))
        title = w.words(calculator.name)
        description = describe(w.words(calculator.question), title, w.say_text("calculator-description-end"))
        view = {**calculator_view(w, calculator), "foot": foot(w, calculator, self._addresses)}
        return self._page(w, "calculator", title, description, calculator.path, view)

    def entry(self, entry_id: str) -> Page:
        """The page of one entry."""
        entry = self._book.entries[entry_id]
        w = self._writer(entry_path(entry.id))
        title = w.words(entry.name)
        description = describe(w.words(entry.in_short), title, w.say_text("entry-description-end"))
        view = {**entry_view(w, entry), "foot": foot(w, entry, self._addresses)}
        return self._page(w, "entry", title, description, entry.path, view)

    def _list(self, w: Writer, kind: str, view: dict[str, Any]) -> Page:
        return self._page(w, kind, w.say_text(f"{kind}-title"), w.say_text(f"{kind}-description"), None, view)

    def _page(  # noqa: PLR0913  what a page is made of
        self, w: Writer, kind: str, title: str, description: str, source: str | None, view: dict[str, Any]
    ) -> Page:
        body = self._templates.get_template(f"{kind}.md.j2").render(
            w=w, book=self._book, calculator_html=self._calculator_in_page, **view
        )
        front = {"title": title, "description": description, "kind": kind}
        # JSON is YAML too, and quotes whatever an author wrote.
        matter = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in front.items())
        text = f"---\n{matter}---\n\n{headings.linked(body)}"
        return Page(w.path, title, text, Path(source) if source else None, description)

    def _calculator_in_page(self, calculator: Calculator, heading: str) -> Markup:
        return Markup(self._calculator_html(self._book, calculator, self._language, heading).strip())

    def _writer(self, path: str) -> Writer:
        return Writer(self._book, self._language, path)
