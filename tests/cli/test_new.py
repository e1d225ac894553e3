"""`hangtag new`: starts that pass the check as they are and that editors complete; clear words for all else."""

from __future__ import annotations

import json
import os
from pathlib import Path

import jsonschema
import pytest
import yaml

from hangtag.checking import check_book
from hangtag.starts import id_of, new_book, new_calculator, new_term
from tests.cli.conftest import Hangtag


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new book with a new term and a new calculator."""
    parent = tmp_path_factory.mktemp("new")
    root = new_book(parent, "Larkmoor Hill Club").edit.parents[2]
    book = check_book(root).book
    assert book is not None
    new_term(book, "Tent stove", "shelter")
    new_calculator(book, "Sag of a ridge line")
    return root


def schema_beside(file: Path) -> Path:
    """Where the first line of a file says its schema is."""
    modeline, _, address = file.read_text(encoding="utf-8").splitlines()[0].partition("$schema=")
    assert modeline == "# yaml-language-server: "
    return file.parent / address


def test_everything_begun_passes_the_check_as_it_is(made: Path) -> None:
    loaded = check_book(made)
    assert loaded.problems == ()
    assert loaded.book is not None
    assert loaded.book.entries["tent-stove"].name.within("en") == "Tent stove"
    assert {"hut-blanket", "tent-stove"} <= loaded.book.entries.keys()
    assert "sag-of-a-ridge-line" in loaded.book.calculators


def test_the_book_is_six_lines_of_settings(made: Path) -> None:
    assert len((made / "mkdocs.yml").read_text(encoding="utf-8").splitlines()) == 6


@pytest.mark.parametrize("path", ["terms/warmth/hut-blanket.yml", "terms/shelter/tent-stove.yml"])
def test_an_editor_finds_the_schema_without_a_network(made: Path, path: str) -> None:
    schema = json.loads(schema_beside(made / path).read_text(encoding="utf-8"))
    jsonschema.validate(yaml.safe_load((made / path).read_text(encoding="utf-8")), schema)
    assert schema["properties"]["in_short"]["description"]


def test_a_start_with_its_comments_taken_away_has_the_shape_of_a_file(made: Path) -> None:
    for path in ("terms/shelter/tent-stove.yml", "calculators/sag-of-a-ridge-line.yml"):
        file = made / path
        lines = file.read_text(encoding="utf-8").splitlines()
        # the keys and what they hold are set off by one sign and a space; sentences have no colon after a word
        opened = [
            line.removeprefix("# ") if line.startswith(("# ", "#  ")) and _is_yaml(line) else line for line in lines
        ]
        schema = json.loads(schema_beside(file).read_text(encoding="utf-8"))
        document = yaml.safe_load("\n".join(opened))
        assert len(document) > len(yaml.safe_load(file.read_text(encoding="utf-8")))
        jsonschema.validate(document, schema)


def _is_yaml(line: str) -> bool:
    words = line.removeprefix("# ")
    return words.startswith((" ", "- ")) or words.split(":")[0].isidentifier()


@pytest.mark.parametrize(
    ("name", "its_id"),
    [
        ("Hydrostatic head", "hydrostatic-head"),
        ("hydrostatic-head", "hydrostatic-head"),
        ("  R  value ", "r-value"),
        ("Förster's knot", "forsters-knot"),
    ],
)
def test_a_readable_name_becomes_an_id(name: str, its_id: str) -> None:
    assert id_of(name) == its_id


TERM = ("new", "term")


@pytest.mark.parametrize(
    ("typed", "told", "next_step"),
    [
        ((*TERM,), "a name is missing", "For example"),
        (("new", "trem", "Tent stove"), "no command trem", "Did you mean term?"),
        ((*TERM, "Tent stove"), "say which area", "The areas are fabrics"),
        ((*TERM, "Tent stove", "--area", "sheltre"), "no area sheltre", "Did you mean shelter?"),
        ((*TERM, "Tent stove", "--area", "kitchen"), "no area kitchen", "terms/_areas.yml"),
        ((*TERM, "Tent/stove", "--area", "shelter"), "Tent/stove cannot become", "tent-stove"),
        ((*TERM, "../tent", "--area", "shelter"), "cannot become", ": tent"),
        ((*TERM, "", "--area", "shelter"), "the name is empty", "Write it as on a tag"),
        ((*TERM, "Index", "--area", "shelter"), "cannot become", "choose another"),
        ((*TERM, "a" * 61, "--area", "shelter"), "61 letters", "shorter"),
        ((*TERM, "Hydrostatic head", "--area", "weather"), "already hydrostatic-head", "hydrostatic-head.adds.yml"),
        ((*TERM, "Water column", "--area", "weather"), "already a name of hydrostatic-head", "hangtag show"),
        (("new", "calculator", "Water column"), "already water-column", "Choose another name."),
    ],
)
def test_what_cannot_be_is_said_with_the_next_step(
    hangtag: Hangtag, club: Path, typed: tuple[str, ...], told: str, next_step: str
) -> None:
    before = sorted(club.rglob("*"))
    ran = hangtag(*typed, "--book", club) if len(typed) > 2 and typed[1] != "trem" else hangtag(*typed)
    assert ran.code == 2
    assert told in ran.err
    assert next_step in ran.err
    assert sorted(club.rglob("*")) == before


def test_nothing_that_is_there_is_written_over(hangtag: Hangtag, club: Path) -> None:
    assert hangtag("new", "term", "Tent stove", "--area", "shelter", "--book", club).code == 0
    file = club / "terms" / "shelter" / "tent-stove.yml"
    file.write_text(file.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    ran = hangtag("new", "term", "Tent stove", "--area", "shelter", "--book", club)
    assert (ran.code, "terms/shelter/tent-stove.yml" in ran.err) == (2, True)
    assert file.read_text(encoding="utf-8").endswith("# mine\n")
    near = hangtag("new", "term", "Tent stoves", "--area", "shelter", "--book", club)
    assert "There is also tent-stove" in near.out


def test_a_book_needs_a_folder_of_its_own(hangtag: Hangtag, tmp_path: Path) -> None:
    assert hangtag("new", "book", "Larkmoor Hill Club", "--book", tmp_path).code == 0
    again = hangtag("new", "book", "Larkmoor Hill Club", "--book", tmp_path)
    assert (again.code, "is not empty" in again.err) == (2, True)
    (tmp_path / "hut").write_text("a file", encoding="utf-8")
    assert "is already there" in hangtag("new", "book", "Hut", "--book", tmp_path).err
    nowhere = hangtag("new", "book", "Hut", "--book", tmp_path / "larkmoor-hill-clib")
    assert (nowhere.code, "Did you mean larkmoor-hill-club?" in nowhere.err) == (2, True)


def test_where_there_is_no_book_none_is_written_to(
    hangtag: Hangtag, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = hangtag("new", "term", "Tent stove", "--area", "shelter")
    assert (ran.code, "there is no book here" in ran.err, "hangtag new book" in ran.err) == (2, True, True)


def test_a_folder_that_cannot_be_written_is_said_and_nothing_is_left(
    club: Path, monkeypatch: pytest.MonkeyPatch, hangtag: Hangtag
) -> None:
    real = Path.open

    def full(path: Path, mode: str = "r", *rest: object, **named: object) -> object:
        if mode == "x" and path.name == "units.json":
            raise OSError(28, os.strerror(28), str(path))
        return real(path, mode, *rest, **named)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", full)
    ran = hangtag("new", "term", "Tent stove", "--area", "shelter", "--book", club)
    assert (ran.code, "could not be written: no space left" in ran.err) == (2, True)
    assert [path for path in club.rglob("*") if path.is_file()] == [club / "mkdocs.yml"]
