"""The finder: a few typed words, a number with its unit, an everyday question, to the entries they mean.

It searches what the book says of itself: names, other names, how tags print an entry, units, everyday questions and
first sentences. The browser searches the same data with the same rules. Must not know pages, scripts or terminals.
"""

from __future__ import annotations

from hangtag.finder.find import Found, Near, Result, find
from hangtag.finder.index import Index, index
from hangtag.finder.query import MOST_CHARACTERS, is_searchable

__all__ = ["MOST_CHARACTERS", "Found", "Index", "Near", "Result", "find", "index", "is_searchable"]
