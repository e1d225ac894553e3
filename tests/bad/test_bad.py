"""Each mistake gives exactly the text that stands beside it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from hangtag.checking import check_book
from hangtag.problems import render

HERE = Path(__file__).parent
CASES = sorted(path for path in HERE.iterdir() if path.suffix == ".yml" or (path.is_dir() and path.name[0].isalpha()))


def lay_over(case: Path, book: Path) -> None:
    """Put a mistake into a copy of the good book."""
    shutil.copytree(HERE / "_base", book)
    if case.is_dir():
        shutil.copytree(case, book, dirs_exist_ok=True)
        return
    first = case.read_bytes().split(b"\n", 1)[0].decode("utf-8-sig").strip()
    target = book / first.removeprefix("# ")
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(case, target)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_text(case: Path, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    lay_over(case, tmp_path / "book")
    loaded = check_book(tmp_path / "book")
    found = render(loaded.problems, relative_to=tmp_path / "book") + "\n"
    expected = case.with_suffix(".txt")
    if request.config.getoption("--reset"):
        expected.write_text(found, encoding="utf-8", newline="")
    assert loaded.problems, "a mistake must be told"
    assert found == expected.read_text(encoding="utf-8")


def test_the_good_book_is_good(tmp_path: Path) -> None:
    shutil.copytree(HERE / "_base", tmp_path / "book")
    loaded = check_book(tmp_path / "book")
    assert render(loaded.problems, relative_to=tmp_path / "book") == ""
    assert loaded.book is not None


def test_every_text_has_its_mistake() -> None:
    assert {path.stem for path in HERE.glob("*.txt")} == {case.stem for case in CASES}
