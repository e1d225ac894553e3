"""A tag that was read as a tree of elements: what the page shows, in Python for the page as built and for the browser.

    node: text | [name, {attribute: value}, node...]

`to` among the attributes is a page of the site, such as `terms/denier/`; who writes the tree makes it an address. The
browser builds the same tree in scripts/tag-view.js. Must not read tags, and must write no HTML but in `written`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

from markupsafe import Markup, escape

from hangtag.markup import target
from hangtag.numbers import show, show_plain

Json = dict[str, Any]
Node = Any  # a text, or a list of a name, attributes and nodes

_GROUPED_FROM = 5  # digits
_ADDRESS_DIGITS = 12


class TagView:
    """Writes what was read of tags. `reader` is the data of a Reader, `page` that of the page (see `page_data`)."""

    def __init__(self, reader: Json, page: Json) -> None:
        self._reader = reader
        self._page = page

    def say(self, label: str, **values: str) -> str:
        """A label of the page, its holes filled."""
        text: str = self._page["labels"][label]
        for name, value in values.items():
            text = text.replace("{" + name + "}", value)
        return text

    # -------------------------------------------------------------------------------------------------- one tag

    def explained(self, tag: Json, level: int = 2) -> list[Node]:
        """Everything about one tag; `level` is that of its headings."""
        self._heading = f"h{level}"
        self._below = f"h{level + 1}"
        sections = [
            self._parts(tag),
            self._cautions(tag),
            self._own_text(tag),
            self._unread(tag),
            self._clashes(tag),
            self._missing(tag),
            self._questions(tag),
        ]
        return [section for section in sections if section]

    def _section(self, name: str, title: str, *nodes: Node) -> Node:
        return [
            "section",
            {"class": f"ht-told ht-told-{name}"},
            [self._heading, {}, self.say(title)],
            ["div", {}, *nodes],
        ]

    def _parts(self, tag: Json) -> Node:
        if not tag["readings"]:
            return self._section("parts", "explained", ["p", {}, self.say("nothing")])
        nodes: list[Node] = []
        seen: set[str] = set()
        numbered = list(enumerate(tag["readings"], start=1))
        for part in dict.fromkeys(reading["part"] for reading in tag["readings"]):
            its = [(number, reading) for number, reading in numbered if reading["part"] == part]
            nodes.append([self._below, {}, part[:1].upper() + part[1:] if part else self.say("whole")])
            items = []
            for term in dict.fromkeys(reading["term"] for _, reading in its):
                same = [(number, reading) for number, reading in its if reading["term"] == term]
                items.append(self._claim(term, same, tag["readings"], told=term in seen))
                seen.add(term)
            nodes.append(["ul", {"class": "ht-told-list"}, *items])
        return self._section("parts", "explained", *nodes)

    def _claim(self, term: str, same: Sequence[tuple[int, Json]], all_readings: Sequence[Json], *, told: bool) -> Node:
        """An entry with every figure of it in one part; where it was `told` before, only these figures."""
        entry = self._reader["entries"][term]
        first = same[0][1]
        short = self.say("above-caution" if first["caution"] else "above") if told else entry["in_short"]
        nodes: list[Node] = [
            ["p", {"class": "ht-told-name"}, self._entry_link(term)],
            ["p", {"class": "ht-told-short"}, short],
        ]
        band: Json | None = None
        for number, reading in same:
            nodes.append(self._figure(number, reading))
            if reading["band"] and reading["band"] != band:
                band = reading["band"]
                says = ["span", {}, self.say("band", says=band["says"])]
                basis = ["span", {"class": "ht-basis"}, reading["basis"]]
                nodes.append(["p", {"class": "ht-told-band"}, says, " ", basis])
            nodes += [self._either(other) for other in reading["also_possible"]]
        if first["caution"] and not told:
            nodes.append(["p", {"class": "ht-told-caution"}, first["caution"]])
        links = [self._fill(reading, all_readings) for _, reading in same if reading["fills"]]
        nodes += [link for index, link in enumerate(links) if link not in links[:index]]
        if told:
            return ["li", {}, *nodes]
        why = dict.fromkeys(reading["because"] for _, reading in same)
        asked = ["ul", {}, *(["li", {}, question] for question in first["ask"])]
        more = [asked] if first["ask"] else []
        more += [["p", {}, one] for one in why]
        nodes.append(["details", {"class": "ht-told-more"}, ["summary", {}, self.say("more")], *more])
        return ["li", {}, *nodes]

    def _figure(self, number: int, reading: Json) -> Node:
        """The printed words with their number, then the value and the same in other units."""
        nodes: list[Node] = [
            ["span", {"class": "ht-told-n"}, str(number)],
            " ",
            ["bdi", {"class": "ht-told-printed", "translate": "no"}, self.say("printed", text=reading["text"])],
        ]
        if reading["value"] is not None:
            nodes += [" ", ["span", {"class": "ht-told-value"}, *self._value(reading)]]
            others = reading["other_units"]
            if others:
                listed = [node for other in others for node in (" ", self._quantity(other["text"], other["unit"]))]
                nodes += [" ", ["span", {"class": "ht-told-others"}, *listed[1:]]]
        return ["p", {"class": "ht-told-figure"}, *nodes]

    def _value(self, reading: Json) -> list[Node]:
        nodes: list[Node] = []
        if reading["role"]:
            nodes.append(self.say("value", role=reading["role"].replace("_", " ")))
        if reading["bound"] != "exact":
            nodes.append(self.say("bound-" + reading["bound"].replace(" ", "-")))
        return [*nodes, self._quantity(show(reading["value"]), reading["unit"])]

    def _quantity(self, number: str, unit: str) -> Node:
        """A number with its unit for the eye and for the ear, digits in threes by style."""
        nodes: list[Node] = ["span", {"class": "ht-q", "translate": "no"}, *_grouped(number)]
        prints, says, _ = self._page["units"][unit]
        if prints:
            gap = "" if prints == "°" else " "
            nodes.append(["span", {"class": "ht-u", "aria-hidden": "true"}, gap + prints])
            nodes.append(["span", {"class": "ht-heard"}, " " + says])
        return nodes

    def _either(self, other: Json) -> Node:
        nodes: list[Node] = [self.say("either", name=self._name(other["term"]))]
        if other["value"] is not None:
            nodes += [self.say("either-value"), self._quantity(show(other["value"]), other["unit"])]
        return ["p", {"class": "ht-told-either"}, *nodes, ". " + other["because"]]

    def _fill(self, reading: Json, all_readings: Sequence[Json]) -> Node:
        """The calculator with this number, and what else it takes of the same part of the tag."""
        calculator = reading["fills"]["calculator"]
        values: dict[str, str] = {reading["fills"]["input"]: self._in_address(reading)}
        for other in all_readings:
            fills = other["fills"]
            if fills and fills["calculator"] == calculator and other["part"] == reading["part"]:
                values.setdefault(fills["input"], self._in_address(other))
        query = "&".join(f"{name}={values[name]}" for name in sorted(values))
        question = self.say("fill", question=self._page["calculators"][calculator])
        return ["p", {"class": "ht-told-fill"}, ["a", {"to": f"calculators/{calculator}/?{query}"}, question]]

    def _in_address(self, reading: Json) -> str:
        number = show_plain(reading["value"], _ADDRESS_DIGITS, _ADDRESS_DIGITS)
        return quote(number + self._page["units"][reading["unit"]][2], safe="/!'()*")

    # -------------------------------------------------------------------------------------- the text, and the rest

    def _own_text(self, tag: Json) -> Node:
        """The tag's own words: what was read, what was not, words with a caution; told apart without colour."""
        marks = []
        for number, its in enumerate(tag["readings"], start=1):
            heard = self.say("heard-read", number=str(number), name=self._name(its["term"]))
            marks.append((its["start"], its["end"], "read", str(number), heard))
        marks += [(its["start"], its["end"], "danger", "", self.say("heard-danger")) for its in tag["cautions"]]
        marks += [(its["start"], its["end"], "unread", "", self.say("heard-unread")) for its in tag["unread"]]
        if not marks:
            return None
        nodes: list[Node] = []
        text, at = tag["text"], 0
        for start, end, kind, sign, heard in sorted(marks, key=lambda mark: mark[0]):
            if start < at:
                continue
            if start > at:
                nodes.append(text[at:start])
            signs = [["sup", {"aria-hidden": "true"}, sign]] if sign else []
            told = ["span", {"class": "ht-heard"}, f" {heard} "]
            nodes.append(["mark", {"class": f"ht-mark-{kind}"}, text[start:end], *signs, told])
            at = end
        if at < len(text):
            nodes.append(text[at:])
        lead = ["p", {"class": "ht-uses"}, self.say("text-lead")]
        own = ["p", {"class": "ht-told-own", "dir": "auto", "translate": "no"}, *nodes]
        return self._section("text", "text", own, lead)

    def _cautions(self, tag: Json) -> Node:
        if not tag["cautions"]:
            return None
        words: dict[str, list[str]] = {}
        for its in tag["cautions"]:
            words.setdefault(its["caution"], []).append(its["text"])
        items = [
            ["li", {}, ["bdi", {"class": "ht-told-word"}, ", ".join(dict.fromkeys(its))], " ", caution]
            for caution, its in words.items()
        ]
        return self._section("cautions", "cautions", ["ul", {}, *items])

    def _unread(self, tag: Json) -> Node:
        if not tag["unread"]:
            return None
        texts = dict.fromkeys(its["text"] for its in tag["unread"])
        items = [["li", {}, ["bdi", {"translate": "no"}, self.say("printed", text=text)]] for text in texts]
        return self._section("unread", "unread", ["p", {}, self.say("unread-lead")], ["ul", {}, *items])

    def _clashes(self, tag: Json) -> Node:
        if not tag["contradictions"]:
            return None
        items = []
        for its in tag["contradictions"]:
            how = self.say("certain" if its["certain"] else "possible")
            items.append(["li", {}, ["strong", {}, how], " ", its["because"]])
        return self._section("clashes", "clashes", ["ul", {}, *items])

    def _missing(self, tag: Json) -> Node:
        if not tag["missing"]:
            return None
        items = []
        for its in tag["missing"]:
            short = self._reader["entries"][its["term"]]["in_short"]
            items.append(["li", {}, self._entry_link(its["term"]), " ", ["span", {"class": "ht-told-short"}, short]])
        return self._section("missing", "missing", ["p", {}, self.say("missing-lead")], ["ul", {}, *items])

    def _questions(self, tag: Json) -> Node:
        if not tag["questions"]:
            return None
        return self._section("ask", "questions", ["ol", {}, *(["li", {}, question] for question in tag["questions"])])

    # ---------------------------------------------------------------------------------------------- side by side

    def side_by_side(self, rows: Sequence[Json], count: int) -> Node:
        """The rows of a comparison as a table that stacks where it has no room; roles keep it a table there."""
        self._heading = "h2"
        names = [self.say("sides-tag", number=str(number)) for number in range(1, count + 1)]
        heads = [self.say("sides-what"), *names, self.say("sides-says")]
        head = ["tr", {"role": "row"}, *(["th", {"role": "columnheader", "scope": "col"}, name] for name in heads)]
        table: Node = [
            "table",
            {"class": "ht-sides", "role": "table", "data-tags": str(count)},
            ["thead", {"role": "rowgroup"}, head],
            ["tbody", {"role": "rowgroup"}, *(self._row(row, names) for row in rows)],
        ]
        return self._section("sides", "sides", ["p", {"class": "ht-uses"}, self.say("sides-lead")], table)

    def _row(self, row: Json, names: Sequence[str]) -> Node:
        of = [text for text in (row["part"], (row["role"] or "").replace("_", " ")) if text]
        told = [" ", ["span", {"class": "ht-told-of"}, ", ".join(of)]] if of else []
        cells = []
        for cell, name in zip(row["cells"], names, strict=True):
            its: list[Node] = [["span", {"class": "ht-none"}, self.say("sides-silent")]]
            if cell and cell["value"] is None:
                its = [["bdi", {"translate": "no"}, self.say("printed", text=cell["text"])]]
            elif cell:
                its = [self._quantity(cell["value"], row["unit"])]
            cells.append(["td", {"role": "cell", "data-label": name}, *its])
        head = ["th", {"role": "rowheader", "scope": "row"}, self._entry_link(row["term"]), *told]
        says = ["td", {"role": "cell", "class": "ht-sides-says"}, row["says"]]
        return ["tr", {"role": "row"}, head, *cells, says]

    def _entry_link(self, term: str) -> Node:
        return ["a", {"to": self._reader["entries"][term]["page"]}, self._name(term)]

    def _name(self, term: str) -> str:
        name: str = self._reader["entries"][term]["name"]
        return name


