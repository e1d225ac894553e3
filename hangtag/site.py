"""The only list of what a site holds: pages, scripts, styles, drawings, JSON documents and moved addresses.

Must not know what turns Markdown into pages of HTML, nor write anything to disk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from hangtag import api, api_schema, browser, schema
from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.pages import FEED, Addresses, each_page, feed, hand_written, linked, moved, pages_about
from hangtag.pages.read_a_tag import reads_tags
from hangtag.resources import template_dirs
from hangtag.strings import DEFAULT_LANGUAGE

# Folders of site_templates/ that go into the site as they are.
AS_THEY_ARE = ("scripts", "styles", "drawings")
FINDER = ("finder.js", "finder-box.js", "finder-text.js")  # sources that go into the finder's scripts


@dataclass(frozen=True)
class SiteFile:
    """One file of a site. A Markdown path is a page; `source` is the file to edit where there is one."""

    path: str
    content: str | bytes
    source: Path | None = None

    @property
    def is_page(self) -> bool:
        """Whether this becomes a page of HTML with the theme around it."""
        return self.path.endswith(".md")


def site_files(
    book: Book,
    *,
    disk: bool = False,
    site_url: str | None = None,
    flat: bool = False,
    between: Callable[[], None] = lambda: None,
) -> list[SiteFile]:
    """Every file of the site in a fixed order. `disk` gives addresses that work without a web server.

    `site_url` is the site's absolute address, where it is known: pages then name their own, and there is a feed. `flat`
    says that the site on the web has no folders for pages, but files that end in .html. `between` is called before each
    page: what it raises ends the work.
    """
    addresses = Addresses(site_url or None, folders=not flat)
    files = [
        *_pages(book, addresses, between),
        *_moved(book, disk, addresses),
        *_feed(book, addresses),
        SiteFile("scripts/hangtag.js", browser.runtime_script(book)),
        *(SiteFile(f"scripts/{name}", browser.part_script(book, name)) for name in browser.PARTS),
        *(_formula(its) for its in book.calculators.values()),
        *_tags(book, disk),
        *_finder(book, disk=disk or flat),
        *_copied(book),
        *(SiteFile(path, text) for path, text in {**api.documents(book), **api_schema.files()}.items()),
        *(SiteFile(f"schema/{name}", text) for name, text in schema.files().items()),
    ]
    return list({file.path: file for file in files}.values())


def files_about(book: Book, its: Entry | Calculator, addresses: Addresses) -> list[SiteFile]:
    """The files that show an entry or a calculator itself; those that only mention it are left out."""
    about = pages_about(book, its, browser.calculator_html, addresses)
    files = [SiteFile(page.path, page.markdown, page.source) for page in about]
    return files if isinstance(its, Entry) else [_formula(its), *files]


def _formula(its: Calculator) -> SiteFile:
    return SiteFile(f"calculators/{its.id}/formula.js", browser.formula_script(its))


def _pages(book: Book, addresses: Addresses, between: Callable[[], None]) -> Iterator[SiteFile]:
    for page in each_page(book, browser.calculator_html, book.language or DEFAULT_LANGUAGE, addresses):
        between()
        yield SiteFile(page.path, page.markdown, page.source)
    for path, file in hand_written(book).items():
        yield SiteFile(path, linked(file.read_text(encoding="utf-8")), file)


def _moved(book: Book, disk: bool, addresses: Addresses) -> Iterator[SiteFile]:
    """A page at every earlier address of an entry or a calculator."""
    every: tuple[Entry | Calculator, ...] = (*book.entries.values(), *book.calculators.values())
    for its in every:
        for was in its.was:
            yield SiteFile(*moved(book, was, its, disk, addresses))


def _feed(book: Book, addresses: Addresses) -> Iterator[SiteFile]:
    text = feed(book, addresses, book.language or DEFAULT_LANGUAGE)
    if text is not None:
        yield SiteFile(FEED, text)


def _tags(book: Book, disk: bool) -> Iterator[SiteFile]:
    """The scripts of the page that reads a tag."""
    if reads_tags(book):
        yield SiteFile("scripts/tags.js", browser.tags_script(book))
        yield SiteFile("scripts/tags-data.js", browser.tags_data(book, disk=disk))


def _finder(book: Book, *, disk: bool) -> Iterator[SiteFile]:
    """The finder's scripts, loaded on first use; `disk` says that pages end in .html."""
    yield SiteFile("scripts/finder.js", browser.finder_script(book))
    yield SiteFile("scripts/finder-data.js", browser.finder_data(book, disk=disk))
    yield SiteFile("scripts/finder-text.js", browser.finder_text(book))


def _copied(book: Book) -> Iterator[SiteFile]:
    """Files of the template folders, the nearest book's first, but for the scripts that are put together."""
    seen: set[str] = set()
    put_together = {f"scripts/{name}" for name in (*browser.RUNTIME, *browser.PARTS, *browser.TAG_SCRIPTS, *FINDER)}
    for folder in template_dirs(book):
        for name in AS_THEY_ARE:
            for file in sorted((folder / name).rglob("*")):
                path = file.relative_to(folder).as_posix()
                if file.is_file() and path not in seen | put_together:
                    seen.add(path)
                    yield SiteFile(path, file.read_bytes(), file)
