"""Which stems lead to which entries, as two short texts that compress well.

`stems` are sorted; each stands as how many letters it shares with the one before (0 to 9) and the letters that differ,
so no stem may hold a digit. `places` are, for each stem and ended by `!`, three times the step from entry to entry,
plus the way the entry has the word (0, 1 or 2). Must not know what an entry is, nor what a way is worth.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_RADIX = 25
_WAYS = 3
# Printable characters that neither JSON nor a script must escape: a last digit, and one that others follow.
_LAST, _MORE, _END = 35, 93, "!"
_MOST_SHARED = 9
_SECOND_PLANE = "\ud800"  # from here on the languages count letters differently
_STEM = re.compile("([0-9])([^0-9]+)")


def pack(found: Mapping[str, Mapping[int, int]]) -> tuple[str, str]:
    """(stems, places) of a mapping from stem to entries, each with its way."""
    stems, places, before = [], [], ""
    for stem in sorted(found):
        shared = 0
        while (
            max(stem[: shared + 1]) < _SECOND_PLANE
            and shared < min(len(stem) - 1, len(before), _MOST_SHARED)
            and stem[shared] == before[shared]
        ):
            shared += 1
        stems.append(f"{shared}{stem[shared:]}")
        before = stem
        at = -1
        for entry, way in sorted(found[stem].items()):
            places.append(_number((entry - at) * _WAYS + way))
            at = entry
        places.append(_END)
    return "".join(stems), "".join(places)


def unpack(stems: str, places: str) -> dict[str, dict[int, int]]:
    """What was packed."""
    found: dict[str, dict[int, int]] = {}
    before = ""
    for (shared, more), place in zip(_STEM.findall(stems), places.split(_END), strict=False):
        before = before[: int(shared)] + more
        found[before] = entries = {}
        at, number = -1, 0
        for character in place:
            code = ord(character)
            if code >= _MORE:
                number = number * _RADIX + code - _MORE
                continue
            number = number * _RADIX + code - _LAST
            at += number // _WAYS
            entries[at] = number % _WAYS
            number = 0
    return found


def _number(number: int) -> str:
    text = chr(_LAST + number % _RADIX)
    while number := number // _RADIX:
        text = chr(_MORE + number % _RADIX) + text
    return text
