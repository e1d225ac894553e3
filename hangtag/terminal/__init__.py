"""An entry, an answer, a tag and what was found as lines for a terminal: the words of a page, without colour or width.

Must not print, and must not know the library that does. Cautions are lines like any other: no caller can leave one out.
"""

from hangtag.terminal.answer import answer_lines
from hangtag.terminal.entry import entry_lines
from hangtag.terminal.found import found_lines
from hangtag.terminal.lines import Kind, Line
from hangtag.terminal.tag import tag_lines

__all__ = ["Kind", "Line", "answer_lines", "entry_lines", "found_lines", "tag_lines"]
