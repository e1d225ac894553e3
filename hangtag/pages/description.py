"""The sentence of a page that search engines and link previews show: 50 to 160 characters, from the page's own words.

Must not know pages.
"""

from __future__ import annotations

import html
import re

SHORTEST, LONGEST = 50, 160


def describe(sentence: str, name: str, more: str) -> str:
    """The sentence, with the name before it and `more` after it where it is short, cut at a word where it is long."""
    text = sentence if name.lower() in sentence.lower() else f"{name}: {sentence}"
    if more and (len(text) < SHORTEST or len(text) + 1 + len(more) <= LONGEST):
        text = f"{text} {more}"
    if len(text) <= LONGEST:
        return text
    return text[: LONGEST - 1].rsplit(" ", 1)[0].rstrip(",;:.") + "…"


def describe_html(body: str, name: str, more: str) -> str:
    """The same for a page that brings no sentence of its own: from its first paragraph."""
    found = re.search(r"<p[^>]*>(.*?)</p>", body, re.DOTALL)
    words = html.unescape(re.sub(r"<[^>]+>", "", found[1])) if found else ""
    return describe(" ".join(words.split()) or name, name, more)
