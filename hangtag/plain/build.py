"""Builds the plain look of a site, for the web or for the disk.

Must not decide where it is written or how it takes the place of the last one: `output/` does.
"""

from __future__ import annotations

from pathlib import Path
from xml.sax.saxutils import escape

from hangtag.book import Book
from hangtag.output import Progress, written_whole
from hangtag.pages import Addresses
from hangtag.plain.content import Content, content_of
from hangtag.plain.frame import NOT_FOUND, Frame, static_files
from hangtag.plain.settings import Settings, read_settings

_SITEMAP = "sitemap.xml"


def build_plain(root: Path, out: Path, disk: bool = False, progress: Progress = lambda _: None) -> Path:
    """Build the plain look of the book in `root` into `out`, and give the folder's full path.

    With `disk` the site works from file://, and is also packed as `<out>.zip`. Raises ProblemError for problems of the
    book, of mkdocs.yml or of a page, for a folder that is not ours to replace, and where nothing can be written.
    """

    def writes(book: Book, site: Path) -> None:
        write_plain(book, site, disk=disk)

    return written_whole(root, out, writes, disk=disk, progress=progress)


def write_plain(book: Book, site: Path, *, disk: bool) -> None:
    """Write every file of the plain look of a loaded book into `site`."""
    settings = read_settings(book)
    content = content_of(book, settings, disk=disk)
    frame = Frame(book, settings, content)
    for path, file in static_files(book, settings).items():
        _write(site / path, file.read_bytes())
    for path, data in content.files.items():
        _write(site / path, data)
    for page in frame.pages.values():
        _write(site / content.links.written_at(page.file.src_uri), frame.around(page))
    _write(site / NOT_FOUND, frame.not_found())
    if settings.url:
        _write(site / _SITEMAP, _sitemap(content, settings))


def _sitemap(content: Content, settings: Settings) -> str:
    """The list of pages for search engines, in the form of sitemaps.org."""
    addresses = Addresses(settings.url, folders=settings.folders)
    lines = [f"  <url><loc>{escape(addresses.of(path) or '')}</loc></url>" for path in content.articles]
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n'
    return head + "\n".join(lines) + "\n</urlset>\n"


def _write(path: Path, data: str | bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data.encode() if isinstance(data, str) else data)
