"""A folder becomes a Book: all entries and calculators, merged with the book it inherits, links resolved.

Must not print and must not know any output format.
"""

from hangtag.book.load import load_book
from hangtag.book.model import Area, Book, DangerWord, Gear, Loaded

__all__ = ["Area", "Book", "DangerWord", "Gear", "Loaded", "load_book"]
