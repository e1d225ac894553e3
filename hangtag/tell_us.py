"""The address by which readers tell a book that something is wrong: a mail or an issue link with places to fill.

`tell_us: mailto:...` or `tell_us: https://...` in mkdocs.yml. Must not know pages: what fills the places is handed in.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from urllib.parse import quote

SCHEMES = ("mailto:", "https://", "http://")
# what is told (wrong, unclear, missing), and of what; `subject` and `body` hold all of it in words
HOLES = ("what", "id", "page", "version", "words", "subject", "body")
LATER = "{words}"  # stands in an address for what somebody has not typed yet
_HOLE = re.compile(r"\{([^{}]*)\}")
_NEVER = re.compile(r"[\s<>\"'`\\^|]")


def fault(template: str) -> tuple[str, dict[str, object]] | None:
    """The code and the values of the Problem with a `tell_us`, or None where it can be used."""
    if not template.lower().startswith(SCHEMES) or _NEVER.search(template):
        return "tell-us-address", {"address": template}
    bare = _HOLE.sub("", template)
    unknown = [name for name in _HOLE.findall(template) if name not in HOLES]
    if unknown or "{" in bare or "}" in bare:
        return "tell-us-hole", {"hole": unknown[0] if unknown else "", "known": ", ".join(HOLES)}
    return None


def filled(template: str, values: Mapping[str, str]) -> str:
    """The address with every place filled, fit for a URL; a `{words}` among the values stays one, for a script to fill.

    A mail address that says nothing more gets a subject and a body.
    """
    if template.lower().startswith("mailto:") and "?" not in template and not _HOLE.search(template):
        template += "?subject={subject}&body={body}"
    return _HOLE.sub(lambda hole: _quoted(values.get(hole[1], "")), template)


def _quoted(text: str) -> str:
    lines = "\r\n".join(text.split("\n"))  # as mail writes the end of a line
    return quote(lines, safe="").replace(quote(LATER, safe=""), LATER)
