"""What a live preview writes into a page as it is served: problems beside the parts they are about, a bar, and "holds".

Works on the finished HTML, so that built sites never hold any of it. Must not build pages nor judge a book.
"""

from __future__ import annotations

import html
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hangtag.book import Book
from hangtag.mkdocs_plugin.places import Part, Place
from hangtag.pages import strongest_example

# (calculator, number of one of its examples)
ExampleId = tuple[str, int]
_EXAMPLE = '<div class="ht-example">'
_STYLE = """<style>
.ht-preview-problem,.ht-preview-bar{padding:.6em 1em;background:#fff;color:#000;font-size:.8rem;text-align:left}
.ht-preview-problem{margin:.5em 0;border:1px solid #a00;border-left-width:6px}
.ht-preview-problem pre,.ht-preview-bar pre{margin:0;overflow:auto;white-space:pre;font-size:.75rem}
.ht-preview-bar{position:fixed;inset:auto 0 0 0;max-height:40vh;overflow:auto;z-index:99;border-top:4px solid #a00}
.ht-preview-bar a{color:#00c;text-decoration:underline}
.ht-preview-holds{display:block;width:fit-content;margin:0 0 .2em auto}
.ht-preview-holds{padding:0 .5em;border-radius:.2em;background:#175f2d;color:#fff;font-size:.75rem}
</style>"""
_HOLDS = '<span class="ht-preview-holds" title="The formula gives what this example says.">holds</span>'


@dataclass(frozen=True)
class Fault:
    """A Problem as text: in full with its caret, and its first line; where it belongs, and the address of that page."""

    text: str
    head: str
    place: Place | None
    address: str | None


def marked(page: str, path: str | None, faults: Sequence[Fault], examples: Mapping[ExampleId, bool]) -> str:
    """The HTML of the page at a Markdown path with its marks.

    `examples` are those that the page shows, in order, and whether each holds now.
    """
    placed: set[int] = set()
    for number, fault in enumerate(faults, start=1):
        at = _place_in(page, path, fault.place, list(examples)) if fault.place and path else None
        if at is not None:
            # an id stands once, however many pages show the problem
            page = page[:at] + _beside(number, fault) + page[at:]
            placed.add(number)
    shown = page.count(_EXAMPLE) == len(examples) and any(examples.values())
    if shown:
        page = _with_holds(page, list(examples.values()))
    added = (_STYLE if faults or shown else "") + (_bar(faults, placed) if faults else "")
    head, end, tail = page.rpartition("</body>")
    return head + added + end + tail if end else page + added


def examples_on(book: Book, path: str) -> list[ExampleId]:
    """The worked examples on the page at a Markdown path, in their order."""
    kind, _, name = path.removesuffix("/index.md").removesuffix(".md").partition("/")
    if kind == "calculators" and name in book.calculators:
        return [(name, number + 1) for number in range(len(book.calculators[name].examples))]
    if kind == "terms" and name in book.entries:
        strongest = ((its, strongest_example(book.calculators[its])) for its in book.entries[name].calculators)
        return [(its, number) for its, number in strongest if number is not None]
    return []


def _place_in(page: str, path: str | None, place: Place, examples: list[ExampleId]) -> int | None:
    """Where in the page a Problem is written; None where the page does not show what it is about."""
    if place.calculator and place.example and (place.calculator, place.example) in examples:
        starts = [match.end() for match in re.finditer(re.escape(_EXAMPLE), page)]
        if len(starts) == len(examples):
            return starts[examples.index((place.calculator, place.example))]
    block = page.find(f'data-calculator="{place.calculator}"') if place.calculator else 0
    if block < 0 or (place.page != path and not place.calculator):
        return None
    for part in place.parts:
        at = _after(page, part, block)
        if at is not None:
            return at
    if place.page == path:
        title = page.find("</h1>")
        return title + len("</h1>") if title >= 0 else None
    return page.index(">", block) + 1


def _after(page: str, part: Part, start: int) -> int | None:
    """The place beside an element: after a heading or a paragraph, else at the beginning of what it holds."""
    attribute, value = part
    words = rf'{re.escape(value)}(?: [^"]*)?' if attribute == "class" else re.escape(value)
    match = re.compile(rf'<(\w+)\b[^>]*?\s{attribute}="{words}"[^>]*>').search(page, start)
    if match is None:
        return None
    if match[1] in ("p", "h1", "h2", "h3", "h4"):
        end = page.find(f"</{match[1]}>", match.end())
        return None if end < 0 else end + len(f"</{match[1]}>")
    return match.end()


def _beside(number: int, fault: Fault) -> str:
    return (
        f'<div class="ht-preview-problem" id="ht-problem-{number}" role="group" aria-label="Problem">'
        f"<pre>{html.escape(fault.text)}</pre></div>"
    )


def _with_holds(page: str, holding: list[bool]) -> str:
    first, *rest = page.split(_EXAMPLE)
    return first + "".join(
        _EXAMPLE + (_HOLDS if holds else "") + part for holds, part in zip(holding, rest, strict=True)
    )


def _bar(faults: Sequence[Fault], placed: set[int]) -> str:
    count = "a problem" if len(faults) == 1 else f"{len(faults)} problems"
    items = []
    for number, fault in enumerate(faults, start=1):
        if number in placed:
            items.append(f'<a href="#ht-problem-{number}">{html.escape(fault.head)}</a>')
        elif fault.address is not None:
            address = html.escape(f"{fault.address}#ht-problem-{number}")
            items.append(f'<a href="{address}">{html.escape(fault.head)}</a>')
        else:
            items.append(f"<pre>{html.escape(fault.text)}</pre>")
    return (
        f'<div class="ht-preview-bar" role="alert"><p>The book has {count}; the pages are the last good ones.</p>'
        f"<ul>{''.join(f'<li>{item}</li>' for item in items)}</ul></div>"
    )
