"""What reading a tag gives: the frozen data classes of a tag and its readings, and their JSON.

Keys of the JSON are a contract: some may be added, none removed, and what is absent is null. Must hold data only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Json = dict[str, object]


@dataclass(frozen=True)
class InUnit:
    """A value in a unit: the full float, and its rounded text (without the unit)."""

    value: float
    unit: str
    text: str

    def as_json(self) -> Json:
        """The object of the contract."""
        return {"value": self.value, "unit": self.unit, "text": self.text}


@dataclass(frozen=True)
class AlsoPossible:
    """Another entry, value or unit that the same text may mean, and why it cannot be told apart."""

    term: str
    value: float | None
    unit: str | None
    because: str

    def as_json(self) -> Json:
        """The object of the contract."""
        return {"term": self.term, "value": self.value, "unit": self.unit, "because": self.because}


@dataclass(frozen=True)
class Reading:
    """One part of the text and what it means. `value` and `unit` are None for a word such as `ripstop`.

    `start`, `end` count Unicode code points of the tag's text. `bound` is exact, at least, at most or about. Readings
    of one `group` were printed as one: a pair, a range, or the same in two units. `band` is `{says, basis, source, of,
    at}` and `basis` its basis in words. `page` is relative to the site. `fills` is `{calculator, input}`.
    """

    term: str
    part: str | None
    role: str | None
    start: int
    end: int
    text: str
    value: float | None
    unit: str | None
    bound: str
    group: int | None
    other_units: tuple[InUnit, ...]
    band: Mapping[str, str | None] | None
    basis: str | None
    ask: tuple[str, ...]
    caution: str | None
    page: str
    because: str
    fills: Mapping[str, str] | None
    also_possible: tuple[AlsoPossible, ...]

    def as_json(self, site: str | None = None) -> Json:
        """The object of the contract; with the address of a site, `page` is a whole address."""
        return {
            "term": self.term,
            "part": self.part,
            "role": self.role,
            "start": self.start,
            "end": self.end,
            "text": self.text,
            "value": self.value,
            "unit": self.unit,
            "bound": self.bound,
            "group": self.group,
            "other_units": [one.as_json() for one in self.other_units],
            "band": dict(self.band) if self.band is not None else None,
            "basis": self.basis,
            "ask": list(self.ask),
            "caution": self.caution,
            "page": f"{site.rstrip('/')}/{self.page}" if site else self.page,
            "because": self.because,
            "fills": dict(self.fills) if self.fills is not None else None,
            "also_possible": [one.as_json() for one in self.also_possible],
        }


@dataclass(frozen=True)
class Unread:
    """A stretch that was not understood."""

    start: int
    end: int
    text: str


@dataclass(frozen=True)
class Missing:
    """An entry that a good tag of this kind would also state, and why."""

    term: str
    because: str


@dataclass(frozen=True)
class Contradiction:
    """Readings (by their place in the list) that cannot all be true; only arithmetic is `certain`."""

    code: str
    certain: bool
    because: str
    readings: tuple[int, ...]


@dataclass(frozen=True)
class Caution:
    """Danger words in the text, and the caution they bring."""

    start: int
    end: int
    text: str
    caution: str


@dataclass(frozen=True)
class Tag:
    """A whole tag as it was read."""

    text: str
    kind: str | None
    readings: tuple[Reading, ...]
    unread: tuple[Unread, ...]
    missing: tuple[Missing, ...]
    contradictions: tuple[Contradiction, ...]
    cautions: tuple[Caution, ...]
    questions: tuple[str, ...]

    def as_json(self, site: str | None = None) -> Json:
        """The document of the contract, with `id` null for whoever names tags to fill in."""
        return {
            "id": None,
            "text": self.text,
            "kind": self.kind,
            "readings": [reading.as_json(site) for reading in self.readings],
            "unread": [{"start": one.start, "end": one.end, "text": one.text} for one in self.unread],
            "missing": [{"term": one.term, "because": one.because} for one in self.missing],
            "contradictions": [
                {
                    "code": one.code,
                    "certain": one.certain,
                    "because": one.because,
                    "readings": list(one.readings),
                }
                for one in self.contradictions
            ],
            "cautions": [
                {"start": one.start, "end": one.end, "text": one.text, "caution": one.caution} for one in self.cautions
            ],
            "questions": list(self.questions),
        }
