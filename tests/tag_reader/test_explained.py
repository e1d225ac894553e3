"""What stands around the readings: parts, kinds, makers' names, cautions, what is missing, and the JSON of it."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from hangtag.book import Book
from hangtag.tag_reader import Reader, compile_book, read

KEYS = "id text kind readings unread missing contradictions cautions questions".split()
READING_KEYS = (
    "term part role start end text value unit bound group other_units band basis ask caution page because fills"
    " also_possible"
).split()
LINES = [
    "Fly: 15D ripstop nylon, sil/PU, 1200mm. Floor 20D, 1800 mm. Min 2 lb 4 oz",
    "Quilt, 20 °F, 850+ FP, 90/10 goose down 14.5 oz (411 g), Fellweave® shell 10D, DWR",
    "Trail shoe 34/26 mm, 8 mm drop, 4 mm lugs, 9.4 oz",
    "Pack 55+10 L, 32 oz, max load 18 kg, torso 43-53 cm, 10k",
    "comfort 5, 1.500 g, 20 x 30 cm, EUR 89,90, 22 kN rope",
]


@pytest.mark.parametrize("text", LINES)
def test_the_json_has_every_key(text: str, reader: Reader) -> None:
    document: dict[str, Any] = read(reader, text).as_json("https://larkmoor.example/book/")
    assert list(document) == KEYS
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    for its in document["readings"]:
        assert list(its) == READING_KEYS
        assert its["text"] == text[its["start"] : its["end"]]
        assert its["page"] == f"https://larkmoor.example/book/terms/{its['term']}/"
        assert (its["value"] is None) == (its["unit"] is None)
        assert its["band"] is None or list(its["band"]) == ["says", "basis", "source", "of", "at"]


@pytest.mark.parametrize("text", LINES)
def test_data_that_went_through_json_reads_alike(text: str, reader: Reader) -> None:
    again = Reader(json.loads(json.dumps(reader.data())))
    assert read(again, text) == read(reader, text)


def test_a_book_always_gives_the_same_data(reference: Book, reader: Reader) -> None:
    assert json.dumps(compile_book(reference).data()) == json.dumps(reader.data())


def test_what_a_reading_fills_is_there(reference: Book, reader: Reader) -> None:
    filled = [its.fills for text in LINES for its in read(reader, text).readings if its.fills]
    assert filled
    for fills in filled:
        calculator = reference.calculators[fills["calculator"]]
        assert fills["input"] in {field.name for field in calculator.inputs}


def test_other_units_and_the_band(reader: Reader) -> None:
    its = read(reader, "HH 1500 mm").readings[0]
    assert {one.unit: one.text for one in its.other_units} == {"mH2O": "1.5", "kPa": "14.71", "psi": "2.134"}
    assert its.band is not None
    assert its.band["basis"] == "common practice"
    assert its.basis == "common practice, no source"
    below = read(reader, "HH 1499 mm").readings[0]
    assert below.band != its.band  # a limit belongs to the next band


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Fly: 20D, 1200 mm; floor: 30D", ["fly", "fly", "floor"]),
        ("Fly 20D, 1200 mm; 30D", ["fly", "fly", None]),
        ("Fly 20D / floor 30D", ["fly", "floor"]),
        ("20D nylon shell, 10D lining", ["shell", "shell", "lining"]),
        ("Floor 70D. Weight 2 kg", ["floor", None]),
        ("Tent inner floor: 70D", ["floor"]),
        ("20D inner and outer", [None]),
        ("floor area 3 m², 1500 mm", [None, None]),
    ],
)
def test_parts(text: str, parts: list[str | None], reader: Reader) -> None:
    assert [its.part for its in read(reader, text).readings] == parts


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Dome tent 3 kg", "tent"),
        ("sleeping bag in its stuff bag", "bag"),
        ("Down jacket 800 fill", "down-jacket"),
        ("R-value 4.2, 500 g", "pad"),
        ("20D", None),
        ("packed size 30 x 20 cm", None),
        ("Quilt for a hammock", "quilt"),
    ],
)
def test_kinds(text: str, kind: str | None, reader: Reader) -> None:
    assert read(reader, text).kind == kind


def test_the_kind_that_is_told_wins(reader: Reader) -> None:
    tag = read(reader, "Dome tent 32 oz", kind="pack")
    assert tag.kind == "pack"


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("shell of Fellweave® nylon", ["Fellweave®"]),
        ("shell of Fellweave nylon", ["Fellweave"]),
        ("rain Shield™ membrane", ["Shield™"]),
        ("with Mistveil membrane and Downpuff fill", ["Mistveil", "Downpuff"]),
        ("Recycled nylon, Red polyester", []),
        ("FELLWEAVE NYLON SHELL", []),
        ("Quillhollow Outfitters, Larkmoor", []),
    ],
)
def test_makers_names_are_echoed(text: str, names: list[str], reader: Reader) -> None:
    found = [its for its in read(reader, text).readings if its.term == "maker-fabric-name"]
    assert [its.text for its in found] == names
    assert all("ask for the base cloth" in its.because for its in found)


def test_no_makers_name_is_stored(reader: Reader) -> None:
    data = json.dumps(reader.data()).lower()
    assert "fellweave" not in data


def test_danger_words_bring_their_caution(reader: Reader) -> None:
    tag = read(reader, "Sling, 22 kN")
    assert [its.text for its in tag.cautions] == ["Sling", "kN"]
    assert all("hold a person" in its.caution for its in tag.cautions)
    assert tag.readings == ()


def test_the_caution_of_an_entry_stands_beside_its_reading(reference: Book, reader: Reader) -> None:
    for text in LINES:
        for its in read(reader, text).readings:
            assert (its.caution is None) == (reference.entries[its.term].caution is None)


def test_texts_are_plain(reader: Reader) -> None:
    data = reader.data()
    texts = [entry["caution"] or "" for entry in data["entries"].values()]
    texts += [question for entry in data["entries"].values() for question in entry["ask"]]
    texts += [danger["caution"] for danger in data["danger"]]
    assert not [text for text in texts if "[[" in text or "**" in text]


def test_nothing_is_called_safe(reader: Reader) -> None:
    for label, text in reader.data()["words"].items():
        assert not re.search(r"\bsafe\b|\bsafely\b", text), label


def test_what_is_missing_is_wanted_and_not_there(reference: Book, reader: Reader) -> None:
    tag = read(reader, "Tent, floor area 3 m², fully taped")
    wanted = [term for term in reference.gear["tent"].wanted if term not in {"floor-area", "seam-sealing"}]
    assert [its.term for its in tag.missing] == wanted
    assert read(reader, "20D").missing == ()


def test_three_questions(reader: Reader) -> None:
    assert len(read(reader, "Tent, floor area 3 m²").questions) == 3
    broken = read(reader, "stack 34/26 mm, drop 4 mm")
    assert broken.questions[0].startswith("Which number is right?")


def test_what_is_not_understood_is_named(reader: Reader) -> None:
    tag = read(reader, "20D nylon, Quorblax 77, EUR 89,90")
    assert [its.text for its in tag.unread] == ["Quorblax 77"]
