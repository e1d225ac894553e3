"""Whatever stands in a file of a book: it gives Problems or a book, never another exception."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hangtag.checking import check_book
from hangtag.problems import Problems, as_json, render
from hangtag.yaml_source import read_bytes, read_text

BASE = Path(__file__).parents[1] / "bad" / "_base"
FILES = sorted(str(path.relative_to(BASE)) for path in BASE.rglob("*.yml"))
FAIR = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture], max_examples=60
)

PIECES = [
    "a", "name", "is", "unit", "basis", "no", "12:30", "010", "2026-11-25", "1_000", "0x1F", "1e400", "~", "null",
    "true", ".inf", ": ", ":", "- ", "-", "[", "]", "{", "}", ", ", "&a ", "*a", "!!int ", "!x ", "? ", "| ", "> ", "'",
    '"', "\\", "#", "%", "@", "`", "\n", "\n  ", "\n    ", "\t", "\r\n", "---\n", "...\n", "<<: ", "[[a]]", "{q}",
    "\ufeff", "\x00", "\u2028", "\x85", "🙂", "é",
]  # fmt: skip


def yaml_like() -> st.SearchStrategy[str]:
    """Any text, and texts of the pieces that YAML is made of."""
    return st.one_of(st.text(max_size=80), st.lists(st.sampled_from(PIECES), max_size=30).map("".join))


@settings(FAIR, max_examples=300)
@given(yaml_like())
def test_any_text_is_a_tree_or_problems(text: str) -> None:
    problems = Problems()
    node = read_text(text, "a.yml", problems)
    assert (node is None) == bool(problems)
    assert render(problems.sorted(), text_of=lambda _: text) or node is not None


@FAIR
@given(st.binary(max_size=80))
def test_any_bytes_are_a_tree_or_problems(raw: bytes) -> None:
    problems = Problems()
    node = read_bytes(raw, "a.yml", problems)
    assert (node is None) == bool(problems)


@pytest.fixture(scope="module")
def a_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("any") / "book"
    shutil.copytree(BASE, folder)
    return folder


def check(folder: Path, name: str, text: str) -> None:
    """Check the book with one file's text replaced."""
    path = folder / name
    before = path.read_bytes()
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    try:
        loaded = check_book(folder)
        assert (loaded.book is None) == bool(loaded.problems)
        render(loaded.problems, relative_to=folder)
        as_json(loaded.problems, relative_to=folder)
    finally:
        path.write_bytes(before)


@pytest.mark.parametrize("name", FILES)
@FAIR
@given(text=yaml_like())
def test_any_text_in_any_file(a_book: Path, name: str, text: str) -> None:
    check(a_book, name, text)


def spoiled(source: str) -> st.SearchStrategy[str]:
    """A good file with one stretch cut out, doubled or replaced: near enough to good to get far into the reader."""
    size = len(source)

    def spoil(start: int, length: int, piece: str) -> str:
        return source[:start] + piece + source[min(size, start + length) :]

    stretch = st.tuples(st.integers(0, size), st.integers(0, 30))
    doubled = stretch.map(lambda at: source[: at[0]] + source[at[0] : at[0] + at[1]] * 2 + source[at[0] + at[1] :])
    return st.one_of(
        st.builds(spoil, st.integers(0, size), st.integers(0, 20), st.sampled_from(["", *PIECES])), doubled
    )


@pytest.mark.parametrize("name", FILES)
@FAIR
@given(data=st.data())
def test_a_spoiled_file(a_book: Path, name: str, data: st.DataObject) -> None:
    check(a_book, name, data.draw(spoiled((BASE / name).read_text(encoding="utf-8"))))


SHAPES = [
    "",
    "~",
    "[]",
    "{}",
    "''",
    "[[]]",
    "{a: {}}",
    "[{a: b}]",
    "- a\n- b",
    "text",
    "1",
    "{en: x}",
    "{en: [x]}",
    "{? [a] : b}",
]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", FILES)
def test_a_key_of_another_shape(a_book: Path, name: str, shape: str) -> None:
    """Every key of the top level, one after another, holds something of another shape."""
    source = (BASE / name).read_text(encoding="utf-8")
    keys = [line.partition(":")[0] for line in source.splitlines() if line[:1].isalpha()]
    assert keys
    for key in keys:
        kept, skipping = [], False
        for line in source.splitlines():
            if line[:1].isalpha():
                skipping = line.startswith(f"{key}:")
            if not skipping:
                kept.append(line)
        value = f" {shape}" if "\n" not in shape else "\n" + shape
        check(a_book, name, "\n".join([*kept, f"{key}:{value}"]) + "\n")
