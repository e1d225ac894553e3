"""Headings that lead to themselves, so that their address can be copied: with the mouse, a finger or the keyboard.

The words of the heading are the link: nothing is added that a screen reader would have to say. Must not give a heading
an id: those stand in the templates, and never change.
"""

from __future__ import annotations

import re

_FENCE = re.compile(r"^(```|~~~)")
# one of the second or third rank with an id of its own, and no link or raw HTML in it
_HEADING = re.compile(r"^(#{2,3}) ([^\[\]<>\n]+?) \{(?P<attributes> ?#(?P<id>[\w-]+)[^}\n]*)\}$")


def linked(markdown: str) -> str:
    """The page with every heading that has an id of its own as a link to itself."""
    lines = []
    fenced = ""
    for line in markdown.split("\n"):
        fence = _FENCE.match(line)
        if fence and fenced in ("", fence[1]):
            fenced = "" if fenced else fence[1]
        lines.append(line if fenced else _HEADING.sub(r"\1 [\2](#\g<id>) {\g<attributes>}", line))
    return "\n".join(lines)
