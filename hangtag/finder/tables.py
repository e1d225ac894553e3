"""The finder's data made ready for searching: words, stems, joined names, units and quantities, by what is looked up.

The browser builds the same tables in `site_templates/scripts/finder.js`. Must not know what was typed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from hangtag import words
from hangtag.finder.packed import unpack
from hangtag.finder.query import unit_key
from hangtag.finder.stems import is_forgiven, singular, stem

Data = dict[str, Any]  # texts and lists of texts, as JSON holds them
COLUMNS = 6  # of `terms`: names, id, printed forms, sides, shapes, quantity; an entry a line in each

# What may be told of an entry's numbers, added up.
BARE, THOUSAND, NUMBER, NAMED_BY_UNIT = 1, 2, 4, 8
SIDE_AFTER, SIDE_BEFORE = ">", "<"
OWN, FOREIGN = "#", "~"  # holes of a pattern with more than one number
# What a whole name is worth, and a single word by where it stands.
NAME, ALSO, PRINTED = 100, 92, 84
WORD_OF = {NAME: 70, ALSO: 55, PRINTED: 50}
IN_FIRST_SENTENCE, SAID, LABEL = range(3)  # the ways in which an entry has a stem, and what they are worth
WORTH_OF = (30, 45, 50)
_WORDS_JOINED = (2, 3)  # of names that are also looked up as one word
_LONG_NUMBER = 4  # digits from which on a number of a name is looked up alone: those of standards


@dataclass(frozen=True)
class Name:
    """One name of an entry: its text, what it is worth, its words without plural, and these joined."""

    text: str
    worth: int
    words: tuple[str, ...]
    joined: str


@dataclass(frozen=True)
class Quantity:
    """The numbers of an entry. `low` and `high` are decimals in `units[0]`; `usual` says how much tags print it."""

    flags: int
    usual: int
    low: str
    high: str
    units: tuple[int, ...]


@dataclass(frozen=True)
class Target:
    """An entry, or a kind of gear, with what finds it."""

    id: str
    is_gear: bool
    names: tuple[Name, ...]
    sides: frozenset[str]
    shapes: tuple[tuple[str, ...], ...]
    quantity: Quantity | None


@dataclass(frozen=True)
class UnitRow:
    """One unit as an entry reads it: SI value = (number + shift) * scale."""

    prints: str
    scale: float
    shift: float

    def si(self, number: float) -> float:
        """A number in this unit as its SI value."""
        return (number + self.shift) * self.scale


class Tables:
    """What a search looks things up in. `worth[word][target]` is the most a word is worth to a target."""

    def __init__(self, data: Data) -> None:
        self.stop = frozenset(data["stop"].split(" "))
        units: list[UnitRow] = []
        self.unit_keys: dict[str, tuple[int, ...]] = {}
        for at, line in enumerate(_parts(data["units"], "\n")):
            prints, keys, scale, *shift = line.split("|")
            units.append(UnitRow(prints, float(scale), float(shift[0]) if shift else 0.0))
            for key in (unit_key(words.tokens(prints)), *_parts(keys, " ")):
                if key is not None:
                    self.unit_keys[key] = (*self.unit_keys.get(key, ()), at)
        self.units = tuple(units)
        self.worth: dict[str, dict[int, int]] = {}
        self.targets: list[Target] = []
        for row in zip(*(column.split("\n") for column in data["terms"]), strict=True):
            if row[0]:
                self._add(*row, is_gear=False)
        for line in _parts(data["gear"], "\n"):
            id_, names = line.split("|", 1)
            self._add(names, id_, "", "", "", "", is_gear=True)
        self.ways = unpack(data["stems"], data["places"])
        self.stems: dict[str, list[str]] = {}
        for word in self.worth:
            self.stems.setdefault(stem(word), []).append(word)
        self.forgiven = [word for word in self.worth if is_forgiven(word)]

    def _add(  # noqa: PLR0913  the columns of a row
        self, own: str, id_: str, printed: str, sides: str, shapes: str, quantity: str, *, is_gear: bool
    ) -> None:
        at = len(self.targets)
        name, *also = own.split("|")
        worths = ((NAME, [name]), (ALSO, also), (PRINTED, _parts(printed, "|")))
        names = [_name(text, worth) for worth, texts in worths for text in texts]
        for its in names:
            for word in its.words:
                if word not in self.stop and (not word[0].isdigit() or len(word) >= _LONG_NUMBER):
                    self._note(word, at, WORD_OF[its.worth])
            if len(its.words) in _WORDS_JOINED:
                self._note(its.joined, at, WORD_OF[its.worth])
        self.targets.append(
            Target(
                id_ or words.folded(name).replace(" ", "-"),
                is_gear,
                tuple(names),
                frozenset(_parts(sides, " ")),
                tuple(tuple(shape.split(" ")) for shape in _parts(shapes, "|")),
                _quantity(_parts(quantity, " ")),
            )
        )

    def _note(self, word: str, target: int, worth: int) -> None:
        found = self.worth.setdefault(word, {})
        found[target] = max(found.get(target, 0), worth)


def words_of(tokens: Iterable[words.Token]) -> tuple[str, ...]:
    """Words and numbers without plural; marks are left away."""
    return tuple(singular(token.folded) for token in tokens if token.kind != "mark")


def _name(text: str, worth: int) -> Name:
    its = words_of(words.tokens(text))
    return Name(text, worth, its, "".join(its))


def _quantity(parts: list[str]) -> Quantity | None:
    if not parts:
        return None
    flags, usual, low, high, *units = parts
    return Quantity(int(flags), int(usual), low, high, tuple(map(int, units)))


def _parts(text: str, mark: str) -> list[str]:
    return text.split(mark) if text else []
