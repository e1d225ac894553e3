"""Tags: the language of `reads`, what its author may have overlooked, and the reader of what a label says.

`compile_book` makes a Reader of a book, `read` explains one text with it. The data of a Reader is plain, so that the
browser reads with the same. Must not know pages or browsers.
"""

from __future__ import annotations

from hangtag.book import Book
from hangtag.problems import Problem, Problems
from hangtag.tag_reader.checks import check_entries
from hangtag.tag_reader.collisions import collisions
from hangtag.tag_reader.compile import compile_book
from hangtag.tag_reader.model import AlsoPossible, Caution, Contradiction, InUnit, Missing, Reading, Tag, Unread
from hangtag.tag_reader.patterns import Hole, Literal, Pattern, parse, read_patterns
from hangtag.tag_reader.reader import OUTSIDE_SCALE, TWO_UNITS, Reader
from hangtag.tag_reader.reading import read

__all__ = [
    "CODES",
    "AlsoPossible",
    "Caution",
    "Contradiction",
    "Hole",
    "InUnit",
    "Literal",
    "Missing",
    "Pattern",
    "Reader",
    "Reading",
    "Tag",
    "Unread",
    "check_patterns",
    "collisions",
    "compile_book",
    "parse",
    "read",
    "read_patterns",
]

CODES = frozenset({OUTSIDE_SCALE, TWO_UNITS})  # of every book; `Reader.codes` has those of its agreements too


def check_patterns(book: Book) -> list[Problem]:
    """Everything that is wrong with the patterns of a book: each alone, and those that cannot be told apart."""
    problems = Problems()
    check_entries(book, read_patterns(book, problems), problems)
    return [*problems.sorted(), *collisions(book)]
