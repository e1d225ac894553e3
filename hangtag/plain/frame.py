"""The page around an article: our own document, filled by the same templates of ours that fill a theme's.

Must not know how articles are made.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlsplit

import jinja2

from hangtag.book import Book
from hangtag.pages import Addresses, frame_words
from hangtag.plain.content import Content
from hangtag.plain.links import absolute, relative
from hangtag.plain.navigation import File, Page, navigation
from hangtag.plain.settings import Settings
from hangtag.problems import Problem, ProblemError
from hangtag.resources import CONFIG, template_dirs

OVERRIDES = "overrides"
PLAIN = "plain"
NOT_FOUND = "404.html"


class Frame:
    """Puts the frame around every page of one site."""

    def __init__(self, book: Book, settings: Settings, content: Content) -> None:
        self._content = content
        self._book = book
        self._settings = settings
        addresses = Addresses(settings.url, folders=settings.folders)
        self.pages = {path: _page(path, content, book, settings, addresses) for path in content.articles}
        # pages of the book carry the language of its labels; escaping is the templates' part, as under MkDocs
        self._templates = jinja2.Environment(loader=jinja2.FileSystemLoader(_folders(book, settings)))  # noqa: S701
        self._templates.filters.update(url=_url, script_tag=_script_tag)
        self._templates.globals.update(frame_words(book, addresses, self._below))
        self._context: dict[str, Any] = {
            "nav": navigation(settings.nav, self.pages, str(book.root / CONFIG)),
            "language": book.language,
            "config": SimpleNamespace(
                site_name=settings.name,
                site_url=settings.url,
                site_description=settings.description,
                copyright=settings.copyright,
                extra_css=settings.styles,
                extra_javascript=settings.scripts,
                extra=settings.extra,
                plugins={},
            ),
        }

    def around(self, page: Page) -> str:
        """The whole document of a page. Raises ProblemError for a template that only a theme could fill."""
        return self._render("main.html", page=page, base_url=relative(page.url, "./").rstrip("/"))

    def not_found(self) -> str:
        """The document for an address that is none: it may be asked for anywhere, so its links begin at the host."""
        path = urlsplit(self._settings.url or "/").path or "/"
        return self._render(NOT_FOUND, page=None, base_url=path.rstrip("/") or "/")

    def _render(self, name: str, **more: object) -> str:
        try:
            return self._templates.get_template(name).render({**self._context, **more})
        except jinja2.TemplateError as error:
            reason = f"{name}: {type(error).__name__}: {error}"
            raise ProblemError(Problem("plain-template", {"reason": reason}, str(self._book.root / CONFIG))) from error

    def _below(self, path: str) -> str:
        return self._content.links.below(path) if path in self._content.links.paths else path


def static_files(book: Book, settings: Settings) -> Mapping[str, Path]:
    """Files beside the frame's templates that go into the site, and the style sheet of this look."""
    found: dict[str, Path] = {}
    for folder in reversed([Path(name) for name in _folders(book, settings)]):
        for file in sorted(folder.rglob("*")):
            path = file.relative_to(folder).as_posix()
            hidden = any(part.startswith(".") for part in path.split("/"))
            if file.is_file() and not hidden and file.suffix not in {".html", ".py", ".pyc", ".yml"}:
                found[f"styles/{path}" if folder.name == PLAIN else path] = file
    return found


def _folders(book: Book, settings: Settings) -> list[str]:
    """Where templates are looked for: this book's, those of the books it inherits, then the plain document."""
    own = [settings.templates] if settings.templates and settings.templates.is_dir() else []
    found = [folder / name for name in (OVERRIDES, PLAIN) for folder in template_dirs(book)]
    return list(dict.fromkeys(str(folder.resolve()) for folder in (*own, *found) if folder.is_dir()))


def _page(path: str, content: Content, book: Book, settings: Settings, addresses: Addresses) -> Page:
    article = content.articles[path]
    source, root = article.source, book.root.resolve()
    below = source.resolve() if source is not None else None
    # a page of an inherited book is not this book's to edit
    own = below.relative_to(root).as_posix() if below is not None and below.is_relative_to(root) else None
    return Page(
        file=File(path, content.links.below(path)),
        title=article.title,
        meta=article.meta,
        content=article.html,
        canonical_url=addresses.of(path),
        edit_url=settings.edit_address(own),
        first_place=article.first_place,
    )


@jinja2.pass_context
def _url(context: jinja2.runtime.Context, address: str) -> str:
    """An address below the site's root as the page at hand needs it; whole addresses stay."""
    parts = urlsplit(address)
    if parts.scheme or parts.netloc or address.startswith(("/", "#")):
        return address
    page = context["page"]
    if page is not None:
        return relative(page.url, "./" if address in {"", ".", "./"} else address)
    return f"{context['base_url'].rstrip('/')}/{'' if address in {'', '.', './'} else absolute('./', address)}"


@jinja2.pass_context
def _script_tag(context: jinja2.runtime.Context, script: Any) -> str:  # noqa: ANN401  a path, or what YAML holds of one
    """The element for a script that mkdocs.yml adds: a path, or keys as MkDocs knows them."""
    said: Mapping[str, Any] = script if isinstance(script, Mapping) else {"path": script}
    kind = said.get("type") or ("module" if str(said["path"]).endswith(".mjs") else None)
    words = [f'src="{_url(context, str(said["path"]))}"', f'type="{kind}"' if kind else ""]
    words += [name for name in ("defer", "async") if said.get(name)]
    return f"<script {' '.join(word for word in words if word)}></script>"
