"""Tags side by side: the same claims in rows, each in one unit, and the differences in words.

There is no winner. Figures inside the published tolerance of such claims are no difference, figures of different test
methods are not ranked, and what can be read in two ways is not compared. The browser does the same in
scripts/tag-compare.js. Must not read tags.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from hangtag.numbers import show
from hangtag.tag_reader.items import items
from hangtag.tag_reader.model import Json, Reading, Tag
from hangtag.tag_reader.reader import Reader

MOST_TAGS = 4
_ROUNDING = 0.005  # of the larger value: as far apart as roundings in two units may set one quantity
_EQUAL = 1e-9
_DIGITS = 3  # of a difference: what is printed is seldom known better

Key = tuple[str | None, str, str | None]  # part, entry, role


@dataclass(frozen=True)
class Cell:
    """What one tag states: its own words, its figures in the row's unit, and their ends in SI (None for words)."""

    text: str
    value: str | None
    low: float | None
    high: float | None

    def as_json(self) -> Json:
        """The same as plain data; ends that are open are null."""
        ends = (end if end is not None and abs(end) < inf else None for end in (self.low, self.high))
        return {"text": self.text, "value": self.value, **dict(zip(("low", "high"), ends, strict=True))}


@dataclass(frozen=True)
class Row:
    """One claim across all tags. `verdict` is a label's end; `says` is it in words."""

    part: str | None
    term: str
    role: str | None
    unit: str | None
    cells: tuple[Cell | None, ...]
    verdict: str
    says: str

    def as_json(self) -> Json:
        """The same as plain data."""
        return {
            "part": self.part,
            "term": self.term,
            "role": self.role,
            "unit": self.unit,
            "cells": [cell.as_json() if cell else None for cell in self.cells],
            "verdict": self.verdict,
            "says": self.says,
        }


def compare(reader: Reader, tags: Sequence[Tag]) -> list[Row]:
    """The rows of two to four tags, in the order in which the tags state them."""
    by_tag = [_by_claim(tag) for tag in tags]
    keys = dict.fromkeys(key for claims in by_tag for key in claims)
    return [_row(reader, tags, key, [claims.get(key, []) for claims in by_tag]) for key in keys]


def _by_claim(tag: Tag) -> dict[Key, list[Reading]]:
    """The readings of a tag by claim; what repeats one in other units is left out."""
    found: dict[Key, list[Reading]] = {}
    for reading in tag.readings:
        its = found.setdefault((reading.part, reading.term, reading.role), [])
        again = reading.group is not None and any(
            one.group == reading.group and one.unit != reading.unit for one in its
        )
        if not again:
            its.append(reading)
    return found


def _row(reader: Reader, tags: Sequence[Tag], key: Key, stated: Sequence[Sequence[Reading]]) -> Row:
    part, term, role = key
    unit = next((one.unit for readings in stated for one in readings if one.unit is not None), None)
    cells = tuple(_cell(reader, readings, unit) if readings else None for readings in stated)
    verdict, says = _verdict(reader, tags, term, unit, stated, cells)
    return Row(part, term, role, unit, cells, verdict, says)


def _cell(reader: Reader, readings: Sequence[Reading], unit: str | None) -> Cell:
    text = ", ".join(dict.fromkeys(one.text for one in readings))
    figures = [(_si(reader, one), one) for one in readings if one.value is not None]
    if unit is None or not figures:
        return Cell(text, None, None, None)
    lows = [-inf if one.bound == "at most" else si for si, one in figures]
    highs = [inf if one.bound == "at least" else si for si, one in figures]
    ranged = len(figures) > 1 and {one.bound for _, one in figures} == {"at least", "at most"}
    if ranged:
        values = sorted(si for si, _ in figures)
        low, high = values[0], values[-1]
        ends = [show(reader.units.from_si(si, unit)) for si in (low, high)]
        return Cell(text, reader.say("compare-range", low=ends[0], high=ends[1]), low, high)
    shown = dict.fromkeys(_shown(reader, one, si, unit) for si, one in figures)
    return Cell(text, ", ".join(shown), min(lows), max(highs))


def _si(reader: Reader, one: Reading) -> float:
    return reader.units.to_si(one.value or 0.0, one.unit or "plain")


def _shown(reader: Reader, one: Reading, si: float, unit: str) -> str:
    value = show(reader.units.from_si(si, unit))
    return value if one.bound == "exact" else reader.say(f"compare-{one.bound.replace(' ', '-')}", value=value)


