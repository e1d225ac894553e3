"""The nodes of a formula: only what stands here exists in the language.

Every node knows its span in the file. Must hold data only.
"""

from __future__ import annotations

from dataclasses import dataclass

from hangtag.problems import Span


@dataclass(frozen=True)
class Number:
    """A literal: digits as written and the id of its unit, or None."""

    text: str
    unit: str | None
    span: Span


@dataclass(frozen=True)
class Name:
    """An input, constant, earlier step or `pi`."""

    name: str
    span: Span


@dataclass(frozen=True)
class Negate:
    """`-x`."""

    of: Node
    span: Span


@dataclass(frozen=True)
class Binary:
    """`+ - * / ^` between two formulas; `at` is the operator's own place."""

    operator: str
    left: Node
    right: Node
    at: Span
    span: Span


@dataclass(frozen=True)
class Compare:
    """`< <= > >= = !=`; a condition, no value."""

    operator: str
    left: Node
    right: Node
    at: Span
    span: Span


@dataclass(frozen=True)
class If:
    """`if condition then a else b`: only the chosen branch runs."""

    condition: Node
    then: Node
    otherwise: Node
    span: Span


@dataclass(frozen=True)
class Call:
    """A call of a function of the table; `at` is the name's own place."""

    function: str
    arguments: tuple[Node, ...]
    at: Span
    span: Span


@dataclass(frozen=True)
class In:
    """`x in unit`: the plain number x has in that unit."""

    of: Node
    unit: str
    at: Span
    span: Span


Node = Number | Name | Negate | Binary | Compare | If | Call | In
