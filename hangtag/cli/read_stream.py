"""A file of tags becomes one JSON object a line, as it goes, and a summary. Must not know how a tag is read.

Holds one tag at a time: what grows with the file is nothing but counts.
"""

from __future__ import annotations

import json
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import nullcontext
from dataclasses import dataclass, field
from typing import Any

from hangtag import problems
from hangtag.cli import screen
from hangtag.cli.read_accept import Accepted
from hangtag.cli.read_records import Faulty, Record

Document = dict[str, Any]
_MOST_FAULTS_TOLD = 10
_MOST_MISSING = 10
_BETWEEN_COUNTS = 0.2  # seconds


@dataclass
class Summary:
    """What a file of tags showed, in counts."""

    tags: int = 0
    faults: int = 0
    missing: Counter[str] = field(default_factory=Counter)  # by entry
    contradictions: Counter[tuple[str, bool]] = field(default_factory=Counter)  # by code and whether it is certain
    accepted: int = 0
    is_cut_off: bool = False  # nobody read on

    @property
    def has_certain(self) -> bool:
        """Whether a certain contradiction stands that nobody accepted."""
        return any(certain for _, certain in self.contradictions)

    def count(self, document: Document) -> None:
        """Take one tag into the counts."""
        self.tags += 1
        self.missing.update({each["term"] for each in document["missing"]})
        for each in document["contradictions"]:
            if each.get("accepted"):
                self.accepted += 1
            else:
                self.contradictions[each["code"], each["certain"]] += 1


def with_accepted(document: Document, accepted: Accepted | None) -> Document:
    """The same, each contradiction told whether it is on the list; without a list as it was."""
    if accepted is not None:
        for each in document["contradictions"]:
            each["accepted"] = accepted.covers(document["id"], each["code"])
    return document


def stream(
    records: Iterable[Record | Faulty], read: Callable[[Record], Document], accepted: Accepted | None
) -> Summary:
    """Read and print every record; stops where nobody reads on. Lines that are no tag are told on both streams."""
    summary = Summary()
    told = time.monotonic()
    progress = screen.Progress("Reading the tags") if screen.is_watched() else None
    with progress or nullcontext():
        for record in records:
            if isinstance(record, Faulty):
                document = _fault(summary, record)
            else:
                document = with_accepted(read(record), accepted)
                summary.count(document)
            if not screen.is_read_on(json.dumps(document, ensure_ascii=False, allow_nan=False)):
                summary.is_cut_off = True
                break
            if progress and time.monotonic() - told > _BETWEEN_COUNTS:
                progress(f"Reading the tags: {summary.tags:,}")
                told = time.monotonic()
    return summary


def _fault(summary: Summary, faulty: Faulty) -> Document:
    summary.faults += 1
    if summary.faults <= _MOST_FAULTS_TOLD:
        screen.complain(problems.render([faulty.problem]))
    elif summary.faults == _MOST_FAULTS_TOLD + 1:
        screen.complain("... further lines that cannot be read are in the output only")
    return {"id": None, "line": faulty.line, **problems.as_json([faulty.problem])}


def summary_lines(summary: Summary, accepted: Accepted | None) -> Iterator[str]:
    """The summary in words."""
    yield _counted(summary.tags, "tag read", "tags read")
    if summary.faults:
        yield _counted(summary.faults, "line could not be read", "lines could not be read")
    if summary.missing:
        yield "Most often missing:"
        # equal counts by name, so that two runs say the same
        most = sorted(summary.missing.items(), key=lambda item: (-item[1], item[0]))[:_MOST_MISSING]
        width = max(len(term) for term, _ in most)
        yield from (f"  {term:<{width}}  on {_counted(count, 'tag', 'tags')}" for term, count in most)
    if summary.contradictions:
        yield "What does not fit together:"
        found = sorted(summary.contradictions.items(), key=lambda item: (not item[0][1], -item[1], item[0][0]))
        width = max(len(code) for (code, _), _ in found)
        for (code, certain), count in found:
            yield f"  {code:<{width}}  {count:,} {'(certain: arithmetic)' if certain else '(worth asking)'}"
    elif summary.tags:
        yield "Nothing contradicts itself." if not summary.accepted else "Nothing else contradicts itself."
    if accepted is not None:
        yield f"Accepted exceptions met: {summary.accepted:,}"
        for tag_id, code in accepted.unmet:
            yield f"  never met: {tag_id}, {code}"


def _counted(number: int, one: str, many: str) -> str:
    return f"{number:,} {one if number == 1 else many}"
