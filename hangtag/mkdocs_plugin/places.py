"""Where a Problem belongs on the pages of a book: from its file and line to a page and the part of that page.

Told from the text of the file alone, since a broken file has no nodes. Must not know HTML nor how a page looks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import PurePath

from hangtag.problems import Problem, text_of_file
from hangtag.resources import CALCULATORS, TERMS

# (attribute, value) of the element that a part is shown in
Part = tuple[str, str]
_LINE = re.compile(r"( *)((?:- +)?)(?:([A-Za-z_][\w.-]*|\"[^\"]+\") *:(?= |$))?")
_ADDS = ".adds"
_OF_ENTRY = {
    "scale": "scale",
    "reads": "on-a-tag",
    "text": "meaning",
    "needs_time": "meaning",
    "drawing": "meaning",
    "calculators": "calculators",
    "ask": "ask",
    "watch_out": "misleads",
    "caution": "caution",
    "measured_by": "measured",
    "see": "see-also",
    "sources": "sources",
}
_OF_CALCULATOR = {"constants": "numbers", "tables": "numbers", "examples": "examples", "sources": "formula"}
_INSIDE = {
    "question": ("class", "ht-calc-question"),
    "caution": ("class", "ht-caution"),
    "curve": ("data-part", "curve"),
    "one_way": ("class", "ht-hint ht-one-way"),
    "holds_for": ("class", "ht-holds"),
    "requires": ("class", "ht-refusal"),
}


@dataclass(frozen=True)
class Place:
    """A page by its Markdown path, and what of it a Problem is about; without parts, the page as a whole.

    `calculator` is the id of the calculator whose block holds the part, on whichever page it stands; `example` is the
    number, from 1, of its worked example.
    """

    page: str
    parts: tuple[Part, ...] = ()
    calculator: str | None = None
    example: int | None = None


def place_of(problem: Problem) -> Place | None:
    """The place of a Problem; None where no page shows what its file says."""
    if problem.path is None:
        return None
    path = PurePath(problem.path)
    keys = keys_at(text_of_file(problem.path) or "", problem.span.line) if problem.span else ()
    if path.name.startswith("_"):
        return _of_group(path.name, keys)
    if path.parent.name == CALCULATORS:
        return _of_calculator(path.stem, keys)
    if path.parent.parent.name == TERMS:
        anchor = _OF_ENTRY.get(keys[0]) if keys else None
        return Place(f"terms/{path.stem.removesuffix(_ADDS)}.md", (("id", anchor),) if anchor else ())
    return None


def _of_group(name: str, keys: tuple[str, ...]) -> Place | None:
    if name == "_areas.yml" and keys:
        return Place(f"areas/{keys[0]}.md")
    if name == "_sources.yml":
        return Place("sources.md", (("id", keys[0]),) if keys else ())
    if name == "_gear.yml" and len(keys) > 1 and keys[0] == "kinds":
        return Place(f"gear/{keys[1]}.md")
    return None


def _of_calculator(its_id: str, keys: tuple[str, ...]) -> Place:
    page = f"calculators/{its_id}/index.md"
    key = keys[0] if keys else ""
    name = keys[1] if len(keys) > 1 else ""
    number = int(name) if key == "examples" and name.isdigit() else None
    parts: list[Part] = []
    if key == "inputs" and name:
        parts.append(("data-input", name))
    if key in ("outputs", "working") and name:
        parts.append(("data-step", name))
    if key in _INSIDE:
        parts.append(_INSIDE[key])
    if key in _OF_CALCULATOR:
        parts.append(("id", _OF_CALCULATOR[key]))
    return Place(page, tuple(parts), its_id, number)


def keys_at(text: str, line: int) -> tuple[str, ...]:
    """The keys above and on a line of YAML, outermost first; items of a list by their number, from 1."""
    keys: list[str] = []
    depth = float("inf")  # how far in the innermost key found so far stands
    items: int | None = None  # where the dashes of the list stand that is being counted
    for written in reversed(text.split("\n")[:line]):
        match = _LINE.match(written)
        if match is None or not written.strip() or written.lstrip().startswith("#"):
            continue
        indent, dash, key = len(match[1]), match[2], match[3]
        if dash and indent == items:
            keys[0] = str(int(keys[0]) + 1)
            continue
        inner = indent + len(dash)
        if key and inner < depth:
            keys.insert(0, key.strip('"'))
            depth, items = inner, None
        if dash and indent < depth:
            keys.insert(0, "1")
            depth, items = indent + 0.5, indent  # the key of a list may stand as far in as its dashes
    return tuple(keys)
