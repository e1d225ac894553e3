"""Everything that can be wrong with a book, found in one go: what `hangtag check` and `hangtag build` look at.

Must not print.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

from hangtag.book import Book, Loaded, load_book
from hangtag.calculators import Calculator
from hangtag.examples import check_calculator
from hangtag.memory import Memory
from hangtag.problems import Problems
from hangtag.tag_reader import check_patterns


def check_book(root: Path, memory: Memory | None = None) -> Loaded:
    """The book in `root` with every Problem: of its files, its worked examples and its tag patterns.

    With the `memory` of an earlier time, only what an edit can have changed is checked again.
    """
    memory = memory or Memory()
    loaded = load_book(root, memory)
    book = loaded.book
    if book is None:
        return loaded
    problems = Problems()
    for calculator in book.calculators.values():
        memory.recall(
            ("examples", calculator.id),
            (calculator, book.units, book.strings),
            partial(_examples, book, calculator),
            problems,
        )
    memory.recall("patterns", _of_tags(book), lambda found: found.extend(check_patterns(book)), problems)
    return Loaded(None if problems else book, problems.sorted())


def _examples(book: Book, calculator: Calculator, problems: Problems) -> None:
    problems.extend(check_calculator(book, calculator))


def _of_tags(book: Book) -> tuple[object, ...]:
    """All that the check of tag patterns looks at."""
    entries = {its.id: (its.name, its.also, its.reads, its.path) for its in book.entries.values()}
    return (entries, book.gear, book.danger, book.units)