# ------------------------------------------------------------------------------------------------------ what to say


def _verdict(  # noqa: PLR0913  one way out for each thing that can be said
    reader: Reader,
    tags: Sequence[Tag],
    term: str,
    unit: str | None,
    stated: Sequence[Sequence[Reading]],
    cells: Sequence[Cell | None],
) -> tuple[str, str]:
    there = [index for index, cell in enumerate(cells) if cell is not None]
    names = _tags(reader, there)
    if len(there) == 1:
        return "only", reader.say("compare-only", tags=names)
    figures = [
        (cell.low, cell.high, index)
        for index, cell in enumerate(cells)
        if cell and cell.low is not None and cell.high is not None
    ]
    if unit is None or len(figures) < 2:  # noqa: PLR2004  words, or a figure on one tag only
        return "word", reader.say("compare-word", tags=names)
    doubted = [index for index in there if any(one.also_possible for one in stated[index])]
    if doubted:
        return "either", reader.say("compare-either", tags=_tags(reader, doubted))
    entry = reader.entries[term]
    named = [_method(reader, tags[index], entry["methods"]) for _, _, index in figures]
    if len({one for one in named if one}) > 1:
        return "methods", reader.say("compare-methods", tests=", ".join(dict.fromkeys(one for one in named if one)))
    verdict, says = _difference(reader, unit, entry, stated, figures)
    if len(entry["methods"]) > 1 and not all(named) and verdict in {"more", "apart"}:
        says += " " + reader.say("compare-untold", tests=", ".join(entry["methods"].values()))
    return verdict, says


def _difference(
    reader: Reader,
    unit: str,
    entry: dict[str, object],
    stated: Sequence[Sequence[Reading]],
    figures: Sequence[tuple[float, float, int]],
) -> tuple[str, str]:
    names = _tags(reader, [index for _, _, index in figures])
    least = min(figures, key=lambda its: its[1])
    most = max(figures, key=lambda its: its[0])
    gap, size = most[0] - least[1], max(abs(most[0]), abs(least[1]))
    points = all(low == high for low, high, _ in figures)
    if points and gap <= _EQUAL * size:
        return "same", reader.say("compare-same", tags=names)
    if not points and gap <= 0:
        return "overlap", reader.say("compare-overlap")
    spread = entry["spread"]
    if isinstance(spread, float) and gap <= spread * size * (1 + _EQUAL):
        percent = show(spread * 100)
        return "spread", reader.say("compare-spread", percent=percent, basis=entry["spread_basis"])
    units = {one.unit for _, _, index in figures for one in stated[index]}
    if len(units) > 1 and gap <= _ROUNDING * size and not reader.units.shift[unit]:
        return "rounding", reader.say("compare-rounding", tags=names)
    prints = reader.data()["units"][unit]["prints"]
    text = show(gap / reader.units.scale[unit], _DIGITS)
    difference = text if not prints or unit == "plain" else f"{text}\u00a0{prints}"
    one, other = _tags(reader, [most[2]]), _tags(reader, [least[2]])
    if len(figures) > 2:  # noqa: PLR2004  of two tags there is one difference
        return "apart", reader.say("compare-apart", difference=difference, one=one, other=other)
    label = "compare-more" if points else "compare-more-least"
    return "more", reader.say(label, one=_capital(one), difference=difference, other=other)


def _tags(reader: Reader, indices: Sequence[int]) -> str:
    names = [reader.say("compare-tag", number=str(index + 1)) for index in indices]
    if len(names) == 1:
        return names[0]
    return reader.say("compare-and", first=", ".join(names[:-1]), last=names[-1])


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _method(reader: Reader, tag: Tag, methods: dict[str, str]) -> str:
    """The test that a tag names, with a letter and number that tell its variant; empty where it names none."""
    if not methods:
        return ""
    its = items(tag.text, reader.spelling)
    words = [word for word, kind in zip(its.word, its.kind, strict=True) if kind != "mark"]
    for method, name in methods.items():
        wanted = method.split(" ")
        for at in range(len(words) - len(wanted) + 1):
            if words[at : at + len(wanted)] == wanted:
                variant = words[at + len(wanted) : at + len(wanted) + 2]
                letter = bool(variant) and len(variant[0]) == 1 and "a" <= variant[0] <= "z"
                return " ".join([name, *(word.upper() for word in variant)]) if letter else name
    return ""
