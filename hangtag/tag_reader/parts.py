"""Which part of a product an item belongs to: `Fly: 20D nylon, 1200 mm. Floor 30D`, `70D nylon floor`.

A part that begins a stretch holds until the next one or the end of its sentence; after a colon a semicolon does not end
it. A part that only stands within a stretch holds there alone. Must not know entries.
"""

from __future__ import annotations

from dataclasses import dataclass

from hangtag.tag_reader.items import COLON, Items

_MOST_BEFORE = 3  # words that may stand before a part and its colon: `Tent inner floor:`


@dataclass(frozen=True)
class PartWords:
    """Words that name parts, those that do only before a colon, and those before which none does (`floor area`)."""

    always: frozenset[str]
    with_colon: frozenset[str]
    measures: frozenset[str]


def parts_of(items: Items, words: PartWords) -> tuple[list[str | None], list[int]]:
    """For every item the part's word as it is spelt here, or None; and the number of its region, which parts begin."""
    names: list[str | None] = []
    regions: list[int] = []
    current: str | None = None
    lasting = False
    region, start, count = 0, 0, items.count
    while start < count:
        end = start + 1
        while end < count and items.segment[end] == items.segment[start] and not _turns(items, end, words):
            end += 1
        if start:
            ended = items.sentence[start] != items.sentence[start - 1]
            if ended or (items.clause[start] != items.clause[start - 1] and not lasting):
                current = None
        at, colon = _beginning(items, start, end, words)
        if at >= 0:
            current, lasting = items.word[at], colon
            region += 1
            names += [current] * (end - start)
        else:
            names += [_only_one(items, start, end, words) or current] * (end - start)
        regions += [region] * (end - start)
        start = end
    return names, regions


def _beginning(items: Items, start: int, end: int, words: PartWords) -> tuple[int, bool]:
    """The item of the part that begins a stretch, or -1; and whether a colon or dash follows it."""
    for at in range(start, min(end, start + _MOST_BEFORE)):
        if items.kind[at] == "number":
            break
        follows = at + 1 < end
        colon = follows and (items.gap[at + 1] == COLON or items.word[at + 1] == "-")
        if follows and items.word[at + 1] in words.measures:
            break
        if items.word[at] in words.always and (
            colon or (follows and (at == start or items.kind[at + 1] == "number")) or (at == start and not follows)
        ):
            return at, colon
        if colon and items.gap[at + 1] == COLON and items.word[at] in words.with_colon:
            return at, True
        if colon:
            break
    return -1, False


def _turns(items: Items, at: int, words: PartWords) -> bool:
    """`Fly 20D / floor 30D`: a slash before a part and its number ends the part before it."""
    if items.word[at - 1] not in {"/", "|", "+", "and"} or items.word[at] not in words.always or at + 1 >= items.count:
        return False
    return items.segment[at + 1] == items.segment[at] and (items.kind[at + 1] == "number" or items.gap[at + 1] == COLON)


def _only_one(items: Items, start: int, end: int, words: PartWords) -> str | None:
    found: str | None = None
    for at in range(start, end):
        word = items.word[at]
        if word in words.always and not (at + 1 < end and items.word[at + 1] in words.measures):
            if found is not None and found != word:
                return None
            found = word
    return found
