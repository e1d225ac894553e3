"""How a tag prints an entry, shown with a value: the patterns of `reads` with their holes filled.

Must not read tags: that is the tag reader's, from the same patterns.
"""

from __future__ import annotations

import math
import re

from hangtag.answers import measured
from hangtag.book import Book
from hangtag.calculators import QuantityInput
from hangtag.entries import Entry
from hangtag.numbers import show
from hangtag.pages.scale import middle, two_figures
from hangtag.units import Unit

_HOLE = re.compile(r"\{([^{}]*)\}")
_THOUSAND = 1000
MOST = 6  # ways of printing shown; authors write the commonest first


def start_value(book: Book, entry: Entry) -> float | None:
    """The SI value an entry's page speaks of: where the first calculator on its scale starts, else its bar's middle.

    Without both, a usual value of those its tags print; None where they print no number.
    """
    own = [book.calculators[name] for name in entry.calculators if name in book.calculators]
    others = [calculator for calculator in book.calculators.values() if calculator not in own]
    for calculator in own + others:
        for field in calculator.inputs:
            if isinstance(field, QuantityInput) and field.scale == entry.id:
                return field.start.si
    if entry.scale:
        return middle(entry.scale)
    if entry.reads and entry.reads.plausible:
        low, high = entry.reads.plausible
        return usual(entry.reads.unit or low.unit, low.si, high.si)
    return None


def usual(unit: Unit, low: float, high: float) -> float:
    """An SI value between two ends that both belong to a tag, to two figures in their unit.

    Where both are above zero it is as many times the lower as the higher is of it: weights of tents run over two powers
    of ten, and nobody prints the least of them.
    """
    ends = unit.from_si(low), unit.from_si(high)
    centre = math.sqrt(ends[0] * ends[1]) if ends[0] > 0 else (ends[0] + ends[1]) / 2
    return unit.to_si(float(two_figures(centre)))


def samples(book: Book, entry: Entry) -> tuple[str, ...]:
    """What a tag may print for this entry, each way once; ways whose value we cannot fill in are left out."""
    if not entry.reads:
        return ()
    shown = (_filled(book, entry, pattern) for pattern, _ in entry.reads.patterns)
    return tuple(dict.fromkeys(text for text in shown if text))[:MOST]


def _filled(book: Book, entry: Entry, pattern: str) -> str | None:
    """One pattern with its holes filled, or None where one of them cannot be."""
    values = {hole: _hole(book, entry, hole) for hole in _HOLE.findall(pattern)}
    if any(value is None for value in values.values()):
        return None
    return _HOLE.sub(lambda match: values[match[1]] or "", pattern)


def _hole(book: Book, entry: Entry, hole: str) -> str | None:
    other, colon, kind = hole.partition(":")
    if colon:
        found = book.entries.get(other)
        return _hole(book, found, kind) if found else None
    if hole in {"q", "n", "k"}:
        return _number(book, entry, hole)
    return _role(book, entry, hole)


def _number(book: Book, entry: Entry, kind: str) -> str | None:
    value = start_value(book, entry)
    if value is None or entry.reads is None or entry.reads.unit is None:
        return None
    unit = entry.reads.unit
    number = unit.from_si(value)
    if kind == "k":
        return f"{show(number / _THOUSAND)}k" if number >= _THOUSAND else None
    return show(number) if kind == "n" else measured(show(number), unit)


def _role(book: Book, entry: Entry, role: str) -> str | None:
    """A role's value: where the field it fills starts."""
    calculator, _, name = (entry.reads.roles.get(role, "") if entry.reads else "").partition(".")
    if calculator not in book.calculators:
        return None
    for field in book.calculators[calculator].inputs:
        if isinstance(field, QuantityInput) and field.name == name:
            return show(field.start.unit.from_si(field.start.si))
    return None
