"""Where each file of a site stands and how one page reaches another: our own resolver of links.

Collects every link that leads nowhere, to files and to places within pages. Must not write files.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from urllib.parse import quote, unquote, urlsplit, urlunsplit
from xml.etree.ElementTree import Element

from markdown import Markdown
from markdown.treeprocessors import Treeprocessor
from markdown.util import AMP_SUBSTITUTE

from hangtag.pages import Addresses

_FOLLOWED = {"a": "href", "img": "src"}
_PLACE = re.compile(r'\b(?:id|name)="([^"]+)"')
_FRAGMENT = re.compile(r'\bhref="([^"#?]*)(?:\?[^"#]*)?#([^"]+)"')
LAST = 0  # after everything that makes links of its own


@dataclass(frozen=True)
class DeadLink:
    """A link on the page at `page` that leads nowhere."""

    page: str
    link: str


@dataclass
class Links:
    """The addresses of one site. `paths` are those of its files, pages as Markdown paths."""

    paths: frozenset[str]
    folders: bool
    dead: list[DeadLink] = field(default_factory=list)

    @classmethod
    def of(cls, paths: Iterable[str], *, folders: bool) -> Links:
        """The addresses of a site with these files."""
        return cls(frozenset(paths), folders)

    def written_at(self, path: str) -> str:
        """Where a file is written."""
        if not path.endswith(".md"):
            return path
        below = Addresses(folders=self.folders).below(path)
        return f"{below}index.html" if below.endswith("/") or not below else below

    def below(self, path: str) -> str:
        """The address of a file below the site's root; that of the home page is `./` where pages have folders."""
        return (Addresses(folders=self.folders).below(path) or "./") if path.endswith(".md") else quote(path)

    def between(self, page: str, path: str) -> str:
        """The address of a file as a link on a page."""
        return relative(self.below(page), self.below(path))

    def from_html(self, page: str, path: str) -> str | None:
        """The same for a file named by its path; None, and noted, where there is none."""
        if path not in self.paths:
            self.dead.append(DeadLink(page, path))
            return None
        return self.between(page, path)

    def from_markdown(self, page: str, link: str) -> str:
        """A link as its author wrote it as an address; what leads out of the site stays as it is."""
        scheme, host, path, query, anchor = urlsplit(link)
        if scheme or host or not path or AMP_SUBSTITUTE in link:
            return link
        target = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(path)))
        if path.startswith(("/", "\\")) or target not in self.paths:
            self.dead.append(DeadLink(page, link))
            return link
        return urlunsplit(("", "", self.between(page, target), query, anchor))

    def check_places(self, articles: dict[str, str]) -> None:
        """Note every link to a place that is not on its page. `articles` is the HTML of each page by its path."""
        places = {self.below(page): set(_PLACE.findall(html)) for page, html in articles.items()}
        for page, html in articles.items():
            here = self.below(page)
            for address, place in _FRAGMENT.findall(html):
                if urlsplit(address).scheme or urlsplit(address).netloc:
                    continue
                there = absolute(here, address) if address else here
                if there in places and unquote(place) not in places[there]:
                    self.dead.append(DeadLink(page, f"{address}#{place}"))


def relative(here: str, there: str) -> str:
    """The address `there` as seen from the page at `here`; both below the site's root."""
    folder = here if here.endswith("/") else posixpath.dirname(here)
    found = posixpath.relpath(there or ".", folder or ".")
    return f"{found}/" if there.endswith("/") or not there else found


def absolute(here: str, link: str) -> str:
    """A relative link on the page at `here` as an address below the site's root."""
    folder = here if here.endswith("/") else posixpath.dirname(here)
    found = posixpath.normpath(posixpath.join(folder, link))
    return f"{found}/" if link.endswith("/") else found


class LinkResolver(Treeprocessor):
    """Turns the links of one Markdown page after the other; `page` is the one at hand."""

    page = ""

    def __init__(self, converter: Markdown, links: Links) -> None:
        super().__init__(converter)
        self._links = links
        converter.treeprocessors.register(self, "hangtag-links", LAST)

    def run(self, root: Element) -> None:
        """Resolve every link and picture below `root`."""
        for element in root.iter():
            key = _FOLLOWED.get(element.tag)
            if key is not None and (link := element.get(key)) is not None:
                element.set(key, self._links.from_markdown(self.page, link))
