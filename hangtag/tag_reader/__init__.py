"""How tags print entries: the small language of `reads`, and what its author may have overlooked.

Must not know pages or browsers.
"""

from __future__ import annotations

from hangtag.book import Book
from hangtag.problems import Problem, Problems
from hangtag.tag_reader.collisions import collisions
from hangtag.tag_reader.patterns import Hole, Literal, Pattern, parse, read_patterns

__all__ = ["Hole", "Literal", "Pattern", "check_patterns", "collisions", "parse", "read_patterns"]


def check_patterns(book: Book) -> list[Problem]:
    """Everything that is wrong with the patterns of a book: each alone, and those that cannot be told apart."""
    problems = Problems()
    read_patterns(book, problems)
    return [*problems.sorted(), *collisions(book)]
