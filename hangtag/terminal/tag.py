"""A tag explained as lines: the tag with its readings underlined, then every part in plain words. Must not read a tag.

Takes the document of contract (`Tag.as_json`), so that what a terminal shows and what a program gets are the same.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from hangtag.answers import measured
from hangtag.book import Book
from hangtag.numbers import show, show_plain
from hangtag.problems import harmless
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.terminal.lines import BLANK, Kind, Line, Words, ascii_unit

Document = Mapping[str, Any]

_WIDEST = 76  # columns of a line of the tag
_DIGITS = 6


def tag_lines(book: Book, document: Document, language: str = DEFAULT_LANGUAGE) -> list[Line]:
    """The whole explanation, plain words first: what is printed, what it means, what is missing, what to ask."""
    return list(_lines(_Tag(Words(book, language), document)))


@dataclass(frozen=True)
class _Tag:
    w: Words
    document: Document
    explained: dict[str, int] = field(default_factory=dict)  # number of the reading that first explained an entry

    @property
    def readings(self) -> list[Document]:
        return list(self.document["readings"])


def _lines(tag: _Tag) -> Iterator[Line]:
    w, document = tag.w, tag.document
    yield from _kind(w, document["kind"])
    yield BLANK
    yield from _underlined(document["text"], tag.readings)
    if not tag.readings:
        yield Line(w.say("read-nothing"))
    part: object = BLANK
    for number, reading in enumerate(tag.readings, start=1):
        if reading["part"] != part:
            part = reading["part"]
            words = harmless(str(part))
            yield BLANK
            yield Line(w.say("read-whole") if part is None else words[:1].upper() + words[1:], Kind.HEADING)
        yield from _reading(tag, number, reading)
    yield from _contradictions(w, document["contradictions"])
    yield from w.items("read-missing", [_word(w, each["term"]) for each in document["missing"]])
    if document["cautions"]:
        yield BLANK
        yield Line(w.say("read-danger"), Kind.CAUTION)
        for each in document["cautions"]:
            yield Line(f"{harmless(each['text'])}: {each['caution']}", Kind.CAUTION, indent=2)
    if document["unread"]:
        yield from w.heading("read-unread")
        yield Line(", ".join(harmless(each["text"]) for each in document["unread"]), indent=2)
    yield from w.items("read-questions", list(document["questions"]))
    yield BLANK
    yield Line(w.say("read-more"), Kind.SOFT)
    yield Line(w.say("frame-promise"), Kind.SOFT)


def _kind(w: Words, kind: str | None) -> Iterator[Line]:
    gear = w.book.gear.get(kind or "")
    yield Line(w.say("read-kind", kind=w.plain(gear.name)) if gear else w.say("read-kind-unknown"))


def _name(w: Words, term: str) -> str:
    return w.plain(w.book.entries[term].name)


def _word(w: Words, term: str) -> str:
    """An entry's name and meaning."""
    return w.say("read-word", entry=_name(w, term), says=w.plain(w.book.entries[term].in_short))


# --------------------------------------------------------------------------------------------------------- one reading


def _reading(tag: _Tag, number: int, reading: Document) -> Iterator[Line]:
    w = tag.w
    yield Line(" ".join(harmless(reading["text"]).split()), Kind.RESULT, indent=2, mark=f"{number}. ")
    before = tag.explained.setdefault(reading["term"], number)
    is_first = before == number
    word = _word(w, reading["term"])
    yield Line(word if is_first else w.say("read-as-above", entry=_name(w, reading["term"]), number=before), indent=5)
    if reading["value"] is not None:
        also = ", ".join(_with_unit(w, other["text"], other["unit"]) for other in reading["other_units"])
        value = _bounded(w, reading)
        yield Line(f"{value} ({also})" if also else value, indent=5)
    if reading["band"]:
        yield Line(w.say("read-band", says=reading["band"]["says"], basis=reading["basis"]), indent=5)
    for other in reading["also_possible"]:
        label = "read-or-word" if other["value"] is None else "read-or"
        value = "" if other["value"] is None else _quantity(w, other)
        words = {"entry": _name(w, other["term"]), "value": value, "because": other["because"]}
        yield Line(w.say(label, **words), indent=5)
    if reading["value"] is not None or reading["also_possible"]:  # a word is read because it stands there
        yield Line(reading["because"], Kind.SOFT, indent=5)
    if is_first and reading["ask"]:
        yield Line(w.say("read-ask", ask=reading["ask"][0]), indent=5)
    if reading["caution"]:
        caution = w.say("read-caution", caution=reading["caution"])
        yield Line(caution if is_first else w.say("read-caution-above", number=before), Kind.CAUTION, indent=5)
    if reading["fills"] and reading["value"] is not None:
        yield Line(_command(w, reading), Kind.COMMAND, indent=5)


