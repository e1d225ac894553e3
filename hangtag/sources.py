"""The bibliography, and the basis every number carries.

Holds the data classes of a source and a basis, and reads them from nodes. Must not look anything up outside its file.
"""

from __future__ import annotations

from dataclasses import dataclass

from hangtag.problems import Problems, Span, near_hint
from hangtag.shape import DATE, LINE, TEXT, Fields, Key, Keys
from hangtag.strings import LocalText
from hangtag.yaml_source import Mapping, Node, Scalar

SOURCE_KINDS = ("standard", "paper", "handbook", "agency", "dataset", "library", "web page")
# What each basis needs beside it; the order is from strongest to weakest.
BASIS_NEEDS: dict[str, tuple[str, ...]] = {
    "published": ("source", "at"),
    "library": ("source",),
    "derived": ("working",),
    "reported": ("source", "of"),
    "common practice": (),
    "from memory": (),
    "local rule": ("by", "date"),
    "invented": (),
}


@dataclass(frozen=True)
class Source:
    """One work of the bibliography. Optional fields are None where the author gave none."""

    id: str
    kind: str
    title: str
    publisher: str | None
    authors: str | None
    year: str | None
    edition: str | None
    doi: str | None
    url: str | None
    read: str | None
    superseded_by: str | None
    check_again: str | None
    path: str
    span: Span
    superseded_span: Span | None = None


@dataclass(frozen=True)
class Basis:
    """Why a number may be believed: one of BASIS_NEEDS, with what that one needs."""

    kind: str
    source: str | None = None
    of: str | None = None
    at: str | None = None
    working: str | None = None
    by: str | None = None
    date: str | None = None
    span: Span | None = None
    source_span: Span | None = None
    of_span: Span | None = None

    @property
    def may_judge(self) -> bool:
        """Whether a worked example on this basis may serve as a check of our own result."""
        return self.kind not in {"from memory", "invented"}


@dataclass(frozen=True)
class Claim:
    """A statement of a text or a formula, and the basis it stands on."""

    basis: Basis
    supports: LocalText | None


SOURCE_KEYS: Keys = {
    "kind": Key("What sort of work it is.", {"enum": list(SOURCE_KINDS)}, required=True),
    "title": Key("Its title, as printed.", LINE, required=True),
    "publisher": Key("Who published it.", LINE),
    "authors": Key("Who wrote it.", LINE),
    "year": Key("The year of this edition.", LINE),
    "edition": Key("Edition, part or version.", LINE),
    "doi": Key("Its digital object identifier, without an address before it.", LINE),
    "url": Key("Where it stands, for works that live on the web.", LINE),
    "read": Key("When it was read.", DATE),
    "superseded_by": Key("The source that took its place.", LINE),
    "check_again": Key("When it should be looked at again, for laws.", DATE),
}

BASIS_KEYS: Keys = {
    "basis": Key("Why this may be believed.", {"enum": list(BASIS_NEEDS)}, required=True),
    "source": Key("What was read: an id of _sources.yml.", LINE),
    "of": Key("The original that the source reports on: an id of _sources.yml.", LINE),
    "at": Key("Clause, table or page.", LINE),
    "working": Key("How it follows from stated inputs.", LINE),
    "by": Key("Whose local rule it is.", LINE),
    "date": Key("When the local rule was given.", DATE),
}
CLAIM_KEYS: Keys = {**BASIS_KEYS, "for": Key("What this supports, in a few words.", TEXT)}


def read_sources(node: Node, path: str, problems: Problems) -> dict[str, Source]:
    """The bibliography of one `_sources.yml`."""
    if not isinstance(node, Mapping):
        problems.add("not-a-mapping", path, node.span, what="_sources.yml")
        return {}
    return {key.text: _read_source(key, value, path, problems) for key, value in node.items}


def _read_source(key: Scalar, node: Node, path: str, problems: Problems) -> Source:
    fields = Fields(node, SOURCE_KEYS, path, problems, f"the source {key.text}")
    kind = fields.scalar("kind")
    if kind and kind.text not in SOURCE_KINDS:
        hint = near_hint(kind.text, SOURCE_KINDS)
        problems.add("unknown-source-kind", path, kind.span, kind=kind.text, known=", ".join(SOURCE_KINDS), hint=hint)
    return Source(
        id=key.text,
        kind=kind.text if kind else "",
        title=fields.line("title") or "",
        publisher=fields.line("publisher"),
        authors=fields.line("authors"),
        year=fields.line("year"),
        edition=fields.line("edition"),
        doi=fields.line("doi"),
        url=fields.line("url"),
        read=fields.date("read"),
        superseded_by=fields.line("superseded_by"),
        check_again=fields.date("check_again"),
        path=path,
        span=key.span,
        superseded_span=fields.place("superseded_by"),
    )


def read_basis(fields: Fields) -> Basis:
    """The basis among the keys of a band, option, constant or example."""
    kind = fields.scalar("basis")
    if kind and kind.text not in BASIS_NEEDS:
        fields.add(
            "unknown-basis",
            kind.span,
            basis=kind.text,
            known=", ".join(BASIS_NEEDS),
            hint=near_hint(kind.text, BASIS_NEEDS),
        )
    elif kind:
        for need in BASIS_NEEDS[kind.text]:
            if not fields.has(need):
                fields.add("basis-needs", kind.span, basis=kind.text, need=need)
    return Basis(
        kind=kind.text if kind else "",
        source=fields.line("source"),
        of=fields.line("of"),
        at=fields.line("at"),
        working=fields.line("working"),
        by=fields.line("by"),
        date=fields.date("date"),
        span=fields.span,
        source_span=fields.place("source") if fields.has("source") else None,
        of_span=fields.place("of") if fields.has("of") else None,
    )


def read_claims(fields: Fields, name: str = "sources") -> tuple[Claim, ...]:
    """The list of statements under `sources:`, each with its basis."""
    claims = []
    for node in fields.items(name):
        its = Fields(node, CLAIM_KEYS, fields.path, fields.problems, "an item of sources", fields.languages)
        claims.append(Claim(read_basis(its), its.text("for")))
    return tuple(claims)
