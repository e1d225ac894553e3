"""YAML text to nodes that remember their place; every scalar stays text.

PyYAML's events are read, not its trees: anchors, tags and duplicate keys are refused here, where they can be seen.
Must not know what any key means.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import yaml

from hangtag.problems import Label, Problems, Span

DEEPEST = 20
LARGEST = 2_000_000  # bytes; a file of words is a few thousand

# What libyaml says, and what an author should do.
_SYNTAX_HINTS = {
    "mapping values are not allowed": "Text with a colon and a space in it wants quotes.",
    "cannot start any token": "Text that begins with % @ or ` wants quotes.",
    "expected ',' or": "A bracket is never closed, or a comma is missing.",
    "unexpected end of stream": "A quote is never closed.",
    "expected <block end>": "This line is indented unlike its neighbours.",
    "could not find expected ':'": "A key is followed by a colon and a space.",
}
_NEVER_CLOSED = ("expected ',' or", "unexpected end of stream")

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Scalar:
    """A piece of text. `style` is YAML's: None for plain, or one of ``' " | >``."""

    text: str
    span: Span
    style: str | None = None
    source: tuple[str, ...] = field(default=(), compare=False, repr=False)  # the lines of the file

    def place(self, start: int, end: int) -> Span:
        """Where characters start..end of `text` stand in the file. The whole scalar where that cannot be told."""
        if self.style == "|":
            first, last = self._in_block(start), self._in_block(end)
            return Span(first[0], first[1], last[0], last[1])
        if not self.has_places:
            return self.span
        column = self.span.column + (1 if self.style else 0)
        return Span(self.span.line, column + start, self.span.line, column + max(end, start))

    @property
    def has_places(self) -> bool:
        """Whether each character of `text` stands at one known place: a block, or one line without escapes."""
        if self.style == "|":
            return True
        if self.style == ">" or self.span.line != self.span.end_line:
            return False
        return self.span.end_column - self.span.column - (2 if self.style else 0) == len(self.text)

    def _in_block(self, offset: int) -> tuple[int, int]:
        before = self.text[:offset]
        down = before.count("\n")
        within = offset - (before.rfind("\n") + 1)
        line = self.span.line + 1 + down
        text_lines = self.text.split("\n")
        raw = self.source[line - 1] if line <= len(self.source) else ""
        indent = max(0, len(raw) - len(text_lines[down])) if down < len(text_lines) else 0
        return line, indent + within + 1


@dataclass(frozen=True)
class Mapping:
    """Keys and values in the order of the file."""

    items: tuple[tuple[Scalar, Node], ...]
    span: Span

    def get(self, key: str) -> Node | None:
        """The value of a key, or None."""
        return next((value for name, value in self.items if name.text == key), None)

    def key(self, key: str) -> Scalar | None:
        """The key itself, for its place."""
        return next((name for name, _ in self.items if name.text == key), None)


@dataclass(frozen=True)
class Sequence:
    """A list of nodes."""

    items: tuple[Node, ...]
    span: Span


Node = Scalar | Mapping | Sequence


def read_file(path: Path, problems: Problems) -> Node | None:
    """The node tree of a file; None, with a Problem, where there is none."""
    try:
        raw = path.read_bytes()
    except OSError as error:
        problems.add("file-unreadable", str(path), because=error.strerror or "unknown reason")
        return None
    return read_bytes(raw, str(path), problems)


def read_bytes(raw: bytes, path: str, problems: Problems) -> Node | None:
    """As `read_file`, from bytes already read."""
    if len(raw) > LARGEST:
        problems.add("file-too-large", path, size=f"{len(raw):,}", most=f"{LARGEST:,}")
        return None
    if raw.startswith(b"\xef\xbb\xbf"):
        problems.add("file-bom", path, Span(1, 1, 1, 2))
        return None
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        start = raw.rfind(b"\n", 0, error.start) + 1
        column = len(raw[start : error.start].decode("utf-8", "replace")) + 1
        problems.add("file-not-utf8", path, Span(line, column, line, column + 1))
        return None
    return read_text(text, path, problems)


def read_text(text: str, path: str, problems: Problems) -> Node | None:
    """As `read_file`, from text."""
    if _refused_character(text, path, problems):
        return None
    lines = tuple(text.split("\n"))
    builder = _Builder(text, path, problems, lines)
    try:
        return builder.document(yaml.parse(text, Loader=_Loader))
    except yaml.YAMLError as error:
        _syntax(error, path, problems)
    except _Stop:
        pass
    return None


