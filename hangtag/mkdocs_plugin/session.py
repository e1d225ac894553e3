"""The pages of a live preview: built whole once, then only what changed, told by hashes of what pages are made from.

Whatever is written is written aside first and moved in file by file, so that a reader never meets half a page and a
failed build changes nothing. Must not serve pages, nor know what is wrong with a book.
"""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

from jinja2 import TemplateError
from mkdocs.commands.build import get_context
from mkdocs.config.base import Config
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File
from mkdocs.structure.pages import Page

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Entry
from hangtag.memory import fingerprint
from hangtag.mkdocs_plugin.build import plugin_of, run_mkdocs, template_problem
from hangtag.pages import frame_words, templates
from hangtag.resources import CONFIG, template_dirs
from hangtag.site import files_about

if TYPE_CHECKING:
    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.files import Files
    from mkdocs.structure.nav import Navigation

Stamps = Mapping[str, str]
# Parts of site_templates/ that stand around every page: where one changes, every page does.
_FRAME = ("overrides", "strings")


class Interrupted(Exception):
    """Raised in a build that is no longer wanted."""


class Session:
    """The built pages of one book in `pages`, and what MkDocs knew when it made them."""

    def __init__(self, root: Path, work: Path) -> None:
        self._root = root
        self._work = work
        self._count = 0
        self._kept: _Companion | None = None
        self._frame: tuple[object, ...] = ()
        self.pages = self._next_folder()

    def build(self, book: Book, between: Callable[[], None] = lambda: None) -> bool:
        """Bring every page up to date, and say whether one changed. `between` may raise Interrupted to end it early.

        Raises ProblemError where MkDocs fails; the pages then stand as they were.
        """
        frame = _frame(book)
        anew = self._kept is None or frame != self._frame
        if anew:
            templates.cache_clear()
        companion = _Companion({} if self._kept is None or anew else self._kept.stamps, between)
        aside = self._next_folder()
        try:
            run_mkdocs(self._root, book, aside, disk=False, companion=companion)
            between()
        except BaseException:
            shutil.rmtree(aside)
            raise
        if self._kept is not None and not anew and companion.titles != self._kept.titles:
            shutil.rmtree(aside)
            self._frame = ()
            return self.build(book, between)
        if anew:
            last, self.pages = self.pages, aside
            shutil.rmtree(last)
        else:
            self._take_over(aside, companion)
        pages_changed = anew or any(name.endswith(".md") for name in companion.changed)
        self._kept, self._frame = companion, frame
        return pages_changed

    def show(self, book: Book, changed: list[Entry | Calculator]) -> None:
        """Make the pages of these few at once; pages that only mention them, and new pages, wait for `build`."""
        kept = self._kept
        if kept is None or not changed:
            return
        plugin = plugin_of(kept.site)
        plugin.book = book
        plugin.on_env(kept.env, config=kept.site, files=kept.files)
        made = {
            ours.path: plugin.generated(ours, kept.site)
            for its in changed
            for ours in files_about(book, its, plugin.addresses)
            if kept.files.get_file_from_path(ours.path) is not None
        }
        stamp = _stamping(book, kept.site)
        new = {name: stamp(file) for name, file in made.items()}
        made = {name: file for name, file in made.items() if new[name] != kept.stamps[name]}
        try:
            texts = {
                name: kept.page(file) if name.endswith(".md") else file.content_bytes for name, file in made.items()
            }
        except TemplateError as error:
            raise template_problem(error, self._root / CONFIG) from error
        for name, file in made.items():
            old = kept.files.get_file_from_path(name)
            if old is not None:
                kept.files.remove(old)
            kept.files.append(file)
            _replace(self.pages / file.dest_uri, texts[name])
            kept.stamps[name] = new[name]

    def address_of(self, page: str) -> str | None:
        """The address, below the site's root, of the page at a Markdown path; None where there is none."""
        file = self._kept.files.get_file_from_path(page) if self._kept else None
        return file.url if file else None

    def page_at(self, address: str) -> str | None:
        """The Markdown path of the page that stands at an address below the site's root."""
        wanted = {address, f"{address}index.html", f"{address}/index.html"}
        for file in self._kept.files.documentation_pages() if self._kept else ():
            if file.dest_uri in wanted:
                return file.src_uri
        return None

    def _take_over(self, aside: Path, companion: _Companion) -> None:
        before = self._kept
        for file in sorted(path for path in aside.rglob("*") if path.is_file()):
            target = self.pages / file.relative_to(aside)
            target.parent.mkdir(parents=True, exist_ok=True)
            file.replace(target)
        shutil.rmtree(aside)
        for name in before.stamps.keys() - companion.stamps.keys() if before else ():
            gone = before.files.get_file_from_path(name) if before else None
            if gone is not None:
                (self.pages / gone.dest_uri).unlink(missing_ok=True)

    def _next_folder(self) -> Path:
        self._count += 1
        folder = self._work / str(self._count)
        folder.mkdir()
        return folder


