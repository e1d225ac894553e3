"""The JSON Schema (draft-07) of every file of a book, for editors that complete and check while an author types.

Made from the tables of keys by which the files are read, so that editor and checker never differ. A schema knows the
shape of a file only: units, formulas and links are for `hangtag check`. Must not list a key of its own.
`python -m hangtag.schema DIR` writes the files.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from hangtag.book.groups import AREA_KEYS, GEAR_KEYS
from hangtag.calculator_reader import CALCULATOR_KEYS
from hangtag.entry_reader import ADDITION_KEYS, ENTRY_KEYS
from hangtag.shape import JsonSchema, schema_of
from hangtag.sources import BASIS_NEEDS, SOURCE_KEYS
from hangtag.units import UNIT_KEYS

DRAFT = "http://json-schema.org/draft-07/schema#"


def schemas() -> dict[str, JsonSchema]:
    """Every schema by its file name."""
    return {
        "term.json": _titled("A term: terms/<area>/<id>.yml", schema_of(ENTRY_KEYS)),
        "adds.json": _titled("An addition to an inherited term: terms/<area>/<id>.adds.yml", schema_of(ADDITION_KEYS)),
        "calculator.json": _titled("A calculator: calculators/<id>.yml", schema_of(CALCULATOR_KEYS)),
        "areas.json": _titled(
            "The areas: terms/_areas.yml, by id, in the order of the site", _by_id(schema_of(AREA_KEYS))
        ),
        "gear.json": _titled("Kinds of gear and words of danger: terms/_gear.yml", schema_of(GEAR_KEYS)),
        "sources.json": _titled("The bibliography: terms/_sources.yml, by id", _by_id(schema_of(SOURCE_KEYS))),
        "units.json": _titled("The units of a book: calculators/_units.yml, by id", _units()),
    }


def files() -> dict[str, str]:
    """The text of every schema by its file name."""
    return {name: json.dumps(schema, ensure_ascii=False, indent=2) + "\n" for name, schema in schemas().items()}


def write(folder: Path) -> None:
    """Write every schema into a folder. Raises OSError where that fails."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files().items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


def _titled(title: str, schema: JsonSchema) -> JsonSchema:
    return {"$schema": DRAFT, "title": title, **_with_basis_rules(schema)}


def _by_id(schema: JsonSchema) -> JsonSchema:
    return {"type": "object", "additionalProperties": schema}


def _units() -> JsonSchema:
    names = {
        "type": "object",
        "description": "Names of dimensions, each with a unit of it.",
        "additionalProperties": {"type": "string"},
    }
    return {**_by_id(schema_of(UNIT_KEYS)), "properties": {"dimensions": names}}


def _with_basis_rules(schema: Any) -> Any:  # noqa: ANN401  any part of a schema
    """The same schema, where everything that names its basis must also name what that basis needs."""
    if isinstance(schema, Mapping):
        inner = {key: _with_basis_rules(value) for key, value in schema.items()}
        properties = schema.get("properties")
        if isinstance(properties, Mapping) and "basis" in properties:
            inner["allOf"] = [
                {
                    "if": {"properties": {"basis": {"const": kind}}, "required": ["basis"]},
                    "then": {"required": [need for need in needs if need in properties]},
                }
                for kind, needs in BASIS_NEEDS.items()
                if needs
            ]
        return inner
    if isinstance(schema, list):
        return [_with_basis_rules(part) for part in schema]
    return schema


if __name__ == "__main__":
    write(Path(sys.argv[1]))
