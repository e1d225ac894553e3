"""Every file of a site and its pages as articles: Markdown with the book's extensions, links resolved.

Must not know the frame around an article.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from markdown import Markdown

from hangtag import markup
from hangtag.book import Book
from hangtag.pages import described
from hangtag.plain.links import LinkResolver, Links
from hangtag.plain.settings import Settings
from hangtag.problems import Problem, ProblemError
from hangtag.resources import CONFIG
from hangtag.site import SiteFile, site_files

_MATTER = re.compile(r"---[ \t]*\n(.*?\n)(?:---|\.\.\.)[ \t]*\n", re.DOTALL)
_HEADING = re.compile(r"<h1\b[^>]*>(.*?)</h1>", re.DOTALL)
_HOME = ("index.md", "README.md")
# Sources of a book and what browsers have no use for.
_KEPT_OUT = (".yml", ".yaml", ".map")


@dataclass(frozen=True)
class Article:
    """One page: what its front matter says, and what stands inside its article."""

    path: str
    meta: Mapping[str, Any]
    title: str
    html: str
    first_place: str | None
    source: Path | None


@dataclass(frozen=True)
class Content:
    """A whole site without its frame: files as they are, and articles by their path."""

    links: Links
    files: Mapping[str, str | bytes]
    articles: Mapping[str, Article] = field(default_factory=dict)


def whole_list(book: Book, settings: Settings, *, disk: bool) -> dict[str, SiteFile]:
    """Every file of the site by its path: those of the book, and what else lies in its folder of documents."""
    flat = not settings.folders
    ours = site_files(book, disk=disk or flat, site_url=settings.url, flat=flat)
    return {**{file.path: file for file in _documents(settings.docs)}, **{file.path: file for file in ours}}


def content_of(book: Book, settings: Settings, *, disk: bool) -> Content:
    """The content of a book's site. Raises ProblemError with every link that leads nowhere."""
    listed = whole_list(book, settings, disk=disk)
    links = Links.of(listed, folders=settings.folders and not disk)
    converter = converter_for(settings, book)
    resolver = LinkResolver(converter, links)
    articles: dict[str, Article] = {}
    for path, file in listed.items():
        if file.is_page:
            resolver.page = path
            articles[path] = _article(book, file, converter, links)
    links.check_places({path: article.html for path, article in articles.items()})
    raise_for_dead(links, listed, book)
    files = {path: file.content for path, file in listed.items() if not file.is_page}
    return Content(links, files, articles)


def converter_for(settings: Settings, book: Book) -> Markdown:
    """Markdown with the book's extensions. Raises ProblemError where one of them is not installed."""
    try:
        return Markdown(
            extensions=list(settings.extensions),
            extension_configs={name: dict(options) for name, options in settings.extensions.items()},
        )
    except (ImportError, AttributeError, TypeError, KeyError, ValueError) as error:
        path = str(book.root / CONFIG)
        raise ProblemError(Problem("plain-extension", {"because": str(error).strip('"')}, path)) from error


def raise_for_dead(links: Links, listed: Mapping[str, SiteFile], book: Book) -> None:
    """Raise ProblemError with every link that leads nowhere, if there is any."""
    problems = []
    for dead in dict.fromkeys(links.dead):
        source = listed[dead.page].source
        where = str(source or book.root / CONFIG)
        problems.append(Problem("plain-dead-link", {"page": dead.page, "link": dead.link}, where))
    if problems:
        raise ProblemError(*problems)


def parts_of(text: str) -> tuple[dict[str, Any], str]:
    """A page's front matter and the Markdown below it."""
    found = _MATTER.match(text)
    if found is None:
        return {}, text.lstrip("\n")
    try:
        meta = yaml.safe_load(found[1])
    except yaml.YAMLError:
        return {}, text
    return (meta, text[found.end() :].lstrip("\n")) if isinstance(meta, dict) else ({}, text)


def _article(book: Book, file: SiteFile, converter: Markdown, links: Links) -> Article:
    text = file.content if isinstance(file.content, str) else file.content.decode("utf-8-sig")
    meta, body = parts_of(text)
    html = converter.reset().convert(body)
    heading = _HEADING.search(html)
    name = "Home" if file.path in _HOME else Path(file.path).stem.replace("-", " ").replace("_", " ")
    title = str(meta.get("title") or (re.sub(r"<[^>]+>", "", heading[1]).strip() if heading else name.capitalize()))
    if not meta.get("description"):
        meta = {**meta, "description": described(book, html, title)}
    places = getattr(converter, "toc_tokens", [])
    return Article(
        path=file.path,
        meta=meta,
        title=title,
        html=markup.resolved(html, lambda path: links.from_html(file.path, path)),
        first_place=places[0]["id"] if places else None,
        source=file.source,
    )


def _documents(folder: Path) -> Iterator[SiteFile]:
    """What lies in a book's folder of documents: pages, and whatever they show."""
    for file in sorted(folder.rglob("*")):
        path = file.relative_to(folder).as_posix()
        hidden = any(part.startswith(".") for part in path.split("/")) or path.startswith("templates/")
        second_home = file.name == "README.md" and file.with_name("index.md").exists()
        if file.is_file() and not hidden and not second_home and file.suffix not in _KEPT_OUT:
            is_text = file.suffix == ".md"
            yield SiteFile(path, file.read_text(encoding="utf-8-sig") if is_text else file.read_bytes(), file)
