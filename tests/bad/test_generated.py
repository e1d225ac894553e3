"""Mistakes too large or too odd to keep as files: made here, each with the exact text it gives."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from hangtag.checking import check_book
from hangtag.problems import render

from .test_bad import HERE

ENTRY = "name: Felt\nin_short: Pressed fibre.\ntext: No yarn at all.\n"
MEGABYTE = 1_000_000


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    shutil.copytree(HERE / "_base", folder)
    return folder


def told(book: Path) -> str:
    return render(check_book(book).problems, relative_to=book)


def test_a_line_of_a_megabyte(book: Path) -> None:
    (book / "terms/cloth/felt.yml").write_text(ENTRY + f"whatch_out: {'x' * MEGABYTE}\n")
    assert told(book) == (
        "terms/cloth/felt.yml:4:1: an entry has no key whatch_out\n"
        f"  4 | whatch_out: {'x' * 108}\n"
        "    | ^~~~~~~~~~\n"
        "  Did you mean watch_out?"
    )


def test_a_mistake_at_the_end_of_a_megabyte(book: Path) -> None:
    (book / "terms/cloth/felt.yml").write_text(ENTRY + f"watch_out: {'x' * MEGABYTE} [[felts]]\n")
    assert told(book) == (
        "terms/cloth/felt.yml:4:1000013: there is no entry felts\n"
        f"  4 | {'x' * 39} [[felts]]\n"
        f"    | {' ' * 40}^~~~~~~~~\n"
        "  Did you mean felt?"
    )


def test_a_formula_of_a_megabyte(book: Path) -> None:
    path = book / "calculators/yarn-length.yml"
    longer = "mass / linear_density" + " + 0 m" * (MEGABYTE // 6)
    path.write_text(path.read_text().replace("mass / linear_density", longer))
    lines = told(book).splitlines()
    assert lines[0].startswith("calculators/yarn-length.yml:7:")
    assert "more than" in lines[0]
    assert all(len(line) < 300 for line in lines)


def test_a_file_larger_than_a_book_may_hold(book: Path) -> None:
    (book / "terms/cloth/felt.yml").write_text(ENTRY + f"watch_out: {'x' * 2 * MEGABYTE}\n")
    assert told(book) == ("terms/cloth/felt.yml: this file has 2,000,070 bytes; a file of a book has at most 2,000,000")


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "[{a: "])
def test_nesting_of_a_hundred_thousand(book: Path, opening: str) -> None:
    (book / "terms/cloth/felt.yml").write_text(ENTRY + "ask:\n  " + opening * 100_000)
    first = told(book).splitlines()[0]
    assert first.startswith("terms/cloth/felt.yml:5:")
    assert "nest" in first


def test_an_ending_that_is_not_read(book: Path) -> None:
    (book / "terms/cloth/felt.yaml").write_text(ENTRY)
    assert told(book) == "terms/cloth/felt.yaml: this file ends in .yaml and is not read; name it felt.yml"


def test_a_folder_where_a_file_belongs(book: Path) -> None:
    (book / "terms/cloth/felt.yml").mkdir()
    assert told(book) == "terms/cloth/felt.yml: this file cannot be read: Is a directory"


def test_a_link_out_of_the_book(book: Path, tmp_path: Path) -> None:
    (tmp_path / "felt.yml").write_text(ENTRY)
    (book / "terms/cloth/felt.yml").symlink_to(tmp_path / "felt.yml")
    assert told(book) == "terms/cloth/felt.yml: this link leads out of the book; copy the file into it"


def test_a_book_without_terms(book: Path) -> None:
    shutil.rmtree(book / "terms")
    assert "mkdocs.yml" not in told(book)
    assert check_book(book).book is None


def test_a_book_that_is_not_there(tmp_path: Path) -> None:
    loaded = check_book(tmp_path / "nowhere")
    assert loaded.book is None
    assert [problem.code for problem in loaded.problems] == ["file-unreadable"]
