"""`hangtag show`: the words of the page in the terminal, with every caution."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from hangtag.book import Book
from hangtag.markup import plain_text
from tests.cli.conftest import Hangtag


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_every_entry_shows_its_parts(hangtag: Hangtag, reference: Book) -> None:
    for entry in reference.entries.values():
        ran = hangtag("show", entry.id)
        assert (ran.code, ran.err) == (0, "")
        out = one_line(ran.out)
        assert out.startswith(str(entry.name))
        assert one_line(plain_text(reference, str(entry.in_short))) in out
        assert all(one_line(plain_text(reference, str(question))) in out for question in entry.ask)
        assert all(f"hangtag work {calculator}" in out for calculator in entry.calculators)
        assert all(one_line(str(band.says)) in out for band in (entry.scale.bands if entry.scale else ()))
        if entry.caution:
            assert one_line(plain_text(reference, str(entry.caution)))[:60] in out
        assert "[[" not in out


def test_the_commands_it_offers_run_and_are_never_wrapped(hangtag: Hangtag, reference: Book) -> None:
    offered = [
        line.strip()
        for entry in reference.entries
        for line in hangtag("show", entry).out.splitlines()
        if line.strip().startswith("hangtag work ")
    ]
    named = {shlex.split(line)[2] for line in offered}
    assert named == {calculator for entry in reference.entries.values() for calculator in entry.calculators}
    for line in sorted(set(offered)):
        _, *typed = shlex.split(line)
        ran = hangtag(*typed, "--json")
        assert ran.code == 0, line
        start = hangtag("work", typed[1], "--json").json
        assert ran.json["outputs"] == start["outputs"], line


def test_as_json_it_is_the_document_of_the_site(hangtag: Hangtag, reference: Book) -> None:
    for entry in reference.entries.values():
        document = hangtag("show", entry.id, "--json").json
        assert document["id"] == entry.id
        assert bool(document["caution"]) == bool(entry.caution)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("deneir", "there is no entry deneir\n  Did you mean denier?\n"),
        ("Hydrostatic head", "there is no entry Hydrostatic head\n  Did you mean hydrostatic-head?\n"),
        (
            "water-column",
            "there is no entry water-column\n  water-column is a calculator: hangtag work water-column\n",
        ),
        ("../denier", "there is no entry ../denier\n  Did you mean denier?\n"),
    ],
)
def test_an_unknown_entry(hangtag: Hangtag, typed: str, told: str) -> None:
    ran = hangtag("show", typed)
    assert (ran.code, ran.out, ran.err) == (2, "", told)


def test_an_entry_that_is_named_by_nothing(hangtag: Hangtag) -> None:
    ran = hangtag("show")
    assert ran.code == 2
    assert "the id of an entry is missing\n  The entries are abrasion-resistance, air-permeability" in ran.err


def test_what_a_club_adds_is_set_off_and_its_caution_stands_beside(hangtag: Hangtag, club: Path) -> None:
    (club / "terms" / "warmth").mkdir()
    (club / "terms" / "warmth" / "r-value.adds.yml").write_text(
        "by: Larkmoor Hill Club\ndate: 2026-11-20\n"
        "text: Take the long mat.\ncaution: The hut floor is wet in spring.\n",
        encoding="utf-8",
    )
    ran = hangtag("show", "r-value", "--book", club)
    assert ran.code == 0
    for words in ("Larkmoor Hill Club", "2026-11-20", "Take the long mat.", "The hut floor is wet in spring."):
        assert words in ran.out
