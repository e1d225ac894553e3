"""`hangtag find`: the finder in the terminal, with the same ranking as the page.

Must not rank or say why a result is there: that is the finder's.
"""

from __future__ import annotations

import re
from pathlib import Path

import click

from hangtag.cli import screen
from hangtag.cli.book import book_option, good_book, json_option, which_book
from hangtag.problems import Problem, ProblemError

# A word such as -5 is a number; -x is a mistyped option.
_OPTION = re.compile(r"--?[A-Za-z]")


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("words", metavar="WORDS...", nargs=-1)
@book_option
@json_option
def find(words: tuple[str, ...], book_option: Path | None, *, as_json: bool) -> int:
    """Find the entries that a word, a number with its unit or a question means, best first.

    \b
    hangtag find 20D
    hangtag find 1500 mm
    hangtag find cold from below
    """  # noqa: D301  click takes the sign for "wrap no line here"
    typed = " ".join(words).strip()
    _refuse(words, typed)
    from hangtag import finder

    with screen.Progress("Reading the book"):
        book = good_book(which_book(None, book_option))
    found = finder.find(finder.index(book), typed)
    if as_json:
        screen.say_json(found.as_json())
    else:
        from hangtag.terminal import found_lines

        screen.say_lines(found_lines(book, found))
    return 0


def _refuse(words: tuple[str, ...], typed: str) -> None:
    """Raise ProblemError for what cannot be searched, click's own error for an option that there is not."""
    from hangtag.finder import MOST_CHARACTERS, is_searchable

    unknown = next((word for word in words if _OPTION.match(word)), None)
    if unknown is not None:
        raise click.NoSuchOption(unknown)
    what = hint = None
    if not typed:
        what, hint = "the words to find are missing", "For example: hangtag find 1500 mm"
    elif len(typed) > MOST_CHARACTERS:
        what = f"the text to find has {len(typed)} characters, and the finder takes up to {MOST_CHARACTERS}"
        hint = 'A whole tag is explained by hangtag read "...".'
    elif not is_searchable(typed):
        what, hint = f"there is no letter and no digit in {typed}", "For example: hangtag find 1500 mm"
    if what:
        raise ProblemError(Problem("command-usage", {"what": what}, hint=hint))
