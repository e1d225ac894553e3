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


@dataclass(frozen=True)
class Word:
    """`"back"`: the name of a choice; it can only be compared with a choice."""

    text: str
    span: Span


@dataclass(frozen=True)
class Logic:
    """`and`, `or` between two conditions."""

    operator: str
    left: Node
    right: Node
    span: Span


@dataclass(frozen=True)
class Sum:
    """`sum(of where condition)`: over the rows of a list, from the first to the last."""

    of: Node
    where: Node | None
    at: Span
    span: Span


@dataclass(frozen=True)
class Lookup:
    """`table(of, name)`: the value a table gives; `table_at` is the table's name."""

    of: Node
    table: str
    table_at: Span
    span: Span


@dataclass(frozen=True)
class Solve:
    """The `unknown` between two SI bounds that makes both sides of `where` equal. A whole step, never a part."""

    unknown: str
    where: Compare
    low: float
    high: float
    span: Span


Node = Number | Name | Negate | Binary | Compare | If | Call | In | Word | Logic | Sum | Lookup | Solve
