"""The shape of an outside check: what goes into a calculator, what must come out, and who says so.

Must hold no expected values: those stand in the tables of the test modules, each beside its source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hangtag.answers import work
from hangtag.book import Book

Mark = Literal["published", "reported", "library", "derived"]


@dataclass(frozen=True)
class Check:
    """One outside value. `expected` is a number and a unit of the book, as the source prints it.

    The result must round to the printed digits: it may differ by half a step of the last one, or by `within` (in that
    unit) where the source itself is coarser than it prints, which `because` explains.
    """

    calculator: str
    given: dict[str, str]
    output: str
    expected: str
    mark: Mark
    source: str
    within: float | None = None
    because: str | None = None

    def __str__(self) -> str:
        return f"{self.calculator} {' '.join(self.given.values())} {self.output}".replace("/", "÷")

    @property
    def number(self) -> str:
        """The expected number as printed."""
        return self.expected.split(" ", 1)[0]

    @property
    def unit(self) -> str:
        """The unit of the expected number: an id of the book, or `plain`."""
        return self.expected.split(" ", 1)[1]

    @property
    def tolerance(self) -> float:
        """The widest allowed difference, in the unit of the expected number."""
        return self.within if self.within is not None else half_step(self.number)


def half_step(number: str) -> float:
    """Half a step of the last printed digit: 0.0005 for 8.544, and a hair for the last bit of a float."""
    decimals = len(number.partition(".")[2])
    return 0.5 * 10.0**-decimals * (1 + 1e-9)


def result(book: Book, calculator: str, given: dict[str, str], output: str, unit: str) -> float:
    """The output of a run in `unit`."""
    answer = work(book, book.calculators[calculator], given)
    assert answer.refused is None, answer.refused
    step = next(step for step in answer.steps if step.name == output)
    return step.si if unit == "plain" else book.units.units[unit].from_si(step.si)


def ends(book: Book, calculator: str, given: dict[str, str], output: str, unit: str) -> tuple[float, float]:
    """The lowest and the highest value of an uncertain output, in `unit`."""
    answer = work(book, book.calculators[calculator], given)
    assert answer.refused is None, answer.refused
    step = next(step for step in answer.steps if step.name == output)
    assert step.ends is not None, f"{output} is not uncertain"
    low, high = (end.unit.to_si(end.value) for end in step.ends)
    return (
        (low, high) if unit == "plain" else (book.units.units[unit].from_si(low), book.units.units[unit].from_si(high))
    )


def refused(book: Book, calculator: str, given: dict[str, str]) -> str:
    """The words in which a run is refused."""
    answer = work(book, book.calculators[calculator], given)
    assert answer.refused is not None, "this should have no answer"
    return answer.refused.because


def judge(book: Book, check: Check) -> None:
    """Assert that the calculator gives the check's value."""
    assert (check.within is None) == (check.because is None), "a loosened check says why"
    found = result(book, check.calculator, check.given, check.output, check.unit)
    difference = abs(found - float(check.number))
    assert difference <= check.tolerance, f"{found!r} {check.unit}, but {check.source} has {check.expected}"
