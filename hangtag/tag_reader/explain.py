"""Pieces become readings in words: other units, the band with its basis, what to ask, cautions, and why it was read so.

Plain words first, numbers second. The browser does the same in scripts/tag-explain.js. Must not choose readings, and
must never say that something is safe.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from hangtag.numbers import show, snap
from hangtag.tag_reader.items import Items
from hangtag.tag_reader.kinds import Found
from hangtag.tag_reader.model import AlsoPossible, Caution, Contradiction, InUnit, Missing, Reading, Unread
from hangtag.tag_reader.pieces import WORD, Piece
from hangtag.tag_reader.reader import Data, Reader

_MOST_MISSING = 8
_QUESTIONS = 3
_PLAIN = "plain"
_MOST_KEPT = 8192


def reading(piece: Piece, text: str, kind: str | None, reader: Reader) -> Reading:
    """One piece explained."""
    entry = reader.entries[piece.term]
    band = _band(piece, entry, reader)
    role = entry["roles"].get(piece.role) if piece.role else None
    return Reading(
        term=piece.term,
        part=piece.part,
        role=piece.role,
        start=piece.start,
        end=piece.end,
        text=text[piece.start : piece.end],
        value=piece.value,
        unit=piece.unit,
        bound=piece.bound,
        group=piece.group,
        other_units=_other_units(piece, reader),
        band={key: band[key] for key in ("says", "basis", "source", "of", "at")} if band else None,
        basis=band["words"] if band else None,
        ask=tuple(entry["ask"]),
        caution=entry["caution"],
        page=entry["page"],
        because=_because(piece, entry, kind, reader),
        fills=(role["fills"] if role else entry["fills"]) if piece.value is not None else None,
        also_possible=tuple(
            AlsoPossible(other.term, other.value, other.unit, reader.say(other.why)) for other in piece.others
        ),
    )


def _other_units(piece: Piece, reader: Reader) -> tuple[InUnit, ...]:
    if piece.value is None or piece.unit is None or piece.measure is None or piece.unit == _PLAIN:
        return ()
    return _converted(piece.value, piece.unit, tuple(piece.measure.others), reader)


@lru_cache(_MOST_KEPT)  # feeds print the same values over and over
def _converted(value: float, unit: str, others: tuple[str, ...], reader: Reader) -> tuple[InUnit, ...]:
    units = reader.units
    si = units.to_si(value, unit)
    found = []
    for other in others:
        if other != unit:
            its = units.from_si(si, other)
            found.append(InUnit(its, other, show(its)))
    return tuple(found)


def _band(piece: Piece, entry: Data, reader: Reader) -> Data | None:
    if entry["scale"] is None or piece.value is None or piece.unit is None:
        return None
    return _band_of(piece.term, piece.value, piece.unit, reader)


@lru_cache(_MOST_KEPT)
def _band_of(term: str, value_in_unit: float, unit: str, reader: Reader) -> Data | None:
    """The band of the entry's scale that a value falls in, each limit compared in its own unit."""
    scale = reader.entries[term]["scale"]
    units = reader.units
    if units.dimension[scale["unit"]] != units.dimension[unit]:
        return None
    si = units.to_si(value_in_unit, unit)
    bands: Sequence[Data] = scale["bands"]
    for band in bands:
        if band["limit"] is None:
            return band
        value, limit = snap(units.from_si(si, band["unit"])), snap(band["limit"])
        if value < limit or (band["closed"] and value == limit):
            return band
    return None


def _because(piece: Piece, entry: Data, kind: str | None, reader: Reader) -> str:
    """Why it was read so, and what the tag leaves open."""
    name = reader.data()["kinds"][kind]["name"] if kind else ""
    sentences = [reader.say(f"because-{piece.why}", clue=piece.clue, kind=name.lower(), name=entry["name"])]
    if not piece.fits:
        sentences.append(reader.say("because-outside"))
    if piece.value is not None and piece.role is None and entry["unsaid"] and piece.why != WORD:
        sentences.append(entry["unsaid"])
    return " ".join(sentences)


# ------------------------------------------------------------------------------------------------------- the whole tag


def missing(pieces: Sequence[Piece], kind: str | None, reader: Reader) -> list[Missing]:
    """What a good tag of this kind would also state, what matters first."""
    if kind is None:
        return []
    there = {piece.term for piece in pieces}
    its = reader.data()["kinds"][kind]
    found: list[Missing] = []
    for term in its["wanted"]:
        if term not in there and len(found) < _MOST_MISSING:
            found.append(
                Missing(term, reader.say("missing", kind=its["name"], in_short=reader.entries[term]["in_short"]))
            )
    return found


def cautions(items: Items, dangers: Sequence[Found], reader: Reader) -> list[Caution]:
    """The danger words of a text, with or without a reading."""
    found: list[Caution] = []
    for first, end, groups in dangers:
        start, stop = items.start[first], items.end[end - 1]
        found += [
            Caution(start, stop, items.text[start:stop], reader.data()["danger"][group]["caution"]) for group in groups
        ]
    return found


def questions(
    pieces: Sequence[Piece],
    kind: str | None,
    lacking: Sequence[Missing],
    clashes: Sequence[Contradiction],
    reader: Reader,
) -> list[str]:
    """Three questions for the shop: on a contradiction, on what is not stated, then those of the kind of gear."""
    found: list[str] = []
    if clashes:
        found.append(reader.say("ask-contradiction", because=clashes[0].because))
    if kind is not None:
        found += reader.data()["kinds"][kind]["ask"]
    for term in [*(one.term for one in lacking), *(piece.term for piece in pieces)]:
        found += reader.entries[term]["ask"][:1]
    return list(dict.fromkeys(found))[:_QUESTIONS]


def unread(
    items: Items, taken: Sequence[bool], blocked: frozenset[int], told: Sequence[Found], reader: Reader
) -> list[Unread]:
    """Stretches that hold a number or a word which this reader does not know; prices and dates are no claims."""
    known = reader.known
    understood = set(blocked)
    for start, end, _ in told:
        understood.update(range(start, end))
    found: list[Unread] = []
    first, last = -1, -1
    for at in range(items.count + 1):
        inside = at < items.count and not taken[at] and at not in understood
        if first >= 0 and (not inside or items.segment[at] != items.segment[first]):
            start, end = items.start[first], items.end[last]
            found.append(Unread(start, end, items.text[start:end]))
            first = -1
        if inside and (items.kind[at] == "number" or (items.kind[at] == "word" and items.word[at] not in known)):
            first = at if first < 0 else first
            last = at
    return found
