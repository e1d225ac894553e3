"""What is typed wrongly gives one message with the next step, and exit code 2; help and version are quick and true."""

from __future__ import annotations

from pathlib import Path

import pytest

import hangtag as package
from tests.cli.conftest import Hangtag

COMMANDS = ["build", "check", "export-docs", "find", "new", "read", "serve", "show", "work"]


def test_help_lists_the_commands_that_there_are(hangtag: Hangtag) -> None:
    ran = hangtag("--help")
    assert ran.code == 0
    listed = [line.split()[0] for line in ran.out.partition("Commands:")[2].splitlines() if line.startswith("  ")]
    assert listed == COMMANDS


@pytest.mark.parametrize("command", ["build", "check", "serve", "show", "work"])
def test_every_command_has_help_and_takes_a_book(hangtag: Hangtag, command: str) -> None:
    ran = hangtag(command, "--help")
    assert ran.code == 0
    assert "--book DIR" in ran.out


def test_version(hangtag: Hangtag) -> None:
    ran = hangtag("--version")
    assert (ran.code, ran.out) == (0, f"hangtag, version {package.__version__}\n")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (["biuld"], "there is no command biuld\n  Did you mean build?\n"),
        (["zz"], f"there is no command zz\n  The commands are {', '.join(COMMANDS)}.\n"),
        (["check", "--jsno"], "there is no option --jsno\n  Did you mean --json?\n"),
        (["check", "--zz"], "there is no option --zz\n  See hangtag check --help.\n"),
        (["show", "denier", "drop"], "got unexpected extra argument (drop)\n  See hangtag show --help.\n"),
        (["check", "--book"], "option '--book' requires an argument\n  See hangtag --help.\n"),
    ],
)
def test_wrong_words(hangtag: Hangtag, typed: list[str], told: str) -> None:
    ran = hangtag(*typed)
    assert (ran.code, ran.out, ran.err) == (2, "", told)


def test_no_command_shows_the_help(hangtag: Hangtag) -> None:
    ran = hangtag()
    assert ran.code == 2
    assert (ran.out, ran.err[:14]) == ("", "Usage: hangtag")


def test_wrong_words_with_json_are_a_document(hangtag: Hangtag) -> None:
    ran = hangtag("check", "--json", "--zz")
    assert (ran.code, ran.err) == (2, "")
    (problem,) = ran.json["problems"]
    assert problem == {
        "code": "command-unknown-option",
        "message": "there is no option --zz",
        "path": None,
        "span": None,
        "labels": [],
        "hint": "See hangtag check --help.",
    }


# -------------------------------------------------------------------------------------------------- which book is meant


def test_a_folder_that_is_not_there(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("check", club.parent / "clubb")
    assert ran.code == 2
    assert ran.err == f"there is no folder {club.parent / 'clubb'}\n  Did you mean club?\n"


def test_a_file_is_no_book(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("check", "--book", club / "mkdocs.yml")
    assert ran.code == 2
    assert ran.err.startswith(f"{club / 'mkdocs.yml'} is a file, and a book is a folder\n")


def test_a_folder_without_terms(hangtag: Hangtag, club: Path) -> None:
    (club / "terms").rmdir()
    ran = hangtag("build", club)
    assert ran.code == 2
    assert f"{club} is no book: it has no terms/\n" in ran.err


def test_the_folder_above_is_named_where_it_is_the_book(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("check", club / "terms")
    assert ran.code == 2
    assert ran.err == f"{club / 'terms'} is no book: it has no mkdocs.yml\n  Did you mean {club}?\n"


def test_two_books(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("check", club, "--book", club.parent)
    assert ran.code == 2
    assert ran.err.startswith(f"the book is named twice: {club} and {club.parent}\n")


def test_the_folder_here_is_the_book_meant(hangtag: Hangtag, broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(broken)
    ran = hangtag("check")
    assert ran.code == 1
    assert "terms/warmth/a-quilt.yml:3:1: " in ran.out
