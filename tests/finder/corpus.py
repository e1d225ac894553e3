"""The corpus of queries: both halves, and how many are answered first and within three, by kind.

`python -m tests.finder.corpus` prints the table. Must not be used to tune on the held-out half: its misses stay unseen.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from hangtag.finder import Index, find

FOLDER = Path(__file__).parent.parent / "compliance" / "finder"
HALVES = ("tuned", "held-out")
NAMED_KINDS = ("exact", "typo", "plural", "synonym", "unit")  # of these the goals speak


@dataclass(frozen=True)
class Case:
    """One query, its kind, and the entries that a reader could mean by it."""

    kind: str
    query: str
    wants: tuple[str, ...]


@dataclass
class Score:
    """How many of a kind were answered."""

    cases: int = 0
    first: int = 0
    in_three: int = 0

    def __str__(self) -> str:
        return f"{self.first} | {self.in_three} of {self.cases}"


def cases(half: str) -> tuple[Case, ...]:
    """The queries of one half."""
    listed = json.loads((FOLDER / f"{half}.json").read_text(encoding="utf-8"))["cases"]
    return tuple(Case(each["kind"], each["query"], tuple(each["wants"])) for each in listed)


def scores(index: Index, half: str) -> dict[str, Score]:
    """The score of each kind of query of one half."""
    by_kind: dict[str, Score] = {}
    for case in cases(half):
        ids = [result.id for result in find(index, case.query).results]
        score = by_kind.setdefault(case.kind, Score())
        score.cases += 1
        score.first += bool(ids) and ids[0] in case.wants
        score.in_three += bool(set(ids[:3]) & set(case.wants))
    return by_kind


def together(scored: Iterable[Score]) -> Score:
    """Several kinds as one."""
    total = Score()
    for score in scored:
        total.cases += score.cases
        total.first += score.first
        total.in_three += score.in_three
    return total


if __name__ == "__main__":
    from hangtag.checking import check_book
    from hangtag.finder import index
    from hangtag.resources import reference_book

    book = check_book(reference_book()).book
    assert book is not None
    for half in HALVES:
        by_kind = scores(index(book), half)
        print(half, "|".join(f" {kind}: {score} " for kind, score in by_kind.items()))
        print(f"{half}, all five kinds with a goal: {together(by_kind[kind] for kind in NAMED_KINDS)}")
