"""Builds a site with MkDocs, strictly.

Must not decide where a site is written or how it takes the place of the last one: `output/` does.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import TemplateError, TemplateSyntaxError
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, ConfigurationError
from mkdocs.plugins import BasePlugin

from hangtag.book import Book
from hangtag.mkdocs_plugin.plugin import HangtagPlugin
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.output import Progress, written_whole
from hangtag.problems import Problem, ProblemError
from hangtag.resources import CONFIG

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

PLUGIN = "hangtag"


def build_site(root: Path, out: Path, disk: bool = False, progress: Progress = lambda _: None) -> Path:
    """Build the book in `root` into `out`, and give the folder's full path.

    With `disk` the site works from file://, and is also packed as `<out>.zip`. Raises ProblemError for problems of the
    book, of mkdocs.yml or of a page, for a folder that is not ours to replace, and where nothing can be written.
    """

    def writes(book: Book, site: Path) -> None:
        run_mkdocs(root, book, site, disk=disk)

    return written_whole(root, out, writes, disk=disk, progress=progress)


def run_mkdocs(root: Path, book: Book, site: Path, *, disk: bool, companion: BasePlugin[Any] | None = None) -> None:
    """One MkDocs build of a loaded book into `site`. Raises ProblemError with MkDocs' own words where it fails.

    Strict, but for a preview: there a `companion`, a plugin that rides along, says which files have changed.
    """
    config_file = root / CONFIG
    # without a web server no address may be a folder; with one, the book's own mkdocs.yml decides
    folders: dict[str, Any] = {"use_directory_urls": False} if disk else {}
    with listening() as heard:
        try:
            config = load_config(str(config_file), site_dir=str(site), strict=companion is None, **folders)
            plugin_of(config).book = book
            if companion is not None:
                config.plugins["hangtag-companion"] = companion
            build(config, dirty=companion is not None)
        except (Abort, ConfigurationError) as error:
            words = heard or [str(error)]
            raise ProblemError(
                *(Problem("site-build", {"reason": reason}, path=str(config_file)) for reason in words)
            ) from error
        except TemplateError as error:
            raise template_problem(error, config_file) from error


def template_problem(error: TemplateError, config_file: Path) -> ProblemError:
    """A mistake in a template of the book, in the words of its language."""
    place = f"{error.name}, line {error.lineno}: " if isinstance(error, TemplateSyntaxError) else ""
    return ProblemError(Problem("site-build", {"reason": f"{place}{error.message}"}, path=str(config_file)))


def plugin_of(config: MkDocsConfig) -> HangtagPlugin:
    """Our plugin in a configuration. Raises ProblemError where mkdocs.yml does not name it."""
    plugin = config.plugins.get(PLUGIN)
    if not isinstance(plugin, HangtagPlugin):
        raise ProblemError(Problem("plugin-missing", {"plugin": PLUGIN}, path=str(config.config_file_path)))
    return plugin
