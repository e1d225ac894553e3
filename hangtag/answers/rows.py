"""Reading a list: separated text as a reader pastes it, or rows an author wrote.

Must not run a formula.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence

from hangtag.amounts import within
from hangtag.answers.model import Cell, Given
from hangtag.answers.words import measured, refused
from hangtag.book import Book
from hangtag.calculators import ChoiceColumn, Column, RowsInput, TextColumn
from hangtag.formula.by_hand import Rows
from hangtag.numbers import Refused, exact, show
from hangtag.problems import Problem, ProblemError
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.typed import read_quantity


def read_rows(book: Book, field: RowsInput, typed: str | None, language: str = DEFAULT_LANGUAGE) -> Given:
    """A list from separated text (tab, comma or semicolon; a header may name the columns), or its start rows.

    Raises ProblemError with a Problem for each row that cannot be read.
    """
    if typed is None:
        return rows_given(book, field, field.start, "start", language)
    text = typed.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = [line for line in text.split("\n") if line.strip()]
    if len(lines) > field.most + 1:
        raise refused(book, field, "rows-too-many", {"most": field.most}, language)
    separator = next((mark for mark in "\t;," if lines and mark in lines[0]), ",")
    try:
        table = list(csv.reader(lines, delimiter=separator))
    except csv.Error:
        raise refused(book, field, "rows-unreadable", {}, language) from None
    names = [column.name for column in field.columns]
    if table and (header := _header(field, table[0], language)):
        names, table = header, table[1:]
    if len(table) > field.most:
        raise refused(book, field, "rows-too-many", {"most": field.most}, language)
    rows = [dict(zip(names, (cell.strip() for cell in cells), strict=False)) for cells in table]
    too_wide = next((number for number, cells in enumerate(table, 1) if len(cells) > len(names)), None)
    if too_wide is not None:
        raise refused(book, field, "rows-too-wide", {"row": too_wide, "most": len(names)}, language)
    return _read_rows(book, field, rows, "given", language)


def _header(field: RowsInput, cells: Sequence[str], language: str) -> list[str] | None:
    known = {column.name: column.name for column in field.columns}
    known |= {column.label.within(language).lower(): column.name for column in field.columns}
    names = [known.get(cell.strip().lower()) for cell in cells]
    return [name for name in names if name] if all(names) and len(set(names)) == len(names) else None


def rows_given(
    book: Book, field: RowsInput, rows: Sequence[Mapping[str, str]], origin: str, language: str = DEFAULT_LANGUAGE
) -> Given:
    """A list from rows an author wrote."""
    return _read_rows(book, field, rows, origin, language)


def _read_rows(book: Book, field: RowsInput, rows: Sequence[Mapping[str, str]], origin: str, language: str) -> Given:
    problems: list[Problem] = []
    read: list[tuple[Cell, ...]] = []
    for number, row in enumerate(rows, start=1):
        cells: list[Cell] = []
        for column in field.columns:
            try:
                cells.append(_cell(book, column, row.get(column.name), language))
            except Refused as error:
                because = book.strings.say(error.code, language, **error.values)
                words = {"row": number, "column": column.label.within(language), "because": because}
                said = book.strings.say("rows-cell", language, **words)
                problems.append(Problem("field-refused", {"field": field.name, "because": said}))
        read.append(tuple(cells))
    if problems:
        raise ProblemError(*problems)
    values: dict[str, float | Rows] = {field.name: tuple(tuple(cell.si for cell in cells) for cells in read)}
    return Given(field.name, field.label.within(language), 0.0, None, None, origin, None, None, tuple(read), values)


class _BadCell(Refused):
    """A cell that fits no column."""


def _cell(book: Book, column: Column, typed: str | None, language: str) -> Cell:
    if isinstance(column, TextColumn):
        return Cell(column.name, typed or "", None, 0.0)
    if isinstance(column, ChoiceColumn):
        wanted = (typed or column.start).lower()
        for index, (name, label) in enumerate(column.options):
            if wanted in (name.lower(), label.within(language).lower()):
                return Cell(column.name, name, None, float(index))
        known = ", ".join(label.within(language) for _, label in column.options)
        raise _BadCell("rows-no-choice", {"text": typed, "known": known})
    if not typed:
        start = column.start
        return Cell(column.name, start.text, start.unit, start.si)
    quantity = read_quantity(typed, (column.unit, *column.also), book.units, language)
    if not within(quantity.si, column.low, column.high):
        low = quantity.si < column.low.si
        limit = column.low if low else column.high
        words = measured(show(float(exact(limit.text)), 15, 15), limit.unit)
        raise _BadCell("field-too-low" if low else "field-too-high", {"limit": words})
    if column.whole and exact(quantity.number).denominator != 1:
        raise _BadCell("field-not-whole", {})
    return Cell(column.name, quantity.number, quantity.unit, quantity.si)
