"""A file of site_templates/drawings/ becomes a tree of shapes that is safe to stand inside a page.

What is not named here may not stand in a drawing: shapes and words only, colours only by class. So nothing in it can
run, fetch, restyle the page or answer to an id of the page. Must not know entries, gear or pages.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from xml.parsers import expat

from hangtag.problems import Problems, Span, near_hint
from hangtag.resources import TEMPLATES

FOLDER = "drawings"
PART = "part-"  # <g id="part-zip"> is the part `zip`
_MOST_BYTES = 60_000
_MOST_NESTED = 12
_NAMESPACE = "http://www.w3.org/2000/svg"
_FILE_NAME = re.compile(r"[a-z0-9-]+\.svg")
_PART_ID = re.compile(rf"{PART}[a-z0-9-]+")
_WORDS = frozenset(("text", "tspan"))
_SHAPES: Mapping[str, frozenset[str]] = {
    "svg": frozenset(("xmlns", "viewBox")),
    "g": frozenset(("id",)),
    "path": frozenset(("d",)),
    "line": frozenset(("x1", "y1", "x2", "y2")),
    "polyline": frozenset(("points",)),
    "polygon": frozenset(("points",)),
    "rect": frozenset(("x", "y", "width", "height", "rx", "ry")),
    "circle": frozenset(("cx", "cy", "r")),
    "ellipse": frozenset(("cx", "cy", "rx", "ry")),
    "text": frozenset(("x", "y", "text-anchor")),
    "tspan": frozenset(("x", "y", "dx", "dy", "text-anchor")),
}
_ANYWHERE = frozenset(("class", "transform", "stroke-dasharray"))
_COLOURS = frozenset(("fill", "stroke", "color", "style", "opacity", "stroke-width", "font-size"))


@dataclass(frozen=True)
class Shape:
    """One element of a drawing; its children are shapes, and words where it is text."""

    name: str
    attributes: Mapping[str, str]
    children: Sequence[Shape | str] = ()

    @property
    def part(self) -> str | None:
        """The name of the part that this group is."""
        its_id = self.attributes.get("id", "")
        return its_id.removeprefix(PART) if its_id.startswith(PART) else None

    def walk(self) -> Iterator[Shape]:
        """This shape and every one inside it, in the order they are drawn."""
        yield self
        for child in self.children:
            if isinstance(child, Shape):
                yield from child.walk()


def is_file_name(name: str) -> bool:
    """Whether this is a name that a drawing's file may have; no path."""
    return _FILE_NAME.fullmatch(name) is not None


def find_drawing(roots: Sequence[Path], name: str) -> Path | None:
    """The file of this name in the nearest of the books in `roots` that has one."""
    files = (root / TEMPLATES / FOLDER / name for root in roots)
    return next((file for file in files if file.is_file()), None) if is_file_name(name) else None


def read_drawing(file: Path, problems: Problems) -> Shape | None:
    """The `svg` element of a file, or None and at least one Problem."""
    its_problems = Problems()
    root = _Reader(file, its_problems).read()
    problems.extend(its_problems.sorted())
    return None if its_problems else root


@dataclass
class _Open:
    """An element whose end has not come yet."""

    name: str
    attributes: dict[str, str]
    children: list[Shape | str] = field(default_factory=list)


class _StopError(Exception):
    """Nothing more of the file is read."""


