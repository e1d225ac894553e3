"""A drawing as a figure inside a page: SVG in the page itself, so that it takes the page's colours, light and dark.

A part that an entry explains is a link for the pointer; the same links stand below it as text, for the keyboard and the
ear, so that none of them is met twice. Must not decide which drawings a page has.
"""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup, escape

from hangtag import markup
from hangtag.drawings import Shape, find_drawing, read_drawing
from hangtag.entries import Drawing
from hangtag.pages.writer import Writer, entry_path
from hangtag.problems import Problems


def figure(w: Writer, drawing: Drawing, *, listed: bool = True) -> Markup:
    """A drawing as one block of raw HTML that begins at column 0, its parts linked to their entries.

    `listed` adds the parts' links as a line below; without it, the page must hold them somewhere else.
    Raises ProblemError where the file is missing or holds what may not stand in a drawing (`check` tells it first).
    """
    problems = Problems()
    file = find_drawing((w.book.root, *w.book.parents), drawing.file)
    root = read_drawing(file, problems) if file else None
    if file is None:
        problems.add("drawing-missing", span=drawing.span, file=drawing.file)
    problems.raise_if_any()
    assert root is not None  # noqa: S101  for the type checker: without a Problem there is a drawing
    alt = w.words(drawing.alt)
    links = _links(w, drawing) if listed and drawing.parts else Markup("")
    if drawing.parts:
        # An image may hold nothing that takes focus, so here the words stand beside it.
        head = Markup(' aria-hidden="true" focusable="false"')
        words = Markup('<p class="ht-heard">{}</p>\n').format(alt)
    else:
        head = Markup(' role="img" aria-label="{}"').format(alt)
        words = Markup("")
    svg = _element(root, drawing.parts, head)
    return Markup('<figure class="ht-drawing">\n{}{}\n{}</figure>\n').format(words, svg, links)


def _links(w: Writer, drawing: Drawing) -> Markup:
    """The entries of the parts, each once, in the order in which the author names them."""
    names = [(entry, w.words(w.book.entries[entry].name)) for entry in dict.fromkeys(drawing.parts.values())]
    links = [Markup('<a href="{}">{}</a>').format(_target(entry), name) for entry, name in names]
    label = Markup('<span class="ht-label">{}</span>').format(w.say("entry-parts"))
    return Markup('<figcaption class="ht-parts">{} {}</figcaption>\n').format(label, Markup(", ").join(links))


def _target(entry: str) -> str:
    return markup.target(entry_path(entry))


def _element(shape: Shape, parts: Mapping[str, str], more: Markup = Markup("")) -> Markup:  # noqa: B008  never changed
    """An element without the ids of its file, which might be ids of the page too; a linked part inside its link."""
    kept = [(name, value) for name, value in shape.attributes.items() if name not in {"id", "xmlns"}]
    attributes = Markup("").join(Markup(' {}="{}"').format(name, value) for name, value in kept)
    if shape.part:
        attributes += Markup(' data-part="{}"').format(shape.part)
    start = Markup("<{}{}{}").format(shape.name, attributes, more)
    inner = Markup("").join(
        _element(child, parts) if isinstance(child, Shape) else escape(child) for child in shape.children
    )
    whole = Markup("{}>{}</{}>").format(start, inner, shape.name) if shape.children else start + Markup("/>")
    entry = parts.get(shape.part or "")
    return Markup('<a href="{}" tabindex="-1">{}</a>').format(_target(entry), whole) if entry else whole
