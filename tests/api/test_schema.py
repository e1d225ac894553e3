"""The documents and their published schema agree both ways: every document is as described, every key is described."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import jsonschema
import pytest

from hangtag import api, api_schema
from hangtag.book import Book
from hangtag.site import site_files


def kind_of(path: str) -> str:
    """The schema of a document: api/v1/terms/denier.json is a term.json."""
    folder, name = path.split("/")[-2:]
    return name if folder == "v1" else f"{folder.removesuffix('s')}.json"


def closed(schema: Any) -> Any:  # noqa: ANN401  any part of a schema
    """The same schema, where a key that is not described is a mistake."""
    if isinstance(schema, dict):
        inner = {key: closed(value) for key, value in schema.items()}
        return {**inner, "additionalProperties": False} if "properties" in schema and "required" in schema else inner
    return [closed(part) for part in schema] if isinstance(schema, list) else schema


@pytest.mark.parametrize("which", ["reference", "shared"])
def test_every_document_is_as_published(which: str, request: pytest.FixtureRequest) -> None:
    book: Book = request.getfixturevalue(which)
    checks = {name: jsonschema.Draft7Validator(closed(schema)) for name, schema in api_schema.schemas().items()}
    documents = api.documents(book)
    assert len(documents) == len(book.entries) + len(book.calculators) + 2
    for path, text in documents.items():
        faults = [error.message for error in checks[kind_of(path)].iter_errors(json.loads(text))]
        assert faults == [], path


@pytest.mark.parametrize("name", ["index.json", "term.json", "calculator.json", "gear.json"])
def test_a_schema_is_one_and_can_refuse(name: str, shared: Book) -> None:
    schema = api_schema.schemas()[name]
    jsonschema.Draft7Validator.check_schema(schema)
    document = json.loads(next(text for path, text in api.documents(shared).items() if kind_of(path) == name))
    check = jsonschema.Draft7Validator(schema)
    assert check.is_valid({**document, "a_key_of_tomorrow": 1})
    for key in document:
        assert not check.is_valid({other: value for other, value in document.items() if other != key}), key


def test_the_index_has_a_hash_of_every_document(shared: Book) -> None:
    documents = api.documents(shared)
    index = json.loads(documents["api/v1/index.json"])
    for listed in (*index["terms"], *index["calculators"]):
        text = documents[listed["document"]]
        assert listed["hash"] == f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def test_the_schema_is_in_the_site(shared: Book) -> None:
    published = {file.path: file.content for file in site_files(shared) if file.path.startswith(api_schema.ROOT)}
    assert published == api_schema.files()
    assert set(published) == {f"api/v1/schema/{name}" for name in api_schema.schemas()}
