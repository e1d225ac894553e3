"""The only list of what a site holds: pages, scripts, styles, drawings, JSON documents and moved addresses.

Must not know what turns Markdown into pages of HTML, nor write anything to disk.
"""

from __future__ import annotations

import html
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from hangtag import api, browser, schema
from hangtag.book import Book
from hangtag.entries import Entry
from hangtag.pages import hand_written, pages
from hangtag.resources import template_dirs
from hangtag.strings import DEFAULT_LANGUAGE

# Folders of site_templates/ that go into the site as they are.
AS_THEY_ARE = ("scripts", "styles", "drawings")


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


def site_files(book: Book, *, disk: bool = False, site_url: str | None = None) -> list[SiteFile]:
    """Every file of the site in a fixed order. `disk` gives addresses that work without a web server.

    `site_url` is the site's absolute address, where it is known: moved addresses then name the new one in full.
    """
    files = [
        *_pages(book),
        *(_moved(book, was, entry, disk, site_url) for entry in book.entries.values() for was in entry.was),
        SiteFile("scripts/hangtag.js", browser.runtime_script(book)),
        *(SiteFile(f"scripts/{name}", browser.part_script(book, name)) for name in browser.PARTS),
        *(
            SiteFile(f"calculators/{its.id}/formula.js", browser.formula_script(its))
            for its in book.calculators.values()
        ),
        *_copied(book),
        *(SiteFile(path, text) for path, text in api.documents(book).items()),
        *(SiteFile(f"schema/{name}", text) for name, text in schema.files().items()),
    ]
    return list({file.path: file for file in files}.values())


def _pages(book: Book) -> Iterator[SiteFile]:
    for page in pages(book, browser.calculator_html, book.language or DEFAULT_LANGUAGE):
        yield SiteFile(page.path, page.markdown, page.source)
    for path, file in hand_written(book).items():
        yield SiteFile(path, file.read_text(encoding="utf-8"), file)


def _copied(book: Book) -> Iterator[SiteFile]:
    """Files of the template folders, the nearest book's first, but for the scripts that are put together."""
    seen: set[str] = set()
    put_together = {f"scripts/{name}" for name in (*browser.RUNTIME, *browser.PARTS)}
    for folder in template_dirs(book):
        for name in AS_THEY_ARE:
            for file in sorted((folder / name).rglob("*")):
                path = file.relative_to(folder).as_posix()
                if file.is_file() and path not in seen | put_together:
                    seen.add(path)
                    yield SiteFile(path, file.read_bytes(), file)


def _moved(book: Book, was: str, entry: Entry, disk: bool, site_url: str | None) -> SiteFile:
    """A page at an old address that leads to the new one and keeps query and fragment.

    Without a script it still has a plain link; it is not for search engines.
    """
    path = f"terms/{was}.html" if disk else f"terms/{was}/index.html"
    to, up = (f"{entry.id}.html", "../") if disk else (f"../{entry.id}/", "../../")
    canonical = f"{site_url.rstrip('/')}/terms/{entry.id}/" if site_url else to
    text = html.escape(entry.name.within(book.language))
    return SiteFile(
        path,
        f"""<!doctype html>
<html lang="{book.language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>{text}</title>
<link rel="canonical" href="{html.escape(canonical)}">
<script src="{up}scripts/moved.js" data-to="{to}"></script>
</head>
<body>
<p><a href="{to}">{text}</a></p>
</body>
</html>
""",
    )
