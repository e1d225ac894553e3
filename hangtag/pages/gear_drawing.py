"""The drawing of a kind of gear: large with the words of its parts as links, or small as a picture to choose by.

A part's shapes lead the pointer to its entry; its words are the link that keyboard and ear meet. Must not decide which
kinds a page shows, nor read what may not stand in a drawing: that is `hangtag/drawings.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup, escape

from hangtag import markup
from hangtag.book import Gear
from hangtag.drawings import Shape, find_drawing, read_drawing
from hangtag.entries import Drawing, Entry
from hangtag.pages.writer import Writer, entry_path
from hangtag.problems import Problems

MARK = "d-mark"  # lines and shapes in the accent's colour: they point, and are no part of the thing
LABEL = "d-label"  # the group of a part that holds its words and the line to them
FRAME = "d-frame"  # a rectangle around the thing alone, which the small form is cut to
EXTRA = "d-extra"  # what the small form leaves out: sections, tags, measures
_LETTER = 12.6  # units: the mean width of a letter of the words at their largest, on a phone
_ROOM = 52  # units: at the width of a phone that is the height a finger needs
_BASELINE = 33  # units from the top of that room to the line the words stand on


@dataclass(frozen=True)
class Part:
    """A part of a drawing: the words beside it, and the entry that explains it."""

    name: str
    words: str
    entry: Entry


def parts(w: Writer, drawing: Drawing) -> tuple[Part, ...]:
    """The parts that lead to entries, in the order of the author's list."""
    words = {shape.part: _words_of(shape) for shape in _root(w, drawing).walk() if shape.part}
    return tuple(
        Part(name, words.get(name) or name.replace("-", " ").capitalize(), w.book.entries[entry])
        for name, entry in drawing.parts.items()
    )


def large(w: Writer, drawing: Drawing) -> Markup:
    """The labelled drawing as one SVG element whose parts are links.

    Raises ProblemError where the file is missing or holds what may not stand in a drawing (`check` tells it first).
    """
    root = _root(w, drawing)
    head = Markup(' role="group" aria-label="{}"').format(w.words(drawing.alt))
    found = {part.name: part for part in parts(w, drawing)}
    inner = Markup("").join(_drawn(w, child, found) for child in _shapes(root))
    return Markup("<svg{}{}>{}</svg>").format(_attributes(root), head, inner)


def small(w: Writer, kind: Gear) -> Markup | None:
    """The thing alone, without words and what points at it, for a place that names it; None without a drawing."""
    if kind.drawing is None:
        return None
    root = _root(w, kind.drawing)
    frame = next((shape for shape in root.walk() if FRAME in _classes(shape)), None)
    box = root.attributes["viewBox"]
    if frame is not None:
        box = " ".join(frame.attributes.get(side, "0") for side in ("x", "y", "width", "height"))
    inner = Markup("").join(_bare(child) for child in _shapes(root))
    return Markup('<svg class="ht-gear-small" viewBox="{}" aria-hidden="true" focusable="false">{}</svg>').format(
        box, inner
    )


def _root(w: Writer, drawing: Drawing) -> Shape:
    problems = Problems()
    file = find_drawing((w.book.root, *w.book.parents), drawing.file)
    root = read_drawing(file, problems) if file else None
    if file is None:
        problems.add("drawing-missing", span=drawing.span, file=drawing.file)
    problems.raise_if_any()
    assert root is not None  # noqa: S101  for the type checker: without a Problem there is a drawing
    return root


def _shapes(of: Shape) -> Iterator[Shape]:
    return (child for child in of.children if isinstance(child, Shape) and FRAME not in _classes(child))


def _classes(shape: Shape) -> list[str]:
    return shape.attributes.get("class", "").split()


def _words_of(part: Shape) -> str:
    """The first words of a part's label: what people call it; the entry's name stands below them."""
    texts = (shape for label in part.walk() if LABEL in _classes(label) for shape in label.walk())
    first = next((shape for shape in texts if shape.name == "text"), None)
    return "".join(_text(first)).strip() if first else ""


def _text(shape: Shape) -> Iterator[str]:
    for child in shape.children:
        if isinstance(child, Shape):
            yield from _text(child)
        else:
            yield child


# ------------------------------------------------------------------------------------------------------ the large form


def _drawn(w: Writer, shape: Shape, found: dict[str, Part]) -> Markup:
    part = found.get(shape.part or "")
    if part is None:
        return _element(shape, Markup("").join(_drawn(w, child, found) for child in _shapes(shape)))
    seen: list[Markup] = []
    words: list[Shape] = []
    for child in _shapes(shape):
        if LABEL in _classes(child):
            texts = [each for each in _shapes(child) if each.name == "text"]
            words += texts
            seen += [_whole(each) for each in _shapes(child) if each not in texts]
        else:
            seen.append(_whole(child))
    address = markup.target(entry_path(part.entry.id))
    shapes = Markup('<a href="{}" tabindex="-1" aria-hidden="true">{}</a>').format(address, Markup("").join(seen))
    return Markup('<g data-part="{}">{}{}</g>').format(part.name, shapes, _link(w, part, address, words))


def _link(w: Writer, part: Part, address: str, words: list[Shape]) -> Markup:
    if not words:
        return Markup("")
    name = w.say("gear-part", part=part.words, entry=w.words(part.entry.name))
    texts = Markup("").join(_whole(each) for each in words)
    return Markup('<a class="ht-gear-link" href="{}" aria-label="{}">{}{}</a>').format(
        address, name, _room(words[0]), texts
    )


def _room(text: Shape) -> Markup:
    """A clear rectangle behind the words, so that a finger finds them and a ring can stand around them."""
    width = len("".join(_text(text))) * _LETTER + 16
    x, y = float(text.attributes.get("x", 0)), float(text.attributes.get("y", 0))
    left = {"end": x - width + 8, "middle": x - width / 2}.get(text.attributes.get("text-anchor", ""), x - 8)
    return Markup('<rect class="ht-gear-room" x="{:g}" y="{:g}" width="{:g}" height="{}" rx="4"/>').format(
        left, y - _BASELINE, width, _ROOM
    )


def _whole(shape: Shape) -> Markup:
    if shape.name in {"text", "tspan"}:
        words = (_whole(child) if isinstance(child, Shape) else escape(child) for child in shape.children)
        return _element(shape, Markup("").join(words))
    return _element(shape, Markup("").join(_whole(child) for child in _shapes(shape)))


def _element(shape: Shape, inner: Markup) -> Markup:
    head = Markup("<{}{}").format(shape.name, _attributes(shape))
    return Markup("{}>{}</{}>").format(head, inner, shape.name) if inner else head + Markup("/>")


def _attributes(shape: Shape) -> Markup:
    """The attributes without the ids of the file, which might be ids of the page too."""
    return Markup("").join(
        Markup(' {}="{}"').format(name, value)
        for name, value in shape.attributes.items()
        if name not in {"id", "xmlns"}
    )


# ------------------------------------------------------------------------------------------------------ the small form


def _bare(shape: Shape) -> Markup:
    classes = _classes(shape)
    if shape.name == "text" or any(name in (LABEL, EXTRA) or name.startswith(MARK) for name in classes):
        return Markup("")
    inner = Markup("").join(_bare(child) for child in _shapes(shape))
    if shape.name == "g":
        return _element(shape, inner) if inner and "transform" in shape.attributes else inner
    return _element(shape, inner)