def _bounded(w: Words, reading: Document) -> str:
    value = _quantity(w, reading)
    bound = reading["bound"]
    return value if bound == "exact" else w.say(f"read-{bound.replace(' ', '-')}", value=value)


def _quantity(w: Words, quantity: Document) -> str:
    return _with_unit(w, show(quantity["value"], _DIGITS), quantity["unit"])


def _with_unit(w: Words, text: str, unit: str) -> str:
    # as every quantity of a terminal: with a plain space before the unit
    return measured(text, w.book.units.units[unit]).replace("\u00a0", " ")


def _command(w: Words, reading: Document) -> str:
    fills = reading["fills"]
    value = f"{show_plain(reading['value'], _DIGITS)} {ascii_unit(w.book.units.units[reading['unit']])}".strip()
    quote = "'" if '"' in value else '"'
    typed = f"{quote}{value}{quote}" if " " in value else value
    return f"hangtag work {fills['calculator']} {fills['input']}={typed}"


def _contradictions(w: Words, contradictions: list[Document]) -> Iterator[Line]:
    if contradictions:
        yield from w.heading("read-does-not-fit")
    for each in contradictions:
        numbers = ", ".join(str(index + 1) for index in each["readings"])
        label = "read-certain" if each["certain"] else "read-worth-asking"
        text = w.say(label, because=each["because"], numbers=numbers)
        yield Line(text, Kind.RESULT if each["certain"] else Kind.PLAIN, indent=2, mark="- ")


# --------------------------------------------------------------------------------------------------- the tag's own text


def _underlined(text: str, readings: list[Document]) -> Iterator[Line]:
    """The tag in rows no wider than a terminal; below each row marks under its readings, and their numbers."""
    for start, end in _rows(text):
        row = harmless(text[start:end])
        yield Line(row, Kind.VERBATIM, indent=2)
        marks, numbers = "", ""
        for number, reading in enumerate(readings, start=1):
            first, last = max(reading["start"], start), min(reading["end"], end)
            if first >= last:
                continue
            column = _width(text[start:first])
            width = max(1, _width(text[first:last]))
            if column < len(marks):  # another reading of the same words
                continue
            head = "^" if first == reading["start"] else "~"
            marks = marks.ljust(column) + head + "~" * (width - 1)
            if head == "^" and (column > len(numbers) or not numbers):
                numbers = numbers.ljust(column) + str(number)
        if marks:
            yield Line(marks, Kind.MARKS, indent=2)
            yield Line(numbers, Kind.VERBATIM, indent=2)


def _rows(text: str) -> Iterator[tuple[int, int]]:
    """Where each row of the tag begins and ends: at its own line ends, else at the last space that fits."""
    at = 0
    while at < len(text):
        end, width, space = at, 0, -1
        while end < len(text) and text[end] != "\n":
            width += _width(text[end])
            if width > _WIDEST:
                break
            if text[end] == " ":
                space = end
            end += 1
        is_cut = end < len(text) and text[end] != "\n"
        if is_cut and space > at:
            end = space
        yield at, end
        at = end + 1 if end < len(text) and text[end] in " \n" else max(end, at + 1)


def _width(text: str) -> int:
    """Columns of a terminal: wide letters take two, accents that stand on the letter before none."""
    return sum(
        0 if unicodedata.combining(each) else 2 if unicodedata.east_asian_width(each) in {"W", "F"} else 1
        for each in text
    )
