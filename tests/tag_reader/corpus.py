"""The corpus of tag lines and how a reader is scored on it. Must not know how tags are read.

A score counts readings as found, wrong or missed, each by entry, value and unit; see tests/compliance/tags/README.md.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[1] / "compliance" / "tags"
HALVES = ("held-out", "tuned")
_ROUNDING = 1e-6  # two pounds four ounces in decimals

Reading = Mapping[str, Any]
Same = Callable[[Reading, Reading], bool]


@dataclass(frozen=True)
class Case:
    """One line: what is told about it, what stands in it, and what may be read too."""

    place: str
    text: str
    kind: str | None
    guess: str | None
    expect: Sequence[Reading]
    may: Sequence[Reading]


@dataclass
class Score:
    """Counts over many lines, and in words what was wrong or missed."""

    found: int = 0
    wrong: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    @property
    def precision(self) -> float:
        """The share of what was read that stands there; what `may` be read counts on neither side."""
        read = self.found + len(self.wrong)
        return self.found / read if read else 1.0

    @property
    def recall(self) -> float:
        """The share of what stands there that was read."""
        there = self.found + len(self.missed)
        return self.found / there if there else 1.0

    def __str__(self) -> str:
        return f"precision {self.precision:.3f}, recall {self.recall:.3f} ({self.found} found, {len(self.wrong)} wrong, {len(self.missed)} missed)"  # noqa: E501


def cases(half: str) -> list[Case]:
    """Every line of one half, in the order of its files."""
    return [
        Case(
            f"{path.name}: {case['text']}",
            case["text"],
            case.get("kind"),
            case.get("guess"),
            case["expect"],
            case["may"],
        )
        for path in sorted(FOLDER.glob(f"{half}-*.json"))
        for case in json.loads(path.read_text(encoding="utf-8"))["cases"]
    ]


def same_claim(read: Reading, expected: Reading) -> bool:
    """The same entry with the same value in the same unit."""
    return read["term"] == expected["term"] and same_quantity(read, expected)


def same_quantity(read: Reading, expected: Reading) -> bool:
    """The same value in the same unit, or no value on both sides."""
    if read["value"] is None or expected["value"] is None:
        return read["value"] is expected["value"]
    return read["unit"] == expected["unit"] and math.isclose(read["value"], expected["value"], rel_tol=_ROUNDING)


def count(
    score: Score, case: Case, readings: Iterable[Reading], same: Same = same_claim
) -> list[tuple[Reading, Reading]]:
    """Take one line into a score; gives the pairs of what was read and what stands there."""
    left = list(case.expect)
    pairs = []
    for reading in readings:
        hit = next((each for each in left if same(reading, each)), None)
        if hit is not None:
            left.remove(hit)
            pairs.append((reading, hit))
        elif not any(same(reading, each) for each in case.may):
            score.wrong.append(f"{case.place}\n    read {_said(reading)}")
    score.found += len(pairs)
    score.missed += [f"{case.place}\n    missed {_said(each)}" for each in left]
    return pairs


def only_numbers(readings: Iterable[Reading]) -> list[Reading]:
    """Those with a value of their own."""
    return [reading for reading in readings if reading["value"] is not None]


def _said(reading: Reading) -> str:
    value = "" if reading["value"] is None else f" {reading['value']:g} {reading['unit']}"
    return f"{reading.get('term', '')}{value}"
