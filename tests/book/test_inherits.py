"""A club's own book: six lines of configuration over the reference book, entries of its own, additions, overrides."""

from __future__ import annotations

from pathlib import Path

import pytest

from hangtag.answers import as_json, work
from hangtag.book import Book, load_book
from hangtag.problems import render

CONFIG = """\
site_name: Larkmoor Hill Club
docs_dir: terms
theme: material
plugins:
  - hangtag:
      inherits: {inherits}
"""
ENTRY = """\
name: Larkmoor bog bridge
in_short: Two planks over the wet part of the path.
text: |
  See [[denier]] for what the word has nothing to do with.
"""
ADDS = """\
by: Larkmoor Hill Club
date: 2026-11-01
text: |
  On the beginners' weekend we look at the label together.
ask: [Which side of the cloth is coated?]
caution: |
  Planks are slippery.
"""


def write(root: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


def club(root: Path, inherits: str = "reference", **files: str) -> Path:
    base = {"mkdocs.yml": CONFIG.format(inherits=inherits), "terms/weather/bog-bridge.yml": ENTRY}
    return write(root, base | {name.replace("__", "/"): text for name, text in files.items()})


def loaded(root: Path) -> Book:
    result = load_book(root)
    assert result.book, render(result.problems)
    return result.book


def codes(root: Path) -> list[str]:
    return [problem.code for problem in load_book(root).problems]


def test_the_reference_book_plus_an_entry_and_an_addition(tmp_path: Path, reference: Book) -> None:
    root = club(tmp_path)
    write(root, {"terms/fabrics/denier.adds.yml": ADDS})
    book = loaded(root)
    assert set(book.entries) == set(reference.entries) | {"bog-bridge"}
    assert set(book.calculators) == set(reference.calculators)
    (addition,) = book.entries["denier"].additions
    assert (addition.by, addition.date) == ("Larkmoor Hill Club", "2026-11-01")
    assert book.entries["denier"].text == reference.entries["denier"].text
    assert book.parents == (reference.root,)


def test_an_override_keeps_the_inherited_caution_beside_its_own(tmp_path: Path, reference: Book) -> None:
    ours = "name: Baffle construction\nin_short: Ours.\ntext: |\n  Ours.\ncaution: |\n  Ours too.\n"
    book = loaded(write(club(tmp_path), {"terms/warmth/baffle-construction.yml": ours}))
    entry = book.entries["baffle-construction"]
    assert str(entry.caution) == "Ours too."
    assert entry.inherited_caution == reference.entries["baffle-construction"].caution
    # and again one book further down, without a caution of its own
    below = club(tmp_path / "below", inherits="..")
    grandchild = loaded(write(below, {"terms/warmth/baffle-construction.yml": ours.partition("caution")[0]}))
    assert grandchild.entries["baffle-construction"].caution is None
    kept = str(grandchild.entries["baffle-construction"].inherited_caution)
    assert str(entry.caution) in kept
    assert str(reference.entries["baffle-construction"].caution) in kept


def test_an_overridden_calculator_carries_the_inherited_caution_in_its_answers(tmp_path: Path, reference: Book) -> None:
    source = (reference.root / "calculators" / "down-loft.yml").read_text(encoding="utf-8")
    without = source[: source.index("\ncaution:") + 1] if "\ncaution:" in source else source
    rest = source[len(without) :].split("\n")
    kept = [line for index, line in enumerate(rest) if index and line[:1] not in ("", " ")]
    start = next((i for i, line in enumerate(rest) if line in kept), len(rest))
    root = write(club(tmp_path), {"calculators/down-loft.yml": without + "\n".join(rest[start:])})
    book = loaded(root)
    assert book.calculators["down-loft"].caution is None
    answer = as_json(work(book, book.calculators["down-loft"], {}))
    assert answer["caution"] == str(reference.calculators["down-loft"].caution)


@pytest.mark.parametrize(
    ("files", "code"),
    [
        ({"terms/fabrics/deneir.adds.yml": ADDS}, "adds-to-unknown"),
        ({"terms/fabrics/denier.adds.yml": ADDS.partition("\n")[2]}, "missing-key"),
        ({"terms/nowhere/x.yml": ENTRY.replace("Larkmoor bog bridge", "X")}, "unknown-area"),
        ({"terms/weather/Bog.yml": ENTRY.replace("Larkmoor bog bridge", "X")}, "bad-id"),
        ({"terms/weather/x.yaml": ENTRY}, "file-yaml-ending"),
        ({"terms/weather/x.yml": ENTRY}, "name-shared"),
    ],
)
def test_what_can_go_wrong_in_a_club(tmp_path: Path, files: dict[str, str], code: str) -> None:
    assert codes(write(club(tmp_path), files)) == [code]


def test_an_addition_follows_an_earlier_id(tmp_path: Path) -> None:
    write(tmp_path / "one", {"mkdocs.yml": CONFIG.format(inherits="reference")})
    write(tmp_path / "one", {"terms/weather/bog-bridge.yml": ENTRY + "was: [plank-bridge]\n"})
    two = write(tmp_path / "two", {"mkdocs.yml": CONFIG.format(inherits="../one")})
    write(two, {"terms/weather/plank-bridge.adds.yml": ADDS})
    assert len(loaded(two).entries["bog-bridge"].additions) == 1


def test_a_circle_and_a_missing_parent_are_problems(tmp_path: Path) -> None:
    club(tmp_path / "one", inherits="../two")
    club(tmp_path / "two", inherits="../one")
    club(tmp_path / "three", inherits="../nowhere")
    assert codes(tmp_path / "one") == ["inherits-circle"]
    assert codes(tmp_path / "three") == ["inherits-no-book"]


def test_a_link_out_of_the_book_is_refused(tmp_path: Path) -> None:
    outside = tmp_path / "outside.yml"
    outside.write_text(ENTRY, encoding="utf-8")
    root = club(tmp_path / "club")
    (root / "terms" / "weather" / "linked.yml").symlink_to(outside)
    assert codes(root) == ["file-outside-book"]
