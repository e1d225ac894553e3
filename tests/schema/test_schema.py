"""Schemas are made from the tables that read the files; the reference book passes, mistakes of shape do not."""

from __future__ import annotations

import importlib
import json
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

import hangtag
from hangtag import schema
from hangtag.resources import reference_book
from hangtag.shape import Key, Keys

RESET = "python -m hangtag.schema site_templates/schema"


class EditorLoader(yaml.SafeLoader):
    """YAML as editors read it (the core schema of YAML 1.2): dates are text, `no` and `on` are words, 010 is ten."""


EditorLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", "tTfF"),
    ("null", r"^(?:~|null|Null|NULL|)$", "~nN\0"),
    ("int", r"^[-+]?[0-9]+$", "-+0123456789"),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", "-+.0123456789"),
):
    EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))


def kind(path: Path) -> str:
    """The schema that judges a file of a book."""
    if path.parent.name == "calculators" and not path.name.startswith("_"):
        return "calculator.json"
    if path.name.startswith("_"):
        return f"{path.stem[1:]}.json"
    return "adds.json" if path.name.endswith(".adds.yml") else "term.json"


def book_files() -> Iterator[Path]:
    """Every file of the reference book that has a schema."""
    root = reference_book()
    for folder in ("terms", "calculators"):
        yield from sorted((root / folder).rglob("*.yml"))


def errors(name: str, text: str) -> list[str]:
    """What a schema has against a text, as `place: message`."""
    document: Any = yaml.load(text, EditorLoader)  # noqa: S506  a loader of plain values
    validator = jsonschema.Draft7Validator(schema.schemas()[name])
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(document)]


@pytest.mark.parametrize("name", schema.schemas())
def test_each_is_a_good_schema_of_draft_7(name: str) -> None:
    jsonschema.Draft7Validator.check_schema(schema.schemas()[name])
    assert schema.schemas()[name]["$schema"] == "http://json-schema.org/draft-07/schema#"


@pytest.mark.parametrize("name", schema.schemas())
def test_each_property_is_described(name: str) -> None:
    def undescribed(part: Any, place: str) -> Iterator[str]:  # noqa: ANN401  any part of a schema
        if isinstance(part, dict):
            for key, value in part.get("properties", {}).items():
                if "const" not in value and not value.get("description", "").endswith((".", "`.")):
                    yield f"{place}.{key}"
            for key, value in part.items():
                yield from undescribed(value, f"{place}.{key}")
        elif isinstance(part, list):
            for index, value in enumerate(part):
                yield from undescribed(value, f"{place}[{index}]")

    assert list(undescribed(schema.schemas()[name], name)) == []


@pytest.mark.parametrize("path", list(book_files()), ids=lambda path: "/".join(path.parts[-2:]))
def test_every_file_of_the_reference_book_passes(path: Path) -> None:
    assert errors(kind(path), path.read_text(encoding="utf-8")) == []


def test_the_reference_book_has_files_of_each_kind() -> None:
    assert {kind(path) for path in book_files()} >= set(schema.schemas()) - {"adds.json"}


def test_the_files_beside_the_templates_are_up_to_date(project: Path) -> None:
    folder = project / "site_templates" / "schema"
    kept = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.json")}
    assert kept == schema.files(), f"run {RESET}"
    assert all(json.loads(text) for text in kept.values())


ADDS = "by: Larkmoor Hill Club\ndate: 2026-11-25\ntext: Bring two.\n"
TERM = "name: Loft\nin_short: How thick it is.\ntext: Words.\n"
SUM = """\
name: Sum
question: How much is it?
inputs: {a: {label: A, unit: m, range: [0, 2], start: 1}}
outputs: {b: {is: a, unit: m, label: B}}
examples: [{given: {a: 1 m}, gives: {b: 1 m}, basis: common practice}]
"""


