"""An author's text made safe for Markdown: plain text shown as typed, Markdown without raw HTML, links resolved.

Entities are used in place of backslashes, since they mean the same in Markdown, in raw HTML and in an attribute.
Must not know pages or templates.
"""

from __future__ import annotations

import re
from collections.abc import Callable

LINK = re.compile(r"\[\[([a-z0-9-]+)(?:\|([^\]\n]+))?\]\]")
# Everything that Markdown, its attribute lists and tables, or HTML would take for a mark.
_MARKS = re.compile(r"[&<>\"'\\`*_{}\[\]#|~^$!]")
# At the start of a line these would begin a list, a definition, a rule or a heading's underline.
_LINE_START = re.compile(r"^(?:([-+:=])|(\d+)([.)]))")
_TAG_OPENS = re.compile(r"<(?=[A-Za-z/!?])(?!https?://[^\s<>]+>)")
_CODE = re.compile(
    r"^(?P<fence>```|~~~).*?^(?P=fence)[ \t]*$|(?P<ticks>`+)(?!`).+?(?<!`)(?P=ticks)(?!`)", re.DOTALL | re.MULTILINE
)

LinkWriter = Callable[[str, str | None], str]


def plain(text: str) -> str:
    """Plain text as typed, on one line, for any place in Markdown or HTML. `[[links]]` are text here too."""
    one_line = " ".join(text.split())
    safe = _MARKS.sub(lambda mark: _as_entity(mark[0]), one_line)
    return _LINE_START.sub(lambda start: _as_entity(start[1]) if start[1] else start[2] + _as_entity(start[3]), safe)


def plain_with_links(text: str, link: LinkWriter) -> str:
    """Plain text as typed, but `[[id]]` and `[[id|words]]` become what `link(id, words or None)` writes."""
    one_line = " ".join(text.split())
    out, last = [], 0
    for match in LINK.finditer(one_line):
        out += [_inner(one_line[last : match.start()], first=last == 0), link(match[1], match[2])]
        last = match.end()
    return "".join([*out, _inner(one_line[last:], first=last == 0)])


def _inner(piece: str, *, first: bool) -> str:
    """A piece of a line; the spaces at its ends belong to the sentence and stay."""
    if not first:
        return _MARKS.sub(lambda mark: _as_entity(mark[0]), piece)
    return plain(piece) + (" " if piece.endswith(" ") and piece.strip() else "")


def markdown(text: str, link: LinkWriter, finish: Callable[[str], str] = str) -> str:
    """An author's Markdown with `[[links]]` resolved and raw HTML shown as typed; code is left as it is.

    `finish` may add inline HTML of ours to what is no code.
    """
    out, last = [], 0
    for code in _CODE.finditer(text):
        out += [_outside_code(text[last : code.start()], link, finish), code[0]]
        last = code.end()
    return "".join([*out, _outside_code(text[last:], link, finish)]).strip()


def _outside_code(text: str, link: LinkWriter, finish: Callable[[str], str]) -> str:
    return LINK.sub(lambda match: link(match[1], match[2]), finish(_TAG_OPENS.sub("&lt;", text)))


def without_links(text: str, name: Callable[[str], str]) -> str:
    """Text on one line with every link as its words alone, for places that hold no markup (a description, a title)."""
    return LINK.sub(lambda match: match[2] or name(match[1]), " ".join(text.split()))


def _as_entity(mark: str) -> str:
    return f"&#{ord(mark)};"
