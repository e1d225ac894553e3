"""What the names of a formula stand for: quantities, choices, columns of a list, tables.

Must hold data only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hangtag.units import Dimension, Unit

# A choice has two values: what it is worth, by its own name, and which one it is, by this hidden name.
CHOSEN = "_CHOICE"


@dataclass(frozen=True)
class ColumnOf:
    """A column of a list: the list, its place in a row, and a dimension or the words of a choice (neither for text)."""

    rows: str
    index: int
    dimension: Dimension | None
    words: tuple[str, ...] | None


@dataclass(frozen=True)
class TableOf:
    """A table ready to look up: by the words of a choice, or by an amount in `x_unit`; `ys` are in SI."""

    rule: str
    words: tuple[str, ...] | None
    x_unit: Unit | None
    xs: tuple[float, ...]
    ys: tuple[float, ...]
    dimension: Dimension


@dataclass(frozen=True)
class Scope:
    """Every name a formula may use. `inexact` are steps whose last digits may differ between languages."""

    dimensions: Mapping[str, Dimension] = field(default_factory=dict)
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    columns: Mapping[str, ColumnOf] = field(default_factory=dict)
    tables: Mapping[str, TableOf] = field(default_factory=dict)
    inexact: frozenset[str] = frozenset()
