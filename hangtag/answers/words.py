"""What fields and results share: a number with its unit, the band of a value, a refusal as a Problem.

Must not run anything.
"""

from __future__ import annotations

from collections.abc import Mapping

from hangtag.book import Book
from hangtag.calculators import Input
from hangtag.entries import Band
from hangtag.numbers import exact, snap
from hangtag.problems import Problem, ProblemError
from hangtag.units import Unit


def band_of(book: Book, entry_id: str | None, si: float) -> Band | None:
    """The band of an entry's scale that an SI value falls in, compared in each limit's own unit."""
    entry = book.entries.get(entry_id) if entry_id else None
    if entry is None or entry.scale is None:
        return None
    for band in entry.scale.bands:
        limit = band.below or band.up_to
        if limit is None:
            return band
        value, bound = snap(limit.unit.from_si(si)), snap(float(exact(limit.text)))
        if value < bound or (band.up_to is not None and value == bound):
            return band
    return None


def measured(text: str, unit: Unit) -> str:
    """A number and its unit as people print it: `50 mm`, `8°`, `12 %`; a plain number stands alone."""
    if not unit.prints or unit.id == "plain":
        return text
    return f"{text}{unit.prints}" if unit.prints == "°" else f"{text}\u00a0{unit.prints}"


def refused(book: Book, field: Input, code: str, values: Mapping[str, object], language: str) -> ProblemError:
    """A refusal of one field in a reader's words, to raise."""
    because = book.strings.say(code, language, **values)
    return ProblemError(Problem("field-refused", {"field": field.name, "because": because}))
