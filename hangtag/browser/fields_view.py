"""The fields of a calculator as its template prints them: quantities, ranges, choices, and lists with their rows.

Every value comes from `answers`. Must not compute anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hangtag.amounts import Amount
from hangtag.answers import Cell, Given, Shown
from hangtag.book import Book
from hangtag.browser.printed import TYPED_DIGITS, between
from hangtag.browser.scripts import field_units
from hangtag.calculators import (
    Calculator,
    ChoiceColumn,
    ChoiceInput,
    Column,
    Input,
    Option,
    QuantityColumn,
    QuantityInput,
    RowsInput,
)
from hangtag.entries import Band, Scale
from hangtag.numbers import show
from hangtag.units import Unit


@dataclass(frozen=True)
class OptionView:
    """One named value of a choice; its number as text, where it has one."""

    name: str
    label: str
    text: str | None
    option: Option


@dataclass(frozen=True)
class ColumnView:
    """One column of a list. `kind` is number, choice, tick or text; `units` are empty where it has none to print."""

    name: str
    label: str
    kind: str
    units: tuple[Unit, ...]
    options: tuple[tuple[str, str], ...]
    start: str
    decimal: bool


@dataclass(frozen=True)
class RowsView:
    """A list: its columns, the cells of each row as text by column, and those of a new row."""

    columns: tuple[ColumnView, ...]
    rows: tuple[Mapping[str, str], ...]
    new: Mapping[str, str]
    most: int

    @property
    def with_units(self) -> tuple[ColumnView, ...]:
        """The columns whose unit a reader may choose."""
        return tuple(column for column in self.columns if len(column.units) > 1)


@dataclass(frozen=True)
class FieldView:
    """One field of the form with its start value: `text` stands in it, in `unit`."""

    id: str
    name: str
    label: str
    hint: str | None
    text: str
    unit: Unit | None
    units: tuple[Unit, ...]
    options: tuple[OptionView, ...]
    chosen: str | None
    rows: RowsView | None
    decimal: bool
    scale: Scale | None
    scale_of: str | None
    band: Band | None
    described_by: str


def field_id(calculator: Calculator, name: str) -> str:
    """The id of a field's element: two calculators of a page may share an input's name."""
    return f"{calculator.id}-{name}"


def field_view(book: Book, calculator: Calculator, its: Input, given: Given, language: str) -> FieldView:
    """One field as it stands before a reader has touched it."""
    id_ = field_id(calculator, its.name)
    units = field_units(its) if isinstance(its, QuantityInput) else ()
    text, unit = _shown(book, its, given, language) if isinstance(its, QuantityInput) else ("", None)
    described = [f"{id_}-unit"] * (len(units) == 1) + [f"{id_}-hint"] * bool(its.hint) + [f"{id_}-echo"]
    scale_of = its.scale if isinstance(its, QuantityInput) else None
    return FieldView(
        id=id_,
        name=its.name,
        label=its.label.within(language),
        hint=its.hint.within(language) if its.hint else None,
        text=text,
        unit=unit,
        units=units,
        options=_options(its, language) if isinstance(its, ChoiceInput) else (),
        chosen=given.choice,
        rows=_rows(its, given, language) if isinstance(its, RowsInput) else None,
        # a range is typed with a word or a dash in it
        decimal=isinstance(its, QuantityInput) and not its.between and _has_no_sign(its.low, units),
        scale=book.entries[scale_of].scale if scale_of else None,
        scale_of=scale_of,
        band=given.band,
        described_by=" ".join(described),
    )


def _shown(book: Book, its: QuantityInput, given: Given, language: str) -> tuple[str, Unit]:
    """What stands in a field; of a range, a lower end in another unit brings that along."""
    if given.ends is None:
        shown = given.shown or Shown(float(its.start.text), its.start.unit, typed(its.start))
        return shown.text, shown.unit
    low, high = given.ends
    if low == high:
        return high.text, high.unit
    first = low.text if low.unit == high.unit else f"{low.text} {low.unit.prints}"
    return between(book, language, first, high.text), high.unit


def _options(its: ChoiceInput, language: str) -> tuple[OptionView, ...]:
    return tuple(
        OptionView(each.name, each.label.within(language), typed(each.amount) if each.amount else None, each)
        for each in its.options
    )


def typed(amount: Amount) -> str:
    """An author's number as a field shows it."""
    return show(float(amount.text), TYPED_DIGITS, TYPED_DIGITS)


def _has_no_sign(low: Amount, units: tuple[Unit, ...]) -> bool:
    """Whether no value can be negative: the pad of digits that some telephones show for `decimal` has no minus."""
    return not low.text.startswith("-") and not any(unit.from_si(low.si) < 0 for unit in units)


# ----------------------------------------------------------------------------------------------------------- a list


def _rows(its: RowsInput, given: Given, language: str) -> RowsView:
    columns = tuple(_column(column, language) for column in its.columns)
    units = {column.name: column.units[0] for column in columns if column.units}
    rows = tuple({cell.column: _cell(cell, units.get(cell.column)) for cell in row} for row in given.rows or ())
    return RowsView(columns, rows, {column.name: column.start for column in columns}, its.most)


def _cell(cell: Cell, unit: Unit | None) -> str:
    """A cell's text; a number in another unit than its column's brings that along."""
    if cell.unit is None:
        return cell.text
    number = cell.text.replace("-", "\u2212")
    return number if unit in (None, cell.unit) else f"{number} {cell.unit.prints}"


def _column(column: Column, language: str) -> ColumnView:
    label = column.label.within(language)
    if isinstance(column, QuantityColumn):
        units = (column.unit, *column.also)
        number = typed(column.start)
        start = number if column.start.unit == column.unit else f"{number} {column.start.unit.prints}"
        printed = units if column.unit.id != "plain" else ()
        return ColumnView(column.name, label, "number", printed, (), start, _has_no_sign(column.low, units))
    if isinstance(column, ChoiceColumn):
        options = tuple((name, words.within(language)) for name, words in column.options)
        return ColumnView(column.name, label, "tick" if column.tick else "choice", (), options, column.start, False)
    return ColumnView(column.name, label, "text", (), (), "", False)
