"""Kinds of gear and danger words over inherited books: kinds merge by key, danger words are only ever added."""

from __future__ import annotations

from pathlib import Path

from hangtag.book import Book
from tests.book.test_inherits import club, codes, loaded, write

OURS = """\
kinds:
  sledge:
    name: Sledge
    words: [sledge, pulk]
    tags: [item-weight, bog-bridge]
    matters: ["Ask at the hut, see [[bog-bridge]]."]
  tarp:
    name: Club tarp
    words: [club tarp]
danger:
  - {words: [bog], caution: The bog beside the path is deep.}
"""


def test_a_club_adds_a_kind_replaces_one_and_keeps_the_rest(tmp_path: Path, reference: Book) -> None:
    book = loaded(write(club(tmp_path), {"terms/_gear.yml": OURS}))
    assert list(book.gear) == [*reference.gear, "sledge"]
    assert book.gear["tent"] == reference.gear["tent"]
    assert book.gear["sledge"].has_page
    tarp = book.gear["tarp"]
    assert (str(tarp.name), tarp.words, tarp.tags, tarp.drawing) == ("Club tarp", ("club tarp",), (), None)
    assert not tarp.has_page


def test_no_book_loses_a_danger_word(tmp_path: Path, reference: Book) -> None:
    book = loaded(write(club(tmp_path), {"terms/_gear.yml": OURS}))
    assert book.danger[:-1] == reference.danger
    assert book.danger[-1].words == ("bog",)


def test_a_club_links_to_entries_that_are_there(tmp_path: Path) -> None:
    wrong = OURS.replace("bog-bridge]]", "bog-bridges]]").replace("[item-weight, bog-bridge]", "[weight]")
    assert codes(write(club(tmp_path), {"terms/_gear.yml": wrong})) == ["unknown-entry", "unknown-entry"]


def test_danger_words_never_promise_safety(reference: Book) -> None:
    assert reference.danger
    for danger in reference.danger:
        caution = str(danger.caution).casefold()
        assert not [word for word in ("is safe", "are safe", "safely", "enough for", "keeps you") if word in caution]
    said = {word.casefold() for danger in reference.danger for word in danger.words}
    for word in ("kn", "harness", "climb", "rope", "gas", "burner", "child's bag"):
        assert word in said
