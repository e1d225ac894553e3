"""A text becomes numbers, words and marks that know where they stood. Must not know units, entries or meanings."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal, NamedTuple

from hangtag.numbers import honest_values
from hangtag.words.characters import DIGITS, LETTERS, RAISED, TABLE, is_letter

_INSIDE_A_NUMBER = frozenset(".,'")
_MOST_NUMBERS = 4096  # whose readings are kept: feeds print the same ones over and over

Kind = Literal["number", "word", "mark"]

# The quick road for texts in which each character is read as one: the table as a translation, the rest as a pattern.
_ONE_FOR_ONE = {ord(character): read_as for character, read_as in TABLE.items() if len(read_as) == 1}
_OTHERS = "".join(character for character, read_as in TABLE.items() if len(read_as) != 1 or character in RAISED)
_NEEDS_CARE = re.compile(f"[{re.escape(_OTHERS)}]")
_LETTER = "a-z" + "".join(f"{chr(first)}-{chr(last)}" for first, last in LETTERS)
_TOKEN = re.compile(f"([{_LETTER}]+)|((?:[0-9]+|(?<![0-9.,{_LETTER}])[.,][0-9]+)(?:[.,'][0-9]+)*)|[^ ]")


class Token(NamedTuple):
    """One number, word or mark. `text[start:end]` of the read text (code points) is how it was written.

    `folded` is what to compare; `glued` tells that nothing stood between it and the token before; `values` are all
    honest readings of a number, as decimal texts (`1.500` is 1500 or 1.5). Thousands parted by spaces are two tokens:
    only who knows what follows can tell `10 000 mm` from `20 300 g`.
    """

    kind: Kind
    folded: str
    start: int
    end: int
    glued: bool
    values: tuple[str, ...] = ()


def tokens(text: str) -> tuple[Token, ...]:
    """Every token of a text in order. Nothing but spaces and unseen characters lies between them."""
    if _NEEDS_CARE.search(text):
        return _Tokenizer(text).run()
    found: list[Token] = []
    before = -1
    for match in _TOKEN.finditer(text.translate(_ONE_FOR_ONE)):
        start, end = match.span()
        written = match[0]
        group = match.lastindex
        if group == 1:
            found.append(Token("word", written, start, end, start == before))
        elif group is None:
            found.append(Token("mark", written, start, end, start == before))
        else:
            values = _honest(written)
            if values:
                found.append(Token("number", written, start, end, start == before, values))
            else:  # `1.2.3` is no number: its parts are
                found += _Tokenizer(written).pieces(start, glued=start == before)
        before = end
    return tuple(found)


_honest = lru_cache(_MOST_NUMBERS)(honest_values)


def folded(text: str) -> str:
    """A text as its folded tokens parted by single spaces: equal for texts that differ in case, accents or spacing."""
    return " ".join(token.folded for token in tokens(text))


class _Tokenizer:
    """Holds the folded characters of one text, each with the place it came from."""

    def __init__(self, text: str) -> None:
        self._characters: list[str] = []
        self._starts: list[int] = []
        self._ends: list[int] = []
        self._raised: list[bool] = []
        for at, character in enumerate(text):
            read_as = TABLE.get(character, character)
            if not read_as and self._ends and self._ends[-1] == at:
                self._ends[-1] = at + 1  # an accent that stands alone belongs to its letter
            for each in read_as:
                self._characters.append(each)
                self._starts.append(at)
                self._ends.append(at + 1)
                self._raised.append(character in RAISED)
        self._found: list[Token] = []

    def run(self) -> tuple[Token, ...]:
        at = 0
        while at < len(self._characters):
            character = self._characters[at]
            if character == " ":
                at += 1
            elif self._is_digit(at) or self._leads_decimals(at):
                at = self._number(at)
            elif is_letter(character):
                end = at + 1
                while end < len(self._characters) and is_letter(self._characters[end]):
                    end += 1
                at = self._take("word", at, end)
            else:
                at = self._take("mark", at, at + 1)
        return tuple(self._found)

    def pieces(self, start: int, *, glued: bool) -> list[Token]:
        """The tokens of what looked like a number, placed in a longer text."""
        found = [token._replace(start=token.start + start, end=token.end + start) for token in self.run()]
        return [found[0]._replace(glued=glued), *found[1:]]

    def _is_digit(self, at: int, *, raised: bool | None = None) -> bool:
        """Whether a digit stands here; the note in `1500¹` is no part of its number, so the two kinds never mix."""
        inside = 0 <= at < len(self._characters) and self._characters[at] in DIGITS
        return inside and (raised is None or self._raised[at] == raised)

    def _leads_decimals(self, at: int) -> bool:
        """`.5` at the start of a word."""
        if self._characters[at] not in (".", ",") or not self._is_digit(at + 1, raised=False):
            return False
        before = self._characters[at - 1] if at else " "
        return not (before in DIGITS or before in ".," or is_letter(before))

    def _number(self, at: int) -> int:
        raised = self._raised[at]
        pieces: list[tuple[Kind, int, int]] = []
        end = at
        while True:
            start = end
            while self._is_digit(end, raised=raised):
                end += 1
            if end > start:
                pieces.append(("number", start, end))
            more = end < len(self._characters) and self._characters[end] in _INSIDE_A_NUMBER
            if raised or not more or not self._is_digit(end + 1, raised=False):
                break
            pieces.append(("mark", end, end + 1))
            end += 1
        if len(pieces) > 1 and not _honest("".join(self._characters[at:end])):
            for kind, first, last in pieces:  # `1.2.3` is no number: its parts are
                self._take(kind, first, last)
            return end
        return self._take("number", at, end)

    def _take(self, kind: Kind, at: int, end: int) -> int:
        written = "".join(self._characters[at:end])
        start = self._starts[at]
        glued = bool(self._found) and self._found[-1].end == start
        values = _honest(written) if kind == "number" else ()
        self._found.append(Token(kind, written, start, self._ends[end - 1], glued, values))
        return end
