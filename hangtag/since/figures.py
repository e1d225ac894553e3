"""The numbers of one file of a book, by the place where they stand: what must not change without a line of history.

Of an entry: its scale and bands, and what a tag can mean by it. Of a calculator: the ranges of its fields, choices,
constants, tables, and what its examples give. Read from nodes alone, so that a file of an older form can be read too.
Must not compare.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from hangtag.numbers import is_author_number
from hangtag.problems import Span
from hangtag.yaml_source import Mapping, Node, Scalar, Sequence


@dataclass(frozen=True)
class Figure:
    """One number with its unit, as `1000 mmH2O`, and its place in the file."""

    text: str
    span: Span

    @property
    def number(self) -> str:
        """The number without its unit."""
        return self.text.split(" ")[0]


@dataclass
class Figures:
    """Numbers that have a name, and lists of limits that have an order instead."""

    named: dict[str, Figure] = field(default_factory=dict)
    limits: dict[str, list[Figure]] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)  # for the place of a number, where its name is long

    def add(self, name: str, node: Node | None, unit: str = "") -> None:
        """Note a number, if there is one. `unit` is that of a bare one."""
        found = _figure(node, unit)
        if found is not None:
            self.named[name] = found

    def add_two(self, name: str, node: Node | None, unit: str = "") -> None:
        """Note both ends of a list of two."""
        if isinstance(node, Sequence) and len(node.items) == 2:  # noqa: PLR2004  both ends
            self.add(f"lower end of {name}", node.items[0], unit)
            self.add(f"upper end of {name}", node.items[1], unit)

    def add_limits(self, name: str, nodes: Iterator[Node | None], unit: str = "") -> None:
        """Note limits that follow one another."""
        self.limits[name] = [found for node in nodes if (found := _figure(node, unit)) is not None]


def of_entry(node: Node) -> Figures:
    """The numbers of a file of terms/."""
    found = Figures()
    scale = _get(node, "scale")
    if scale is not None:
        unit = _text(_get(scale, "unit"))
        found.add("scale, from", _get(scale, "from"), unit)
        found.add("scale, to", _get(scale, "to"), unit)
        found.add("scale, tolerance of a claim", _get(_get(scale, "spread"), "relative"))
        limits = (_get(band, "below") or _get(band, "up_to") for band in _items(_get(scale, "bands")))
        found.add_limits("scale, limit of a band", limits, unit)
    quantity = _get(_get(node, "reads"), "quantity")
    found.add_two("reads, plausible", _get(quantity, "plausible"), _text(_get(quantity, "unit")))
    return found


def of_calculator(node: Node) -> Figures:
    """The numbers of a file of calculators/."""
    found = Figures()
    for name, its in _pairs(_get(node, "inputs")):
        _field(found, f"input {name}", its)
    for name, its in _pairs(_get(node, "constants")):
        unit = _text(_get(its, "unit"))
        found.add(f"constant {name}", _get(its, "is"), unit)
        found.add_two(f"constant {name}", _get(its, "between"), unit)
    for name, its in _pairs(_get(node, "tables")):
        _table(found, f"table {name}", its)
    for number, example in enumerate(_items(_get(node, "examples")), start=1):
        _example(found, number, example)
    return found


def _field(found: Figures, name: str, node: Node) -> None:
    unit = _text(_get(node, "unit"))
    found.add_two(f"range of {name}", _get(node, "range"), unit)
    for choice, its in _pairs(_get(node, "choice")):
        found.add(f"{name}, choice {choice}", _get(its, "is"), unit)
    for column, its in _pairs(_get(node, "rows")):
        _field(found, f"{name}, column {column}", its)


def _table(found: Figures, name: str, node: Node) -> None:
    unit, x_unit = _text(_get(node, "unit")), _text(_get(node, "x_unit"))
    rows = _items(_get(node, "rows"))
    if x_unit:
        found.add_limits(f"{name}, a row's x", (_get(row, "x") for row in rows), x_unit)
    for row in rows:
        x = _figure(_get(row, "x"), x_unit)
        found.add(f"{name}, at {x.text if x else _text(_get(row, 'x'))}", _get(row, "is"), unit)


def _example(found: Figures, number: int, node: Node) -> None:
    # an example is known by what it is given: the same one may stand at another place
    given = _said(_get(node, "given"))
    for name, value in _pairs(_get(node, "gives")):
        ends = [("", value)] if isinstance(value, Scalar) else [(f", {end}", its) for end, its in _pairs(value)]
        for end, its in ends:
            figure = _figure(its, "")
            if figure is not None:
                key = f"example with {given}: {name}{end}"
                found.named[key] = figure
                found.words[key] = f"example {number}, {name}{end}"


def _figure(node: Node | None, unit: str) -> Figure | None:
    if not isinstance(node, Scalar):
        return None
    number, _, rest = node.text.strip().partition(" ")
    percent = number.endswith("%")
    number = number.removesuffix("%")
    if not is_author_number(number):
        return None
    # 1000 and 1000.0 are one number
    plain = f"{Decimal(number).normalize():f}"
    return Figure(f"{plain} {'%' if percent else rest or unit}".strip(), node.span)


def _get(node: Node | None, key: str) -> Node | None:
    return node.get(key) if isinstance(node, Mapping) else None


def _text(node: Node | None) -> str:
    return node.text if isinstance(node, Scalar) else ""


def _items(node: Node | None) -> tuple[Node, ...]:
    return node.items if isinstance(node, Sequence) else ()


def _pairs(node: Node | None) -> Iterator[tuple[str, Node]]:
    for key, value in node.items if isinstance(node, Mapping) else ():
        yield key.text, value


def _said(node: Node | None) -> str:
    """All that a node says, in one line."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return "[" + ", ".join(_said(item) for item in node.items) + "]"
    return ", ".join(f"{name} = {_said(value)}" for name, value in _pairs(node))
