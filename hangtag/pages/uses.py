"""Where every number of a book rests: one Use for each band, constant, choice, example and formula, with its page.

The sources page and the foot of each entry are both made from this one list. Must not print.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from hangtag.answers import measured
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceInput, Table, TableRow
from hangtag.entries import Entry
from hangtag.pages.writer import calculator_path, entry_path
from hangtag.sources import Basis, Claim
from hangtag.strings import LocalText


@dataclass(frozen=True)
class Use:
    """One number (or statement) and why it may be believed. `label` names the place in the strings table."""

    owner: Entry | Calculator
    label: str
    sources: tuple[str, ...]
    basis: Basis | None
    anchor: str
    values: Mapping[str, LocalText | str] = field(default_factory=dict)

    @property
    def page(self) -> str:
        """The page it stands on."""
        return entry_path(self.owner.id) if isinstance(self.owner, Entry) else calculator_path(self.owner.id)


def uses(book: Book) -> Iterator[Use]:
    """All uses of a book: entries first, then calculators, in the order of the book."""
    for entry in book.entries.values():
        yield from of_entry(entry)
    for calculator in book.calculators.values():
        yield from of_calculator(calculator)


def of_entry(entry: Entry) -> Iterator[Use]:
    """Everything an entry's own page says on some basis, in the order of the page."""
    if entry.scale:
        for band in entry.scale.bands:
            yield _use(entry, "use-band", band.basis, "scale", says=band.says)
        if entry.scale.spread:
            yield _use(entry, "use-spread", entry.scale.spread.basis, "scale")
    for claim in entry.claims:
        yield _claim(entry, "use-text", claim, "meaning")
    for measurement in entry.measured_by:
        yield Use(entry, "use-measured", (measurement.source,), None, "measured")


def of_calculator(calculator: Calculator) -> Iterator[Use]:
    """Everything a calculator rests on, in the order of its page."""
    for claim in calculator.claims:
        yield _claim(calculator, "use-formula", claim, "formula")
    for constant in calculator.constants:
        yield _use(calculator, "use-constant", constant.basis, "numbers", label=constant.label or constant.name)
    for field_ in calculator.inputs:
        if isinstance(field_, ChoiceInput):
            for option in field_.options:
                if option.basis:
                    yield _use(calculator, "use-option", option.basis, "numbers", label=option.label)
    for table in calculator.tables:
        for row in table.rows:
            x = table_x(calculator, table, row)
            yield _use(calculator, "use-table", row.basis, "numbers", label=table.label, x=x)
    for number, example in enumerate(calculator.examples, start=1):
        yield _use(calculator, "use-example", example.basis, "examples", number=str(number))


def table_x(calculator: Calculator, table: Table, row: TableRow) -> LocalText | str:
    """What a row of a table is for, in words: the label of a choice, or an amount with its unit."""
    if table.by is not None:
        field_ = next(its for its in calculator.inputs if its.name == table.by)
        options = field_.options if isinstance(field_, ChoiceInput) else ()
        return next(option.label for option in options if option.name == row.x)
    return row.x if row.at is None else measured(row.at.text, row.at.unit)


def _claim(owner: Entry | Calculator, place: str, claim: Claim, anchor: str) -> Use:
    if claim.supports is None:
        return _use(owner, place, claim.basis, anchor)
    return _use(owner, f"{place}-for", claim.basis, anchor, says=claim.supports)


def _use(owner: Entry | Calculator, place: str, basis: Basis, anchor: str, **values: LocalText | str) -> Use:
    named = tuple(source for source in (basis.source, basis.of) if source)
    return Use(owner, place, named, basis, anchor, values)