class _Hashed(File):
    """A file that counts as changed where the hash of what it is made from is not the one known."""

    changed: bool

    def is_modified(self) -> bool:
        return self.changed


class _NoOptions(Config):  # type: ignore[no-untyped-call]  # MkDocs leaves it open
    """Nothing to set: no mkdocs.yml names this plugin."""


class _Companion(BasePlugin[_NoOptions]):
    """Rides along with a build: keeps what MkDocs knew, and leaves out the files that `known` has by their hash."""

    site: MkDocsConfig
    files: Files
    nav: Navigation
    env: Environment

    def __init__(self, known: Stamps, between: Callable[[], None]) -> None:
        super().__init__()  # type: ignore[no-untyped-call]  # as above
        self._known = known
        self._between = between
        self.stamps: dict[str, str] = {}
        self.changed: set[str] = set()

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Let the pages be interrupted while they are made."""
        self.site = config
        plugin_of(config).between = self._between
        return config

    @event_priority(-100)  # after every plugin that brings or takes files
    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Tell changed files from unchanged ones."""
        stamp = _stamping(plugin_of(config).book, config)
        for file in files:
            name = file.src_uri
            self.stamps[name] = stamp(file)
            if self._known.get(name) != self.stamps[name]:
                self.changed.add(name)
            file.__class__ = _Hashed
            vars(file)["changed"] = name in self.changed
        self.files = files
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:  # noqa: ARG002  MkDocs names them
        """Keep the navigation. A page without a title there is read each time: every page shows its own title."""
        self.nav = nav
        for page in nav.pages:
            if page.title is None:
                vars(page.file)["changed"] = True
        return nav

    @event_priority(-100)
    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:  # noqa: ARG002  as above
        """Keep the theme's templates."""
        self.env = env
        return env

    def on_pre_page(self, page: Page, *, config: MkDocsConfig, files: Files) -> Page:  # noqa: ARG002  as above
        """A chance to stop."""
        self._between()
        return page

    @property
    def titles(self) -> list[object]:
        """What every page shows of the pages in the navigation."""
        return [page.title for page in self.nav.pages]

    def page(self, file: File) -> bytes:
        """One page as a build makes it: MkDocs' own steps and every plugin's, in their order."""
        config, plugins = self.site, self.site.plugins
        page = plugins.on_pre_page(Page(None, file, config), config=config, files=self.files)
        page.read_source(config)
        page.markdown = plugins.on_page_markdown(page.markdown or "", page=page, config=config, files=self.files)
        page.render(config, self.files)
        page.content = plugins.on_page_content(page.content or "", page=page, config=config, files=self.files)
        template = self.env.get_template(str(page.meta.get("template", "main.html")))
        context = get_context(self.nav, self.files.documentation_pages(), config, page)
        context = plugins.on_page_context(context, page=page, config=config, nav=self.nav)
        text = plugins.on_post_page(template.render(dict(context)), page=page, config=config)
        return text.encode("utf-8", errors="xmlcharrefreplace")


def _stamping(book: Book | None, config: MkDocsConfig) -> Callable[[File], str]:
    """How a file's hash is made: from what it holds and, for a page, from what its frame says of it."""
    assert book is not None, "on_config has run"  # noqa: S101  MkDocs' order of events
    structured = frame_words(book, plugin_of(config).addresses, str)["structured"]

    def stamp(file: File) -> str:
        digest = hashlib.sha256(file.content_bytes)
        if file.is_documentation_page():
            digest.update(structured(SimpleNamespace(file=file)).encode())
        return digest.hexdigest()

    return stamp


def _frame(book: Book) -> tuple[object, ...]:
    """What stands around every page, and which templates there are."""
    return (
        *(fingerprint(root / CONFIG) for root in (book.root, *book.parents)),
        *(part for folder in template_dirs(book) for part in _frame_of(folder)),
    )


def _frame_of(folder: Path) -> Iterator[object]:
    yield tuple(sorted(path.name for path in folder.iterdir()))
    for name in _FRAME:
        for path in sorted((folder / name).rglob("*")):
            yield path.name, fingerprint(path)


def _replace(target: Path, content: bytes) -> None:
    aside = target.with_name(f".{target.name}.new")
    aside.write_bytes(content)
    aside.replace(target)
