"""Any text whatever: readings lie inside it, do not overlap, and nothing crashes."""

from __future__ import annotations

import json
import math
from typing import Any

from hypothesis import example, given
from hypothesis import strategies as st

from hangtag import tag_reader
from hangtag.book import Book
from hangtag.markup import plain_text

from .corpus import HALVES, cases

NUMBERS = ["20", "1.500", "1,5", "3 000", "10k", "850+", "<6", "−4", "±0.3", "2 x 3", "34/26", "16-19", "½", "1e309"]
UNITS = ["D", "mm", "g", "oz", "lb", "°C", "F", "L", "cu in", "g/m²", "'", '"', "%", "T", "FP", "kN"]
WORDS = [
    "fly",
    "Floor:",
    "shell",
    "R",
    "HH",
    "drop",
    "stack",
    "comfort",
    "limit",
    "ripstop",
    "Fellweave™",
    "tarp",
    "pad",
]
MARKS = [",", ";", ".", ":", "/", "(", ")", "\n", "|", " ", "  ", "-", "—", "\u00a0", "\u0301", "\0", "\ud800"]

pieces = st.lists(st.sampled_from([*NUMBERS, *UNITS, *WORDS, *MARKS]), max_size=40)
tags = st.one_of(
    st.text(max_size=200),
    pieces.map(" ".join),
    pieces.map("".join),
    st.sampled_from([case.text for half in HALVES for case in cases(half)]),
)


def inside(document: dict[str, Any], each: dict[str, Any]) -> None:
    text = document["text"]
    assert 0 <= each["start"] < each["end"] <= len(text)
    assert text[each["start"] : each["end"]] == each["text"]


def on_one_line(text: str) -> str:
    return " ".join(text.split())


@given(text=tags, kind=st.sampled_from([None, "tent", "tarp", "pad", "bag", "pack", "shoe"]))
@example(text="", kind=None)
@example(text="1" * 5000 + "D", kind=None)
@example(text="(" * 500 + "20D", kind="tent")
def test_any_text(reader: tag_reader.Reader, reference: Book, text: str, kind: str | None) -> None:
    document = tag_reader.read(reader, text, kind).as_json()
    assert document == tag_reader.read(reader, text, kind).as_json()
    json.dumps(document, allow_nan=False)
    assert document["text"] == text
    whole: Any = document
    assert whole["kind"] in {None, *reference.gear} if kind is None else whole["kind"] == kind
    end = 0
    for reading in whole["readings"]:
        inside(whole, reading)
        assert reading["start"] >= end, "readings overlap"
        end = reading["end"]
        assert reading["term"] in reference.entries
        assert (reading["value"] is None) == (reading["unit"] is None)
        assert reading["value"] is None or math.isfinite(reading["value"])
        assert reading["unit"] is None or reading["unit"] in reference.units.units
        assert reading["bound"] in {"exact", "at least", "at most", "about"}
        caution = reference.entries[reading["term"]].caution
        assert caution is None or on_one_line(plain_text(reference, str(caution))) in on_one_line(reading["caution"])
    for part in (*whole["unread"], *whole["cautions"]):
        inside(whole, part)
    for clash in whole["contradictions"]:
        assert clash["code"] in reader.codes
        assert all(0 <= index < len(whole["readings"]) for index in clash["readings"])
    assert len(whole["questions"]) <= 3


def test_the_data_of_a_reader_is_all_there_is_to_it(reader: tag_reader.Reader) -> None:
    again = tag_reader.Reader(json.loads(json.dumps(reader.data())))
    for half in HALVES:
        for case in cases(half):
            assert tag_reader.read(again, case.text, case.kind) == tag_reader.read(reader, case.text, case.kind)
