"""Files of tags as records: lines and rows, the places of what is no text, and bounded pieces."""

from __future__ import annotations

import io
from collections.abc import Iterable
from pathlib import Path
from typing import BinaryIO, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangtag.cli.read_accept import read_accepted
from hangtag.cli.read_records import (
    LONGEST,
    Faulty,
    Record,
    is_table,
    line_records,
    table_records,
    whole_text,
)
from hangtag.problems import Problem, ProblemError


def seen(records: Iterable[Record | Faulty]) -> list[tuple[int, str]]:
    return [(each.line, each.problem.message if isinstance(each, Faulty) else each.text) for each in records]


def lines(data: bytes) -> list[tuple[int, str]]:
    return seen(line_records(io.BytesIO(data), "tags.txt"))


def rows(text: str, id_column: str | None = None, name: str = "tags.csv") -> list[tuple[int, str | None, str]]:
    return [
        (each.line, None, each.problem.message) if isinstance(each, Faulty) else (each.line, each.id, each.text)
        for each in table_records(io.BytesIO(text.encode()), name, id_column, {"g", "kg", "mm"})
    ]


def refused(text: str, id_column: str | None = None) -> list[str]:
    with pytest.raises(ProblemError) as caught:
        rows(text, id_column)
    return [f"{problem.message} / {problem.hint}" for problem in caught.value.problems]


def test_each_line_is_a_tag_and_blank_lines_are_none() -> None:
    assert lines("\ufefffly 20D\r\n\n  \nR 4.2".encode()) == [(1, "fly 20D"), (4, "R 4.2")]


def test_what_is_no_text_is_told_with_its_place_and_the_next_line_is_read() -> None:
    assert lines("é 20D \xff\n".encode("latin-1") + b"ok\n20D\0\nR 4\n") == [
        (1, "tags.txt:1:1: the byte 0xE9 is not UTF-8 text"),
        (2, "ok"),
        (3, "tags.txt:3:4: a NUL character; this is no file of text"),
        (4, "R 4"),
    ]


class Endless(io.RawIOBase):
    """A stream of one letter without a line end; tells the largest piece that was asked for."""

    def __init__(self, length: int) -> None:
        self.left = length
        self.largest = 0

    def readable(self) -> bool:
        return True

    def readline(self, size: int | None = -1, /) -> bytes:
        assert size is not None
        assert size > 0
        self.largest = max(self.largest, size)
        piece = b"x" * min(size, self.left)
        self.left -= len(piece)
        return piece


def test_a_line_without_an_end_is_never_held_whole() -> None:
    stream = Endless(50 * LONGEST)
    assert seen(line_records(cast("BinaryIO", stream), "tags.txt")) == [  # readline is all it needs
        (1, "tags.txt:1: longer than 100,000 characters, which no tag is")
    ]
    assert stream.left == 0
    assert stream.largest <= 4 * LONGEST + 1


def test_a_long_line_is_skipped_to_its_end() -> None:
    assert lines(b"x" * (9 * LONGEST) + b"\nR 4") == [
        (1, "tags.txt:1: longer than 100,000 characters, which no tag is"),
        (2, "R 4"),
    ]
    assert lines("é".encode() * (LONGEST + 1))[0][1].startswith("tags.txt:1: longer")
    assert len(lines("é".encode() * LONGEST)[0][1]) == LONGEST


def test_a_row_is_composed_of_names_and_cells() -> None:
    table = "sku,text,fly fabric,weight_g,Head (mm),tag\nA1,Tent,20D nylon,1450,3000,\nA2,,,1.2 kg,,R 4\n"
    assert rows(table, "sku") == [
        (2, "A1", "Tent; fly fabric: 20D nylon; weight: 1450 g; Head: 3000 mm"),
        (3, "A2", "weight: 1.2 kg; R 4"),
    ]


def test_quotes_line_ends_in_cells_and_separators() -> None:
    assert rows('id,a\n1,"6 ft 2"" pad, wide\nR 4"\n2,10" flat\n', "id") == [
        (2, "1", 'a: 6 ft 2" pad, wide\nR 4'),
        (4, "2", 'a: 10" flat'),
    ]
    assert rows("id;a;b\n1;1,5 kg;x\n", "id") == [(2, "1", "a: 1,5 kg; b: x")]
    assert rows("id\ta,b\n1\tx\n", "id", "tags.tsv") == [(2, "1", "a,b: x")]


def test_ragged_rows_are_told_and_left_out() -> None:
    assert rows("id,a\n1,x,y\n2\n\n3,z\n", "id") == [
        (2, None, "tags.csv:2: the header names 2 columns, and this row has 3"),
        (3, None, "tags.csv:3: the header names 2 columns, and this row has 1"),
        (5, "3", "a: z"),
    ]


