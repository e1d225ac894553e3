"""Reading typed parts out of nodes, with a Problem for everything that is not as it should be.

A table of `Key`s says which keys a mapping may have; the JSON Schema is made from the same tables, so that editor and
checker never differ. Must not know any one file's meaning.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterator
from collections.abc import Mapping as MappingType
from dataclasses import dataclass
from typing import Any

from hangtag.problems import Problems, Span, near_hint
from hangtag.strings import DEFAULT_LANGUAGE, LocalText
from hangtag.yaml_source import Mapping, Node, Scalar, Sequence

JsonSchema = dict[str, Any]

LINE: JsonSchema = {"type": ["string", "number", "boolean"]}
WORD: JsonSchema = {"type": "string", "pattern": "^[a-z0-9][a-z0-9-]*$"}
DATE: JsonSchema = {"type": ["string", "integer"], "pattern": "^[0-9]{4}(-[0-9]{2}){0,2}$"}
TEXT: JsonSchema = {"anyOf": [LINE, {"type": "object", "additionalProperties": LINE, "minProperties": 1}]}
AMOUNT: JsonSchema = {"type": ["string", "number"], "description": "A number and its unit, such as 20 kPa."}
YES_NO: JsonSchema = {"type": "boolean"}


def many(item: JsonSchema) -> JsonSchema:
    """The schema of a list of items."""
    return {"type": "array", "items": item}


def named(item: JsonSchema) -> JsonSchema:
    """The schema of a mapping from names to items."""
    return {"type": "object", "additionalProperties": item}


@dataclass(frozen=True)
class Key:
    """One key of a mapping: what it is for, its JSON Schema, and whether it must be there."""

    says: str
    shape: JsonSchema
    required: bool = False


Keys = MappingType[str, Key]


def schema_of(keys: Keys) -> JsonSchema:
    """The JSON Schema of a mapping with these keys and no others."""
    schema: JsonSchema = {
        "type": "object",
        "properties": {name: {**key.shape, "description": key.says} for name, key in keys.items()},
        "additionalProperties": False,
    }
    required = [name for name, key in keys.items() if key.required]
    return {**schema, "required": required} if required else schema


class Fields:
    """A mapping read key by key. Unknown and missing keys are noted as Problems when it is made."""

    def __init__(  # noqa: PLR0913  each says one thing about the place
        self,
        node: Node,
        keys: Keys,
        path: str,
        problems: Problems,
        what: str,
        languages: Collection[str] = (DEFAULT_LANGUAGE,),
    ) -> None:
        self.path = path
        self.problems = problems
        self.languages = languages
        self.span = node.span
        if not isinstance(node, Mapping):
            self.add("not-a-mapping", node.span, what=what)
            self.node = Mapping((), node.span)
            return
        self.node = node
        for written, _ in node.items:
            if written.text not in keys:
                self.add("unknown-key", written.span, key=written.text, what=what, hint=near_hint(written.text, keys))
        for name, key in keys.items():
            if key.required and node.get(name) is None:
                self.add("missing-key", _first_line(node.span), key=name, what=what)

    def add(self, code: str, span: Span | None, **rest: Any) -> None:  # noqa: ANN401  as Problems.add
        """Note a Problem in this file."""
        self.problems.add(code, self.path, span, **rest)

    def get(self, name: str) -> Node | None:
        """The node of a key, or None."""
        return self.node.get(name)

    def has(self, name: str) -> bool:
        """Whether the key is there."""
        return self.node.get(name) is not None

    def place(self, name: str) -> Span:
        """The place of a key's value, or of the mapping where the key is missing."""
        node = self.node.get(name)
        return node.span if node is not None else _first_line(self.span)

    def places(self) -> dict[str, Span]:
        """The place of every value by key, for Problems found later."""
        return {key.text: value.span for key, value in self.node.items}

    def scalar(self, name: str) -> Scalar | None:
        """The text of a key with its place."""
        node = self.get(name)
        return None if node is None else self.as_scalar(node, name)

    def line(self, name: str) -> str | None:
        """The text of a key."""
        scalar = self.scalar(name)
        return scalar.text if scalar else None

    def text(self, name: str) -> LocalText | None:
        """A text that may be written by language."""
        node = self.get(name)
        return None if node is None else self.as_text(node, name)

    def texts(self, name: str) -> tuple[LocalText, ...]:
        """A list of texts; a mapping by language to lists becomes one text for each place in the lists."""
        node = self.get(name)
        if isinstance(node, Mapping):
            return self._texts_by_language(node, name)
        found = (self.as_text(item, name) for item in self.items(name))
        return tuple(text for text in found if text is not None)

    def scalars(self, name: str) -> tuple[Scalar, ...]:
        """A list of texts with their places."""
        found = (self.as_scalar(item, name) for item in self.items(name))
        return tuple(scalar for scalar in found if scalar is not None)

    def lines(self, name: str) -> tuple[str, ...]:
        """A list of texts."""
        return tuple(scalar.text for scalar in self.scalars(name))

    def items(self, name: str) -> tuple[Node, ...]:
        """The nodes of a list."""
        node = self.get(name)
        if node is None:
            return ()
        if not isinstance(node, Sequence):
            self.add("not-a-list", node.span, key=name)
            return ()
        return node.items

    def pairs(self, name: str) -> Iterator[tuple[Scalar, Node]]:
        """The keys and nodes of a mapping."""
        node = self.get(name)
        if node is None:
            return iter(())
        if not isinstance(node, Mapping):
            self.add("not-a-mapping", node.span, what=name)
            return iter(())
        return iter(node.items)

    def date(self, name: str, *, not_after: dt.date | None = None) -> str | None:
        """A date as `2026-11-25`, `2026-11` or `2026`."""
        scalar = self.scalar(name)
        if scalar is None:
            return None
        parsed = _date(scalar.text)
        if parsed is None:
            self.add("bad-date", scalar.span, text=scalar.text)
            return None
        if not_after is not None and parsed > not_after:
            self.add("date-in-future", scalar.span, text=scalar.text)
        return scalar.text

    def yes(self, name: str) -> bool:
        """`true` or `false`; a missing key is false."""
        scalar = self.scalar(name)
        if scalar is None:
            return False
        if scalar.text not in ("true", "false"):
            self.add("not-true-or-false", scalar.span, key=name, text=scalar.text)
        return scalar.text == "true"

    def count(self, name: str, default: int) -> int:
        """A whole number from 0 to 15."""
        scalar = self.scalar(name)
        if scalar is None:
            return default
        if not (scalar.text.isascii() and scalar.text.isdigit() and int(scalar.text) <= 15):  # noqa: PLR2004
            self.add("not-a-count", scalar.span, key=name, text=scalar.text)
            return default
        return int(scalar.text)

    def as_scalar(self, node: Node, name: str) -> Scalar | None:
        """A node that must be text."""
        if not isinstance(node, Scalar):
            self.add("not-a-text", node.span, key=name)
            return None
        if not node.text.strip():
            self.add("empty-text", node.span, key=name)
            return None
        return node

    def as_text(self, node: Node, name: str) -> LocalText | None:
        """A node that must be text, or texts by language."""
        if not isinstance(node, Mapping):
            scalar = self.as_scalar(node, name)
            if scalar is None:
                return None
            return LocalText({DEFAULT_LANGUAGE: scalar.text.strip()}, scalar.span, {DEFAULT_LANGUAGE: _places(scalar)})
        by_language: dict[str, str] = {}
        places = {}
        for key, value in node.items:
            self._known_language(key)
            scalar = self.as_scalar(value, name)
            if scalar:
                by_language[key.text] = scalar.text.strip()
                places[key.text] = _places(scalar)
        return LocalText(by_language, node.span, places) if by_language else None

    def _texts_by_language(self, node: Mapping, name: str) -> tuple[LocalText, ...]:
        # A language may have more names than another: what one has alone is shown in every language.
        columns: list[dict[str, str]] = []
        for key, value in node.items:
            self._known_language(key)
            if not isinstance(value, Sequence):
                self.add("not-a-list", value.span, key=name)
                continue
            for index, item in enumerate(value.items):
                scalar = self.as_scalar(item, name)
                while len(columns) <= index:
                    columns.append({})
                if scalar:
                    columns[index][key.text] = scalar.text.strip()
        return tuple(LocalText(column, node.span) for column in columns if column)

    def _known_language(self, key: Scalar) -> None:
        if key.text not in self.languages:
            self.add(
                "unknown-language",
                key.span,
                language=key.text,
                known=", ".join(sorted(self.languages)),
                hint=near_hint(key.text, self.languages),
            )


def _places(scalar: Scalar) -> Callable[[int, int], Span]:
    shift = len(scalar.text) - len(scalar.text.lstrip())
    return lambda start, end: scalar.place(start + shift, end + shift)


def _first_line(span: Span) -> Span:
    return span if span.line == span.end_line else Span(span.line, span.column, span.line, span.column + 1)


def _date(text: str) -> dt.date | None:
    parts = text.split("-")
    if not all(part.isascii() and part.isdigit() for part in parts):
        return None
    if [len(part) for part in parts] not in ([4], [4, 2], [4, 2, 2]):
        return None
    year, month, day = (*map(int, parts), 1, 1)[:3]
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None
