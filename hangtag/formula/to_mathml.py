"""Nodes to MathML, in words for newcomers: names are printed as their labels, divisions as fractions.

Browsers draw it; no library does. Names are `mi` and values `mn`, never `mtext`: to MathML that is a kind of space, and
operators between spaces lose their own. Must not know values: `with_values` leaves a slot for each name.
"""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping

from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.nodes import (
    Binary,
    Call,
    Compare,
    If,
    In,
    Logic,
    Lookup,
    Name,
    Negate,
    Node,
    Number,
    Solve,
    Sum,
    Word,
)
from hangtag.formula.to_text import COMPARISON, CONDITIONAL, PRODUCT, SIGN, SUM, strength
from hangtag.units import UnitList

_MARKS = {"*": "×", "-": "−", "+": "+", "<": "&lt;", ">": "&gt;", "<=": "≤", ">=": "≥", "=": "=", "!=": "≠"}
Leaf = Callable[[str], str]


def formula(node: Node, labels: Mapping[str, str], units: UnitList, words: Mapping[str, str] | None = None) -> str:
    """The formula with every name as its label. Inner MathML, without the `<math>` element.

    A label stands in a span, so that a long one can break into lines where MathML itself never does. `words` are the
    labels of choices that a condition names, by the choice and the word: `pad inside`.
    """

    def name_of(name: str) -> str:
        return _name(html.escape(labels.get(name, name)))

    return _Writer(name_of, units, words or {}).write(node)


def with_values(node: Node, values: Mapping[str, str], units: UnitList, words: Mapping[str, str] | None = None) -> str:
    """The formula with a slot for every name, `<mn data-value="name">`, filled with the text of `values`.

    A name without a value keeps its own: the unknown of an equation and the columns of a list have no one value.
    """

    def slot_of(name: str) -> str:
        if name not in values:
            return _name(html.escape((words or {}).get(name, name)))
        return f'<mn data-value="{html.escape(name)}">{html.escape(values[name])}</mn>'

    return _Writer(slot_of, units, words or {}, values=True).write(node)