def _refused_character(text: str, path: str, problems: Problems) -> bool:
    for number, line in enumerate(text.split("\n"), start=1):
        if line.endswith("\r"):
            problems.add("file-crlf", path, Span(number, len(line), number, len(line) + 1))
            return True
        indent = len(line) - len(line.lstrip(" \t"))
        tab = line.find("\t", 0, indent)
        if tab >= 0:
            problems.add("file-tab", path, Span(number, tab + 1, number, tab + 2))
            return True
        for column, character in enumerate(line, start=1):
            if (character < " " and character != "\t") or character in "\x7f\u0085\u2028\u2029\ufeff":
                problems.add(
                    "file-control-character",
                    path,
                    Span(number, column, number, column + 1),
                    point=f"{ord(character):04X}",
                )
                return True
    return False


def _syntax(error: yaml.YAMLError, path: str, problems: Problems) -> None:
    what = getattr(error, "problem", None) or "it cannot be read"
    mark, opened = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
    hint = next((say for words, say in _SYNTAX_HINTS.items() if words in what), None)
    if opened is not None and any(words in what for words in _NEVER_CLOSED):
        mark = opened  # the end of the file tells nothing; the opening mark does
    span = Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2) if mark else None
    problems.add("yaml-syntax", path, span, what=what, hint=hint)


class _Stop(Exception):
    pass


class _Builder:
    """Turns a stream of events into nodes."""

    def __init__(self, text: str, path: str, problems: Problems, lines: tuple[str, ...]) -> None:
        self._text = text
        self._path = path
        self._problems = problems
        self._lines = lines

    def document(self, events: Iterator[yaml.Event]) -> Node | None:
        node: Node | None = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self._stop("yaml-many-documents", event)
            elif isinstance(event, yaml.NodeEvent):
                node = self._node(event, events, 1)
        if node is None or (isinstance(node, Scalar) and node.text == "" and node.style is None):
            self._problems.add("file-empty", self._path)
            return None
        return node

    def _node(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Node:
        if isinstance(event, yaml.AliasEvent):
            self._stop("yaml-alias", event, name=event.anchor)
        anchor = getattr(event, "anchor", None)
        if anchor is not None:
            self._stop("yaml-anchor", event, name=anchor)
        tag = getattr(event, "tag", None)
        if tag is not None and tag != "!":
            self._stop("yaml-tag", event, tag=tag)
        if depth > DEEPEST:
            self._stop("yaml-too-deep", event, most=DEEPEST)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(event, events, depth)
        return self._mapping(event, events, depth)

    def _scalar(self, event: yaml.ScalarEvent) -> Scalar:
        style = event.style or None
        return Scalar(event.value, self._span(event), style if style in ("'", '"', "|", ">") else None, self._lines)

    def _sequence(self, start: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Sequence:
        items: list[Node] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                return Sequence(tuple(items), _between(start, event))
            items.append(self._node(event, events, depth + 1))
        raise _Stop  # pragma: no cover  the parser raises before its events run out

    def _mapping(self, start: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Mapping:
        items: list[tuple[Scalar, Node]] = []
        seen: dict[str, Scalar] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                return Mapping(tuple(items), _between(start, event))
            key = self._node(event, events, depth + 1)
            if not isinstance(key, Scalar):
                self._problems.add("yaml-key-not-text", self._path, key.span)
                raise _Stop
            value = self._node(next(events), events, depth + 1)
            if key.text in seen:
                self._problems.add(
                    "yaml-duplicate-key",
                    self._path,
                    key.span,
                    key=key.text,
                    labels=[Label(seen[key.text].span, "first here")],
                )
            else:
                seen[key.text] = key
                items.append((key, value))
        raise _Stop  # pragma: no cover

    def _span(self, event: yaml.Event) -> Span:
        return _between(event, event)

    def _stop(self, code: str, event: yaml.Event, **values: object) -> None:
        self._problems.add(code, self._path, self._span(event), **values)
        raise _Stop


def _between(start: yaml.Event, end: yaml.Event) -> Span:
    first, last = start.start_mark, end.end_mark
    if first is None or last is None:
        return Span(1, 1, 1, 1)
    return Span(first.line + 1, first.column + 1, last.line + 1, last.column + 1)
