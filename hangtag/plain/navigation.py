"""The navigation of the plain look, as the templates of the frame know it: pages, sections and links out.

Must not know how it is shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from hangtag.plain.settings import NavItem
from hangtag.problems import Problem, ProblemError


@dataclass(frozen=True)
class File:
    """Where a page comes from and where it goes, below the site's root."""

    src_uri: str
    url: str


@dataclass(eq=False)
class Page:
    """A page as templates know it; two are the same page only where they are the same object."""

    file: File
    title: str
    meta: Mapping[str, Any]
    content: str
    canonical_url: str | None
    edit_url: str | None
    first_place: str | None
    is_homepage: bool = False
    is_page: bool = True
    is_section: bool = False
    is_link: bool = False

    @property
    def url(self) -> str:
        """Its address below the site's root."""
        return self.file.url


@dataclass(frozen=True)
class Section:
    """A heading in the navigation with what stands under it."""

    title: str
    children: tuple[Page | Section | Link, ...]
    is_section: bool = True
    is_page: bool = False
    is_link: bool = False


@dataclass(frozen=True)
class Link:
    """An address out of the site."""

    title: str
    url: str
    is_link: bool = True
    is_page: bool = False
    is_section: bool = False


@dataclass
class Navigation:
    """The items of the navigation in their order."""

    items: Sequence[Page | Section | Link] = field(default_factory=list)
    homepage: Page | None = None

    def __iter__(self) -> Iterator[Page | Section | Link]:
        """The items of the first row."""
        return iter(self.items)


def navigation(nav: Sequence[NavItem] | None, pages: Mapping[str, Page], config: str) -> Navigation:
    """The navigation that mkdocs.yml at `config` asks for. Raises ProblemError for a page that is not there."""
    home = pages.get("index.md")
    wanted: Sequence[NavItem] = nav if nav is not None else ["index.md"]
    items = [_item(item, pages, config) for item in wanted]
    if home is not None and home in items:
        home.is_homepage = True
        return Navigation(items, home)
    return Navigation(items)


def _item(item: NavItem, pages: Mapping[str, Page], config: str) -> Page | Section | Link:
    title, target = (None, item) if isinstance(item, str) else next(iter(item.items()))
    if not isinstance(target, str):
        return Section(str(title), tuple(_item(child, pages, config) for child in target))
    if target in pages:
        page = pages[target]
        page.title = title or page.title
        return page
    if "://" in target or target.startswith("/"):
        return Link(title or target, target)
    raise ProblemError(Problem("plain-nav", {"page": target}, config))