def test_without_an_id_column_the_line_is_the_id() -> None:
    assert rows("a\nx\n\ny\n") == [(2, "2", "a: x"), (4, "4", "a: y")]
    assert rows("id,a\n,x\n", "id") == [(2, None, "a: x")]


def test_broken_quotes() -> None:
    assert rows('id,a\n1,"x"y\n2,z\n', "id") == [
        (2, None, "tags.csv:2: no row of CSV: ',' expected after '\"'"),
        (3, "2", "a: z"),
    ]
    unclosed = 'id,a\n1,"x\n' + "2,y\n" * 30_000 + "3,z\n"
    first, *others = rows(unclosed, "id")
    assert first[2].startswith("tags.csv:2: a row of more than 100,000 characters; all down to line 25")
    assert others[-1] == (30_003, "3", "a: z")


def test_a_line_of_a_row_that_is_no_text() -> None:
    data = b"id,a\n1,\xff\n2,z\n"
    assert seen(table_records(io.BytesIO(data), "t.csv", "id")) == [
        (2, "t.csv:2:3: the byte 0xFF is not UTF-8 text"),
        (3, "a: z"),
    ]


def test_headers_that_cannot_serve() -> None:
    empty = "tags.csv is empty; a CSV file begins with the names of its columns / None"
    assert refused("") == [empty]
    assert refused("\n\n") == [empty]
    assert refused("sku,weight\n", "skus") == ["tags.csv has no column skus / Did you mean sku?"]
    assert refused("a,b\n", "id") == ["tags.csv has no column id / Its columns are a, b."]
    assert refused("a,a\n", "a") == ["tags.csv has two columns a / None"]


def test_which_files_are_tables() -> None:
    assert is_table("tags.CSV", None)
    assert is_table("tags.tsv", None)
    assert is_table("-", "id")
    assert not is_table("tags.txt", None)


def test_a_whole_file_as_one_tag() -> None:
    assert whole_text(io.BytesIO("\ufefffly 20D\r\nR 4\n".encode()), "standard input") == "fly 20D\nR 4"
    with pytest.raises(ProblemError, match="standard input:1: longer than 100,000"):
        whole_text(io.BytesIO(b"x\n" * LONGEST), "standard input")
    with pytest.raises(ProblemError, match="standard input:2:1: a NUL"):
        whole_text(io.BytesIO(b"x\n\0"), "standard input")


@given(st.binary(max_size=200), st.booleans())
def test_any_bytes_give_records_or_clear_words(data: bytes, is_csv: bool) -> None:
    stream = io.BytesIO(data)
    found: list[Record | Faulty] = []
    refused: tuple[Problem, ...] = ()
    try:
        found = list(table_records(stream, "any", None) if is_csv else line_records(stream, "any"))
    except ProblemError as error:
        refused = error.problems
    assert is_csv or not refused
    assert all(problem.message for problem in refused)
    assert [each.line for each in found] == sorted(each.line for each in found)
    assert all(each.problem.message if isinstance(each, Faulty) else each.text.strip() for each in found)


# ------------------------------------------------------------------------------------------------------- --accept FILE


def test_accepted_pairs(tmp_path: Path) -> None:
    file = tmp_path / "accept.txt"
    file.write_text('# looked at in May\n\nA1, drop-mismatch\n*,units-differ\n"a, b", units-differ\n', encoding="utf-8")
    accepted = read_accepted(file, {"drop-mismatch", "units-differ"})
    assert accepted.covers("A1", "drop-mismatch")
    assert not accepted.covers("A2", "drop-mismatch")
    assert accepted.covers(None, "units-differ")
    assert accepted.unmet == [("a, b", "units-differ")]


def test_accepted_lines_that_say_nothing(tmp_path: Path) -> None:
    file = tmp_path / "accept.txt"
    file.write_text("A1\nA2, drop-mismatsch\n", encoding="utf-8")
    with pytest.raises(ProblemError) as caught:
        read_accepted(file, {"drop-mismatch"})
    assert {(problem.message, problem.hint) for problem in caught.value.problems} == {
        (f"{file}:1: not an id and a code, parted by a comma", "For example: QH-104, drop-mismatch"),
        (f"{file}:2: no contradiction has the code drop-mismatsch", "Did you mean drop-mismatch?"),
    }
    file.write_bytes(b"\xff")
    with pytest.raises(ProblemError, match="cannot be read: it is not UTF-8 text"):
        read_accepted(file, {"drop-mismatch"})
    with pytest.raises(ProblemError, match="cannot be read: no such file"):
        read_accepted(tmp_path / "none.txt", {"drop-mismatch"})
