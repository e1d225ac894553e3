"""`hangtag find`: the page's ranking in the terminal, as text and as JSON; clear words for what cannot be searched."""

from __future__ import annotations

import pytest

from hangtag.book import Book
from hangtag.finder import find, index
from tests.cli.conftest import Hangtag


@pytest.mark.parametrize("words", [("20D",), ("1500", "mm"), ("cold", "from", "below"), ("-5", "C"), ("xqzzqx",)])
def test_json_is_what_the_finder_gives(hangtag: Hangtag, reference: Book, words: tuple[str, ...]) -> None:
    ran = hangtag("find", *words, "--json")
    assert (ran.code, ran.err) == (0, "")
    assert ran.json == find(index(reference), " ".join(words)).as_json()


def test_json_has_the_keys_that_other_programs_rely_on(hangtag: Hangtag) -> None:
    document = hangtag("find", "1500 mm", "--json").json
    assert set(document) == {"query", "results", "nearest"}
    assert document["results"][0]["term"] == "hydrostatic-head"
    assert {"term", "name", "because"} <= set(document["results"][0])


def test_text_names_each_result_and_why_it_is_there(hangtag: Hangtag) -> None:
    ran = hangtag("find", "20D")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines() == [
        "Denier (denier)",
        "  tags print it so: 20 D",
        "",
        "hangtag show denier",
    ]


def test_nothing_found_is_no_failure_and_no_dead_end(hangtag: Hangtag) -> None:
    ran = hangtag("find", "xqzzqx")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Nothing found for “xqzzqx”. The nearest names:")
    assert ran.out.rstrip().splitlines()[-1].startswith("hangtag show ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "the words to find are missing"),
        (("  ",), "the words to find are missing"),
        (("?!",), "there is no letter and no digit in ?!"),
        (("a" * 10_000,), "the text to find has 10000 characters, and the finder takes up to 400"),
        (("--jsn", "20D"), "there is no option --jsn"),
    ],
)
def test_what_cannot_be_searched_is_said_in_words(hangtag: Hangtag, words: tuple[str, ...], said: str) -> None:
    ran = hangtag("find", *words)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.splitlines()[0] == said
    assert "Traceback" not in ran.err


def test_the_same_as_json(hangtag: Hangtag) -> None:
    ran = hangtag("find", "?!", "--json")
    assert ran.code == 2
    assert ran.json["problems"][0]["code"] == "command-usage"
