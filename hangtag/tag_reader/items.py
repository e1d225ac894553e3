"""Tokens become items: one spelling for what is spelt many ways, marks that only part put aside, stretches numbered.

    "Min. weight: 2 lb, 4 oz" -> minimum | weight | 2 | lb || 4 | oz     (two segments)

Patterns and units go through the same, so that a pattern meets a tag as it was meant. Must not know what a word means.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hangtag.words import Token, tokens

GLUED, SPACED, HYPHEN, COLON = "", " ", "-", ":"
_BREAKS = frozenset(",;|•")
_NEW_LINES = "\n\r\u2028\u2029"


@dataclass(frozen=True)
class Items:
    """The items of a text as columns of one length: `word[i]` is the i-th folded word, number or mark.

    `start`, `end` count code points; `gap` is what stood before (nothing, a space, a hyphen, a colon); `segment` rises
    at `, ; . | •` and new lines, `clause` at all of these but commas, `sentence` at all but commas and semicolons;
    `values` are a number's readings.
    """

    text: str
    count: int = 0
    word: Sequence[str] = ()
    kind: Sequence[str] = ()
    start: Sequence[int] = ()
    end: Sequence[int] = ()
    gap: Sequence[str] = ()
    segment: Sequence[int] = ()
    sentence: Sequence[int] = ()
    clause: Sequence[int] = ()
    values: Sequence[Sequence[str]] = ()

    def __len__(self) -> int:
        return self.count


@dataclass(frozen=True)
class Spelling:
    """What `items` needs of a Reader: words spelt alike, words with a point of their own, words that are units."""

    same: Mapping[str, str]
    abbreviated: frozenset[str]
    unit_words: frozenset[str]


_Row = tuple[str, str, int, int, str, int, int, int, Sequence[str]]


def items(text: str, spelling: Spelling) -> Items:
    """Every item of a text, in order."""
    rows: list[_Row] = []
    all_tokens = tokens(text)
    lines = any(character in text for character in _NEW_LINES)
    segment, sentence, clause = 0, 0, 0
    gap = SPACED
    at, count = 0, len(all_tokens)
    while at < count:
        kind, folded, start, end, glued, values = all_tokens[at]
        if not glued and gap == GLUED:
            gap = SPACED
        if lines and at and not glued and _has_break(text, all_tokens[at - 1].end, start):
            segment, sentence, clause = segment + 1, sentence + 1, clause + 1
        if kind == "number":
            rows.append((folded, kind, start, end, gap, segment, sentence, clause, values))
        elif kind == "word":
            word = spelling.same.get(folded, folded)
            if glued or " " in word:
                exact_gap = gap
                for piece, first, last in _pieces(word, all_tokens, at, spelling):
                    rows.append((piece, kind, first, last, exact_gap, segment, sentence, clause, values))
                    exact_gap = GLUED
            else:
                rows.append((word, kind, start, end, gap, segment, sentence, clause, values))
        elif folded in _BREAKS or folded == ".":
            if folded != "." or not _belongs(rows, all_tokens, at, spelling, text):
                segment += 1
                clause += folded != ","
                sentence += folded not in {",", ";"}
            gap, at = SPACED, at + 1
            continue
        elif folded in {":", "="} and not (folded == ":" and _is_time(all_tokens, at)):
            gap, at = COLON, at + 1
            continue
        elif folded == "-" and _is_joined(all_tokens, at):
            gap, at = HYPHEN, at + 1
            continue
        else:
            if (
                folded in {"<", ">"}
                and at + 1 < count
                and all_tokens[at + 1].folded == "="
                and all_tokens[at + 1].glued
            ):
                at += 1  # `>=` is one bound
                end = all_tokens[at].end
            rows.append((folded, kind, start, end, gap, segment, sentence, clause, values))
        gap, at = GLUED, at + 1
    return Items(text, len(rows), *zip(*rows, strict=True)) if rows else Items(text)


def _has_break(text: str, start: int, end: int) -> bool:
    return any(character in _NEW_LINES for character in text[start:end])


def _belongs(rows: Sequence[_Row], all_tokens: Sequence[Token], at: int, spelling: Spelling, text: str) -> bool:
    """Whether a point belongs to the word before it: `sq. ft.`, `min. 3`; a capital after it begins a sentence."""
    if not all_tokens[at].glued or not rows:
        return False
    before = all_tokens[at - 1]
    if before.folded not in spelling.abbreviated and rows[-1][0] not in spelling.abbreviated:
        return False
    if at + 1 == len(all_tokens):
        return True
    follower = all_tokens[at + 1]
    if follower.kind == "mark":
        return follower.folded not in {".", "•", "|"}
    shouted = not any("a" <= character <= "z" for character in text[before.start : before.end])
    return shouted or not "A" <= text[follower.start] <= "Z"  # in shouted text, capitals begin no sentence


def _is_time(all_tokens: Sequence[Token], at: int) -> bool:
    """`8:30`: a colon between two glued numbers is no label's."""
    if at == 0 or at + 1 == len(all_tokens) or not (all_tokens[at].glued and all_tokens[at + 1].glued):
        return False
    return all_tokens[at - 1].kind == "number" and all_tokens[at + 1].kind == "number"


def _is_joined(all_tokens: Sequence[Token], at: int) -> bool:
    """A hyphen inside a word, or between a number and its word: `sewn-through`, `20-denier`."""
    if at == 0 or at + 1 == len(all_tokens) or not (all_tokens[at].glued and all_tokens[at + 1].glued):
        return False
    return all_tokens[at - 1].kind != "mark" and all_tokens[at + 1].kind == "word"


def _pieces(word: str, all_tokens: Sequence[Token], at: int, spelling: Spelling) -> list[tuple[str, int, int]]:
    """A word as it is, or as two: `dx` of `30Dx30D`, `kmm` of `10kmm`, and spellings of two words (`cu in`)."""
    token = all_tokens[at]
    start, end = token.start, token.end
    if " " in word:
        return [(piece, start, end) for piece in word.split(" ")]
    if len(word) < 2 or word in spelling.unit_words or all_tokens[at - 1].kind != "number":  # noqa: PLR2004
        return [(word, start, end)]
    if word[0] == "k" and word[1:] in spelling.unit_words:
        return [("k", start, start + 1), (word[1:], start + 1, end)]
    followed = at + 1 < len(all_tokens) and all_tokens[at + 1].glued and all_tokens[at + 1].kind == "number"
    if followed and word[-1] == "x" and word[:-1] in spelling.unit_words:
        return [(word[:-1], start, end - 1), ("x", end - 1, end)]
    return [(word, start, end)]
