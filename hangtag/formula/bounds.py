"""The two ends of every step where some values are only known to lie in an interval.

Corners are enough where a step only rises or only falls with each uncertain value; `methods` finds out by sampling, and
where it does not hold, the interval is searched. `site_templates/scripts/` does the same in the same order. Must not
know units or words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from hangtag.formula.by_hand import NoAnswer, Values
from hangtag.formula.domain import Domain
from hangtag.formula.to_python import Run

CORNERS, SAMPLED = "corners", "sampled"
PARTS = {1: 32, 2: 16}  # steps along each axis of the grid, by how many values are uncertain; else 8
ROUNDS = 6  # of refinement, each over a quarter of the last width, one axis after the other
TRIED_POINTS = 40
TRIED_STEPS = 8


@dataclass(frozen=True)
class Ends:
    """A step's lowest and highest value, and the uncertain values at each."""

    low: float
    high: float
    low_at: Mapping[str, float]
    high_at: Mapping[str, float]


Uncertain = Mapping[str, tuple[float, float]]


def ends_of(run: Run, values: Values, uncertain: Uncertain, methods: Mapping[str, str]) -> dict[str, Ends]:
    """The ends of every step. Raises NoAnswer where a tried point has no answer."""
    corners = _Search(run, values, uncertain)
    corners.try_all(corners.grid(1))
    if all(method == CORNERS for method in methods.values()):
        return corners.ends()
    searched = _Search(run, values, uncertain)
    searched.try_all(searched.grid(PARTS.get(len(uncertain), 8)))
    searched.refine(methods)
    return {name: (searched if methods.get(name) == SAMPLED else corners).ends()[name] for name in corners.ends()}


def corners(uncertain: Uncertain) -> list[dict[str, float]]:
    """Every combination of the ends of uncertain values."""
    found: list[dict[str, float]] = [{}]
    for name, ends in uncertain.items():
        found = [{**corner, name: end} for end in ends for corner in found]
    return found


class _Search:
    def __init__(self, run: Run, values: Values, uncertain: Uncertain) -> None:
        self._run = run
        self._values = dict(values)
        self._uncertain = uncertain
        self._low: dict[str, tuple[float, dict[str, float]]] = {}
        self._high: dict[str, tuple[float, dict[str, float]]] = {}

    def grid(self, parts: int) -> list[dict[str, float]]:
        points: list[dict[str, float]] = [{}]
        for name, (low, high) in self._uncertain.items():
            marks = [low + (high - low) * (i / parts) for i in range(parts)] + [high]
            points = [{**point, name: mark} for mark in marks for point in points]
        return points

    def try_all(self, points: Iterable[Mapping[str, float]]) -> None:
        for point in points:
            at = dict(point)
            for name, value in self._run({**self._values, **at}).items():
                if name not in self._low or value < self._low[name][0]:
                    self._low[name] = (value, at)
                if name not in self._high or value > self._high[name][0]:
                    self._high[name] = (value, at)

    def refine(self, methods: Mapping[str, str]) -> None:
        width = {
            name: (high - low) / PARTS.get(len(self._uncertain), 8) for name, (low, high) in self._uncertain.items()
        }
        for _ in range(ROUNDS):
            for step, method in methods.items():
                if method == SAMPLED:
                    for found in (self._low, self._high):
                        for name in self._uncertain:
                            self.try_all(self._near(found[step][1], name, width[name]))
            width = {name: its / 4 for name, its in width.items()}

    def _near(self, at: Mapping[str, float], name: str, width: float) -> list[dict[str, float]]:
        low, high = self._uncertain[name]
        half = TRIED_STEPS // 2
        values = (at[name] + width * (i / half) for i in range(-half, half + 1))
        return [{**at, name: min(max(value, low), high)} for value in values]

    def ends(self) -> dict[str, Ends]:
        return {name: Ends(low, self._high[name][0], at, self._high[name][1]) for name, (low, at) in self._low.items()}


def methods(run: Run, allowed: Callable[[Values], bool], domain: Domain, steps: Sequence[str]) -> dict[str, str]:
    """By step, `corners` where it only rises or only falls with each uncertain value at all points, else `sampled`.

    `allowed` says whether a point meets the calculator's requirements.
    """
    found = dict.fromkeys(steps, CORNERS)
    axes = {**domain.uncertain, **{name: domain.quantities[name] for name in domain.ranges}}
    for point in domain.points(TRIED_POINTS, seed=1):
        for name, (low, high) in axes.items():
            line = [low + (high - low) * (i / TRIED_STEPS) for i in range(TRIED_STEPS + 1)]
            try:
                values = [run({**point, name: mark}) for mark in line if allowed({**point, name: mark})]
            except NoAnswer:
                continue
            for step in steps:
                if not _is_monotone([each[step] for each in values]):
                    found[step] = SAMPLED
    return found


def _is_monotone(values: Sequence[float]) -> bool:
    size = max((abs(value) for value in values), default=0.0) * 1e-12
    differences = [after - before for before, after in pairwise(values)]
    return all(its >= -size for its in differences) or all(its <= size for its in differences)
