"""What an author of `reads` may have overlooked in one entry: patterns that never win, agreements that say nothing.

Must not compare entries: that is `collisions.py`.
"""

from __future__ import annotations

from collections.abc import Mapping

from hangtag.book import Book
from hangtag.entries import Entry
from hangtag.problems import Problems, Span, near_hint
from hangtag.tag_reader.agreements import parse_agreement
from hangtag.tag_reader.match import LONGEST
from hangtag.tag_reader.patterns import Pattern
from hangtag.tag_reader.spelling import has_break, parts_of

_DIGITS = frozenset("0123456789")


def check_entries(book: Book, patterns: Mapping[str, tuple[Pattern, ...]], problems: Problems) -> None:
    """Note what is wrong in the patterns and agreements of each entry; `patterns` are those that could be read."""
    for entry_id, its in patterns.items():
        entry = book.entries[entry_id]
        seen: dict[tuple[object, ...], Pattern] = {}
        for pattern in its:
            parts = parts_of(pattern)
            first = seen.setdefault(parts, pattern)
            if first is not pattern:
                problems.add("pattern-twice", entry.path, pattern.span, text=pattern.text, first=first.text)
            _check_pattern(entry, pattern, len(parts), problems)
        _check_agreements(book, entry, problems)


def _check_pattern(entry: Entry, pattern: Pattern, length: int, problems: Problems) -> None:
    if length > LONGEST:
        problems.add("pattern-too-long", entry.path, pattern.span, count=length, most=LONGEST)
    if has_break(pattern):
        problems.add("pattern-across-a-break", entry.path, pattern.span, text=pattern.text)
    if _touches(pattern):
        problems.add("pattern-number-touches", entry.path, pattern.span, text=pattern.text)


def _touches(pattern: Pattern) -> bool:
    """Whether a digit or another hole stands right beside a hole: a tag's number would swallow it."""
    text = pattern.text
    return any(
        (text[at] == "{" and at > 0 and (text[at - 1] in _DIGITS or text[at - 1] == "}"))
        or (text[at] == "}" and at + 1 < len(text) and text[at + 1] in _DIGITS)
        for at in range(len(text))
    )


def _check_agreements(book: Book, entry: Entry, problems: Problems) -> None:
    for its in (entry.reads.agrees if entry.reads else {}).values():
        agreed = parse_agreement(its.that)
        if agreed is None:
            problems.add("agreement-unreadable", entry.path, its.span, text=its.that)
            continue
        for operand in agreed[1:]:
            _check_operand(book, entry, operand, its.span, problems)


def _check_operand(book: Book, entry: Entry, operand: str, span: Span, problems: Problems) -> None:
    """An operand is `q` or a role, of this entry or of another one that reads numbers."""
    other, _, name = operand.rpartition(":")
    owner = book.entries.get(other) if other else entry
    if owner is None:
        hint = near_hint(other, book.entries)
        problems.add("pattern-unknown-entry", entry.path, span, entry=other, hint=hint)
    elif owner.reads is None or owner.reads.unit is None:
        problems.add("pattern-without-quantity", entry.path, span, entry=owner.id)
    elif name != "q" and name not in owner.reads.roles:
        hint = near_hint(name, owner.reads.roles)
        problems.add("pattern-role-undeclared", entry.path, span, role=name, hint=hint)
