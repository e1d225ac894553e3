"""The JSON documents: stable shapes, cautions beside every result, a hash that follows the content."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hangtag import api
from hangtag.answers import as_json, work
from hangtag.book import Book
from hangtag.strings import LocalText
from tests.site.books import loaded, make_trial


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return loaded(make_trial(tmp_path_factory.mktemp("api") / "book"))


def read(book: Book, path: str) -> Any:  # noqa: ANN401  any JSON
    return json.loads(api.documents(book)[f"api/v1/{path}.json"])


def test_the_index_lists_everything_with_its_page_and_document(book: Book) -> None:
    index = read(book, "index")
    assert [term["id"] for term in index["terms"]] == list(book.entries)
    assert [its["id"] for its in index["calculators"]] == list(book.calculators)
    documents = api.documents(book)
    for listed in (*index["terms"], *index["calculators"]):
        assert listed["document"] in documents
        assert listed["page"].endswith(f"/{listed['id']}/")


def test_the_hash_follows_the_content_and_nothing_else(book: Book) -> None:
    first = read(book, "index")["content_hash"]
    assert first.startswith("sha256:")
    assert read(book, "index")["content_hash"] == first
    entry = replace(book.entries["pole-wood"], in_short=LocalText({"en": "Another sentence."}))
    changed = replace(book, entries={**book.entries, "pole-wood": entry})
    assert read(changed, "index")["content_hash"] != first


def test_a_term_carries_bands_with_their_basis_and_its_caution(book: Book) -> None:
    term = read(book, "terms/pole-length")
    assert term["caution"] == {"en": str(book.entries["pole-length"].caution)}
    assert term["inherited_caution"] is None
    assert [(band["basis"], band["words"]) for band in term["scale"]["bands"]] == [
        ("common practice", "common practice, no source"),
        ("published", "published in The invented pole rule (2026), clause 2"),
        ("common practice", "common practice, no source"),
    ]
    assert term["scale"]["bands"][1]["up_to"] == {"value": 60.0, "unit": "in", "text": "60", "si": pytest.approx(1.524)}
    assert term["was"] == ["stick-length"]
    assert [source["id"] for source in term["sources"]] == ["pole-rule"]


def test_a_calculator_carries_its_answer_and_the_caution_beside_it(book: Book) -> None:
    its = book.calculators["pole-mass"]
    document = read(book, "calculators/pole-mass")
    assert document["start"] == json.loads(json.dumps(as_json(work(book, its, {}))))
    assert document["caution"] == {"en": str(its.caution)}
    assert document["start"]["caution"] == str(its.caution)
    assert [step["is"] for step in document["steps"]] == [
        "length * width^2",
        "volume * fibre * poles",
        "length * poles",
    ]
    assert document["inputs"][2]["options"][1]["basis"]["words"] == "common practice, no source"
    assert document["terms"][0]["caution"] == {"en": str(book.entries["pole-length"].caution)}


def test_an_inherited_caution_is_always_there(book: Book) -> None:
    caution = LocalText({"en": "The original warned."})
    its = replace(book.calculators["pole-mass"], inherited_caution=caution)
    entry = replace(book.entries["pole-length"], inherited_caution=caution)
    changed = replace(
        book,
        calculators={**book.calculators, "pole-mass": its},
        entries={**book.entries, "pole-length": entry},
    )
    assert read(changed, "calculators/pole-mass")["inherited_caution"] == {"en": "The original warned."}
    assert "The original warned." in read(changed, "calculators/pole-mass")["start"]["caution"]
    assert read(changed, "terms/pole-length")["inherited_caution"] == {"en": "The original warned."}


def test_every_document_has_the_same_keys_whatever_is_absent(book: Book) -> None:
    assert set(read(book, "terms/pole-wood")) == set(read(book, "terms/pole-length"))
    assert set(read(book, "calculators/pole-sway")) == set(read(book, "calculators/pole-mass"))


def test_the_same_book_gives_the_same_bytes(tmp_path: Path, book: Book) -> None:
    assert api.documents(loaded(make_trial(tmp_path / "again"))) == api.documents(book)


# ------------------------------------------------------------------------------- lists, tables, ranges and equations


def test_a_list_carries_its_columns_and_start_rows(shared: Book) -> None:
    field = read(shared, "calculators/kit")["inputs"][0]
    assert (field["kind"], field["most"]) == ("rows", 200)
    assert [column["kind"] for column in field["columns"]] == ["text", "quantity", "quantity", "choice", "tick"]
    assert field["columns"][1]["low"]["unit"] == "g"
    assert field["start"][1] == {"what": "food", "weight": "0.7 kg", "count": "3", "goes": "used"}
    assert read(shared, "calculators/kit")["examples"][0]["given"]["kit"][0] == {"weight": "2 kg", "count": "2"}


def test_a_table_carries_its_rule_and_the_basis_of_every_row(shared: Book) -> None:
    factor, sink, _ = read(shared, "calculators/walk")["tables"]
    assert (factor["by"], factor["rule"], factor["x_unit"]) == ("ground", "exact", None)
    assert [(row["x"], row["value"], row["basis"]["basis"]) for row in factor["rows"]] == [
        ("road", 1.0, "common practice"),
        ("sand", 2.0, "common practice"),
        ("snow", 1.5, "common practice"),
    ]
    assert (sink["by"], sink["rule"], sink["x_unit"]["id"]) == (None, "linear", "mm")


def test_what_is_uncertain_has_two_ends_and_no_value_of_its_own(shared: Book) -> None:
    document = read(shared, "calculators/layer")
    (factor,) = document["constants"]
    assert factor["value"] is None
    assert [end["value"] for end in factor["between"]] == [0.9, 1.1]
    assert [end["value"] for end in document["inputs"][1]["between"]] == [0.03, 0.05]
    assert [step["bounds"] for step in document["steps"]] == ["corners", "sampled"]
    (example,) = document["examples"]
    assert example["gives"] == {}
    assert example["gives_ends"] == {"resistance": {"low": "0.36 m^2*K/W", "high": "0.55 m^2*K/W"}}


def test_an_equation_is_told_with_its_bounds(shared: Book) -> None:
    step = read(shared, "calculators/chamber")["steps"][0]
    assert step["is"] == "t where sin(t) / t = spacing / arc"
    assert step["solve"] == {"unknown": "t", "low": 0.001, "high": 1.5708}
    assert read(shared, "calculators/tent")["one_way"] == {"en": "A peg set too near can give way."}


def test_kinds_of_gear_and_danger_words_stand_in_one_document(reference: Book) -> None:
    document = json.loads(api.documents(reference)["api/v1/gear.json"])
    tent = next(kind for kind in document["kinds"] if kind["id"] == "tent")
    assert tent["page"] == "gear/tent/"
    assert tent["tags"] == list(reference.gear["tent"].tags)
    assert tent["drawing"]["file"] == "drawings/gear-tent.svg"
    assert set(tent["drawing"]["parts"].values()) <= set(reference.entries)
    assert [danger["caution"]["en"] for danger in document["danger"]] == [str(its.caution) for its in reference.danger]
    listed = json.loads(api.documents(reference)["api/v1/index.json"])["gear"]
    assert [kind["id"] for kind in listed] == list(reference.gear)
    assert {kind["document"] for kind in listed} == {"api/v1/gear.json"}
