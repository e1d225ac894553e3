"""A term: the frozen data classes of an entry and its parts.

`entry_reader.py` makes them from a file of terms/. Must hold data only: links between entries are the book's to check.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from hangtag.amounts import Amount
from hangtag.problems import Span
from hangtag.sources import Basis, Claim
from hangtag.strings import LocalText
from hangtag.units import Unit


@dataclass(frozen=True)
class Band:
    """One stretch of a scale and its words. `below` excludes its limit, `up_to` includes it; the last has neither."""

    below: Amount | None
    up_to: Amount | None
    says: LocalText
    basis: Basis
    span: Span


@dataclass(frozen=True)
class Spread:
    """The published tolerance of such claims, as a fraction of the value."""

    relative: float
    basis: Basis


@dataclass(frozen=True)
class Scale:
    """What people commonly use low and high values for: bands between two ends."""

    unit: Unit
    also: tuple[Unit, ...]
    start: Amount
    end: Amount
    higher_is: LocalText
    bands: tuple[Band, ...]
    spread: Spread | None
    span: Span


@dataclass(frozen=True)
class Agreement:
    """What must hold between numbers of a tag, as in `tag_reader/agreements.py`; `say` is said where it does not."""

    that: str
    say: LocalText
    span: Span


@dataclass(frozen=True)
class Reads:
    """How a tag prints this entry: see `hangtag/tag_reader/patterns.py` for what the patterns mean."""

    unit: Unit | None
    also: tuple[Unit, ...]
    typed: dict[str, tuple[str, ...]]
    plausible: tuple[Amount, Amount] | None
    roles: dict[str, str]
    patterns: tuple[tuple[str, Span], ...]
    near: tuple[str, ...]
    kinds: tuple[tuple[str, Span], ...]
    span: Span
    agrees: dict[str, Agreement] = field(default_factory=dict)  # by the code of the contradiction
    unsaid: LocalText | None = None  # said where a value stands without one of the roles
    unknown_names: bool = False  # reads what a maker calls its own cloth, film or filling


@dataclass(frozen=True)
class Measurement:
    """How the number is measured: in words, and the standard."""

    source: str
    how: LocalText
    span: Span


@dataclass(frozen=True)
class Drawing:
    """A line drawing of the thing: an SVG of site_templates/drawings/, and which part of it is which entry."""

    file: str
    alt: LocalText
    parts: dict[str, str]
    span: Span
    part_spans: dict[str, Span] = field(default_factory=dict, compare=False)  # of the entries
    name_spans: dict[str, Span] = field(default_factory=dict, compare=False)  # of the parts' names


@dataclass(frozen=True)
class Change:
    """One line of an entry's history: a number that changed, and why."""

    date: str
    was: str
    now: str
    because: str


@dataclass(frozen=True)
class Addition:
    """What a club's book adds to an inherited entry, shown set off with its author and date."""

    by: str
    date: str
    text: LocalText | None
    ask: tuple[LocalText, ...]
    caution: LocalText | None
    see: tuple[str, ...]
    path: str
    span: Span
    places: dict[str, Span] = field(default_factory=dict, compare=False)


@dataclass(frozen=True)
class Entry:
    """One term of the book. Fields are as in design: see the JSON Schema for what each is for."""

    id: str
    area: str
    name: LocalText
    in_short: LocalText
    text: LocalText
    also: tuple[LocalText, ...]  # one LocalText each; `within(language)` gives the name
    heard: tuple[LocalText, ...]
    say: str | None
    reads: Reads | None
    scale: Scale | None
    drawing: Drawing | None
    needs_time: LocalText | None
    measured_by: tuple[Measurement, ...]
    ask: tuple[LocalText, ...]
    watch_out: LocalText | None
    caution: LocalText | None
    calculators: tuple[str, ...]
    see: tuple[str, ...]
    reviewed: str | None
    history: tuple[Change, ...]
    was: tuple[str, ...]
    path: str
    span: Span
    additions: tuple[Addition, ...] = ()
    inherited_caution: LocalText | None = None  # of the entry this one replaces; always shown beside its own
    claims: tuple[Claim, ...] = ()  # statements of the text, each with its basis: `sources:` of the entry
    places: dict[str, Span] = field(default_factory=dict, compare=False)  # where each key stands, for later Problems

    @property
    def bases(self) -> Iterator[Basis]:
        """Every basis of the entry: bands, spread and statements of the text."""
        if self.scale:
            yield from (band.basis for band in self.scale.bands)
            if self.scale.spread:
                yield self.scale.spread.basis
        yield from (claim.basis for claim in self.claims)
