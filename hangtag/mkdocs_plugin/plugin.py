"""The MkDocs plugin: hands the files of `site.py` over and turns our addresses into relative ones.

Must not decide what a page says or what a site holds: it is an adapter.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel

from hangtag import markup
from hangtag.book import Book, load_book
from hangtag.mkdocs_plugin.inherited import as_written, inherit
from hangtag.pages import Addresses, described, frame_words
from hangtag.problems import render
from hangtag.site import SiteFile, site_files

if TYPE_CHECKING:
    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.pages import Page

log = get_plugin_logger("hangtag")
# Two megabytes of the theme's word lists and workers, for a search that is not loaded.
_THEME_SEARCH = ("assets/javascripts/lunr/", "assets/javascripts/workers/")


class HangtagOptions(Config):  # type: ignore[no-untyped-call]  # MkDocs leaves it open
    """What a book may set under `plugins: - hangtag:`."""

    inherits = config_options.Optional(config_options.Type(str))
    """The book this one builds upon: `reference`, or a path relative to mkdocs.yml. Read by `book.load_book`."""

    tell_us = config_options.Optional(config_options.Type(str))
    """Where readers tell what is wrong: `mailto:...` or `https://...` with places to fill. Read by `book.load_book`."""

    version = config_options.Optional(config_options.Type((str, int, float)))
    """What a citation of this book names. Read by `book.load_book`."""


class HangtagPlugin(BasePlugin[HangtagOptions]):  # type: ignore[no-untyped-call]  # as above
    """Builds the book in whose mkdocs.yml it stands."""

    book: Book | None = None
    """The checked book; whoever has loaded it already sets it before a build."""

    addresses = Addresses()
    """The permanent addresses of the site; known once `on_config` has run."""

    between: Callable[[], None] = staticmethod(lambda: None)
    """Called before each page that is made; what it raises ends the build."""

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Load the book, and complete a short mkdocs.yml from the books it inherits."""
        if self.book is None:
            loaded = load_book(_root(config))
            if loaded.book is None:
                raise PluginError(render(loaded.problems, relative_to=Path.cwd()))
            self.book = loaded.book
        inherit(config, self.book)
        self.addresses = Addresses(config.site_url or None, folders=_has_folders(config))
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add every file of the site; keep the YAML that pages are made from out of it, and what no page asks for."""
        searched = any("search" in name for name in config.plugins)
        for file in list(files):
            if file.src_uri.endswith((".yml", ".yaml", ".map")) or (
                not searched and file.src_uri.startswith(_THEME_SEARCH)
            ):
                files.remove(file)
        for ours in self._site_files(config):
            theirs = files.get_file_from_path(ours.path)
            if theirs is not None:
                files.remove(theirs)
            files.append(self.generated(ours, config))
        return files

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:  # noqa: ARG002  MkDocs names them
        """Give the theme's templates the labels of the book's language, and what they cannot know of a page."""

        def at(path: str) -> str:
            file = files.get_file_from_path(path)
            return file.url if file else path

        env.globals.update(frame_words(self._book, self.addresses, at))
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002  as above
        """Name the page's permanent address: that of the web, also in a copy for the disk."""
        page.canonical_url = self.addresses.of(page.file.src_uri)
        return markdown

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002  as above
        """Turn `hangtag:` addresses of raw HTML, which MkDocs leaves alone, into checked relative ones."""

        def relative(path: str) -> str | None:
            file = files.get_file_from_path(path)
            if file is None:
                log.warning("%s links to %s, which the site does not hold.", page.file.src_uri, path)
                return None
            return file.url_relative_to(page.file)

        if not page.meta.get("description"):
            page.meta["description"] = described(self._book, html, str(page.title))
        return markup.resolved(html, relative)

    def _site_files(self, config: MkDocsConfig) -> list[SiteFile]:
        return site_files(
            self._book,
            disk=not config.use_directory_urls,
            site_url=config.site_url,
            flat=not self.addresses.folders,
            between=self.between,
        )

    @property
    def _book(self) -> Book:
        assert self.book is not None, "on_config has run"  # noqa: S101  MkDocs' order of events
        return self.book

    def generated(self, ours: SiteFile, config: MkDocsConfig) -> File:
        """One of our files as MkDocs takes it."""
        file = File.generated(
            config,
            ours.path,
            content=ours.content,
            # a page in the navigation makes every page heavier; lists carry them instead
            inclusion=InclusionLevel.NOT_IN_NAV if ours.is_page else InclusionLevel.INCLUDED,
        )
        if ours.source is not None:
            file.abs_src_path = str(ours.source)
            root = _root(config)
            # a page of an inherited book is not this book's to edit
            file.edit_uri = ours.source.relative_to(root).as_posix() if ours.source.is_relative_to(root) else None
        return file


def _has_folders(config: MkDocsConfig) -> bool:
    """Whether pages stand in folders of their own on the web: as mkdocs.yml says, whatever this one build does."""
    return bool(as_written(Path(config.config_file_path)).get("use_directory_urls", True))


def _root(config: MkDocsConfig) -> Path:
    return Path(config.config_file_path).resolve().parent
