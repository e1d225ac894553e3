"""The book as the finder's data: plain values that JSON can hold, the same for Python and for the browser.

Must not rank anything, nor know what was typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

from hangtag import words
from hangtag.amounts import Amount
from hangtag.book import Book, Gear
from hangtag.entries import Entry, Reads
from hangtag.finder.packed import pack
from hangtag.finder.query import unit_key
from hangtag.finder.stems import is_forgiven, singular, slips, stem
from hangtag.finder.tables import (
    BARE,
    COLUMNS,
    FOREIGN,
    IN_FIRST_SENTENCE,
    LABEL,
    NAMED_BY_UNIT,
    NUMBER,
    OWN,
    SAID,
    SIDE_AFTER,
    SIDE_BEFORE,
    THOUSAND,
    Data,
    Tables,
)
from hangtag.numbers import show_plain
from hangtag.problems import Problems
from hangtag.strings import LocalText
from hangtag.tag_reader import Hole, Literal, Pattern, read_patterns
from hangtag.units import PLAIN_UNIT, Unit

# Words that carry no meaning of their own in a question.
STOP = frozenset(
    """
    a about all am an and any are as at be been but by can could did do does doing for from get gets got had has have
    how i if in into is it its just like may me might more most much my need no not of on one or other our out over per
    should so some such than that the their them then there these they thing this to too up use very was we were what
    when where which who why will with work would you your
    """.split()
)
LABELS = "find-because-"  # all labels whose names begin so say why a result is there
_SHORT = 2  # letters up to which a label counts only beside its number
_USUAL = 12  # what the first place on the tag of a kind of gear is worth
_ANY = ("0", "1000000000")  # where nothing is said of what is plausible
_MOST_GEAR_WORDS = 3
_DIGITS_OF_A_SCALE = 7
_MOST_WITH_A_WORD = 4  # entries; a word of more first sentences tells too little for its bytes
_DIGITS = frozenset("0123456789")


@dataclass(frozen=True)
class Index:
    """What `find` searches: the data, and the words in which it says why a result is there."""

    data: Data
    labels: dict[str, str] = field(default_factory=dict)

    @cached_property
    def tables(self) -> Tables:
        """The data made ready for searching, once."""
        return Tables(self.data)


def index(book: Book) -> Index:
    """The index of a book, in its own language; other names are found in every language the book has."""
    return Index(_Maker(book).data(), labels(book))


def labels(book: Book) -> dict[str, str]:
    """The finder's labels in the book's language."""
    return {name: text for name, text in book.strings.table(book.language).items() if name.startswith(LABELS)}


class _Maker:
    """Collects the rows of one book; units get their row when the first entry uses them."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._patterns = read_patterns(book, Problems())
        self._owners: dict[str, set[str]] = {}
        for entry in book.entries.values():
            for word in (singular(word) for text in _all_names(entry) for word in _words(text)):
                self._owners.setdefault(word, set()).add(entry.id)
        self._units: dict[tuple[str, tuple[str, ...]], int] = {}
        self._unit_rows: list[list[str]] = []
        self._labels: dict[str, set[int]] = {}  # places of the entries by stem

    def data(self) -> Data:
        entries = [self._entry(place, entry) for place, entry in enumerate(self._book.entries.values())]
        stems, places = pack(self._stems())
        return {
            "terms": ["\n".join(column) for column in zip(*entries, strict=True)] or [""] * COLUMNS,
            "gear": "\n".join(map(self._gear, self._book.gear.values())),
            "units": "\n".join(map("|".join, self._unit_rows)),
            "stems": stems,
            "places": places,
            "stop": " ".join(sorted(STOP)),
        }

    def _name(self, text: LocalText) -> str:
        return text.within(self._book.language)

    def _gear(self, gear: Gear) -> str:
        """Id, name, other words for it."""
        name = self._name(gear.name)
        single = [word for word in gear.words if word.isalpha() and len(word) > _SHORT]
        return _joined([gear.id, name, *_new_ones([name], single[:_MOST_GEAR_WORDS])])

    def _entry(self, place: int, entry: Entry) -> list[str]:
        """Names, the first one its own; id or "" where the name tells it; printed forms; sides; shapes; quantity."""
        name = self._name(entry.name)
        patterns = self._patterns.get(entry.id, ())
        others = _new_ones([name], _all_names(entry))
        printed, labelled = _printed(
            patterns, [name, *others], lambda word: self._owners.get(word, {entry.id}) != {entry.id}
        )
        for word in labelled:
            self._labels.setdefault(word, set()).add(place)
        return [
            _joined([name, *others]),
            "" if words.folded(name).replace(" ", "-") == entry.id else entry.id,
            _joined(printed),
            " ".join(_sides(patterns)),
            "|".join(_shapes(patterns)),
            " ".join(map(str, self._quantity(entry, patterns))),
        ]

    def _quantity(self, entry: Entry, patterns: Iterable[Pattern]) -> list[object]:
        """[flags, how usual, low, high, row of the first unit, other rows ...]; low and high in the first unit."""
        reads = entry.reads
        if reads is None or reads.unit is None:
            return []
        low, high = (_in_unit(end, reads.unit) for end in reads.plausible) if reads.plausible else _ANY
        rows = [self._unit(unit, reads) for unit in (reads.unit, *reads.also)]
        spellings = {
            key
            for row in rows
            for text in self._unit_rows[row][:2]
            for key in (unit_key(words.tokens(text)), *text.split(" "))
        }
        is_named = any(unit_key(words.tokens(name)) in spellings for name in _all_names(entry))
        flags = _flags(patterns) | (NAMED_BY_UNIT if is_named else 0)
        return [flags, self._usual(entry.id), low, high, *rows]

    def _usual(self, entry: str) -> int:
        """How much a book's tags print this: what comes first on the tags of many kinds of gear."""
        usual = 1
        for gear in self._book.gear.values():
            first = gear.wanted or gear.tags
            if entry in first:
                usual += _USUAL // (1 + first.index(entry))
            elif entry in gear.tags:
                usual += 1
        return usual

    def _unit(self, unit: Unit, reads: Reads) -> int:
        more = reads.typed.get(unit.id, ())
        row = self._units.get((unit.id, more))
        if row is None:
            row = self._units[unit.id, more] = len(self._unit_rows)
            spoken = (unit.says,) if unit.says.isalpha() else ()
            keys = dict.fromkeys(  # beside the printed form, which is a key too
                key
                for text in (unit.id, *unit.typed, *more, *spoken)
                if (key := unit_key(words.tokens(text))) not in {None, unit_key(words.tokens(unit.prints))}
                and not (key.endswith("s") and key[:-1] in unit.typed)
            )
            prints = "" if unit.id == PLAIN_UNIT else unit.prints
            numbers = [_short(unit.scale), *([_short(unit.shift)] if unit.shift else [])]
            self._unit_rows.append([prints, " ".join(filter(None, keys)), *numbers])
        return row

    def _stems(self) -> dict[str, dict[int, int]]:
        """The stems of everyday questions, of labels and of first sentences, without those of the entry's names."""
        found: dict[str, dict[int, int]] = {}
        for place, entry in enumerate(self._book.entries.values()):
            known = {stem(word) for text in _all_names(entry) for word in _words(text)}
            for texts, way in (((entry.in_short,), IN_FIRST_SENTENCE), (entry.heard, SAID)):
                for word in (word for each in texts for text in each for word in _words(text)):
                    if word not in STOP and stem(word) not in known:
                        found.setdefault(stem(word), {})[place] = way
        for ways in found.values():
            if len(ways) > _MOST_WITH_A_WORD:
                for place in [place for place, way in ways.items() if way == IN_FIRST_SENTENCE]:
                    del ways[place]
        for word, places in self._labels.items():
            found.setdefault(word, {}).update(dict.fromkeys(places, LABEL))
        return {word: ways for word, ways in found.items() if ways}


