"""The book as JSON documents under `api/v1/`: what another program may rely on.

Every text is a mapping by language, every absent value is null, and every number carries its basis and its cautions.
Keys may be added, none is removed. Must not know pages or scripts.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

from hangtag.amounts import Amount
from hangtag.answers import as_json, work
from hangtag.basis_words import basis_words
from hangtag.book import Book, Gear
from hangtag.calculators import (
    Calculator,
    ChoiceColumn,
    ChoiceInput,
    Column,
    Constant,
    Curve,
    Example,
    Input,
    Picture,
    QuantityColumn,
    RowsInput,
    Step,
    Table,
)
from hangtag.entries import Addition, Band, Change, Drawing, Entry, Scale
from hangtag.formula import to_text
from hangtag.formula.nodes import Solve
from hangtag.sources import Basis, Claim, Source
from hangtag.strings import LocalText
from hangtag.units import Unit

ROOT = "api/v1"
GEAR = f"{ROOT}/gear.json"
Document = dict[str, object]


def documents(book: Book) -> dict[str, str]:
    """Every file of the interface by its path in the site, as text; the same book gives the same bytes."""
    parts = {f"{ROOT}/terms/{entry.id}.json": _text(term(book, entry)) for entry in book.entries.values()}
    parts |= {f"{ROOT}/calculators/{its.id}.json": _text(calculator(book, its)) for its in book.calculators.values()}
    parts[GEAR] = _text(gear(book))
    return {f"{ROOT}/index.json": _text(index(book, parts)), **parts}


def index(book: Book, parts: dict[str, str]) -> Document:
    """What there is, and the SHA-256 of all documents together in the order of their paths."""
    content = hashlib.sha256()
    for path, text in sorted(parts.items()):
        content.update(f"{path}\n{text}".encode())
    return {
        "title": book.title,
        "language": book.language,
        "version": book.version,
        "content_hash": f"sha256:{content.hexdigest()}",
        "areas": [
            {"id": area.id, "name": _words(area.name), "page": f"areas/{area.id}/"} for area in book.areas.values()
        ],
        "terms": [
            {
                "id": entry.id,
                "area": entry.area,
                "name": _words(entry.name),
                "in_short": _words(entry.in_short),
                "was": list(entry.was),
                "page": f"terms/{entry.id}/",
                "document": f"{ROOT}/terms/{entry.id}.json",
                "hash": _hash(parts[f"{ROOT}/terms/{entry.id}.json"]),
            }
            for entry in book.entries.values()
        ],
        "calculators": [
            {
                "id": its.id,
                "name": _words(its.name),
                "question": _words(its.question),
                "was": list(its.was),
                "page": f"calculators/{its.id}/",
                "document": f"{ROOT}/calculators/{its.id}.json",
                "hash": _hash(parts[f"{ROOT}/calculators/{its.id}.json"]),
            }
            for its in book.calculators.values()
        ],
        "gear": [
            {"id": kind.id, "name": _words(kind.name), "page": _gear_page(kind), "document": GEAR}
            for kind in book.gear.values()
        ],
    }


def gear(book: Book) -> Document:
    """Every kind of gear with the entries of its tag in reading order, and every danger word with its caution."""
    return {
        "kinds": [_kind(kind) for kind in book.gear.values()],
        "danger": [{"words": list(its.words), "caution": _words(its.caution)} for its in book.danger],
    }


def term(book: Book, entry: Entry) -> Document:
    """One entry with its scale, bands, cautions (its own and inherited ones) and what clubs added."""
    return {
        "id": entry.id,
        "area": entry.area,
        "page": f"terms/{entry.id}/",
        "name": _words(entry.name),
        "also": [_words(name) for name in entry.also],
        "say": entry.say,
        "in_short": _words(entry.in_short),
        "text": _words(entry.text),
        "scale": _scale(book, entry.scale) if entry.scale else None,
        "needs_time": _words(entry.needs_time),
        "ask": [_words(question) for question in entry.ask],
        "watch_out": _words(entry.watch_out),
        "caution": _words(entry.caution),
        "inherited_caution": _words(entry.inherited_caution),
        "measured_by": [{"source": its.source, "how": _words(its.how)} for its in entry.measured_by],
        "calculators": list(entry.calculators),
        "see": list(entry.see),
        "claims": [_claim(book, claim) for claim in entry.claims],
        "additions": [_addition(addition) for addition in entry.additions],
        "reviewed": entry.reviewed,
        "history": _history(entry.history),
        "was": list(entry.was),
        "sources": _sources(book, _source_ids_of_entry(entry)),
    }


def calculator(book: Book, its: Calculator) -> Document:
    """One calculator: fields, formulas as text, its answer for the start values, cautions beside it, and examples."""
    return {
        "id": its.id,
        "page": f"calculators/{its.id}/",
        "name": _words(its.name),
        "question": _words(its.question),
        "inputs": [_input(book, field) for field in its.inputs],
        "constants": [_constant(book, constant) for constant in its.constants],
        "tables": [_table(book, table) for table in its.tables],
        "requires": [{"that": to_text.text(one.tree), "say": _words(one.say)} for one in its.requires],
        "steps": [_step(its, step) for step in its.steps],
        "curve": _curve(its.curve) if its.curve else None,
        "picture": _picture(its.picture) if its.picture else None,
        "one_way": _words(its.one_way),
        "start": as_json(work(book, its, {})),
        "examples": [_example(book, example) for example in its.examples],
        "holds_for": _words(its.holds_for),
        "caution": _words(its.caution),
        "inherited_caution": _words(its.inherited_caution),
        "claims": [_claim(book, claim) for claim in its.claims],
        "terms": [
            {"id": entry.id, "caution": _words(entry.caution), "inherited_caution": _words(entry.inherited_caution)}
            for entry in book.entries_with(its.id)
        ],
        "history": _history(its.history),
        "was": list(its.was),
        "sources": _sources(book, _source_ids_of_calculator(its)),
    }


# ----------------------------------------------------------------------------------------------------------- the parts


def _text(document: Document) -> str:
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def _hash(text: str) -> str:
    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def _words(text: LocalText | None) -> dict[str, str] | None:
    return dict(text.by_language) if text is not None else None


def _kind(kind: Gear) -> Document:
    return {
        "id": kind.id,
        "page": _gear_page(kind),
        "name": _words(kind.name),
        "in_short": _words(kind.in_short),
        "words": list(kind.words),
        "tags": list(kind.tags),
        "wanted": list(kind.wanted),
        "beside": list(kind.beside),
        "matters": [_words(text) for text in kind.matters],
        "ask": [_words(question) for question in kind.ask],
        "needs_time": _words(kind.needs_time),
        "calculators": list(kind.calculators),
        "drawing": _drawing(kind.drawing) if kind.drawing else None,
    }


def _gear_page(kind: Gear) -> str | None:
    return f"gear/{kind.id}/" if kind.has_page else None


def _drawing(drawing: Drawing) -> Document:
    return {"file": f"drawings/{drawing.file}", "alt": _words(drawing.alt), "parts": dict(drawing.parts)}


def _unit(unit: Unit) -> Document:
    return {"id": unit.id, "prints": unit.prints, "says": unit.says}


def _amount(amount: Amount | None) -> Document:
    if amount is None:
        return {"value": None, "unit": None, "text": None, "si": None}
    return {"value": float(amount.text), "unit": amount.unit.id, "text": amount.text, "si": amount.si}


def _basis(book: Book, basis: Basis) -> Document:
    return {
        "basis": basis.kind,
        "words": basis_words(book, basis),
        "source": basis.source,
        "of": basis.of,
        "at": basis.at,
        "working": basis.working,
        "by": basis.by,
        "date": basis.date,
    }


def _claim(book: Book, claim: Claim) -> Document:
    return {"supports": _words(claim.supports), **_basis(book, claim.basis)}


def _band(book: Book, band: Band) -> Document:
    return {
        "below": _amount(band.below) if band.below else None,
        "up_to": _amount(band.up_to) if band.up_to else None,
        "says": _words(band.says),
        **_basis(book, band.basis),
    }


def _scale(book: Book, scale: Scale) -> Document:
    spread = scale.spread
    return {
        "unit": _unit(scale.unit),
        "also": [_unit(unit) for unit in scale.also],
        "from": _amount(scale.start),
        "to": _amount(scale.end),
        "higher_is": _words(scale.higher_is),
        "bands": [_band(book, band) for band in scale.bands],
        "spread": {"relative": spread.relative, **_basis(book, spread.basis)} if spread else None,
    }


def _history(changes: Iterable[Change]) -> list[Document]:
    return [{"date": its.date, "was": its.was, "now": its.now, "because": its.because} for its in changes]


def _addition(addition: Addition) -> Document:
    return {
        "by": addition.by,
        "date": addition.date,
        "text": _words(addition.text),
        "ask": [_words(question) for question in addition.ask],
        "caution": _words(addition.caution),
        "see": list(addition.see),
    }


def _input(book: Book, field: Input) -> Document:
    common: Document = {"name": field.name, "label": _words(field.label), "hint": _words(field.hint)}
    if isinstance(field, ChoiceInput):
        options = [
            {
                "name": option.name,
                "label": _words(option.label),
                **_amount(option.amount),
                "basis": _basis(book, option.basis) if option.basis else None,
            }
            for option in field.options
        ]
        return {**common, "kind": "choice", "options": options, "start": field.start}
    if isinstance(field, RowsInput):
        columns = [_column(column) for column in field.columns]
        return {**common, "kind": "rows", "columns": columns, "start": list(field.start), "most": field.most}
    return {
        **common,
        "kind": "quantity",
        "unit": _unit(field.unit),
        "also": [_unit(unit) for unit in field.also],
        "low": _amount(field.low),
        "high": _amount(field.high),
        "start": _amount(field.start),
        "between": [_amount(end) for end in field.between] if field.between else None,
        "whole": field.whole,
        "scale": field.scale,
    }


def _column(column: Column) -> Document:
    common: Document = {"name": column.name, "label": _words(column.label)}
    if isinstance(column, ChoiceColumn):
        options = [{"name": name, "label": _words(label)} for name, label in column.options]
        kind = "tick" if column.tick else "choice"
        return {**common, "kind": kind, "options": options, "start": column.start}
    if isinstance(column, QuantityColumn):
        return {
            **common,
            "kind": "quantity",
            "unit": _unit(column.unit),
            "also": [_unit(unit) for unit in column.also],
            "low": _amount(column.low),
            "high": _amount(column.high),
            "start": _amount(column.start),
            "whole": column.whole,
        }
    return {**common, "kind": "text"}


def _constant(book: Book, constant: Constant) -> Document:
    """A constant; one that is only known to lie between two ends has no value of its own."""
    between = [_amount(end) for end in constant.between] if constant.between else None
    return {
        "name": constant.name,
        "label": _words(constant.label),
        **_amount(None if between else constant.amount),
        "between": between,
        "basis": _basis(book, constant.basis),
    }


def _table(book: Book, table: Table) -> Document:
    return {
        "name": table.name,
        "label": _words(table.label),
        "by": table.by,
        "rule": table.rule,
        "x_unit": _unit(table.x_unit) if table.x_unit else None,
        "unit": _unit(table.unit),
        "rows": [{"x": row.x, **_amount(row.amount), "basis": _basis(book, row.basis)} for row in table.rows],
    }


def _curve(curve: Curve) -> Document:
    return {"across": curve.across, "of": curve.of, "low": _amount(curve.low), "high": _amount(curve.high)}


def _picture(picture: Picture) -> Document:
    return {"kind": picture.kind, "of": list(picture.of), "across": picture.across}


def _step(its: Calculator, step: Step) -> Document:
    solve = None
    if isinstance(step.tree, Solve):
        solve = {"unknown": step.tree.unknown, "low": step.tree.low, "high": step.tree.high}
    return {
        "name": step.name,
        "label": _words(step.label),
        "is": to_text.text(step.tree),
        "solve": solve,
        "bounds": its.program.bounds.get(step.name),
        "unit": _unit(step.unit),
        "also": [_unit(unit) for unit in step.also],
        "scale": step.scale,
        "output": step.is_output,
    }


def _example(book: Book, example: Example) -> Document:
    return {
        "given": {name: typed if isinstance(typed, str) else list(typed) for name, typed in example.given.items()},
        "gives": {its.name: its.text for its in example.gives if its.end is None},
        "gives_ends": _ends(example),
        "basis": _basis(book, example.basis),
        "because": example.because,
        "says": _words(example.says),
    }


def _ends(example: Example) -> dict[str, dict[str, str]]:
    """The ends an author expects of uncertain answers, by answer: `low`, `high` or both."""
    ends: dict[str, dict[str, str]] = {}
    for expected in example.gives:
        if expected.end:
            ends.setdefault(expected.name, {})[expected.end] = expected.text
    return ends


def _sources(book: Book, ids: Iterable[str | None]) -> list[Document]:
    return [_source(book.sources[id_]) for id_ in sorted({id_ for id_ in ids if id_ and id_ in book.sources})]


def _source(source: Source) -> Document:
    return {
        "id": source.id,
        "kind": source.kind,
        "title": source.title,
        "publisher": source.publisher,
        "authors": source.authors,
        "year": source.year,
        "edition": source.edition,
        "doi": source.doi,
        "url": source.url,
        "read": source.read,
        "superseded_by": source.superseded_by,
    }


def _source_ids_of_entry(entry: Entry) -> Iterable[str | None]:
    bases = [claim.basis for claim in entry.claims]
    if entry.scale:
        bases += [band.basis for band in entry.scale.bands]
        bases += [entry.scale.spread.basis] if entry.scale.spread else []
    yield from _source_ids(bases)
    yield from (its.source for its in entry.measured_by)


def _source_ids_of_calculator(its: Calculator) -> Iterable[str | None]:
    return _source_ids(its.bases)


def _source_ids(bases: Iterable[Basis]) -> Iterable[str | None]:
    for basis in bases:
        yield basis.source
        yield basis.of
