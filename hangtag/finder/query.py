"""A typed text as words and as numbers with their units. Must not know entries, nor what a match is worth.

The browser does the same in `site_templates/scripts/finder.js`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hangtag import words
from hangtag.words import Token

MOST_CHARACTERS = 400  # of a typed text; the rest is left away
_MOST_TOKENS = 48
_MOST_UNIT_TOKENS = 12
_KEPT_MARKS = frozenset("/%°\"'")
_SKIPPED_MARKS = frozenset("^*·.()-")
_GROUP = 3  # digits between thousands marks


@dataclass(frozen=True)
class Number:
    """A number of the typed text with the rows of the table of units that its unit could mean.

    `values` are all honest readings (`1.500` is 1500 or 1.5), `k` tells of a thousand written so. The tokens `start` to
    before `end` are the number with its sign and unit, its digits end before `after`; `typed` is how it was written.
    """

    values: tuple[float, ...]
    k: bool
    units: tuple[int, ...]
    typed: str
    start: int
    after: int
    end: int


@dataclass(frozen=True)
class Query:
    """What was typed: its tokens, the numbers among them, and the rows of units that the whole of it spells."""

    typed: str
    tokens: tuple[Token, ...]
    numbers: tuple[Number, ...]
    units: tuple[int, ...]

    def between(self, start: int, end: int) -> str:
        """The text from one token to before another, as it was typed."""
        return self.typed[self.tokens[start].start : self.tokens[end - 1].end]


def is_searchable(text: str) -> bool:
    """Whether a text has anything to search for: a letter or a digit."""
    return any(token.kind != "mark" for token in words.tokens(text))


def unit_key(tokens: tuple[Token, ...]) -> str | None:
    """How a spelling of a unit is looked up: `in³/oz`, `in^3 / oz` and `in3/oz` are one. None where it is none."""
    key = ""
    for token in tokens:
        if token.kind != "mark" or token.folded in _KEPT_MARKS:
            if not key and token.kind == "number":
                return None
            key += token.folded
        elif not key or token.folded not in _SKIPPED_MARKS:
            return None
    return key or None


def read(text: str, units: Mapping[str, tuple[int, ...]]) -> Query:
    """Read a typed text; `units` gives the rows of the table of units by key."""
    text = text[:MOST_CHARACTERS]
    tokens = words.tokens(text)[:_MOST_TOKENS]
    numbers = []
    at = 0
    while at < len(tokens):
        if tokens[at].kind == "number":
            number = _number(text, tokens, at, units)
            numbers.append(number)
            at = number.end
        else:
            at += 1
    whole = tokens
    while whole and whole[-1].folded in {"?", ".", "!"}:
        whole = whole[:-1]
    return Query(text, tokens, tuple(numbers), _rows(whole, units))


def _rows(tokens: tuple[Token, ...], units: Mapping[str, tuple[int, ...]]) -> tuple[int, ...]:
    key = unit_key(tokens)
    if key is None:
        return ()
    if key in units:
        return units[key]
    return units.get(key[:-1], ()) if key.endswith("s") and len(key) > _GROUP else ()


def _number(text: str, tokens: tuple[Token, ...], at: int, units: Mapping[str, tuple[int, ...]]) -> Number:
    first = tokens[at]
    values, end = first.values, at + 1
    digits = first.folded
    while _goes_on(first, tokens, end):  # `10 000 mm`
        digits += tokens[end].folded
        values, end = (digits,), end + 1
    typed = text[first.start : tokens[end - 1].end]
    floats = tuple(float(value) for value in values)
    start, after = at, end
    if at and _is_minus(tokens, at - 1):
        floats, typed, start = tuple(-value for value in floats), f"\N{MINUS SIGN}{typed}", at - 1
    k = end < len(tokens) and tokens[end].folded == "k" and tokens[end].glued
    if k:
        floats, typed, end = tuple(value * 1000 for value in floats), f"{typed}k", end + 1
    for last in range(min(len(tokens), end + _MOST_UNIT_TOKENS), end, -1):
        rows = _rows(tokens[end:last], units)
        if rows and (tokens[last - 1].kind != "mark" or tokens[last - 1].folded in _KEPT_MARKS):
            return Number(floats, k, rows, typed, start, after, last)
    return Number(floats, k, (), typed, start, after, end)


def _goes_on(first: Token, tokens: tuple[Token, ...], at: int) -> bool:
    """Whether the number that began with `first` goes on with a group of three digits after a space."""
    if at >= len(tokens) or tokens[at].kind != "number" or tokens[at].glued:
        return False
    begun, group = first.folded, tokens[at].folded
    return begun.isdigit() and begun[0] != "0" and len(begun) <= _GROUP and group.isdigit() and len(group) == _GROUP


def _is_minus(tokens: tuple[Token, ...], at: int) -> bool:
    """A minus touches its number and nothing before it but a bracket or stroke: `5-10` and `R-5` have none."""
    if tokens[at].folded != "-" or not tokens[at + 1].glued:
        return False
    return not tokens[at].glued or tokens[at - 1].folded in {"(", "/"}
