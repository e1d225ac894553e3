"""Readings of one tag that cannot all be true.

Printed numbers are rounded, so each is an interval; only intervals that do not meet contradict. Arithmetic is
certain, an order of two readings is not: words may have been swapped. Where a tag lists several sizes, one
combination that holds is enough. The browser does the same in scripts/tag-explain.js. Must not change readings.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice, product

from hangtag.numbers import show
from hangtag.tag_reader.judge import Units
from hangtag.tag_reader.model import Contradiction
from hangtag.tag_reader.pieces import Piece
from hangtag.tag_reader.quantities import EXACT
from hangtag.tag_reader.reader import OUTSIDE_SCALE, TWO_UNITS, Data, Reader

_MOST_OF_ONE = 8  # readings of one operand that are tried
_TEN, _THOUSAND = 10.0, 1000.0
_SLACK = 1e-9

Interval = tuple[float, float]


def contradictions(pieces: Sequence[Piece], reader: Reader) -> list[Contradiction]:
    """Every contradiction, those of agreements first, in the order of the entries."""
    found: list[Contradiction] = []
    terms = {piece.term for piece in pieces}
    for term in sorted(terms):
        for agreement in reader.entries[term]["agrees"]:
            broken = _broken(pieces, term, agreement, reader)
            if broken:
                found.append(broken)
    found += _two_units(pieces, reader)
    found += _outside(pieces, reader)
    return found


def interval(piece: Piece, units: Units) -> Interval:
    """The SI values that are printed as this number."""
    value, unit = piece.value or 0.0, piece.unit or ""
    ends = units.to_si(value - piece.half, unit), units.to_si(value + piece.half, unit)
    return (ends[0], ends[1]) if ends[0] <= ends[1] else (ends[1], ends[0])


def in_words(piece: Piece, reader: Reader) -> str:
    """A number and its unit as people print it."""
    text = show(piece.value or 0.0)
    unit = piece.unit or "plain"
    prints = reader.data()["units"][unit]["prints"]
    return text if not prints or unit == "plain" else f"{text}\u00a0{prints}"


# ----------------------------------------------------------------------------------------------------------- agreements


def _broken(pieces: Sequence[Piece], term: str, agreement: Data, reader: Reader) -> Contradiction | None:
    operator, *operands = agreement["that"]
    choices = [_readings(pieces, operand, term) for operand in operands]
    if not all(choices):
        return None
    first: tuple[int, ...] | None = None
    for indices in product(*choices):
        if _holds(operator, [interval(pieces[index], reader.units) for index in indices]):
            return None
        first = first or indices
    if first is None:
        return None
    numbers = ", ".join(in_words(pieces[index], reader) for index in first)
    because = reader.say("contradiction", say=agreement["say"], numbers=numbers)
    return Contradiction(agreement["code"], operator != ">=", because, first)


def _readings(pieces: Sequence[Piece], operand: str, term: str) -> list[int]:
    """The pieces that an operand names: `q`, a role, or either of another entry."""
    entry, _, name = operand.rpartition(":")
    role = None if name == "q" else name
    found = (
        index
        for index, piece in enumerate(pieces)
        if piece.term == (entry or term) and piece.role == role and piece.value is not None and piece.bound == EXACT
    )
    return list(islice(found, _MOST_OF_ONE))


def _holds(operator: str, operands: Sequence[Interval]) -> bool:
    """Whether the intervals allow it."""
    one = operands[0]
    if operator == ">=":
        return _at_least(one[1], operands[1][0])
    two, three = operands[1], operands[2]
    if operator == "=-":
        result = two[0] - three[1], two[1] - three[0]
    else:
        corners = [a * b for a in two for b in three]
        result = min(corners), max(corners)
    return _at_least(result[1], one[0]) and _at_least(one[1], result[0])


def _at_least(high: float, low: float) -> bool:
    return high >= low - _SLACK * max(abs(high), abs(low))


# ------------------------------------------------------------------------------------------------- units and the scale


def _two_units(pieces: Sequence[Piece], reader: Reader) -> list[Contradiction]:
    """The same quantity, printed twice, in units that do not agree."""
    groups: dict[int, list[int]] = {}
    for index, piece in enumerate(pieces):
        if piece.group is not None and piece.value is not None:
            groups.setdefault(piece.group, []).append(index)
    found = []
    for members in groups.values():
        again = [index for index in members if pieces[index].again]
        before = [index for index in members if not pieces[index].again]
        for one, other in zip(before, again, strict=False):
            mine, theirs = interval(pieces[one], reader.units), interval(pieces[other], reader.units)
            if not (_at_least(mine[1], theirs[0]) and _at_least(theirs[1], mine[0])):
                first, second = in_words(pieces[one], reader), in_words(pieces[other], reader)
                because = reader.say("two-units", one=first, other=second)
                found.append(Contradiction(TWO_UNITS, True, because, (one, other)))
    return found


def _outside(pieces: Sequence[Piece], reader: Reader) -> list[Contradiction]:
    """Values ten or more times outside what is plausible: a digit too many, or another unit."""
    found = []
    for index, piece in enumerate(pieces):
        times = _times_outside(piece, reader.units)
        if times >= _TEN:
            label = "outside-thousand" if times >= _THOUSAND else "outside-ten"
            because = reader.say(label, value=in_words(piece, reader), name=reader.entries[piece.term]["name"])
            found.append(Contradiction(OUTSIDE_SCALE, False, because, (index,)))
    return found


def _times_outside(piece: Piece, units: Units) -> float:
    measure = piece.measure
    if piece.fits or measure is None or piece.value is None or piece.unit is None or units.shift[piece.unit]:
        return 0.0
    si = units.to_si(piece.value, piece.unit)
    if si > measure.high > 0:
        return si / measure.high
    if 0 < si < measure.low:
        return measure.low / si
    return 0.0
