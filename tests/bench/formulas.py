"""How fast a formula runs, side by side in one process: `python -m tests.bench.formulas`.

Each calculator's compiled formula is timed beside the same formula written by hand in Python and beside pint
quantities, in turns, so that a busy machine slows all three alike; then loading and checking the whole book. Prints,
judges nothing.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from typing import Any

import pint

from hangtag.answers import read_field, run_values
from hangtag.book import Book, load_book
from hangtag.calculators import Calculator, Column, QuantityColumn, RowsInput
from hangtag.checking import check_book
from hangtag.problems import render
from hangtag.resources import reference_book
from hangtag.units import BASES, Dimension

from .by_hand import FORMULAS

TURNS = 30
_PINT_BASES = ("kilogram", "meter", "second", "kelvin", "ampere", "mole", "candela")


def seconds_each(work: Callable[[], object], times: int) -> float:
    """The seconds of one call, over `times` calls."""
    start = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - start) / times


def start_values(book: Book, calculator: Calculator) -> dict[str, Any]:
    """The start value of every input, in SI; of a list its rows."""
    return dict(run_values(calculator, [read_field(book, of, None) for of in calculator.inputs]))


def as_quantities(units: pint.UnitRegistry[Any], calculator: Calculator, values: dict[str, Any]) -> dict[str, Any]:
    """The same with pint quantities wherever there is a unit."""
    found = dict(values)
    for of in calculator.inputs:
        if isinstance(of, RowsInput):
            found[of.name] = [_row(units, of.columns, row) for row in values[of.name]]
        elif of.unit is not None:
            found[of.name] = quantity(units, values[of.name], of.unit.dimension)
    return found


def _row(units: pint.UnitRegistry[Any], columns: Sequence[Column], row: Sequence[float]) -> list[Any]:
    return [
        quantity(units, value, column.unit.dimension)
        if isinstance(column, QuantityColumn) and column.unit.id != "plain"
        else value
        for column, value in zip(columns, row, strict=True)
    ]


def quantity(units: pint.UnitRegistry[Any], value: float, dimension: Dimension) -> Any:  # noqa: ANN401
    """An SI float as a pint quantity of floats."""
    powers = zip(_PINT_BASES, dimension.exponents, strict=True)
    return units.Quantity(value, units.UnitsContainer({name: float(power) for name, power in powers if power}))


def measure(book: Book, calculator: Calculator, units: pint.UnitRegistry[Any]) -> tuple[float, float, float]:
    """Seconds of one run: compiled, by hand, with pint; the medians of many turns."""
    by_hand = FORMULAS[calculator.id]
    values = start_values(book, calculator)
    quantities = as_quantities(units, calculator, values)
    run = calculator.program.run
    ours, theirs = run(values), by_hand(values)
    for name, number in theirs.items():
        near = 1e-9 if name in calculator.program.solved else 1e-12
        assert abs(number - ours[name]) <= near * abs(number), f"{calculator.id}: {name} by hand is another formula"
    turns = [
        (
            seconds_each(lambda: run(values), 2000),
            seconds_each(lambda: by_hand(values), 2000),
            seconds_each(lambda: by_hand(quantities), 20),
        )
        for _ in range(TURNS)
    ]
    compiled, hand, pints = (statistics.median(column) for column in zip(*turns, strict=True))
    return compiled, hand, pints


def main() -> None:
    """Print the table."""
    assert len(BASES) == len(_PINT_BASES)
    book = _book()
    units: pint.UnitRegistry[Any] = pint.UnitRegistry()
    print(f"{'calculator':20} {'compiled':>10} {'by hand':>10} {'pint':>10}   {'÷ by hand':>9} {'pint ÷ compiled':>15}")
    for calculator_id in FORMULAS:
        compiled, hand, pints = measure(book, book.calculators[calculator_id], units)
        print(
            f"{calculator_id:20} {compiled * 1e6:8.2f}µs {hand * 1e6:8.2f}µs {pints * 1e6:8.1f}µs"
            f"   {compiled / hand:9.2f} {pints / compiled:15.0f}"
        )
    root = reference_book()
    load = statistics.median(seconds_each(lambda: load_book(root), 1) for _ in range(5))
    whole = statistics.median(seconds_each(lambda: check_book(root), 1) for _ in range(5))
    count = f"{len(book.entries)} entries, {len(book.calculators)} calculators"
    print(f"\n{count}: load {load * 1000:.0f} ms, check {whole * 1000:.0f} ms")


def _book() -> Book:
    loaded = check_book(reference_book())
    if loaded.book is None:
        raise SystemExit(render(loaded.problems))
    return loaded.book


if __name__ == "__main__":
    main()