@pytest.mark.parametrize(("name", "text"), [("adds.json", ADDS), ("term.json", TERM), ("calculator.json", SUM)])
def test_the_small_files_below_pass_before_they_are_spoilt(name: str, text: str) -> None:
    assert errors(name, text) == []


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("term.json", TERM + "scael: {}", "'scael' was unexpected"),
        ("term.json", TERM.replace("in_short", "inshort"), "'in_short' is a required property"),
        ("term.json", TERM + "ask: Is it thick?", "'Is it thick?' is not"),
        ("term.json", TERM + "reviewed: yesterday", "'yesterday' does not match"),
        ("term.json", TERM + "was: [Old Loft]", "'Old Loft' does not match"),
        ("term.json", TERM + "scale: {unit: mm, from: 0, to: 9, bands: []}", "'higher_is' is a required property"),
        ("term.json", TERM + "sources: [{basis: reported, source: x}]", "'of' is a required property"),
        ("term.json", TERM + "sources: [{basis: published, source: x}]", "'at' is a required property"),
        ("term.json", TERM + "sources: [{basis: hearsay}]", "'hearsay' is not one of"),
        ("term.json", "- a list", "is not of type 'object'"),
        ("adds.json", ADDS.replace("by:", "from:"), "'by' is a required property"),
        ("adds.json", ADDS + "name: Mine", "'name' was unexpected"),
        ("calculator.json", SUM.replace("outputs", "output"), "'outputs' is a required property"),
        ("calculator.json", SUM.replace("label: B", "digits: many, label: B"), "'many' is not of type 'integer'"),
        (
            "calculator.json",
            SUM.replace("[{given", "{given").replace("practice}]", "practice}"),
            "is not of type 'array'",
        ),
        ("calculator.json", SUM.replace("start: 1", "strat: 1"), "'strat' was unexpected"),
        ("calculator.json", SUM + "curve: {across: a}", "'of' is a required property"),
        ("calculator.json", SUM + "picture: {kind: pie, of: [b]}", "'pie' is not one of"),
        ("calculator.json", SUM + "tables: {t: {unit: m, rows: [{x: b, is: 1}]}}", "'basis' is a required property"),
        ("calculator.json", SUM + "tables: {t: {unit: m, rule: near, rows: []}}", "'near' is not one of"),
        ("calculator.json", SUM.replace("start: 1", "rows: {w: {unit: m}}"), "'label' is a required property"),
        ("calculator.json", SUM.replace("gives: {b: 1 m}", "gives: {b: {lowest: 1 m}}"), "is not valid under any"),
        ("sources.json", "iso-1: {kind: gossip, title: T}", "'gossip' is not one of"),
        ("units.json", "mm: {is: millimeter, says: millimetres, plural: mms}", "'plural' was unexpected"),
    ],
)
def test_mistakes_of_shape_are_refused(name: str, text: str, told: str) -> None:
    assert told in "\n".join(errors(name, text))


def tables() -> Iterator[tuple[str, Keys]]:
    """Every table of keys by which a file is read, wherever it stands in the engine."""
    for found in pkgutil.walk_packages(hangtag.__path__, "hangtag."):
        if found.name.endswith("__main__"):
            continue
        for name, value in vars(importlib.import_module(found.name)).items():
            if (
                name.endswith("_KEYS")
                and isinstance(value, dict)
                and all(isinstance(key, Key) for key in value.values())
            ):
                yield f"{found.name}.{name}", value


def descriptions(part: Any) -> Iterator[dict[str, str]]:  # noqa: ANN401  any part of a schema
    """What each mapping of a schema says of its keys."""
    if isinstance(part, dict):
        if isinstance(part.get("properties"), dict):
            yield {key: value.get("description", "") for key, value in part["properties"].items()}
        for value in part.values():
            yield from descriptions(value)
    elif isinstance(part, list):
        for value in part:
            yield from descriptions(value)


def test_each_key_that_a_reader_knows_is_described_in_a_schema() -> None:
    described = list(descriptions(list(schema.schemas().values())))
    found = dict(tables())
    assert {"hangtag.entry_reader.ENTRY_KEYS", "hangtag.calculator_reader.CALCULATOR_KEYS"} <= found.keys()
    missing = [
        name
        for name, keys in found.items()
        if not any({key: its.says for key, its in keys.items()}.items() <= told.items() for told in described)
    ]
    assert missing == []
