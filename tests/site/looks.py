"""Comparing looks: what stands inside the article of every page, and links that lead nowhere."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import unquote, urlsplit

_ARTICLE = re.compile(rb"<article\b[^>]*>(.*)</article>", re.DOTALL)
_LINK = re.compile(r'\b(?:href|src)="([^"]*)"')
_ID = re.compile(r'\bid="([^"]*)"')
# it stands at any address, and is no page of the book
_NO_PAGE = "404.html"


def articles(site: Path) -> dict[str, bytes]:
    """What stands inside the article of each page, by the page's path."""
    found = {}
    for file in sorted(site.rglob("*.html")):
        article = _ARTICLE.search(file.read_bytes())
        if article and file.name != _NO_PAGE:
            found[file.relative_to(site).as_posix()] = article[1]
    return found


def our_files(site: Path) -> dict[str, bytes]:
    """Every file that we write and no theme does: scripts, styles, data, drawings, moved pages."""
    ours = ("api/", "calculators/", "drawings/", "schema/", "scripts/", "styles/", "terms/", "corrections.xml")
    pages = articles(site)
    paths = {file.relative_to(site).as_posix(): file for file in sorted(site.rglob("*")) if file.is_file()}
    return {path: file.read_bytes() for path, file in paths.items() if path.startswith(ours) and path not in pages}


def dead_links(site: Path) -> list[tuple[str, str]]:
    """Links to files that are not there, to folders without a page, and to places that a page does not have."""
    pages = {file: file.read_text(encoding="utf-8") for file in sorted(site.rglob("*.html")) if file.name != _NO_PAGE}
    places = {file: set(_ID.findall(text)) for file, text in pages.items()}
    dead = []
    for page, text in pages.items():
        for link in _LINK.findall(text):
            parts = urlsplit(link)
            if parts.scheme or parts.netloc:
                continue
            target = (page.parent / unquote(parts.path)).resolve() if parts.path else page
            target = target / "index.html" if target.is_dir() else target
            placed = not parts.fragment or target not in places or unquote(parts.fragment) in places[target]
            if not target.is_file() or not placed:
                dead.append((page.relative_to(site).as_posix(), link))
    return dead
