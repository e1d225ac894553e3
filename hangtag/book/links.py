"""What only the whole book can tell: links that lead nowhere, names used twice, sources missing or unused.

Must not change the book; every finding is a Problem with its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from hangtag.book.model import Book, Gear
from hangtag.calculators import Calculator, ChoiceInput, RowsInput
from hangtag.drawings import find_drawing, is_file_name, read_drawing
from hangtag.entries import Addition, Drawing, Entry
from hangtag.problems import Label, Problems, Span, near_hint
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
            self._kind(kind)
        for danger in self._book.danger:
            self._links_in(danger.caution, danger.path, None)
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
        kinds: tuple[Mapping[str, Entry | Calculator], ...] = (self._book.entries, self._book.calculators)
        for living in kinds:
            claimed: dict[str, Entry | Calculator] = {}
            for its in living.values():
                for index, was in enumerate(its.was):
                    span = its.places.get(f"was.{index}", its.span)
                    if was in living:
                        self._problems.add("was-still-lives", its.path, span, id=was)
                    elif was in claimed:
                        self._problems.add("was-claimed-twice", its.path, span, id=was, other=claimed[was].id)
                    claimed.setdefault(was, its)

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
            self._drawing(entry.drawing, entry.path, entry.id)
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
            if not fills:
                continue  # a part that no calculator takes
            span = reads.span if reads else None
            if self._known(calculator_id, self._book.calculators, "unknown-calculator", entry.path, span):
                known = {its.name: its for its in self._book.calculators[calculator_id].inputs}
                if name not in known:
                    self._problems.add(
                        "role-fills-nothing", entry.path, span, role=role, fills=fills, hint=near_hint(name, known)
                    )

    def _drawing(self, drawing: Drawing, path: str, own_id: str | None = None) -> None:
        for part, target in drawing.parts.items():
            span = drawing.part_spans.get(part)
            if target == own_id:
                self._problems.add("link-to-itself", path, span, id=target)
            else:
                self._known(target, self._book.entries, "unknown-entry", path, span)
        if not is_file_name(drawing.file):
            self._problems.add("drawing-name", path, drawing.span, file=drawing.file)
            return
        file = find_drawing((self._book.root, *self._book.parents), drawing.file)
        if file is None:
            self._problems.add("drawing-missing", path, drawing.span, file=drawing.file)
            return
        shapes = read_drawing(file, self._problems)
        known = {shape.part for shape in shapes.walk() if shape.part} if shapes else set(drawing.parts)
        for part in drawing.parts:
            if part not in known:
                span, hint = drawing.name_spans.get(part), near_hint(part, known)
                self._problems.add("drawing-part-missing", path, span, file=drawing.file, part=part, hint=hint)

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

    def _kind(self, kind: Gear) -> None:
        for tag, span in zip(kind.tags, kind.tag_spans, strict=True):
            self._known(tag, self._book.entries, "unknown-entry", kind.path, span)
        for at, neighbour in enumerate(kind.beside):
            self._known(neighbour, self._book.entries, "unknown-entry", kind.path, kind.places.get(f"beside.{at}"))
        for at, calculator in enumerate(kind.calculators):
            place = kind.places.get(f"calculators.{at}")
            self._known(calculator, self._book.calculators, "unknown-calculator", kind.path, place)
        for text in kind.texts:
            self._links_in(text, kind.path, None)
        if kind.drawing:
            self._drawing(kind.drawing, kind.path)

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
    if entry.reads:
        yield from (agreement.say for agreement in entry.reads.agrees.values())
        if entry.reads.unsaid:
            yield entry.reads.unsaid
    if entry.scale:
        yield from (entry.scale.higher_is, *(band.says for band in entry.scale.bands))


def _calculator_texts(calculator: Calculator) -> Iterator[LocalText]:
    for text in (calculator.question, calculator.holds_for, calculator.caution):
        if text:
            yield text
    yield from (its.say for its in calculator.requires)
    yield from (example.says for example in calculator.examples if example.says)
