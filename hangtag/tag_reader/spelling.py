"""What authors wrote, spelt as the reader will meet it: words through the same items as a tag's, patterns as parts.

Must not match anything.
"""

from __future__ import annotations

from hangtag.book import Book
from hangtag.calculators import Input
from hangtag.tag_reader import tables
from hangtag.tag_reader.items import Items, Spelling, items
from hangtag.tag_reader.patterns import Pattern

Part = str | tuple[str, str | None, str | None]  # a word, or a hole: its kind, whose it is, its role

_HOLE = "\ue000"  # stands for a hole while the words around it become items
_UNHEARD = frozenset("- < > ~ ( )".split())  # marks of a pattern that a tag may have or lack
_SPELLING = Spelling(tables.SAME, frozenset(tables.ABBREVIATED), frozenset())


def words_of(text: str) -> list[str]:
    """A text as the words that a tag's items are compared with."""
    return list(items(text, _SPELLING).word)


def phrase(text: str) -> str:
    """The same as one text, parted by single spaces."""
    return " ".join(words_of(text))


def has_break(pattern: Pattern) -> bool:
    """Whether a comma, a full stop or the like stands in it: no match goes on over these."""
    segments = _items_of(pattern).segment
    return bool(segments) and segments[-1] > segments[0]


def _items_of(pattern: Pattern) -> Items:
    text = pattern.text
    for hole in pattern.holes:
        text = text.replace(hole.text, f" {_HOLE} ", 1)
    return items(text, _SPELLING)


def parts_of(pattern: Pattern) -> tuple[Part, ...]:
    """A pattern as words and holes; marks that any tag may have or lack beside them are left out.

    A plus after the last hole is left out too: `{n}+ fill` says what `{n} fill` says, since numbers bring their bound.
    """
    holes = iter(pattern.holes)
    words = _items_of(pattern).word
    found: list[Part] = []
    for index, word in enumerate(words):
        if word == _HOLE:
            hole = next(holes)
            found.append((hole.kind, hole.entry, hole.role))
        elif word not in _UNHEARD and not (word == "+" and _HOLE in words[:index] and _HOLE not in words[index + 1 :]):
            found.append(word)
    return tuple(found)


def filled_by(book: Book, fills: str) -> Input | None:
    """The field that a role fills, such as `shoe-drop.heel_stack`."""
    calculator, _, name = fills.partition(".")
    its = book.calculators.get(calculator)
    return next((field for field in its.inputs if field.name == name), None) if its else None
