"""The command line: what a person types becomes a call of one room, and what comes back is printed.

The only import of click and rich. Must not calculate, check or format a page: it finds the book, calls, prints, and
turns every mistake into one clear message and an exit code. 0 is done, 1 is problems in the book, 2 is a command that
could not be carried out as it was typed.
"""

from hangtag.cli.door import main

__all__ = ["main"]
