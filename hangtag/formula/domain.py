"""What a calculator may be run with, in SI floats, and points drawn from it: for checks, not for readers.

Must not know units or words.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from hangtag.formula.by_hand import Rows

MOST_SAMPLED_ROWS = 6
MOST_CORNERED = 6


@dataclass(frozen=True)
class ListColumn:
    """A column of a list: numbers between two ends (whole ones, if so), or which of some options."""

    low: float
    high: float
    whole: bool


@dataclass(frozen=True)
class Domain:
    """Ranges of quantities, the values each option of a choice sets, columns of lists, ends of uncertain constants."""

    quantities: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    whole: frozenset[str] = frozenset()
    choices: Mapping[str, tuple[Mapping[str, float], ...]] = field(default_factory=dict)
    lists: Mapping[str, tuple[ListColumn, ...]] = field(default_factory=dict)
    uncertain: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    # fields for a range: uncertain as soon as the reader's two ends differ
    ranges: frozenset[str] = frozenset()

    def corners(self) -> Iterator[dict[str, float | Rows]]:
        """Every combination of the ends of the first few quantities and constants; the others at their lowest."""
        (point,) = self.points(1, seed=3)
        ends = {**self.quantities, **self.uncertain}
        lowest = {name: low for name, (low, _) in ends.items()}
        first = list(ends)[:MOST_CORNERED]
        for values in itertools.product(*(ends[name] for name in first)):
            yield {**point, **lowest, **dict(zip(first, values, strict=True))}

    def points(self, count: int, seed: int) -> Iterator[dict[str, float | Rows]]:
        """`count` random points, the same for the same seed."""
        draw = random.Random(seed)  # noqa: S311  samples, no secrets
        for _ in range(count):
            point: dict[str, float | Rows] = {}
            for name, (low, high) in (*self.quantities.items(), *self.uncertain.items()):
                value = draw.uniform(low, high)
                point[name] = float(round(value)) if name in self.whole else value
            for options in self.choices.values():
                point.update(draw.choice(options))
            for name, columns in self.lists.items():
                length = draw.randint(0, MOST_SAMPLED_ROWS)
                point[name] = tuple(tuple(_cell(draw, column) for column in columns) for _ in range(length))
            yield point


def _cell(draw: random.Random, column: ListColumn) -> float:
    value = draw.uniform(column.low, column.high)
    return float(round(value)) if column.whole else value
