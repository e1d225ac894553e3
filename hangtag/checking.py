"""Everything that can be wrong with a book, found in one go: what `hangtag check` and `hangtag build` look at.

Must not print.
"""

from __future__ import annotations

from pathlib import Path

from hangtag.book import Loaded, load_book
from hangtag.examples import check_examples
from hangtag.problems import Problems
from hangtag.tag_reader import check_patterns


def check_book(root: Path) -> Loaded:
    """The book in `root` with every Problem: of its files, its worked examples and its tag patterns."""
    loaded = load_book(root)
    if loaded.book is None:
        return loaded
    problems = Problems()
    problems.extend(check_examples(loaded.book))
    problems.extend(check_patterns(loaded.book))
    return Loaded(None if problems else loaded.book, problems.sorted())
