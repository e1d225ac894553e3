"""`hangtag check`: every problem of every file at once, each with its place; exit code 1 if there is any."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Hangtag


def test_the_reference_book_is_good(hangtag: Hangtag, project: Path) -> None:
    ran = hangtag("check", project)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("No problems: ")
    assert " entries, " in ran.out


def test_a_good_book_as_json(hangtag: Hangtag, project: Path) -> None:
    ran = hangtag("check", project, "--json")
    assert (ran.code, ran.json) == (0, {"problems": []})


def test_a_club_that_adds_nothing_is_good(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("check", club)
    assert (ran.code, ran.err) == (0, "")


def test_all_problems_with_place_and_caret(hangtag: Hangtag, broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(broken.parent)
    ran = hangtag("check", "club")
    assert (ran.code, ran.err) == (1, "")
    first = ran.out.index("club/terms/warmth/a-quilt.yml:3:1: an entry has no key txet\n")
    second = ran.out.index("club/terms/warmth/b-bag.yml:2:1: name stands here twice\n")
    assert first < second
    assert "  3 | txet: Words.\n    | ^~~~\n  Did you mean text?\n" in ran.out
    assert ran.out.rstrip().endswith("problems")


def test_problems_as_json(hangtag: Hangtag, broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(broken)
    ran = hangtag("check", "--json")
    assert (ran.code, ran.err) == (1, "")
    problem = next(each for each in ran.json["problems"] if each["code"] == "unknown-key")
    assert problem["path"] == "terms/warmth/a-quilt.yml"
    assert problem["span"] == {"line": 3, "column": 1, "end_line": 3, "end_column": 5}
    assert problem["hint"] == "Did you mean text?"


@pytest.mark.parametrize("command", [["work", "water-column"], ["show", "denier"]])
def test_other_commands_say_the_problems_of_the_book(hangtag: Hangtag, broken: Path, command: list[str]) -> None:
    ran = hangtag(*command, "--book", broken)
    assert (ran.code, ran.out) == (1, "")
    assert "a-quilt.yml:3:1: an entry has no key txet" in ran.err
    as_json = hangtag(*command, "--book", broken, "--json")
    assert (as_json.code, as_json.err) == (1, "")
    assert as_json.json["problems"]
