"""A file of tags as records: one a line, or one a row of a CSV file with a header. Must not know what a tag means.

Reads bytes in bounded pieces, so that a file of any length, or one without a line end, takes no more memory than one
long tag. What cannot be read as text becomes a `Faulty` with its place in words, and reading goes on behind it.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePath
from typing import BinaryIO

from hangtag.problems import Problem, ProblemError, near_hint

LONGEST = 100_000  # characters of one tag, or of one row
_LONGEST_BYTES = 4 * LONGEST  # a character of UTF-8 takes at most four
_BOM = b"\xef\xbb\xbf"
_AS_IT_IS = frozenset({"", "text", "tag"})  # columns whose cells speak for themselves
_UNIT_IN_NAME = re.compile(r"(?P<name>.*\S)\s*(?:\(\s*(?P<round>[^()]+?)\s*\)|\[\s*(?P<square>[^\[\]]+?)\s*\])")
_BARE_NUMBER = re.compile(r"[-+−]?[0-9][0-9.,]*")


@dataclass(frozen=True)
class Record:
    """One tag: the line it begins on (1-based), its id where the file gives one, and its text."""

    line: int
    id: str | None
    text: str


@dataclass(frozen=True)
class Faulty:
    """A line or row that holds no readable tag."""

    line: int
    problem: Problem


class _FaultInRowError(Exception):
    def __init__(self, fault: Faulty) -> None:
        super().__init__(fault.problem.message)
        self.fault = fault


def is_table(name: str, id_column: str | None) -> bool:
    """Whether a file is read as CSV: its name says so, or a column of it is asked for."""
    return id_column is not None or PurePath(name).suffix.lower() in {".csv", ".tsv"}


def whole_text(stream: BinaryIO, name: str) -> str:
    """One tag, however many lines it has. Raises ProblemError where it is no text, or too long."""
    texts = []
    length = 0
    for line in _lines(stream, name):
        if isinstance(line, Faulty):
            raise ProblemError(line.problem)
        length += len(line.text) + 1
        if length > LONGEST + 1:
            raise ProblemError(_too_long(name, 1).problem)
        texts.append(line.text)
    return "\n".join(texts)


def line_records(stream: BinaryIO, name: str) -> Iterator[Record | Faulty]:
    """Each line that is not blank is one tag; its id is the number of the line."""
    for line in _lines(stream, name):
        if isinstance(line, Faulty):
            yield line
        elif line.text.strip():
            yield Record(line.line, str(line.line), line.text.strip())


def table_records(
    stream: BinaryIO, name: str, id_column: str | None, units: Collection[str] = ()
) -> Iterator[Record | Faulty]:
    """Each row below the header is one tag, composed of its cells with the names of their columns.

    `units` are the spellings that may end a column's name (`weight_g`). Raises ProblemError where the header cannot be
    read, or has no such column.
    """
    source = _RowLines(_lines(stream, name), name)
    header_line = source.peek()
    if header_line is None:
        raise ProblemError(Problem("tags-no-header", {"file": name}))
    rows = csv.reader(source, delimiter=_delimiter(name, header_line), strict=True)
    header = [" ".join(cell.split()) for cell in _header(rows, source, name)]
    at = None if id_column is None else _column(header, id_column, name)
    labels = [_label(cell, units) for cell in header]
    for row in _rows(rows, source, name):
        if isinstance(row, Faulty):
            yield row
        elif len(row.cells) != len(header):
            counts = {"place": _place(name, row.line), "cells": len(row.cells), "columns": len(header)}
            hint = "A cell that holds the separator stands in double quotes."
            yield Faulty(row.line, Problem("tags-row-ragged", counts, hint=hint))
        else:
            cells = [cell.strip() for cell in row.cells]
            text = _composed(labels, cells, at)
            if text:
                yield Record(row.line, (cells[at] or None) if at is not None else str(row.line), text)


# ------------------------------------------------------------------------------------------------------ lines of text


def _lines(stream: BinaryIO, name: str) -> Iterator[Record | Faulty]:
    number = 0
    while raw := stream.readline(_LONGEST_BYTES + 1):
        number += 1
        if number == 1:
            raw = raw.removeprefix(_BOM)
        if not raw.endswith(b"\n") and len(raw) > _LONGEST_BYTES:
            _skip_line(stream)
            yield _too_long(name, number)
        else:
            yield _line(raw, name, number)


def _skip_line(stream: BinaryIO) -> None:
    while (piece := stream.readline(_LONGEST_BYTES)) and not piece.endswith(b"\n"):
        pass


def _line(raw: bytes, name: str, number: int) -> Record | Faulty:
    try:
        text = raw.decode("utf-8").rstrip("\r\n")
    except UnicodeDecodeError as error:
        column = len(raw[: error.start].decode("utf-8")) + 1
        values = {"place": _place(name, number, column), "byte": f"0x{raw[error.start]:02X}"}
        return Faulty(number, Problem("tags-not-utf8", values, hint="Save the file as UTF-8 and read it again."))
    if "\0" in text:
        return Faulty(number, Problem("tags-nul", {"place": _place(name, number, text.index("\0") + 1)}))
    if len(text) > LONGEST:
        return _too_long(name, number)
    return Record(number, None, text)


def _too_long(name: str, number: int) -> Faulty:
    return Faulty(number, Problem("tags-too-long", {"place": _place(name, number), "most": f"{LONGEST:,}"}))


def _place(name: str, line: int, column: int | None = None) -> str:
    return f"{name}:{line}" if column is None else f"{name}:{line}:{column}"


# ------------------------------------------------------------------------------------------------------- rows of CSV


@dataclass(frozen=True)
class _Row:
    line: int
    cells: Sequence[str]


class _RowLines:
    """The lines of a table for the reader of rows, which knows neither faults nor a longest row."""

    def __init__(self, lines: Iterator[Record | Faulty], name: str) -> None:
        self._lines = lines
        self._name = name
        self._next: Record | Faulty | None = next(lines, None)
        self._length = 0
        self.row_line = 1  # where the row in hand begins

    def peek(self) -> str | None:
        """The line that comes next. Raises ProblemError where it is no text; None at the end."""
        if isinstance(self._next, Faulty):
            raise ProblemError(self._next.problem)
        return None if self._next is None else self._next.text

    def begin_row(self) -> None:
        """The next line begins a row."""
        self._length = 0
        if self._next is not None:
            self.row_line = self._next.line

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = self._next
        if line is None:
            raise StopIteration
        self._next = next(self._lines, None)
        if isinstance(line, Faulty):
            raise _FaultInRowError(line)
        self._length += len(line.text) + 1
        if self._length > LONGEST + 1:
            values = {"place": _place(self._name, self.row_line), "most": f"{LONGEST:,}", "end": line.line}
            hint = "Look for a double quote that is opened and never closed."
            raise _FaultInRowError(Faulty(self.row_line, Problem("tags-row-too-long", values, hint=hint)))
        return line.text + "\n"


def _rows(rows: Iterator[list[str]], source: _RowLines, name: str) -> Iterator[_Row | Faulty]:
    while True:
        source.begin_row()
        try:
            cells = next(rows)
        except StopIteration:
            return
        except _FaultInRowError as error:
            yield error.fault
        except csv.Error as error:
            values = {"place": _place(name, source.row_line), "because": str(error)}
            hint = 'A double quote inside a cell in quotes is written twice: "6 ft 2"" pad".'
            yield Faulty(source.row_line, Problem("tags-row-unreadable", values, hint=hint))
        else:
            if any(cell.strip() for cell in cells):
                yield _Row(source.row_line, cells)


def _header(rows: Iterator[list[str]], source: _RowLines, name: str) -> Sequence[str]:
    first = next(_rows(rows, source, name), None)
    if first is None:
        raise ProblemError(Problem("tags-no-header", {"file": name}))
    if isinstance(first, Faulty):
        raise ProblemError(first.problem)
    return first.cells


def _delimiter(name: str, header: str) -> str:
    if PurePath(name).suffix.lower() == ".tsv":
        return "\t"
    return max(",;\t", key=header.count)


def _column(header: Sequence[str], wanted: str, name: str) -> int:
    found = [at for at, cell in enumerate(header) if cell == wanted]
    if len(found) == 1:
        return found[0]
    if found:
        raise ProblemError(Problem("tags-column-twice", {"file": name, "column": wanted}))
    named = [cell for cell in header if cell]
    hint = near_hint(wanted, named) or f"Its columns are {', '.join(named)}."
    raise ProblemError(Problem("tags-no-column", {"file": name, "column": wanted}, hint=hint))


def _label(column: str, units: Collection[str]) -> tuple[str, str]:
    """A column's name in words, and the unit that it says its numbers have: `weight_g`, `Weight (g)`."""
    match = _UNIT_IN_NAME.fullmatch(column)
    if match:
        return match["name"].replace("_", " "), match["round"] or match["square"]
    name, underscore, last = column.rpartition("_")
    if underscore and last in units:
        return name.replace("_", " "), last
    return ("" if column.lower() in _AS_IT_IS else column.replace("_", " ")), ""


def _composed(labels: Sequence[tuple[str, str]], cells: Sequence[str], id_at: int | None) -> str:
    parts = []
    for at, ((label, unit), cell) in enumerate(zip(labels, cells, strict=True)):
        if cell and at != id_at:
            value = f"{cell} {unit}" if unit and _BARE_NUMBER.fullmatch(cell) else cell
            parts.append(f"{label}: {value}" if label else value)
    return "; ".join(parts)
