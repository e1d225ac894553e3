"""Makers' own names for a cloth, a film or a filling: echoed, never stored, never explained.

A word with a trademark sign, or an unknown one with a capital beside a word of cloth, membrane or fill. Must not know
any maker's name.
"""

from __future__ import annotations

from collections.abc import Sequence

from hangtag.tag_reader.items import HYPHEN, Items

_SHORTEST = 4  # letters of an unknown word that may be a name
_MOST_WORDS = 3  # of a name before its sign
_ENDINGS = tuple("tex lite lyte weave shield veil tec tech therm loft skin web guard dry".split())


def names(
    items: Items, taken: Sequence[bool], near: frozenset[str], known: frozenset[str], trademarks: frozenset[str]
) -> list[tuple[int, int]]:
    """The items of every maker's name, as (first, end); `taken` tells what other readings have."""
    found: list[tuple[int, int]] = []
    shouted = _is_shouted(items.text)
    at, count = 0, items.count
    while at < count:
        if items.word[at] in trademarks and at and not taken[at - 1] and items.kind[at - 1] == "word":
            first = at - 1
            least = max(0, at - _MOST_WORDS, found[-1][1] if found else 0)
            while (
                first - 1 >= least
                and not taken[first - 1]
                and items.segment[first - 1] == items.segment[at]
                and items.kind[first - 1] == "word"
                and (
                    items.gap[first] == HYPHEN or (_is_capital(items, first - 1) and items.word[first - 1] not in known)
                )
            ):
                first -= 1
            if found and found[-1][1] > first:
                found.pop()
            found.append((first, at + 1))
        elif not taken[at] and not shouted and _is_name(items, at, near, known):
            found.append((at, at + 1))
        at += 1
    return found


def _is_name(items: Items, at: int, near: frozenset[str], known: frozenset[str]) -> bool:
    word = items.word[at]
    if items.kind[at] != "word" or len(word) < _SHORTEST or word in known or not _is_capital(items, at):
        return False
    begins = at == 0 or items.sentence[at] != items.sentence[at - 1]
    if begins and not (word.endswith(_ENDINGS) or _has_inner_capital(items, at)):
        return False
    for neighbour in (at - 1, at + 1):
        inside = 0 <= neighbour < items.count and items.segment[neighbour] == items.segment[at]
        if inside and items.word[neighbour] in near:
            return True
    return False


def _is_capital(items: Items, at: int) -> bool:
    return "A" <= items.text[items.start[at]] <= "Z"


def _has_inner_capital(items: Items, at: int) -> bool:
    written = items.text[items.start[at] : items.end[at]]
    return any("A" <= character <= "Z" for character in written[1:]) and any("a" <= each <= "z" for each in written)


def _is_shouted(text: str) -> bool:
    """Whether most letters are capitals: a capital then says nothing."""
    capitals = sum(1 for character in text if "A" <= character <= "Z")
    small = sum(1 for character in text if "a" <= character <= "z")
    return capitals > small
