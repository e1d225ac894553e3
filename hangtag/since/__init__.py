"""Numbers that changed since a revision of the book without a line of history that says so.

The book is compared by what its files say, not by what git calls a change. Must not judge whether a number is right.
"""

from __future__ import annotations

from hangtag.since.compare import check_since

__all__ = ["check_since"]
