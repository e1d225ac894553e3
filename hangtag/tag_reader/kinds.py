"""Which kind of gear a tag is of: told by its words, else by what its readings are printed on.

A word that several kinds share counts less for each; the readings only decide between equals, or where no word told.
The browser does the same in scripts/tag-judge.js. Must not choose readings.
"""

from __future__ import annotations

from collections.abc import Sequence

from hangtag.tag_reader.items import Items
from hangtag.tag_reader.judge import Rule
from hangtag.tag_reader.match import Match
from hangtag.tag_reader.reader import Phrases, Reader

_WORD = 240  # of one word's votes, shared by the kinds it stands in: 1 to 12 kinds share it without a rest, nearly
_FIRST = 60  # more for the kind that is named first
_READING = 12  # of one entry's votes
_LEAST = 4  # kinds that no word told need an entry printed on three kinds at most


Found = tuple[int, int, tuple[int, ...]]


def find_phrases(items: Items, known: Phrases) -> list[Found]:
    """Where phrases stand, the longest at each place: (first, end, their groups). They do not overlap."""
    found: list[Found] = []
    at, count = 0, items.count
    while at < count:
        groups: list[int] = []
        length = 0
        for words, group in known.get(items.word[at], ()):
            size = len(words)
            if length and size < length:
                break
            if at + size <= count and items.segment[at + size - 1] == items.segment[at] and _stands(items, at, words):
                length = size
                groups.append(group)
        if length:
            found.append((at, at + length, tuple(groups)))
            at += length
        else:
            at += 1
    return found


def _stands(items: Items, at: int, words: Sequence[str]) -> bool:
    return all(items.word[at + index] == word for index, word in enumerate(words))


def guess(items: Items, named: Sequence[Found], found: Sequence[Match], reader: Reader) -> list[str]:
    """The kinds of gear that words and readings speak for most: one, several that are equal, or none."""
    votes = [0] * len(reader.kinds)
    other = find_phrases(items, reader.no_kind)
    silent = {at for first, end, _ in other for at in range(first, end)}
    first_named = False
    for first, end, groups in named:
        if first in silent:
            continue
        for group in groups:
            votes[group] += (end - first) * _WORD // len(groups)
            if not first_named and len(groups) == 1:
                votes[group] += _FIRST
        first_named = first_named or len(groups) == 1
    told = max(votes, default=0) > 0
    for kinds in _printed_on(found, reader.court.rules):
        for kind in kinds:
            index = reader.kinds.index(kind)
            if votes[index] or not told:
                votes[index] += _READING // len(kinds)
    best = max(votes, default=0)
    return [kind for kind, its in zip(reader.kinds, votes, strict=True) if its == best and best >= _LEAST]


def _printed_on(found: Sequence[Match], rules: Sequence[Rule]) -> list[list[str]]:
    """The kinds of gear of each entry that a word of its own tells, once for each entry.

    At each place the longest such match speaks, and only where it is one entry's alone.
    """
    longest: dict[int, int] = {}
    entries: dict[int, set[str]] = {}
    for match in found:
        rule = rules[match.pattern]
        if rule.words and match.end >= longest.get(match.first, 0):
            if match.end > longest.get(match.first, 0):
                entries[match.first] = set()
            longest[match.first] = match.end
            entries[match.first].add(rule.entry)
    sure = {entry for its in entries.values() if len(its) == 1 for entry in its}
    kinds = {rule.entry: sorted(rule.kinds) for match in found if (rule := rules[match.pattern]).entry in sure}
    return [its for its in kinds.values() if its]
