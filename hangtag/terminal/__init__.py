"""An entry and an answer as lines for a terminal: the words of the page in its order, without colour or width.

Must not print, and must not know the library that does. Cautions are lines like any other: no caller can leave one out.
"""

from hangtag.terminal.answer import answer_lines
from hangtag.terminal.entry import entry_lines
from hangtag.terminal.lines import Kind, Line

__all__ = ["Kind", "Line", "answer_lines", "entry_lines"]
