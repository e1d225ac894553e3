"""What only the whole book can tell: links that lead nowhere, names used twice, sources missing or unused.

Must not change the book; every finding is a Problem with its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from hangtag.book.model import Book
from hangtag.calculators import Calculator, ChoiceInput, RowsInput
from hangtag.entries import Addition, Drawing, Entry
from hangtag.problems import Label, Problems, Span, near_hint
from hangtag.resources import TEMPLATES
from hangtag.sources import Basis
from hangtag.strings import LocalText

LINK = re.compile(r"\[\[([^\]|\n]*)(?:\|([^\]\n]*))?\]\]")


def check_links(book: Book, problems: Problems) -> None:
    """Note every Problem between the files of a book."""
    _Links(book, problems).check()


class _Links:
    def __init__(self, book: Book, problems: Problems) -> None:
        self._book = book
        self._problems = problems
        self._cited: set[str] = set()

    def check(self) -> None:
        self._names()
        self._earlier_ids()
        for entry in self._book.entries.values():
            self._entry(entry)
        for calculator in self._book.calculators.values():
            self._calculator(calculator)
        for kind in self._book.gear.values():
            for tag, span in zip(kind.tags, kind.tag_spans, strict=True):
                self._known(tag, self._book.entries, "unknown-entry", kind.path, span)
        self._sources()

    def _known(self, its_id: str, known: Mapping[str, object], code: str, path: str, span: Span | None) -> bool:
        if its_id in known:
            return True
        self._problems.add(code, path, span, id=its_id, hint=near_hint(its_id, known))
        return False

    # ------------------------------------------------------------------------------------------------------- names

    def _names(self) -> None:
        """A name leads to one entry: names and other names are unique over the book, in any case."""
        seen: dict[tuple[str, str], tuple[Entry, Span | None]] = {}
        for entry in self._book.entries.values():
            for text in (entry.name, *entry.also):
                for language, word in text.by_language.items():
                    key = (language, " ".join(word.lower().split()))
                    first = seen.setdefault(key, (entry, text.span))
                    if first[1] is text.span and first[0] is entry:
                        continue
                    labels = [Label(first[1], f"here it leads to {first[0].id}", first[0].path)] if first[1] else []
                    self._problems.add("name-shared", entry.path, text.span, name=word, labels=labels)

    def _earlier_ids(self) -> None:
        claimed: dict[str, Entry] = {}
        for entry in self._book.entries.values():
            for index, was in enumerate(entry.was):
                span = entry.places.get(f"was.{index}", entry.span)
                if was in self._book.entries:
                    self._problems.add("was-still-lives", entry.path, span, id=was)
                elif was in claimed:
                    self._problems.add("was-claimed-twice", entry.path, span, id=was, other=claimed[was].id)
                claimed.setdefault(was, entry)

    # ----------------------------------------------------------------------------------------------------- entries

    def _entry(self, entry: Entry) -> None:
        book, path = self._book, entry.path
        for index, neighbour in enumerate(entry.see):
            span = entry.places.get(f"see.{index}")
            if neighbour == entry.id:
                self._problems.add("link-to-itself", path, span, id=neighbour)
            else:
                self._known(neighbour, book.entries, "unknown-entry", path, span)
        for index, calculator in enumerate(entry.calculators):
            self._known(
                calculator, book.calculators, "unknown-calculator", path, entry.places.get(f"calculators.{index}")
            )
        for measurement in entry.measured_by:
            self._cite(measurement.source, path, measurement.span)
        if entry.reads:
            for kind, span in entry.reads.kinds:
                self._known(kind, book.gear, "unknown-kind", path, span)
            self._roles(entry)
        if entry.drawing:
            self._drawing(entry.drawing, entry.path)
        for basis in entry.bases:
            self._basis(basis, path)
        for text in _texts(entry):
            self._links_in(text, path, entry.id)
        for addition in entry.additions:
            self._addition(addition, entry)

    def _addition(self, addition: Addition, entry: Entry) -> None:
        for text in (addition.text, addition.caution, *addition.ask):
            if text:
                self._links_in(text, addition.path, entry.id)
        for index, neighbour in enumerate(addition.see):
            self._known(
                neighbour, self._book.entries, "unknown-entry", addition.path, addition.places.get(f"see.{index}")
            )

    def _roles(self, entry: Entry) -> None:
        reads = entry.reads
        for role, fills in reads.roles.items() if reads else ():
            calculator_id, _, name = fills.partition(".")
            span = reads.span if reads else None
            if self._known(calculator_id, self._book.calculators, "unknown-calculator", entry.path, span):
                known = {its.name: its for its in self._book.calculators[calculator_id].inputs}
                if name not in known:
                    self._problems.add(
                        "role-fills-nothing", entry.path, span, role=role, fills=fills, hint=near_hint(name, known)
                    )

    def _drawing(self, drawing: Drawing, path: str) -> None:
        roots = (self._book.root, *self._book.parents)
        if not any(Path(root, TEMPLATES, "drawings", drawing.file).is_file() for root in roots):
            self._problems.add("drawing-missing", path, drawing.span, file=drawing.file)
        for part, target in drawing.parts.items():
            self._known(target, self._book.entries, "unknown-entry", path, drawing.part_spans.get(part))

    def _links_in(self, text: LocalText, path: str, own_id: str | None) -> None:
        for language, words in text.by_language.items():
            place = text.places.get(language)
            for found in LINK.finditer(words):
                span = place(found.start(), found.end()) if place else text.span
                target = found.group(1).strip()
                if target == own_id:
                    self._problems.add("link-to-itself", path, span, id=target)
                else:
                    self._known(target, self._book.entries, "unknown-entry", path, span)

    # ------------------------------------------------------------------------------------------------- calculators

    def _calculator(self, calculator: Calculator) -> None:
        for its in (*calculator.inputs, *calculator.steps):
            if isinstance(its, ChoiceInput | RowsInput) or its.scale is None:
                continue
            entry = self._book.entries.get(its.scale)
            if entry is None:
                self._known(its.scale, self._book.entries, "unknown-entry", calculator.path, its.scale_span)
            elif entry.scale is None:
                self._problems.add("entry-without-scale", calculator.path, its.scale_span, id=its.scale)
            elif entry.scale.unit.dimension != its.unit.dimension:
                names = self._book.units
                got, wanted = names.described(its.unit.dimension), names.described(entry.scale.unit.dimension)
                self._problems.add(
                    "scale-other-dimension", calculator.path, its.scale_span, id=its.scale, got=got, wanted=wanted
                )
        for basis in calculator.bases:
            self._basis(basis, calculator.path)
        for text in _calculator_texts(calculator):
            self._links_in(text, calculator.path, None)

    # ----------------------------------------------------------------------------------------------------- sources

    def _cite(self, source: str | None, path: str, span: Span | None) -> None:
        if source:
            self._known(source, self._book.sources, "unknown-source", path, span)
            self._cited.add(source)

    def _basis(self, basis: Basis, path: str) -> None:
        self._cite(basis.source, path, basis.source_span)
        self._cite(basis.of, path, basis.of_span)
        if basis.kind == "invented":
            self._problems.add("basis-invented", path, basis.span)
        if basis.kind == "local rule" and not self._book.parents:
            self._problems.add("basis-local-rule", path, basis.span)

    def _sources(self) -> None:
        own = str(self._book.root)
        for source in self._book.sources.values():
            if source.superseded_by:
                self._known(
                    source.superseded_by, self._book.sources, "unknown-source", source.path, source.superseded_span
                )
                self._cited.add(source.superseded_by)
        for source in self._book.sources.values():
            if source.id not in self._cited and source.path.startswith(own):
                self._problems.add("source-unused", source.path, source.span, id=source.id)


def _texts(entry: Entry) -> Iterator[LocalText]:
    for text in (entry.in_short, entry.text, entry.watch_out, entry.caution, entry.needs_time, *entry.ask):
        if text:
            yield text
    for measurement in entry.measured_by:
        yield measurement.how
    if entry.scale:
        yield from (entry.scale.higher_is, *(band.says for band in entry.scale.bands))


def _calculator_texts(calculator: Calculator) -> Iterator[LocalText]:
    for text in (calculator.question, calculator.holds_for, calculator.caution):
        if text:
            yield text
    yield from (its.say for its in calculator.requires)
    yield from (example.says for example in calculator.examples if example.says)
