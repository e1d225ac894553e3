"""Lines, and the words of one book in one language to make them from. Must not know entries or answers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto

from hangtag.amounts import Amount
from hangtag.answers import Shown, measured
from hangtag.basis_words import basis_words
from hangtag.book import Book
from hangtag.markup import plain_text
from hangtag.sources import Basis
from hangtag.strings import LocalText
from hangtag.units import Unit


class Kind(Enum):
    """What a line is; how that looks is decided where it is printed."""

    TITLE = auto()
    HEADING = auto()
    PLAIN = auto()
    SOFT = auto()
    RESULT = auto()
    CAUTION = auto()
    MARKDOWN = auto()
    COMMAND = auto()  # to be copied: never wrapped
    VERBATIM = auto()  # of its own width: never wrapped
    MARKS = auto()  # what points at the verbatim line above


@dataclass(frozen=True)
class Line:
    """One line or paragraph; `indent` counts characters, `mark` stands before it and what wraps hangs behind that."""

    text: str
    kind: Kind = Kind.PLAIN
    indent: int = 0
    mark: str = ""


BLANK = Line("")


@dataclass(frozen=True)
class Words:
    """The words of one book in one language."""

    book: Book
    language: str

    def say(self, label: str, /, **values: object) -> str:
        """A label of the strings table."""
        return self.book.strings.say(label, self.language, **values)

    def plain(self, text: LocalText) -> str:
        """An author's text, its links as their words alone."""
        return plain_text(self.book, text.within(self.language)).strip()

    def basis(self, basis: Basis) -> str:
        """A basis in words."""
        return basis_words(self.book, basis, self.language)

    def heading(self, label: str) -> Iterator[Line]:
        """An empty line and a heading."""
        yield BLANK
        yield Line(self.say(label), Kind.HEADING)

    def prose(self, label: str, text: LocalText | None) -> Iterator[Line]:
        """A heading with Markdown below it, where there is any."""
        if text:
            yield from self.heading(label)
            yield Line(self.plain(text), Kind.MARKDOWN, indent=2)

    def items(self, label: str, items: list[str]) -> Iterator[Line]:
        """A heading with a list below it, where there is any."""
        if items:
            yield from self.heading(label)
            yield from (Line(item, indent=2, mark="- ") for item in items)

    def cautions(self, own: LocalText | None, inherited: LocalText | None) -> Iterator[Line]:
        """A caution, and beside it that of what this one replaces."""
        if own or inherited:
            yield BLANK
            yield Line(self.say("entry-caution-title"), Kind.CAUTION)
        if own:
            yield Line(self.plain(own), Kind.CAUTION, indent=2)
        if inherited:
            yield Line(self.say("calc-caution-inherited"), Kind.CAUTION, indent=2)
            yield Line(self.plain(inherited), Kind.CAUTION, indent=2)


def amount_text(amount: Amount) -> str:
    """An author's number with its unit as it is printed."""
    return _spaced(measured(amount.text, amount.unit))


def shown_text(shown: Shown) -> str:
    """A result's rounded text with its unit."""
    return _spaced(measured(shown.text, shown.unit))


def typed_text(amount: Amount) -> str:
    """An amount as it may be typed after `name=`, in quotes where it has a space."""
    text = f"{amount.text} {ascii_unit(amount.unit)}".strip()
    return f'"{text}"' if " " in text else text


def ascii_unit(unit: Unit) -> str:
    """A unit as any keyboard types it."""
    if unit.id == "plain":
        return ""
    spellings = (unit.prints, *unit.typed, unit.id)
    return next(spelling for spelling in spellings if spelling.isascii())


def _spaced(text: str) -> str:
    # who copies a value, or looks for it in a pipe, means a plain space
    return text.replace("\u00a0", " ")