def _all_names(entry: Entry) -> Iterator[str]:
    """The name and the other names in every language."""
    for text in (entry.name, *entry.also):
        yield from text


def _joined(texts: Iterable[str]) -> str:
    """Texts parted by strokes; one that has a stroke itself shows another one."""
    return "|".join(text.replace("|", "/") for text in texts)


def _words(text: str) -> Iterator[str]:
    return (token.folded for token in words.tokens(text) if token.kind == "word" and not _DIGITS & set(token.folded))


def _new_ones(known: list[str], texts: Iterable[str]) -> list[str]:
    """The texts that are no other's in case, accents, marks, spaces or plural."""
    seen = {_key(text) for text in known}
    new = []
    for text in texts:
        key = _key(text)
        if key and key not in seen:
            seen.add(key)
            new.append(text)
    return new


def _key(text: str) -> str:
    return "".join(singular(token.folded) for token in words.tokens(text) if token.kind != "mark")


def _printed(
    patterns: Iterable[Pattern], names: list[str], is_others: Callable[[str], bool]
) -> tuple[list[str], list[str]]:
    """(printed forms that must stand whole, stems of all others); what a name's word stands for already is left out.

    `is_others` tells a word of other entries' names: a printed form of such words is not told by its words alone.
    """
    known = {singular(word) for name in names for word in _words(name)}
    stems = {stem(word) for word in known}
    whole, apart = [], dict[str, None]()
    for pattern in patterns:
        literals = [part for part in pattern.parts if isinstance(part, Literal)]
        its = [singular(part.folded) for part in literals if part.kind == "word"]
        has_number = any(part.kind == "number" for part in literals)
        if not pattern.holes and (has_number or all(len(word) <= _SHORT + 1 or is_others(word) for word in its)):
            whole.append(pattern.text)
        elif pattern.holes and its and all(word in STOP for word in its):
            apart["".join(its)] = None  # `all in`, which the finder also looks up as one word
        else:
            apart |= dict.fromkeys(
                stem(word)
                for word in its
                if len(word) > _SHORT and not {word, stem(word)} & (STOP | known | stems) and not _is_slip(word, known)
            )
    return _new_ones(names, whole), list(apart)


