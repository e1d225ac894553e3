"""Writes a site in the order that keeps the last good one: read the book, write aside, add the policy, pack, swap.

Must not check the book beyond loading it: whoever calls has shown its problems already.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from hangtag.book import Book, load_book
from hangtag.output.archive import archive_for, pack
from hangtag.output.place import new_site, place_for
from hangtag.output.policy import POLICY_FILE, policy_of
from hangtag.problems import ProblemError

Progress = Callable[[str], None]
# (the book, an empty folder) -> the site's files are in the folder
Writes = Callable[[Book, Path], None]


def written_whole(root: Path, out: Path, writes: Writes, *, disk: bool, progress: Progress) -> Path:
    """The site of the book in `root` as `writes` makes it, in `out`, whose full path it gives.

    With `disk` it is also packed as `<out>.zip`. Raises ProblemError for problems of the book or of a page, for a
    folder that is not ours to replace, and where nothing can be written; the last site then stands as it was.
    """
    place = place_for(out, root)
    archive = archive_for(place.out) if disk else None
    progress("Reading the book")
    book = loaded_book(root)
    with new_site(place) as aside:
        progress("Writing pages")
        writes(book, aside)
        (aside / POLICY_FILE).write_text(policy_of(aside).as_file(), encoding="utf-8")
        if archive is not None:
            progress("Packing the zip")
            pack(aside, archive.with_suffix(".zip.new"), place.out.name)
    if archive is not None:
        archive.with_suffix(".zip.new").replace(archive)
    return place.out


def loaded_book(root: Path) -> Book:
    """The book in a folder. Raises ProblemError with all its problems."""
    loaded = load_book(root)
    if loaded.book is None:
        raise ProblemError(*loaded.problems)
    return loaded.book
