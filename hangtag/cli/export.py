"""`hangtag export-docs`: a book as plain Markdown and assets. Must not know what stands in them."""

from __future__ import annotations

from pathlib import Path

import click

from hangtag.cli import screen
from hangtag.cli.book import book_option, good_book, which_book


@click.command(name="export-docs")
@click.argument("out", metavar="DIR", type=click.Path(path_type=Path))
@book_option
def export_docs(out: Path, book_option: Path | None) -> int:
    """Write the pages as plain Markdown and assets, for any generator. DIR must be new, empty or an earlier export."""
    root = which_book(None, book_option)
    with screen.Progress("Checking the book") as progress:
        good_book(root)
        from hangtag.plain import export_docs as export

        folder = export(root, out, progress)
    screen.say(f"The pages are in {folder / 'docs'}, their order is in {folder / 'mkdocs.yml'}")
    return 0
