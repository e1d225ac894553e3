"""Reading a tag from its text to its explanation: the order of the steps. Must not do the work of one itself."""

from __future__ import annotations

from hangtag.tag_reader import explain
from hangtag.tag_reader.contradict import contradictions
from hangtag.tag_reader.figures import blocked
from hangtag.tag_reader.items import Items, items
from hangtag.tag_reader.judge import candidates, choose
from hangtag.tag_reader.kinds import find_phrases, guess
from hangtag.tag_reader.match import matches
from hangtag.tag_reader.model import Tag
from hangtag.tag_reader.names import names
from hangtag.tag_reader.parts import parts_of
from hangtag.tag_reader.pieces import Piece, makers_name, pieces
from hangtag.tag_reader.quantities import Quantities
from hangtag.tag_reader.reader import Reader


def read(reader: Reader, text: str, kind: str | None = None) -> Tag:
    """A tag explained; `kind` is the kind of gear where it is known, else it is guessed from the text.

    Any text is read. Raises ValueError for a kind that the book does not have.
    """
    if kind is not None and kind not in reader.kinds:
        raise ValueError(kind)
    its = items(text, reader.spelling)
    left_alone = blocked(its, reader.figures)
    found = matches(its, Quantities(its, reader.grammar, left_alone), reader.matcher)
    gear, dangers = find_phrases(its, reader.kind_words), find_phrases(its, reader.danger)
    likely = [kind] if kind is not None else guess(its, gear, found, reader)
    its_kind = likely[0] if len(likely) == 1 else None
    parts, regions = parts_of(its, reader.parts)
    chosen = choose(candidates(found, its, reader.court, likely, regions), its.count)
    taken = [False] * its.count
    for candidate in chosen:
        taken[candidate.first : candidate.end] = [True] * (candidate.end - candidate.first)
    all_pieces = _with_names(pieces(chosen, its, parts), its, parts, taken, reader)
    clashes = contradictions(all_pieces, reader)
    lacking = explain.missing(all_pieces, its_kind, reader)
    return Tag(
        text=text,
        kind=its_kind,
        readings=tuple(explain.reading(piece, text, its_kind, reader) for piece in all_pieces),
        unread=tuple(explain.unread(its, taken, left_alone, [*gear, *dangers], reader)),
        missing=tuple(lacking),
        contradictions=tuple(clashes),
        cautions=tuple(explain.cautions(its, dangers, reader)),
        questions=tuple(explain.questions(all_pieces, its_kind, lacking, clashes, reader)),
    )


def _with_names(
    found: list[Piece], its: Items, parts: list[str | None], taken: list[bool], reader: Reader
) -> list[Piece]:
    """The pieces with makers' own names among them, in the order of the text; `taken` is marked for them too."""
    for term in reader.namers:
        near = frozenset(reader.entries[term]["near"])
        for first, end in names(its, taken, near, reader.known, reader.trademarks):
            found.append(makers_name(term, its, parts[first], first, end))
            taken[first:end] = [True] * (end - first)
    return sorted(found, key=lambda piece: piece.start)
