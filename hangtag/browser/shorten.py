"""Shorter names for what only a script itself knows: fewer bytes for the reader, the source stays as it is.

A name is changed only where it can be nothing else than a variable or function of the script: it is declared there, and
it stands nowhere after a point, before a colon, or alone between commas and braces, where it could name a property.
Only our own scripts pass here: none has code in a template string. Must not be used for a script others call by name.
"""

from __future__ import annotations

import itertools
import re
import string
from collections.abc import Iterator

_NAME = r"[A-Za-z_$][\w$]*"
# Texts and patterns are passed over; see `scripts.py` for where a pattern may begin.
_TOKEN = re.compile(
    r"""(?P<kept>"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`"""
    r"""|(?:(?<=[(,=:\[!&|?{};>])|(?<=[(,=:\[!&|?{};>]\ ))/(?![*/])(?:[^/\\\n\[]|\\.|\[(?:[^\]\\\n]|\\.)*\])+/[a-z]*)"""
    rf"""|(?P<name>{_NAME})"""
)
_DECLARED = re.compile(rf"\b(?:const|let|function)\s+({_NAME})")
_PROPERTIES = tuple(
    re.compile(pattern) for pattern in (rf"\.\s*({_NAME})", rf"({_NAME})\s*:", rf"(?<=[{{,])\s*({_NAME})\s*(?=[,}}=])")
)
_LINE_GOES_ON = re.compile(r"(?<=[;{,])\n")  # our template strings hold no line that ends so
_LONG = 2  # letters beyond which a name is worth it


def shortened(source: str) -> str:
    """A script with the names that only it knows made short, and lines joined where a mark says that they go on."""
    code = _TOKEN.sub(lambda found: found["name"] or "0", source)
    names = set(re.findall(_NAME, code))
    properties = {name for pattern in _PROPERTIES for name in pattern.findall(code)}
    own = [name for name in dict.fromkeys(_DECLARED.findall(code)) if name not in properties and len(name) > _LONG]
    free = (name for name in _short_names() if name not in names)
    short = dict(zip(own, free, strict=False))
    source = _TOKEN.sub(lambda found: short.get(found["name"], found[0]) if found["name"] else found[0], source)
    return _LINE_GOES_ON.sub("", source)


def _short_names() -> Iterator[str]:
    yield from string.ascii_letters
    yield from map("".join, itertools.product(string.ascii_letters, repeat=2))
