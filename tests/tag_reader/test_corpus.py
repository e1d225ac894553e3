"""The reader on the corpus of tag lines: how much of what it reads is right, and how much of the truth it reads.

The held-out half is only measured: its failure names numbers, never lines, so that nobody tunes on them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hangtag import tag_reader
from hangtag.book import Book

from .corpus import HALVES, Case, Score, cases, count, only_numbers

LEAST = 0.95
LEAST_PARTS = 0.8  # a part is told by its label, and tags without a colon leave open where it ends
NOTHING = 30
LINES = 150

Read = Callable[[Case], dict[str, Any]]


@pytest.fixture(scope="module")
def read(reader: tag_reader.Reader) -> Read:
    """Read one line of the corpus as a document."""
    return lambda case: tag_reader.read(reader, case.text, case.kind).as_json()


@pytest.mark.parametrize("half", HALVES)
@pytest.mark.parametrize("what", ["all readings", "numbers"])
def test_precision_and_recall(read: Read, half: str, what: str) -> None:
    score = Score()
    for case in cases(half):
        readings = read(case)["readings"]
        if what == "numbers":
            numbers = replace(case, expect=only_numbers(case.expect), may=only_numbers(case.may))
            count(score, numbers, only_numbers(readings))
        else:
            count(score, case, readings)
    print(f"{half}, {what}: {score}")
    shown = "\n".join(score.wrong + score.missed) if half == "tuned" else "its lines are not shown"
    assert score.precision > LEAST, f"{score}\n{shown}"
    assert score.recall > LEAST, f"{score}\n{shown}"


@pytest.mark.parametrize("half", HALVES)
def test_parts_and_kinds(read: Read, half: str) -> None:
    parts, kinds = [], []
    for case in cases(half):
        document = read(case)
        pairs = count(Score(), case, document["readings"])
        parts += [got["part"] == there["part"] for got, there in pairs if "part" in there]
        if case.guess:
            kinds.append(document["kind"] == case.guess)
    print(f"{half}: parts {sum(parts)} of {len(parts)}, kinds {sum(kinds)} of {len(kinds)}")
    assert sum(parts) > LEAST_PARTS * len(parts)
    assert sum(kinds) > LEAST * len(kinds)


def test_size_of_the_corpus(reference: Book) -> None:
    halves = {half: cases(half) for half in HALVES}
    lines = [case for half in halves.values() for case in half]
    assert len(lines) >= LINES
    assert min(map(len, halves.values())) >= LINES // 2
    assert sum(not case.expect for case in lines) >= NOTHING
    assert len({case.text for case in lines}) == len(lines)
    for half in halves.values():
        assert {case.kind or case.guess for case in half} >= set(reference.gear)


def test_every_label_names_an_entry_and_a_unit(reference: Book) -> None:
    for half in HALVES:
        for case in cases(half):
            for reading in (*case.expect, *case.may):
                assert reading["term"] in reference.entries, case.place
                assert reading["unit"] is None or reading["unit"] in reference.units.units, case.place
                assert (reading["unit"] is None) == (reading["value"] is None), case.place
