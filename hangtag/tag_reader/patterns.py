"""The small language of `reads: patterns`: words, and holes for numbers. No regular expressions.

    pattern: (words | hole)+
    hole:    "{q}"           a number with any spelling of the entry's units
           | "{n}"           a bare number
           | "{k}"           a number with k, a thousand
           | "{role}"        a number with or without unit that plays a declared part
           | "{entry:q}"     (or n, k) a number that belongs to another entry

Holds the nodes, the parser and the checks of one entry's patterns. Must not match anything against a tag.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal as OneOf

from hangtag import words
from hangtag.book import Book
from hangtag.entries import Entry
from hangtag.problems import Problems, Span, near_hint

HoleKind = OneOf["quantity", "number", "thousand", "role"]
HOLES: dict[str, HoleKind] = {"q": "quantity", "n": "number", "k": "thousand"}

_ROLE = re.compile(r"[a-z][a-z0-9_]*")
_REFERENCE = re.compile(r"([a-z0-9][a-z0-9-]*):([qnk])")


@dataclass(frozen=True)
class Literal:
    """One word, number or mark that must stand on the tag; `glued` where it touches what precedes."""

    kind: words.Kind
    folded: str
    glued: bool
    span: Span


@dataclass(frozen=True)
class Hole:
    """A place for a number. `entry` is the other entry it belongs to, `role` the part it plays; else None."""

    kind: HoleKind
    entry: str | None
    role: str | None
    glued: bool
    span: Span
    text: str = ""  # as it is written, with its braces


@dataclass(frozen=True)
class Pattern:
    """One way in which a tag prints an entry."""

    text: str
    parts: tuple[Literal | Hole, ...]
    span: Span

    @property
    def holes(self) -> tuple[Hole, ...]:
        """The places for numbers, in order."""
        return tuple(part for part in self.parts if isinstance(part, Hole))


def parse(text: str, span: Span, path: str | None, problems: Problems) -> Pattern | None:
    """Read one pattern; `span` is the place of the whole scalar. None where a Problem was noted."""
    before = len(problems)
    parts: list[Literal | Hole] = []
    at = 0
    while at < len(text):
        if text[at] == "{":
            end = text.find("}", at)
            if end < 0:
                problems.add("pattern-unclosed", path, _inside(span, text, at, at + 1), text=text)
                return None
            hole = _hole(text, at, end + 1, span)
            if hole is None:
                problems.add("pattern-unknown-hole", path, _inside(span, text, at, end + 1), hole=text[at : end + 1])
            else:
                parts.append(hole)
            at = end + 1
        elif text[at] == "}":
            problems.add("pattern-unopened", path, _inside(span, text, at, at + 1), text=text)
            at += 1
        else:
            end = _next_brace(text, at)
            parts += _literals(text, at, end, span)
            at = end
    if not parts and len(problems) == before:
        problems.add("pattern-empty", path, span)
    return Pattern(text, tuple(parts), span) if len(problems) == before else None


def _next_brace(text: str, at: int) -> int:
    return min((found for brace in "{}" if (found := text.find(brace, at)) >= 0), default=len(text))


def _hole(text: str, at: int, end: int, span: Span) -> Hole | None:
    name = text[at + 1 : end - 1]
    place, glued = _inside(span, text, at, end), _is_glued(text, at)
    if name in HOLES:
        return Hole(HOLES[name], None, None, glued, place, text[at:end])
    reference = _REFERENCE.fullmatch(name)
    if reference:
        return Hole(HOLES[reference.group(2)], reference.group(1), None, glued, place, text[at:end])
    return Hole("role", None, name, glued, place, text[at:end]) if _ROLE.fullmatch(name) else None


def _literals(text: str, at: int, end: int, span: Span) -> list[Literal]:
    return [
        Literal(
            token.kind,
            token.folded,
            token.glued or _is_glued(text, at + token.start),
            _inside(span, text, at + token.start, at + token.end),
        )
        for token in words.tokens(text[at:end])
    ]


def _is_glued(text: str, at: int) -> bool:
    return at > 0 and bool(words.tokens(text[at - 1]))


def _inside(span: Span, text: str, start: int, end: int) -> Span:
    """Where characters of a scalar stand: told for one line, plain or in quotes without escapes; else the whole."""
    room = span.end_column - span.column - len(text)
    if span.line != span.end_line or room not in (0, 2):
        return span
    column = span.column + room // 2
    return Span(span.line, column + start, span.line, column + end)


# ------------------------------------------------------------------------------------------------- checks of an entry


def read_patterns(book: Book, problems: Problems) -> dict[str, tuple[Pattern, ...]]:
    """The patterns of every entry that has some, by its id; those with a Problem are noted and left out."""
    return {
        entry.id: tuple(_good_patterns(entry, book.entries, problems))
        for entry in book.entries.values()
        if entry.reads is not None
    }


def _good_patterns(entry: Entry, entries: Mapping[str, Entry], problems: Problems) -> list[Pattern]:
    reads = entry.reads
    if reads is None:
        return []
    good: dict[tuple[object, ...], Pattern] = {}
    used: set[str] = set()
    for text, span in reads.patterns:
        pattern = parse(text, span, entry.path, problems)
        if pattern is None:
            continue
        used |= {hole.role for hole in pattern.holes if hole.role}
        before = len(problems)
        for hole in pattern.holes:
            _check_hole(hole, entry, entries, problems)
        bare = len(pattern.parts) == 1 and pattern.parts[0] in pattern.holes and pattern.holes[0].kind == "number"
        if bare and not (reads.near or reads.kinds):
            problems.add("pattern-bare-number", entry.path, span, entry=entry.id)
        meaning = tuple(
            (part.kind, part.entry, part.role) if isinstance(part, Hole) else part.folded for part in pattern.parts
        )
        if meaning in good:
            problems.add("pattern-twice", entry.path, span, text=text, first=good[meaning].text)
        if len(problems) == before:
            good[meaning] = pattern
    _check_roles(entry, used, problems)
    return list(good.values())


def _check_roles(entry: Entry, used: set[str], problems: Problems) -> None:
    reads = entry.reads
    if reads is None:
        return
    for role in reads.roles:
        if role in HOLES or not _ROLE.fullmatch(role):
            problems.add("pattern-role-name", entry.path, reads.span, role=role)
        elif role not in used:
            problems.add("pattern-role-unused", entry.path, reads.span, role=role)


def _check_hole(hole: Hole, entry: Entry, entries: Mapping[str, Entry], problems: Problems) -> None:
    reads = entry.reads
    if reads is None:
        return
    if hole.role is not None and hole.role not in reads.roles:
        hint = near_hint(hole.role, [*reads.roles, *entries])
        problems.add("pattern-role-undeclared", entry.path, hole.span, role=hole.role, hint=hint)
    elif hole.entry is None and reads.unit is None:
        problems.add("pattern-without-quantity", entry.path, hole.span, entry=entry.id)
    elif hole.entry == entry.id:
        problems.add("pattern-own-entry", entry.path, hole.span, entry=entry.id)
    elif hole.entry is not None and hole.entry not in entries:
        hint = near_hint(hole.entry, entries)
        problems.add("pattern-unknown-entry", entry.path, hole.span, entry=hole.entry, hint=hint)
    elif hole.entry is not None:
        other = entries[hole.entry]
        if other.reads is None or other.reads.unit is None:
            problems.add("pattern-without-quantity", entry.path, hole.span, entry=other.id)
