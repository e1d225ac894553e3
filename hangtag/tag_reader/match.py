"""All patterns of a book against a text, in one walk: every place where one of them fits.

A pattern is a path through one tree: its words lead on, and so do its holes, where the quantity layer finds a number
there. A match has at most 8 words and quantities, so time grows with the length of the text. The browser does the same
in scripts/tag-match.js. Must not choose between matches.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from hangtag.tag_reader.items import COLON, GLUED, Items
from hangtag.tag_reader.quantities import Quantities, Quantity

LONGEST = 8  # words and quantities in one match
_MOST_FILLERS = 2  # between a label and its number, and after a number


@dataclass
class Node:
    """A place in the tree of patterns. `holes` are keyed by a signature, the set of unit spellings that fit."""

    words: dict[str, Node] = field(default_factory=dict)
    holes: dict[int, Node] = field(default_factory=dict)
    bare: Node | None = None
    thousand: Node | None = None
    ends: list[int] = field(default_factory=list)

    @property
    def has_holes(self) -> bool:
        """Whether a quantity leads on from here."""
        return bool(self.holes) or self.bare is not None or self.thousand is not None


class Match(NamedTuple):
    """One pattern that fits the items from `first` to `end`, with the quantity in each of its holes."""

    pattern: int
    first: int
    end: int
    quantities: tuple[Quantity, ...]


@dataclass(frozen=True)
class Matcher:
    """The tree of all patterns; which signatures a unit's spelling has; words that may stand between or be glued."""

    root: Node
    signatures: Mapping[str, Sequence[int]]
    fillers: frozenset[str]
    words: frozenset[str]  # every word of a pattern that has at least two letters


def matches(items: Items, quantities: Quantities, matcher: Matcher) -> list[Match]:
    """Every match of a text, by where it begins."""
    walk = _Walk(items, quantities, matcher, _numeric(items), [])
    for at in range(items.count):
        if walk.numeric[at] or items.word[at] in matcher.root.words:
            _from(walk, at)
    return walk.found


@dataclass(frozen=True)
class _Walk:
    items: Items
    quantities: Quantities
    matcher: Matcher
    numeric: Sequence[bool]
    found: list[Match]


def _numeric(items: Items) -> list[bool]:
    """Whether a number stands at an item or within the next three: only there can a quantity begin."""
    flags = [
        kind == "number" or (kind == "mark" and word > "~") for kind, word in zip(items.kind, items.word, strict=True)
    ]
    nearby = list(flags)
    for at, flag in enumerate(flags):
        if flag:
            for before in range(max(0, at - 4), at):
                nearby[before] = True
    return nearby


def _from(walk: _Walk, first: int) -> None:
    items = walk.items
    if not _begins_cleanly(walk, first):
        return
    count, segment = items.count, items.segment[first]
    stack: list[tuple[Node, int, int, int, tuple[Quantity, ...]]] = [(walk.matcher.root, first, 0, 0, ())]
    while stack:
        node, at, length, skipped, filled = stack.pop()
        if node.ends and not skipped and _ends_cleanly(items, at, is_word=not filled):
            walk.found.extend(Match(pattern, first, at, filled) for pattern in node.ends)
        if at >= count or length >= LONGEST or items.segment[at] != segment:
            continue
        after_hole = bool(filled) and filled[-1].end == at - skipped
        if not (after_hole and items.gap[at] == COLON):
            following = node.words.get(items.word[at])
            if following is not None:
                stack.append((following, at + 1, length + 1, 0, filled))
        if node.has_holes and walk.numeric[at]:
            for quantity in reversed(walk.quantities.at(at)):  # the stack turns them round again
                stack.extend(
                    (following, quantity.end, length + 1, 0, (*filled, quantity))
                    for following in _through(node, quantity, walk.matcher.signatures)
                )
        if at > first and skipped < _MOST_FILLERS and _is_filler(walk, at) and (node.words or node.has_holes):
            stack.append((node, at + 1, length, skipped + 1, filled))


def _is_filler(walk: _Walk, at: int) -> bool:
    """A word that may stand between; a dash that touches what follows is a minus instead."""
    items = walk.items
    if items.word[at] not in walk.matcher.fillers:
        return False
    joins = items.gap[at] == GLUED and items.kind[at - 1] == "word"  # `T-70`
    return items.word[at] != "-" or joins or (at + 1 < items.count and items.gap[at + 1] != GLUED)


def _through(node: Node, quantity: Quantity, signatures: Mapping[str, Sequence[int]]) -> list[Node]:
    found = []
    if quantity.spelling:
        for signature in signatures.get(quantity.spelling, ()):
            following = node.holes.get(signature)
            if following is not None:
                found.append(following)
        return found
    if node.bare is not None:
        found.append(node.bare)
    if quantity.thousand and node.thousand is not None:
        found.append(node.thousand)
    return found


def _begins_cleanly(walk: _Walk, at: int) -> bool:
    """`X20D` and `#20D` are codes; `PU3000mm` and `30Dx40D` are not, since what stands before is a word of a tag."""
    items = walk.items
    if at == 0 or items.gap[at] != GLUED or items.segment[at] != items.segment[at - 1]:
        return True
    before = items.word[at - 1]
    if items.kind[at - 1] == "mark":
        return before not in {"#", "_", "@", "\\", "$", "€", "£", "¥"}
    if items.kind[at] != "number" or before in walk.matcher.words:
        return True
    return before == "x" and at > 1 and items.gap[at - 1] == GLUED  # of `30Dx40D`


def _ends_cleanly(items: Items, at: int, *, is_word: bool) -> bool:
    """Nothing goes on where a match ends: `20D7` is a code. A word may touch its number: `PU3000mm`."""
    if at >= items.count or items.gap[at] != GLUED or items.segment[at] != items.segment[at - 1]:
        return True
    return items.kind[at] == "mark" or is_word or items.word[at] == "x"
