"""The JSON Schema (draft-07) of every document below `api/v1/`, published beside them.

A promise to other programs: every key described here stays, and more may be added. Must hold in step with `api.py`; the
tests compare both ways.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from hangtag.schema import DRAFT
from hangtag.sources import BASIS_NEEDS, SOURCE_KINDS

JsonSchema = dict[str, Any]
ROOT = "api/v1/schema"

_TEXT: JsonSchema = {"type": "string"}
_FLAG: JsonSchema = {"type": "boolean"}
_NUMBER: JsonSchema = {"type": "number"}
_ID: JsonSchema = {"type": "string", "pattern": "^[a-z0-9][a-z0-9-]*$"}
_NAME: JsonSchema = {"type": "string", "pattern": "^[a-z][a-z0-9_]*$"}
_DATE: JsonSchema = {"type": "string", "pattern": "^[0-9]{4}(-[0-9]{2}){0,2}$"}
_HASH: JsonSchema = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}
_PAGE: JsonSchema = {"type": "string", "pattern": "/$", "description": "Below the site's root."}
_DOCUMENT: JsonSchema = {"type": "string", "pattern": "^api/v1/.*[.]json$", "description": "Below the site's root."}
_WORDS: JsonSchema = {
    "type": "object",
    "description": "A text by language.",
    "minProperties": 1,
    "additionalProperties": _TEXT,
}


def _or_null(schema: JsonSchema) -> JsonSchema:
    return {"anyOf": [schema, {"type": "null"}]}


def _many(schema: JsonSchema) -> JsonSchema:
    return {"type": "array", "items": schema}


def _object(**properties: JsonSchema) -> JsonSchema:
    """An object that has all of these keys; others may be added later."""
    named = {name.rstrip("_"): schema for name, schema in properties.items()}
    return {"type": "object", "properties": named, "required": sorted(named)}


def _ref(name: str) -> JsonSchema:
    return {"$ref": f"#/definitions/{name}"}


_AMOUNT_KEYS: Mapping[str, JsonSchema] = {
    "value": _or_null(_NUMBER),
    "unit": _or_null(_TEXT),
    "text": _or_null(_TEXT),
    "si": _or_null(_NUMBER),
}
_BASIS_KEYS: Mapping[str, JsonSchema] = {
    "basis": {"enum": list(BASIS_NEEDS)},
    "words": {**_TEXT, "description": "The basis in words, as it must stand beside the number."},
    "source": _or_null(_TEXT),
    "of": _or_null(_TEXT),
    "at": _or_null(_TEXT),
    "working": _or_null(_TEXT),
    "by": _or_null(_TEXT),
    "date": _or_null(_TEXT),
}
_SHOWN_KEYS: Mapping[str, JsonSchema] = {"value": _or_null(_NUMBER), "unit": _or_null(_TEXT), "text": _TEXT}
_ENDS: Mapping[str, JsonSchema] = {"low": _or_null(_NUMBER), "high": _or_null(_NUMBER)}
_QUANTITY_KEYS: Mapping[str, JsonSchema] = {
    **_SHOWN_KEYS,
    **_ENDS,
    "also": _many(_object(**_SHOWN_KEYS, **_ENDS)),
    "low_when": _or_null(_TEXT),
    "high_when": _or_null(_TEXT),
    "band": _or_null(_ref("answer_band")),
    "band_high": _or_null(_ref("answer_band")),
}

_DEFINITIONS: Mapping[str, JsonSchema] = {
    "unit": _object(id=_TEXT, prints=_TEXT, says=_TEXT),
    "amount": _object(**_AMOUNT_KEYS),
    "basis": _object(**_BASIS_KEYS),
    "claim": _object(supports=_or_null(_WORDS), **_BASIS_KEYS),
    "change": _object(date=_DATE, was=_TEXT, now=_TEXT, because=_TEXT),
    "band": _object(below=_or_null(_ref("amount")), up_to=_or_null(_ref("amount")), says=_WORDS, **_BASIS_KEYS),
    "source": _object(
        id=_TEXT,
        kind={"enum": list(SOURCE_KINDS)},
        title=_TEXT,
        publisher=_or_null(_TEXT),
        authors=_or_null(_TEXT),
        year=_or_null(_TEXT),
        edition=_or_null(_TEXT),
        doi=_or_null(_TEXT),
        url=_or_null(_TEXT),
        read=_or_null(_TEXT),
        superseded_by=_or_null(_TEXT),
    ),
    "scale": _object(
        unit=_ref("unit"),
        also=_many(_ref("unit")),
        from_=_ref("amount"),
        to=_ref("amount"),
        higher_is=_WORDS,
        bands=_many(_ref("band")),
        spread=_or_null(_object(relative=_NUMBER, **_BASIS_KEYS)),
    ),
    "addition": _object(
        by=_TEXT, date=_DATE, text=_or_null(_WORDS), ask=_many(_WORDS), caution=_or_null(_WORDS), see=_many(_ID)
    ),
    "step": _object(
        name=_NAME,
        label=_WORDS,
        is_=_TEXT,
        solve=_or_null(_object(unknown=_NAME, low=_NUMBER, high=_NUMBER)),
        bounds={"enum": ["corners", "sampled", None]},
        unit=_ref("unit"),
        also=_many(_ref("unit")),
        scale=_or_null(_ID),
        output=_FLAG,
    ),
    "answer_band": _object(
        says=_TEXT, basis={"enum": list(BASIS_NEEDS)}, source=_or_null(_TEXT), of=_or_null(_TEXT), at=_or_null(_TEXT)
    ),
    "answer": _object(
        calculator=_ID,
        inputs={
            "type": "object",
            "additionalProperties": _object(
                value={"type": ["number", "string", "array", "null"]},
                unit=_or_null(_TEXT),
                text=_TEXT,
                from_={"enum": ["given", "start", "solved"]},
                **_ENDS,
            ),
        },
        steps=_many(_object(name=_NAME, is_=_TEXT, **_QUANTITY_KEYS)),
        outputs={"type": "object", "additionalProperties": _object(**_QUANTITY_KEYS)},
        refused=_or_null(_object(because=_TEXT, input=_or_null(_NAME))),
        solved={"type": ["object", "null"]},
        caution=_or_null(_TEXT),
    ),
}

_QUANTITY_FIELD: Mapping[str, JsonSchema] = {
    "unit": _ref("unit"),
    "also": _many(_ref("unit")),
    "low": _ref("amount"),
    "high": _ref("amount"),
    "start": _ref("amount"),
    "whole": _FLAG,
}
_COLUMNS: JsonSchema = {
    "oneOf": [
        _object(name=_NAME, label=_WORDS, kind={"const": "quantity"}, **_QUANTITY_FIELD),
        _object(
            name=_NAME,
            label=_WORDS,
            kind={"enum": ["choice", "tick"]},
            options=_many(_object(name=_TEXT, label=_WORDS)),
            start=_TEXT,
        ),
        _object(name=_NAME, label=_WORDS, kind={"const": "text"}),
    ]
}
_FIELD: Mapping[str, JsonSchema] = {"name": _NAME, "label": _WORDS, "hint": _or_null(_WORDS)}
_INPUTS: JsonSchema = {
    "oneOf": [
        _object(
            **_FIELD,
            kind={"const": "quantity"},
            **_QUANTITY_FIELD,
            between=_or_null(_many(_ref("amount"))),
            scale=_or_null(_ID),
        ),
        _object(
            **_FIELD,
            kind={"const": "choice"},
            options=_many(_object(name=_TEXT, label=_WORDS, **_AMOUNT_KEYS, basis=_or_null(_ref("basis")))),
            start=_TEXT,
        ),
        _object(
            **_FIELD,
            kind={"const": "rows"},
            columns=_many(_COLUMNS),
            start=_many({"type": "object", "additionalProperties": _TEXT}),
            most={"type": "integer"},
        ),
    ]
}
_EXAMPLE = _object(
    given={"type": "object", "additionalProperties": {"anyOf": [_TEXT, _many({"type": "object"})]}},
    gives={"type": "object", "additionalProperties": _TEXT},
    gives_ends={"type": "object", "additionalProperties": {"type": "object", "additionalProperties": _TEXT}},
    basis=_ref("basis"),
    because=_or_null(_TEXT),
    says=_or_null(_WORDS),
)


def _index() -> JsonSchema:
    page = {"page": _PAGE, "document": _DOCUMENT, "hash": _HASH, "was": _many(_ID)}
    return _object(
        title=_TEXT,
        language=_TEXT,
        version=_TEXT,
        content_hash={**_HASH, "description": "Of all documents in the order of their paths: path, line end, text."},
        areas=_many(_object(id=_ID, name=_WORDS, page=_PAGE)),
        terms=_many(_object(id=_ID, area=_ID, name=_WORDS, in_short=_WORDS, **page)),
        calculators=_many(_object(id=_ID, name=_WORDS, question=_WORDS, **page)),
        gear=_many(_object(id=_ID, name=_WORDS, page=_or_null(_PAGE), document=_DOCUMENT)),
    )


def _gear() -> JsonSchema:
    drawing = _object(file=_TEXT, alt=_WORDS, parts={"type": "object", "additionalProperties": _ID})
    kind = _object(
        id=_ID,
        page=_or_null(_PAGE),
        name=_WORDS,
        in_short=_or_null(_WORDS),
        words=_many(_TEXT),
        tags=_many(_ID),
        wanted=_many(_ID),
        beside=_many(_ID),
        matters=_many(_WORDS),
        ask=_many(_WORDS),
        needs_time=_or_null(_WORDS),
        calculators=_many(_ID),
        drawing=_or_null(drawing),
    )
    return _object(kinds=_many(kind), danger=_many(_object(words=_many(_TEXT), caution=_WORDS)))


def _term() -> JsonSchema:
    return _object(
        id=_ID,
        area=_ID,
        page=_PAGE,
        name=_WORDS,
        also=_many(_WORDS),
        say=_or_null(_TEXT),
        in_short=_WORDS,
        text=_WORDS,
        scale=_or_null(_ref("scale")),
        needs_time=_or_null(_WORDS),
        ask=_many(_WORDS),
        watch_out=_or_null(_WORDS),
        caution=_or_null(_WORDS),
        inherited_caution=_or_null(_WORDS),
        measured_by=_many(_object(source=_TEXT, how=_WORDS)),
        calculators=_many(_ID),
        see=_many(_ID),
        claims=_many(_ref("claim")),
        additions=_many(_ref("addition")),
        reviewed=_or_null(_DATE),
        history=_many(_ref("change")),
        was=_many(_ID),
        sources=_many(_ref("source")),
    )


def _calculator() -> JsonSchema:
    between = _or_null(_many(_ref("amount")))
    row = _object(x=_TEXT, **_AMOUNT_KEYS, basis=_ref("basis"))
    return _object(
        id=_ID,
        page=_PAGE,
        name=_WORDS,
        question=_WORDS,
        inputs=_many(_INPUTS),
        constants=_many(
            _object(name=_NAME, label=_or_null(_WORDS), **_AMOUNT_KEYS, between=between, basis=_ref("basis"))
        ),
        tables=_many(
            _object(
                name=_NAME,
                label=_or_null(_WORDS),
                by=_or_null(_NAME),
                rule=_TEXT,
                x_unit=_or_null(_ref("unit")),
                unit=_ref("unit"),
                rows=_many(row),
            )
        ),
        requires=_many(_object(that=_TEXT, say=_WORDS)),
        steps=_many(_ref("step")),
        curve=_or_null(_object(across=_NAME, of=_NAME, low=_ref("amount"), high=_ref("amount"))),
        picture=_or_null(_object(kind=_TEXT, of=_many(_NAME), across=_or_null(_NAME))),
        one_way=_or_null(_WORDS),
        start=_ref("answer"),
        examples=_many(_EXAMPLE),
        holds_for=_or_null(_WORDS),
        caution=_or_null(_WORDS),
        inherited_caution=_or_null(_WORDS),
        claims=_many(_ref("claim")),
        terms=_many(_object(id=_ID, caution=_or_null(_WORDS), inherited_caution=_or_null(_WORDS))),
        history=_many(_ref("change")),
        was=_many(_ID),
        sources=_many(_ref("source")),
    )


def schemas() -> dict[str, JsonSchema]:
    """The schema of each kind of document by its file name."""
    titled = {
        "index.json": ("All that api/v1/ holds", _index()),
        "term.json": ("One term: api/v1/terms/<id>.json", _term()),
        "gear.json": ("Kinds of gear and words of danger: api/v1/gear.json", _gear()),
        "calculator.json": ("One calculator: api/v1/calculators/<id>.json", _calculator()),
    }
    return {
        name: {"$schema": DRAFT, "title": title, "definitions": dict(_DEFINITIONS), **schema}
        for name, (title, schema) in titled.items()
    }


def files() -> dict[str, str]:
    """The text of every schema by its path in the site."""
    return {f"{ROOT}/{name}": json.dumps(schema, indent=1) + "\n" for name, schema in schemas().items()}
