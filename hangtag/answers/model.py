"""What running a calculator gives: the frozen data classes of fields as read, results and answers.

Must hold data only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hangtag.calculators import Calculator
from hangtag.entries import Band
from hangtag.formula.by_hand import Rows
from hangtag.units import Unit


@dataclass(frozen=True)
class Shown:
    """A number in a unit: the full float, and its rounded text (without the unit)."""

    value: float
    unit: Unit
    text: str


@dataclass(frozen=True)
class Result:
    """A step's value: in its own unit, in the others, and the band it falls in."""

    name: str
    label: str
    si: float
    shown: Shown
    also: tuple[Shown, ...]
    band: Band | None
    is_output: bool
    ends: tuple[Shown, Shown] | None = None  # where values are uncertain; `shown` is then the result at their middles
    also_ends: tuple[tuple[Shown, Shown], ...] = ()  # the same ends in the other units, in the order of `also`
    bands: tuple[Band | None, Band | None] = (None, None)  # of the two ends
    low_when: str | None = None  # the uncertain values at each end, in words
    high_when: str | None = None


@dataclass(frozen=True)
class Cell:
    """One cell of a row: as read, and the float that formulas see (of a choice, the number of its option)."""

    column: str
    text: str
    unit: Unit | None
    si: float


@dataclass(frozen=True)
class Given:
    """What an input was taken to be; `origin` is given, start or solved.

    A choice has `choice` (its option) and no `shown`; a list has `rows`; a range has its two `ends`, and `si` and
    `shown` are then its middle.
    """

    name: str
    label: str
    si: float
    shown: Shown | None
    choice: str | None
    origin: str
    band: Band | None
    ends: tuple[Shown, Shown] | None = None
    rows: tuple[tuple[Cell, ...], ...] | None = None
    values: Mapping[str, float | Rows] = field(default_factory=dict)  # what a run is given for it


@dataclass(frozen=True)
class Refusal:
    """Why there is no answer, in words for a reader; `input` is the one field to blame, where it is one alone."""

    because: str
    input: str | None


@dataclass(frozen=True)
class Solution:
    """One value of the asked input that gives the wanted answer; `ends` where the formula is uncertain."""

    si: float
    shown: Shown | None
    choice: str | None
    ends: tuple[Shown, Shown] | None


@dataclass(frozen=True)
class Solved:
    """What working backwards found: every answer, and words where there is none, or more than one."""

    input: str
    output: str
    wanted: Shown
    answers: tuple[Solution, ...]
    because: str | None


@dataclass(frozen=True)
class Answer:
    """The whole of a run. `steps` is empty where `refused` is not None; `solved` is set by working backwards."""

    calculator: Calculator
    inputs: tuple[Given, ...]
    steps: tuple[Result, ...]
    refused: Refusal | None
    solved: Solved | None = None

    @property
    def outputs(self) -> tuple[Result, ...]:
        """The steps that are answers."""
        return tuple(step for step in self.steps if step.is_output)
