"""Numbers that mean nothing to gear: prices, dates, sizes, codes, telephone numbers. They are left alone.

Must not know entries or units.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hangtag.tag_reader.items import GLUED, Items

_JOINS = frozenset("/-.")
_FIRST_YEAR, _LAST_YEAR = 1900, 2099
_YEAR_DIGITS = 4
_MOST_DAYS = 31
_GROUP = 3  # digits of a group of thousands: the second half of `10 000`


@dataclass(frozen=True)
class Figures:
    """What tells such numbers apart: signs of money, months, words that number things."""

    money: frozenset[str]
    months: frozenset[str]
    numbered: frozenset[str]
    fractions: Mapping[str, tuple[int, int]]


def blocked(items: Items, figures: Figures) -> frozenset[int]:
    """The items whose numbers are to be left alone."""
    found: set[int] = set()
    count = items.count
    at = 0
    while at < count:
        if items.kind[at] == "number":
            end = _chain(items, at)
            if end > at + 1 and _is_date(items, at, end):
                found.update(range(at, end))
            elif _is_blocked(items, at, figures):
                found.update(range(at, max(end, at + 1)))
            at = end
        else:
            at += 1
    return frozenset(found)


def _chain(items: Items, at: int) -> int:
    """Where numbers joined by glued marks end: `23537-1:2022`, `31/12/2025`."""
    end = at + 1
    while (
        end + 1 < items.count
        and items.gap[end] == GLUED
        and items.gap[end + 1] == GLUED
        and (items.word[end] in _JOINS or items.word[end] == ":")
        and items.kind[end + 1] == "number"
    ):
        end += 2
    return end


def _is_date(items: Items, at: int, end: int) -> bool:
    """Three numbers with one join, a year first or last; or a time such as `8:30`."""
    if items.word[at + 1] == ":":
        return True
    return end - at == 5 and (_is_year(items.word[at]) or _is_year(items.word[end - 1]))  # noqa: PLR2004


def _is_year(word: str) -> bool:
    return len(word) == _YEAR_DIGITS and word.isdigit() and _FIRST_YEAR <= int(word) <= _LAST_YEAR


def _is_blocked(items: Items, at: int, figures: Figures) -> bool:
    word, count = items.word[at], items.count
    group = len(word) == _GROUP and at > 0 and items.kind[at - 1] == "number" and len(items.word[at - 1]) <= _GROUP
    if len(word) > 1 and word[0] == "0" and word.isdigit() and not group:  # codes and telephone numbers
        return True
    before = items.word[at - 1] if at and items.segment[at - 1] == items.segment[at] else ""
    if at > 1 and len(before) == 1 and items.gap[at] == GLUED and items.word[at - 2] in figures.numbered:
        return True  # `ASTM F3340`
    if before in figures.money or before in figures.numbered or before == "#":
        return True
    after = items.word[at + 1] if at + 1 < count and items.segment[at + 1] == items.segment[at] else ""
    if after in figures.money and not (after == "$" and items.gap[at + 1] != GLUED):
        return True
    if before in figures.months or after in figures.months:
        return _is_year(word) or (word.isdigit() and len(word) < 3 and int(word) <= _MOST_DAYS)  # noqa: PLR2004
    return before in {"since", "©", "in"} and _is_year(word)