class _Reader:
    """Reads one file; every element that may not stand in a drawing leaves a Problem with its place."""

    def __init__(self, file: Path, problems: Problems) -> None:
        self._path = str(file)
        self._problems = problems
        self._open: list[_Open] = [_Open("", {})]
        self._parts: set[str] = set()
        self._bytes = b""
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._words
        self._parser.StartDoctypeDeclHandler = self._doctype

    def read(self) -> Shape | None:
        try:
            self._bytes = Path(self._path).read_bytes()
            if len(self._bytes) > _MOST_BYTES:
                self._problems.add("drawing-too-large", self._path, size=len(self._bytes), most=_MOST_BYTES)
                return None
            self._parser.Parse(self._bytes, True)
        except _StopError:
            return None
        except OSError as error:
            self._problems.add("drawing-unreadable", self._path, reason=error.strerror or "no such file")
        except expat.ExpatError as error:
            span = Span(error.lineno, error.offset + 1, error.lineno, error.offset + 2)
            self._problems.add("drawing-unreadable", self._path, span, reason=expat.ErrorString(error.code))
        root = self._open[0].children[0] if self._open[0].children else None
        return root if isinstance(root, Shape) else None

    # ---------------------------------------------------------------------------------------------- what expat calls

    def _doctype(self, *_: object) -> None:
        self._add("drawing-doctype", b"<!DOCTYPE", start=0)
        raise _StopError  # before an entity that it declares can be used

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        is_root = len(self._open) == 1
        if is_root:
            self._root(name, attributes)
        elif len(self._open) > _MOST_NESTED:
            self._add("drawing-too-deep", name.encode(), most=_MOST_NESTED)
        elif name not in _SHAPES or name == "svg":
            may = ", ".join(sorted(set(_SHAPES) - {"svg"}))
            self._add("drawing-element", name.encode(), name=name, hint=f"A drawing holds {may}.")
        self._attributes(name, attributes)
        self._open.append(_Open(name, attributes))

    def _end(self, _: str) -> None:
        done = self._open.pop()
        self._open[-1].children.append(Shape(done.name, done.attributes, tuple(done.children)))

    def _words(self, words: str) -> None:
        if self._open[-1].name in _WORDS:
            self._open[-1].children.append(re.sub(r"\s+", " ", words))

    # --------------------------------------------------------------------------------------------------- what is wrong

    def _root(self, name: str, attributes: dict[str, str]) -> None:
        if name != "svg" or attributes.get("xmlns") != _NAMESPACE:
            self._add("drawing-not-svg", name.encode(), namespace=_NAMESPACE)
        elif "viewBox" not in attributes:
            self._add("drawing-without-view-box", name.encode(), hint='Write viewBox="0 0 640 320".')
        elif not _is_view_box(attributes["viewBox"]):
            self._add("drawing-view-box", b"viewBox")

    def _attributes(self, name: str, attributes: dict[str, str]) -> None:
        allowed = _ANYWHERE | _SHAPES.get(name, frozenset())
        for attribute in attributes if name in _SHAPES else ():
            if attribute not in allowed:
                self._add("drawing-attribute", attribute.encode(), name=attribute, hint=_instead(attribute, allowed))
        for word in attributes.get("class", "").split():
            if not word.startswith("d-"):
                self._add("drawing-class", word.encode(), name=word)
        if name == "g" and "id" in attributes:
            self._part(attributes["id"])

    def _part(self, its_id: str) -> None:
        if not _PART_ID.fullmatch(its_id):
            self._add("drawing-id", its_id.encode(), id=its_id)
        elif its_id in self._parts:
            self._add("drawing-id-twice", its_id.encode(), id=its_id)
        self._parts.add(its_id)

    def _add(self, code: str, word: bytes, start: int | None = None, **rest: object) -> None:
        """Note a Problem at the next `word` from byte `start`, which is where the parser stands."""
        start = self._parser.CurrentByteIndex if start is None else start
        found = re.compile(rb"(?<![\w-])" + re.escape(word)).search(self._bytes, start)
        before = self._bytes[: found.start() if found else start].decode("utf-8", "replace")
        line, column = before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
        length = len(word.decode("utf-8", "replace"))
        self._problems.add(code, self._path, Span(line, column, line, column + length), **rest)


def _is_view_box(text: str) -> bool:
    numbers = re.fullmatch(r"\s*(?:-?\d+(?:\.\d+)?[\s,]+){2}(\d+(?:\.\d+)?)[\s,]+(\d+(?:\.\d+)?)\s*", text)
    return numbers is not None and all(float(size) > 0 for size in numbers.groups())


def _instead(attribute: str, allowed: frozenset[str]) -> str | None:
    if attribute in _COLOURS:
        return "Colours and sizes come from the styles: give it a class such as d-line or d-text."
    if attribute in {"width", "height"}:
        return "Its width comes from the page, its shape from viewBox."
    return near_hint(attribute, allowed)
