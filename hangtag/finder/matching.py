"""What single words of a typed text stand for: known words, and what they are worth to each target.

Must not look at numbers, nor add scores up.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from hangtag.finder.numbers import Why
from hangtag.finder.query import Query
from hangtag.finder.stems import is_forgiven, is_plain, singular, slips, slips_allowed, stem
from hangtag.finder.tables import WORTH_OF, Tables, words_of

# How well one word stands for another, of 100.
SAME = 100
_WHYS: tuple[Why, ...] = ("short", "said", "label")
_SAME_STEM, _BEGINS, _SLIPS = 75, 60, (100, 85, 65)
_SHORTEST_BEGINNING = 2  # letters
_SHORT_UNIT = 2  # letters up to which a unit's spelling is no word


class Word:
    """One word of the text: the known words it stands for by how well, and what it is worth to each target."""

    def __init__(self, tables: Tables, typed: str, *, last: bool = False, joined: bool = False) -> None:
        self.typed = typed
        self.known: dict[str, int] = {}
        if not joined:
            self.known = _known(tables, typed, last)
        elif typed in tables.worth:
            self.known = {typed: SAME}
        ways = tables.ways.get(typed if joined else stem(typed), {})
        if not self.known and not ways and is_forgiven(typed):
            self.known = _forgiven(tables, singular(typed))
        self.targets: dict[int, tuple[int, Why]] = {}
        for known, quality in self.known.items():
            for target, worth in tables.worth[known].items():
                self._note(target, worth * quality // 100, "words")
        for target, way in ways.items():
            self._note(target, WORTH_OF[way], _WHYS[way])
        self.weight = 1 + (len(tables.targets) // max(1, len(self.targets))).bit_length()

    def _note(self, target: int, worth: int, why: Why) -> None:
        if target not in self.targets or worth > self.targets[target][0]:
            self.targets[target] = (worth, why)


def meant(tables: Tables, query: Query) -> list[Word]:
    """The words of a text that mean something in this book; all of them where it has no others."""
    taken = {at for number in query.numbers for at in range(number.start, number.end)}
    words = [
        (at, token.folded)
        for at, token in enumerate(query.tokens)
        if token.kind == "word" and (len(token.folded) > _SHORT_UNIT or not (at in taken or query.units))
    ]
    telling = [(at, word) for at, word in words if word not in tables.stop] or words
    found = [Word(tables, word, last=at == len(query.tokens) - 1) for at, word in telling]
    found += [Word(tables, pair, joined=True) for pair in _pairs(tables, query)]
    return [word for word in found if word.targets]


def _pairs(tables: Tables, query: Query) -> Iterator[str]:
    """Neighbours that are one word when joined: `rain fly`, `sil-nylon`."""
    tokens = [token for token in query.tokens if token.folded != "-"]
    for one, other in itertools.pairwise(tokens):
        if one.kind == other.kind == "word":
            joined = "".join(words_of((one, other)))
            if joined in tables.worth or joined in tables.ways:
                yield joined


def _known(tables: Tables, typed: str, last: bool) -> dict[str, int]:
    known: dict[str, int] = {}
    if last and len(typed) >= _SHORTEST_BEGINNING and is_plain(typed):
        known |= dict.fromkeys((word for word in tables.worth if word.startswith(typed)), _BEGINS)
    known |= dict.fromkeys(tables.stems.get(stem(typed), ()), _SAME_STEM)
    if singular(typed) in tables.worth:
        known[singular(typed)] = SAME
    return known


def _forgiven(tables: Tables, typed: str) -> dict[str, int]:
    """The known words with the fewest slips between them and a typed word."""
    most = slips_allowed(typed)
    known: dict[str, int] = {}
    for word in tables.forgiven:
        count = slips(typed, word, most)
        if count < most:
            most, known = count, {}
        if count == most:
            known[word] = _SLIPS[count]
    return known
