"""Builds a site: aside, strictly, and swapped in whole, so that a failed build never harms the last good site.

Must not check the book beyond loading it: whoever calls has shown its problems already.
"""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, ConfigurationError

from hangtag.book import Book, load_book
from hangtag.mkdocs_plugin.plugin import HangtagPlugin
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.mkdocs_plugin.swap import new_site, place_for
from hangtag.problems import Problem, ProblemError
from hangtag.resources import CONFIG

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

Progress = Callable[[str], None]
PLUGIN = "hangtag"
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can say: the same site gives the same bytes
_ZIP_MARK = b"hangtag site"


def build_site(root: Path, out: Path, disk: bool = False, progress: Progress = lambda _: None) -> Path:
    """Build the book in `root` into `out`, and give the folder's full path.

    With `disk` the site works from file://, and is also packed as `<out>.zip`. Raises ProblemError for problems of the
    book, of mkdocs.yml or of a page, for a folder that is not ours to replace, and where nothing can be written.
    """
    place = place_for(out, root)
    archive = _archive_for(place.out) if disk else None
    progress("Reading the book")
    book = loaded_book(root)
    with new_site(place) as aside:
        progress("Writing pages")
        run_mkdocs(root, book, aside, disk=disk, strict=True)
        if archive is not None:
            progress("Packing the zip")
            _pack(aside, archive.with_suffix(".zip.new"), place.out.name)
    if archive is not None:
        archive.with_suffix(".zip.new").replace(archive)
    return place.out


def loaded_book(root: Path) -> Book:
    """The book in a folder. Raises ProblemError with all its problems."""
    loaded = load_book(root)
    if loaded.book is None:
        raise ProblemError(*loaded.problems)
    return loaded.book


def run_mkdocs(root: Path, book: Book, site: Path, *, disk: bool, strict: bool) -> None:
    """One MkDocs build of a loaded book into `site`. Raises ProblemError with MkDocs' own words where it fails."""
    config_file = root / CONFIG
    with listening() as heard:
        try:
            config = load_config(str(config_file), site_dir=str(site), use_directory_urls=not disk, strict=strict)
            _plugin_of(config, config_file).book = book
            build(config)
        except (Abort, ConfigurationError) as error:
            words = heard or [str(error)]
            raise ProblemError(
                *(Problem("site-build", {"reason": reason}, path=str(config_file)) for reason in words)
            ) from error


def _plugin_of(config: MkDocsConfig, config_file: Path) -> HangtagPlugin:
    plugin = config.plugins.get(PLUGIN)
    if not isinstance(plugin, HangtagPlugin):
        raise ProblemError(Problem("plugin-missing", {"plugin": PLUGIN}, path=str(config_file)))
    return plugin


def _archive_for(out: Path) -> Path:
    """The zip beside a site. Raises ProblemError where a file of that name is none of ours."""
    archive = out.with_name(f"{out.name}.zip")
    if archive.exists() and not _is_ours(archive):
        raise ProblemError(
            Problem("zip-not-ours", {"path": str(archive)}, hint="Move it away, or name another folder after --out.")
        )
    return archive


def _is_ours(archive: Path) -> bool:
    try:
        with zipfile.ZipFile(archive) as packed:
            return packed.comment == _ZIP_MARK
    except (OSError, zipfile.BadZipFile):
        return False


def _pack(site: Path, archive: Path, name: str) -> None:
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.comment = _ZIP_MARK
        for file in sorted(site.rglob("*")):
            if file.is_file():
                info = zipfile.ZipInfo(f"{name}/{file.relative_to(site).as_posix()}", _ZIP_DATE)
                info.compress_type = zipfile.ZIP_DEFLATED
                info.external_attr = 0o644 << 16
                packed.writestr(info, file.read_bytes())
