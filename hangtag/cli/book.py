"""Which book a command means, and the options that commands share. Must not know what a command does with the book."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from hangtag.problems import Problem, ProblemError
from hangtag.resources import find_book

if TYPE_CHECKING:
    from hangtag.book import Book, Loaded

_Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

book_option: _Decorator = click.option(
    "--book",
    "book_option",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="The book's folder. Without it: the folder here if it is a book, else the reference book.",
)
book_argument: _Decorator = click.argument("book", metavar="[BOOK]", required=False, type=click.Path(path_type=Path))
json_option: _Decorator = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")


def which_book(argument: Path | None, option: Path | None) -> Path:
    """The folder of the book meant. Raises ProblemError where two are named, or none can be found."""
    if argument is not None and option is not None and argument != option:
        raise ProblemError(
            Problem(
                "book-named-twice", {"first": argument, "second": option}, hint="Name it once, with or without --book."
            )
        )
    return find_book(argument or option)


def load(root: Path) -> Loaded:
    """The book in a folder as far as it could be read, with every Problem found in it."""
    from hangtag.checking import check_book

    return check_book(root)


def good_book(root: Path) -> Book:
    """The book in a folder. Raises ProblemError where anything in it is wrong."""
    loaded = load(root)
    if loaded.problems or loaded.book is None:
        raise ProblemError(*loaded.problems)
    return loaded.book