def _grouped(text: str) -> list[Node]:
    """Whole digits in threes from five on, as `markup.grouped` writes them."""
    whole, point, decimals = text.partition(".")
    sign = whole[: len(whole) - len(whole.lstrip("-−"))]
    digits = whole[len(sign) :]
    if not (digits.isascii() and digits.isdigit()) or len(digits) < _GROUPED_FROM:
        return [text]
    first = len(digits) % 3 or 3
    groups = [["span", {"class": "ht-g"}, digits[at : at + 3]] for at in range(first, len(digits), 3)]
    rest = point + decimals
    return [sign + digits[:first], *groups, *([rest] if rest else [])]


def written(node: Node) -> Markup:
    """A tree as HTML, its links as `hangtag:` addresses."""
    if isinstance(node, str):
        return escape(node)
    name, attributes, *nodes = node
    shown = Markup("").join(
        Markup(' {}="{}"').format("href" if key == "to" else key, _address(value) if key == "to" else value)
        for key, value in attributes.items()
    )
    inside = Markup("").join(written(each) for each in nodes)
    return Markup("<{}{}>{}</{}>").format(Markup(name), shown, inside, Markup(name))


def _address(to: str) -> str:
    """`terms/denier/` or `calculators/down-loft/?a=1` as the path of a page among those of a book."""
    path, mark, query = to.partition("?")
    page = path.rstrip("/")
    return target((f"{page}/index.md" if page.startswith("calculators/") else f"{page}.md") + mark + query)
