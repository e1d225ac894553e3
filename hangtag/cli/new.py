"""`hangtag new`: a commented start for a book, a term or a calculator. Must not know what stands in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from hangtag.cli import screen
from hangtag.cli.book import book_option, good_book
from hangtag.cli.faults import Commands
from hangtag.problems import Problem, ProblemError, shown_path
from hangtag.resources import CONFIG, TERMS, find_book, is_book

if TYPE_CHECKING:
    from hangtag.book import Book
    from hangtag.starts import Started


@click.group(cls=Commands, invoke_without_command=True)
@click.pass_context
def new(context: click.Context) -> int:
    """Begin a book, a term or a calculator: a commented file that passes the check as it is."""
    if context.invoked_subcommand is not None:
        return 0
    screen.complain(context.get_help())
    return 2


@new.command()
@click.argument("name", required=False)
@click.option(
    "--book",
    "parent",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="The folder to put the new book's folder in.",
)
def book(name: str | None, parent: Path | None) -> int:
    """Begin a book in a folder of its own: hangtag new book "Larkmoor Hill Club"."""
    from hangtag.starts import new_book

    started = new_book(parent or Path.cwd(), _named(name, 'hangtag new book "Larkmoor Hill Club"'))
    folder = started.edit.parents[2]
    screen.say(f"The book is in {shown_path(str(folder), Path.cwd())}")
    screen.say(f"Begin with {shown_path(str(started.edit), Path.cwd())}")
    screen.say(f"See it while you write: hangtag serve {_word(folder)}")
    return 0


@new.command()
@click.argument("name", required=False)
@click.option("--area", metavar="AREA", help="The area it belongs to, such as warmth: a folder of terms/.")
@book_option
def term(name: str | None, area: str | None, book_option: Path | None) -> int:
    """Begin a term: hangtag new term "Hydrostatic head" --area weather."""
    words = _named(name, 'hangtag new term "Hydrostatic head" --area weather')
    from hangtag.starts import id_of, new_term

    id_of(words)  # a name that is none is said at once, before a book is read
    book = _book(book_option)
    return _say(new_term(book, words, area), book)


@new.command()
@click.argument("name", required=False)
@book_option
def calculator(name: str | None, book_option: Path | None) -> int:
    """Begin a calculator: hangtag new calculator "Sag of a ridge line"."""
    words = _named(name, 'hangtag new calculator "Sag of a ridge line"')
    from hangtag.starts import id_of, new_calculator

    id_of(words)
    book = _book(book_option)
    return _say(new_calculator(book, words), book)


def _named(name: str | None, example: str) -> str:
    if name is None:
        raise ProblemError(Problem("command-usage", {"what": "a name is missing"}, hint=f"For example: {example}"))
    return name


def _book(option: Path | None) -> Book:
    """The book to write in: never the reference book for want of another."""
    if option is None and not is_book(Path.cwd()):
        what = {"what": f"there is no book here: a book is a folder with {CONFIG} and {TERMS}/"}
        hint = "Begin one with hangtag new book NAME, or name yours with --book DIR."
        raise ProblemError(Problem("command-usage", what, hint=hint))
    root = find_book(option)
    with screen.Progress("Reading the book"):
        return good_book(root)


def _say(started: Started, book: Book) -> int:
    screen.say(f"Written: {shown_path(str(started.edit), Path.cwd())}")
    if started.near:
        screen.say(f"There is also {started.near}, which has nearly the same name.")
    screen.say(f"See it while you write: hangtag serve{'' if book.root == Path.cwd() else f' {_word(book.root)}'}")
    return 0


def _word(path: Path) -> str:
    shown = shown_path(str(path), Path.cwd())
    return f'"{shown}"' if " " in shown else shown