class _Writer:
    def __init__(self, leaf: Leaf, units: UnitList, words: Mapping[str, str], *, values: bool = False) -> None:
        self._leaf = leaf
        self._values = values  # `25 mm` squared needs brackets that a name does not
        self._units = units
        self._words = words

    def write(self, node: Node) -> str:
        match node:
            case Number():
                return self._number(node)
            case Name():
                return "<mi>π</mi>" if node.name == "pi" else self._leaf(node.name)
            case Negate():
                return f"<mrow><mo>−</mo>{self._inside(node.of, SIGN)}</mrow>"
            case Binary():
                return self._binary(node)
            case Compare(left=Name() as name, right=Word() as word):
                return self._choice(name, _MARKS[node.operator], word)
            case Compare():
                return self._row(node.left, _MARKS[node.operator], node.right, SUM, SUM)
            case If():
                return self._if(node)
            case Call():
                return self._call(node)
            case Word():
                return _name(html.escape(self._words.get(node.text, node.text)))
            case Logic():
                return f"<mrow>{self.write(node.left)}{_spaced(node.operator)}{self.write(node.right)}</mrow>"
            case Sum():
                where = "" if node.where is None else f"{_spaced('where')}{self.write(node.where)}"
                return f'<mrow class="ht-sum"><mo>∑</mo>{self._inside(node.of, PRODUCT)}{where}</mrow>'
            case Lookup():
                return f"<mrow>{self._leaf(node.table)}{_spaced('at')}{self.write(node.of)}</mrow>"
            case Solve():
                return f"<mrow>{self._leaf(node.unknown)}{_spaced('where')}{self.write(node.where)}</mrow>"
            case In():
                unit = html.escape(self._units.units[node.unit].prints)
                return (
                    f"<mrow>{self._inside(node.of, CONDITIONAL)}<mspace width='0.4em'/><mtext>in {unit}</mtext></mrow>"
                )

    def _number(self, node: Number) -> str:
        number = f"<mn>{html.escape(node.text)}</mn>"
        if node.unit is None:
            return number
        unit = html.escape(self._units.units[node.unit].prints)
        return f"<mrow>{number}<mspace width='0.25em'/><mtext>{unit}</mtext></mrow>"

    def _binary(self, node: Binary) -> str:
        if node.operator == "/":
            return f"<mfrac>{self._whole(node.left)}{self._whole(node.right)}</mfrac>"
        if node.operator == "^":
            if _is_half(node.right):
                return f"<msqrt>{self.write(node.left)}</msqrt>"
            base = (
                self.write(node.left)
                if (isinstance(node.left, Name) and not self._values) or _is_bare(node.left)
                else self._bracketed(node.left)
            )
            return f"<msup>{base}{self._whole(node.right)}</msup>"
        own = strength(node)
        return self._row(node.left, _MARKS[node.operator], node.right, own, own + 1)

    def _row(self, left: Node, mark: str, right: Node, left_least: int, right_least: int) -> str:
        operator = f"<mo lspace='0.3em' rspace='0.3em'>{mark}</mo>"
        return f"<mrow>{self._inside(left, left_least)}{operator}{self._inside(right, right_least)}</mrow>"

    def _choice(self, choice: Name, mark: str, word: Word) -> str:
        # two choices may use one word for two things
        label = html.escape(self._words.get(f"{choice.name} {word.text}", word.text))
        left = self._leaf(choice.name)
        return f"<mrow>{left}<mo lspace='0.3em' rspace='0.3em'>{mark}</mo>{_name(label)}</mrow>"

    def _if(self, node: If) -> str:
        """One row a case. A condition in the place of `otherwise` is one more case, not a table within the table."""
        rows = []
        rest: Node = node
        while isinstance(rest, If):
            rows.append(
                (
                    self._whole(rest.then),
                    f"{_name('if')}<mspace width='0.3em'/>{self._inside(rest.condition, COMPARISON)}",
                )
            )
            rest = rest.otherwise
        rows.append((self._whole(rest), _name("otherwise")))
        cells = "".join(f"<mtr><mtd>{value}</mtd><mtd><mrow>{when}</mrow></mtd></mtr>" for value, when in rows)
        return f'<mtable class="ht-cases">{cells}</mtable>'

    def _call(self, node: Call) -> str:
        if node.function == "sqrt":
            return f"<msqrt>{self.write(node.arguments[0])}</msqrt>"
        if node.function == "abs":
            return f"<mrow><mo>|</mo>{self.write(node.arguments[0])}<mo>|</mo></mrow>"
        arguments = "<mo>,</mo>".join(self.write(argument) for argument in node.arguments)
        name = FUNCTIONS[node.function].mathml
        return f"<mrow><mi>{name}</mi><mo>(</mo>{arguments}<mo>)</mo></mrow>"

    def _inside(self, node: Node, least: int) -> str:
        # a fraction shows its own bounds and needs no brackets as a factor
        if strength(node) >= least or (isinstance(node, Binary) and node.operator == "/" and least <= PRODUCT + 1):
            return self.write(node)
        return self._bracketed(node)

    def _bracketed(self, node: Node) -> str:
        return f"<mrow><mo>(</mo>{self.write(node)}<mo>)</mo></mrow>"

    def _whole(self, node: Node) -> str:
        return f"<mrow>{self.write(node)}</mrow>"


def _name(escaped: str) -> str:
    # a browser's translator takes the words, never the numbers beside them: the element around all is kept from it
    return f'<mi><span class="ht-mathname" translate="yes">{escaped}</span></mi>'


def _spaced(word: str) -> str:
    return f"<mspace width='0.35em'/>{_name(word)}<mspace width='0.35em'/>"


def _is_bare(node: Node) -> bool:
    return isinstance(node, Number) and node.unit is None


def _is_half(node: Node) -> bool:
    return (
        isinstance(node, Binary)
        and node.operator == "/"
        and _is_bare(node.left)
        and _is_bare(node.right)
        and getattr(node.left, "text", "") == "1"
        and getattr(node.right, "text", "") == "2"
    )