def _is_slip(word: str, known: Iterable[str]) -> bool:
    """Whether the finder forgives what parts a word from a known one."""
    return is_forgiven(word) and any(is_forgiven(other) and slips(word, other, 1) <= 1 for other in known)


def _sides(patterns: Iterable[Pattern]) -> list[str]:
    """Short words that tell what a number is by standing on their own side of it."""
    found = dict[str, None]()
    for pattern in patterns:
        for at, part in enumerate(pattern.parts):
            if not isinstance(part, Literal) or part.kind != "word" or len(part.folded) > _SHORT:
                continue
            if len(pattern.holes) != 1:
                continue
            if at and _is_own(pattern.parts[at - 1], ("number", "role")):
                found[SIDE_AFTER + part.folded] = None
            elif at + 1 < len(pattern.parts) and _is_own(pattern.parts[at + 1]) and part.folded not in STOP:
                found[SIDE_BEFORE + part.folded] = None
    return list(found)


def _is_own(part: Hole | Literal, kinds: tuple[str, ...] = ("quantity", "number", "thousand", "role")) -> bool:
    return isinstance(part, Hole) and part.entry is None and part.kind in kinds


def _shapes(patterns: Iterable[Pattern]) -> Iterator[str]:
    """Patterns with more than one number, as folded tokens: `#` for a hole, `~` for another entry's, `k` after them."""
    for pattern in patterns:
        literal_numbers = any(isinstance(part, Literal) and part.kind == "number" for part in pattern.parts)
        if len(pattern.holes) > 1 or (pattern.holes and literal_numbers):
            yield " ".join(_hole(part) if isinstance(part, Hole) else part.folded for part in pattern.parts)


def _hole(hole: Hole) -> str:
    return (OWN if hole.entry is None else FOREIGN) + ("k" if hole.kind == "thousand" else "")


def _flags(patterns: Iterable[Pattern]) -> int:
    """BARE where a tag prints the number alone or beside a short label, NUMBER without a unit, THOUSAND with k."""
    flags = 0
    for pattern in patterns:
        kinds = {hole.kind for hole in pattern.holes if hole.entry is None}
        words_of_it = [part.folded for part in pattern.parts if isinstance(part, Literal) and part.kind == "word"]
        if kinds and all(len(word) <= _SHORT for word in words_of_it):
            flags |= BARE
        if "thousand" in kinds:
            flags |= THOUSAND
        if kinds & {"thousand", "number"}:
            flags |= NUMBER
    return flags


def _short(number: float) -> str:
    """A number with fewer digits: the ends of a range give way by more than what is left away."""
    return f"{number:.{_DIGITS_OF_A_SCALE}g}"


def _in_unit(amount: Amount, unit: Unit) -> str:
    return amount.text if amount.unit.id == unit.id else show_plain(unit.from_si(amount.si))
