"""Words made alike: without their plural, without their endings, and how many slips of the hand part two of them.

The browser does the same in `site_templates/scripts/finder.js`. English endings only: a word with other letters stays
as it is. Must not know entries or what a word is worth.
"""

from __future__ import annotations

import re

_SMALL = re.compile("[a-z]+")
# Letters of the first plane alone, so that both languages count and compare them alike; no digits.
_PLAIN = re.compile("[^0-9\ud800-\U0010ffff]+")
_LEAST_FORGIVEN = 4
_SIBILANTS = ("ches", "shes", "sses", "xes", "zes")
_NO_PLURALS = ("ss", "us", "is")
_LONG = 8  # letters from which on two slips are forgiven
_KEPT = 6  # letters of a stem


def singular(word: str) -> str:
    """The word without a plural's ending: `baffles`, `vestibules`, `tenacities`."""
    if not _SMALL.fullmatch(word) or len(word) < 4 or not word.endswith("s") or word.endswith(_NO_PLURALS):  # noqa: PLR2004
        return word
    if word.endswith("ies") and len(word) > 4:  # noqa: PLR2004
        return word[:-3] + "y"
    return word[:-2] if word.endswith(_SIBILANTS) else word[:-1]


def stem(word: str) -> str:
    """The first letters of a word without its endings: one for `leak`, `leaks`, `leaking`."""
    word = singular(word)
    if not _SMALL.fullmatch(word):
        return word
    for ending in ("ing", "ed", "ly", "er", "y", "e"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:  # noqa: PLR2004
            word = word[: -len(ending)]
            break
    if len(word) > 3 and word[-1] == word[-2]:  # noqa: PLR2004  sagging, sag
        word = word[:-1]
    return word[:_KEPT]


def is_plain(word: str) -> bool:
    """Whether a word may be compared by its letters."""
    return _PLAIN.fullmatch(word) is not None


def is_forgiven(word: str) -> bool:
    """Whether slips in a word are forgiven: it has four letters or more and no digit."""
    return is_plain(word) and len(word) >= _LEAST_FORGIVEN


def slips_allowed(word: str) -> int:
    """How many slips a word may have."""
    return 2 if len(word) >= _LONG else 1


def slips(one: str, other: str, most: int) -> int:
    """Letters added, left out, changed or swapped with a neighbour, at the least; `most` + 1 where there are more."""
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i in range(1, len(one) + 1):
        earlier, before, row = before, row, [i]
        for j in range(1, len(other) + 1):
            same = one[i - 1] == other[j - 1]
            least = min(before[j - 1] + (0 if same else 1), before[j] + 1, row[j - 1] + 1)
            if i > 1 and j > 1 and one[i - 1] == other[j - 2] and one[i - 2] == other[j - 1]:
                least = min(least, earlier[j - 2] + 1)
            row.append(least)
        if min(row) > most:
            return most + 1
    return min(row[-1], most + 1)
