"""The content security policy of a site, found by looking at every page of it: as strict as the pages allow.

A page of ours holds nothing inline and asks no other host. What a book's own templates or settings add is allowed
by its hash or by its host and nothing wider, and stands in the policy for all to see. Blocks of data are no scripts.
Must not change a page.
"""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

POLICY_FILE = "content-security-policy.txt"
HEADER = "Content-Security-Policy"
_NOTE = """\
# What the pages of this site may load: only its own files, and nothing inline but what is named below by its hash.
# Have the web server send the next line as a header with every page. Without it the pages work just the same.
"""
# What a script element may say of itself and still be run.
_RUNS = {"", "module", "text/javascript", "application/javascript", "text/ecmascript", "application/ecmascript"}
# Attributes that make a browser fetch, by element, and the directive that allows it.
_FETCHES = {
    ("script", "src"): "script-src",
    ("img", "src"): "img-src",
    ("source", "src"): "media-src",
    ("audio", "src"): "media-src",
    ("video", "src"): "media-src",
    ("iframe", "src"): "frame-src",
}
_LINKS = {"stylesheet": "style-src", "icon": "img-src", "manifest": "manifest-src"}
# The directives in the order in which they are written; each of the first group stands there always.
_SELF = ("script-src", "style-src", "img-src", "font-src")
_NONE = ("base-uri", "form-action", "frame-src")
_ONLY_IF_USED = ("media-src", "manifest-src")


@dataclass(frozen=True)
class Policy:
    """The policy as directives and what each allows."""

    directives: dict[str, tuple[str, ...]]

    @property
    def value(self) -> str:
        """The value of the header."""
        return "; ".join(f"{name} {' '.join(allowed)}" for name, allowed in self.directives.items())

    @property
    def line(self) -> str:
        """The whole header line."""
        return f"{HEADER}: {self.value}"

    @property
    def hosts(self) -> list[str]:
        """Other hosts that pages ask, which a site of ours has none of."""
        return sorted({word for words in self.directives.values() for word in words if "//" in word})

    def as_file(self) -> str:
        """The policy with a word on what to do with it."""
        return f"{_NOTE}{self.line}\n"


def policy_of(site: Path) -> Policy:
    """The strictest policy that every page in a folder keeps."""
    found: dict[str, set[str]] = {}
    for page in sorted(site.rglob("*.html")):
        _Page(found).feed(page.read_text(encoding="utf-8"))
    directives: dict[str, tuple[str, ...]] = {"default-src": ("'none'",)}
    for name in _SELF:
        directives[name] = ("'self'", *sorted(found.get(name, set()) - {"'self'"}))
    for name in _NONE:
        directives[name] = tuple(sorted(found.get(name, ()))) or ("'none'",)
    for name in _ONLY_IF_USED:
        if name in found:
            directives[name] = tuple(sorted(found[name]))
    return Policy(directives)


def read_policy(site: Path) -> str:
    """The header line that stands in a built site."""
    lines = (site / POLICY_FILE).read_text(encoding="utf-8").splitlines()
    return next(line for line in lines if line.startswith(HEADER))


class _Page(HTMLParser):
    """Collects into `found`, by directive, what one page needs."""

    def __init__(self, found: dict[str, set[str]]) -> None:
        super().__init__(convert_charrefs=True)
        self._found = found
        self._inline: str | None = None
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        for (element, attribute), directive in _FETCHES.items():
            if tag == element and values.get(attribute):
                self._allow(directive, _origin(values[attribute]))
        if tag == "link" and values.get("href"):
            for word in values.get("rel", "").lower().split():
                if word in _LINKS:
                    self._allow(_LINKS[word], _origin(values["href"]))
        if tag == "form" and values.get("action"):  # without one it has nowhere to be sent, and a script reads it
            self._allow("form-action", _origin(values["action"]))
        for name, value in values.items():
            if name == "style":
                self._allow("style-src", "'unsafe-hashes'", _hash(value))
            elif name.startswith("on"):
                self._allow("script-src", "'unsafe-hashes'", _hash(value))
        if tag == "style" or (tag == "script" and "src" not in values and values.get("type", "").lower() in _RUNS):
            self._inline, self._text = tag, ""

    def handle_data(self, data: str) -> None:
        self._text += data

    def handle_endtag(self, tag: str) -> None:
        if self._inline == tag and self._text:
            self._allow(f"{tag}-src", _hash(self._text))
        self._inline = None

    def _allow(self, directive: str, *sources: str) -> None:
        self._found.setdefault(directive, set()).update(sources)


def _origin(address: str) -> str:
    parts = urlsplit(address)
    if parts.scheme == "data":
        return "data:"
    return f"{parts.scheme or 'https'}://{parts.netloc}" if parts.netloc else "'self'"


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
