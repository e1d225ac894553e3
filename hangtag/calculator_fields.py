"""The fields, constants and tables of a calculator's file, read one by one.

Formulas are `calculator_reader.py`'s. Must not look at other parts of the file than the one it is given, but for names.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from hangtag.amounts import Amount, AmountReader, within
from hangtag.calculators import (
    ChoiceColumn,
    ChoiceInput,
    Column,
    Constant,
    Input,
    Option,
    QuantityColumn,
    QuantityInput,
    RowsInput,
    Table,
    TableRow,
    TextColumn,
)
from hangtag.entry_reader import Context
from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.parser import RESERVED
from hangtag.formula.scope import ColumnOf, Scope, TableOf
from hangtag.numbers import exact, is_author_number
from hangtag.problems import Label, Span, near_hint
from hangtag.shape import AMOUNT, LINE, TEXT, YES_NO, Fields, Key, Keys, many, named, schema_of
from hangtag.sources import BASIS_KEYS, read_basis
from hangtag.strings import LocalText
from hangtag.units import PLAIN_UNIT, Dimension, Unit
from hangtag.yaml_source import Mapping, Node, Scalar

MOST_ROWS = 200
RULES = ("exact", "step", "up_to", "linear")
_NOT_REQUIRED = {**BASIS_KEYS, "basis": Key(BASIS_KEYS["basis"].says, BASIS_KEYS["basis"].shape)}

OPTION_KEYS: Keys = {
    "label": Key("What the reader sees.", TEXT, required=True),
    "is": Key("The value it stands for, where it stands for one.", AMOUNT),
    **_NOT_REQUIRED,
}
COLUMN_OPTION_KEYS: Keys = {"label": Key("What the reader sees.", TEXT, required=True)}
COLUMN_KEYS: Keys = {
    "label": Key("What the column is called.", TEXT, required=True),
    "unit": Key("Of numbers: the unit of a bare one.", LINE),
    "also": Key("Other units the reader may choose.", many(LINE)),
    "range": Key("The lowest and highest number that is taken.", many(AMOUNT)),
    "whole": Key("Whether only whole numbers make sense.", YES_NO),
    "start": Key("What a new row holds.", AMOUNT),
    "choice": Key("Named choices instead of a number.", named(schema_of(COLUMN_OPTION_KEYS))),
    "tick": Key("A box to tick: no or yes.", YES_NO),
    "text": Key("Free words, which no formula reads.", YES_NO),
}
ROW: dict[str, object] = named(AMOUNT)
INPUT_KEYS: Keys = {
    "label": Key("What the field is called.", TEXT, required=True),
    "unit": Key("The unit of a bare number.", LINE),
    "also": Key("Other units the reader may choose.", many(LINE)),
    "range": Key("The lowest and highest value that is taken.", many(AMOUNT)),
    "start": Key(
        "The value a newcomer starts from; of a choice, its name; of a list, its rows.",
        {"anyOf": [AMOUNT, many(ROW)]},
    ),
    "between": Key("Instead of start: the two ends of a range that the reader may change.", many(AMOUNT)),
    "whole": Key("Whether only whole numbers make sense.", YES_NO),
    "scale": Key("The entry whose scale this value sits on.", LINE),
    "hint": Key("A few words below the label.", TEXT),
    "choice": Key("Named values instead of a number.", named(schema_of(OPTION_KEYS))),
    "rows": Key("The columns of a list that the reader fills.", named(schema_of(COLUMN_KEYS))),
}
CONSTANT_KEYS: Keys = {
    "is": Key("Its value.", AMOUNT),
    "between": Key("Instead of is: the two ends between which it lies.", many(AMOUNT)),
    "unit": Key("The unit of bare numbers in between.", LINE),
    "label": Key("What it is.", TEXT),
    **BASIS_KEYS,
}
TABLE_ROW_KEYS: Keys = {
    "x": Key("What is looked up: the name of a choice, or an amount.", AMOUNT, required=True),
    "is": Key("The value at x.", AMOUNT, required=True),
    **BASIS_KEYS,
}
TABLE_KEYS: Keys = {
    "label": Key("What the table gives.", TEXT),
    "by": Key("The choice that is looked up.", LINE),
    "x_unit": Key("The unit of amounts that are looked up.", LINE),
    "rule": Key(
        "exact; step: the last row not above x; up_to: the first row not below it; linear: between rows.",
        {"enum": list(RULES)},
    ),
    "unit": Key("The unit of the values.", LINE, required=True),
    "rows": Key("The rows, x rising.", many(schema_of(TABLE_ROW_KEYS)), required=True),
}


@dataclass
class Names:
    """Every name of a calculator: what it stands for, where it stands, and whether a formula uses it."""

    dimensions: dict[str, Dimension] = field(default_factory=dict)
    words: dict[str, tuple[str, ...]] = field(default_factory=dict)
    columns: dict[str, ColumnOf] = field(default_factory=dict)
    tables: dict[str, TableOf] = field(default_factory=dict)
    inexact: set[str] = field(default_factory=set)
    spans: dict[str, Span] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)  # named, but unusable for another Problem already told
    used: set[str] = field(default_factory=set)

    @property
    def scope(self) -> Scope:
        """All of them as formulas see them."""
        return Scope(self.dimensions, self.words, self.columns, self.tables, frozenset(self.inexact))


class FieldReader:
    """Reads the fields, constants and tables of one file; their names are taken into use."""

    def __init__(self, path: str, context: Context) -> None:
        self.names = Names()
        self.amounts = AmountReader(context.units, path, context.problems)
        self._path = path
        self._context = context
        self._plain = context.units.units[PLAIN_UNIT]

    def sub(self, node: Node, keys: Keys, what: str) -> Fields:
        """A mapping inside the file."""
        return Fields(node, keys, self._path, self._context.problems, what, self._context.languages)

    def take(self, key: Scalar) -> bool:
        """Take a name into use; False, with a Problem, where it cannot be one."""
        name = key.text
        good = (
            name[:1].isascii()
            and name[:1].islower()
            and all(c.isascii() and (c.islower() or c.isdigit() or c == "_") for c in name)
        )
        if not good or name in RESERVED or name in FUNCTIONS:
            self._context.problems.add("bad-name", self._path, key.span, name=name)
            self.names.broken.add(name)
            return False
        if name in self.names.spans:
            labels = [Label(self.names.spans[name], "first here")]
            self._context.problems.add("name-twice", self._path, key.span, name=name, labels=labels)
            return False
        self.names.spans[name] = key.span
        return True

    # ------------------------------------------------------------------------------------------------------ inputs

    def input(self, key: Scalar, node: Node) -> Input | None:
        """One field, or None with a Problem."""
        fields = self.sub(node, INPUT_KEYS, f"the input {key.text}")
        if not self.take(key):
            return None
        read = self._rows if fields.has("rows") else self._choice if fields.has("choice") else self._quantity
        its = read(key, fields)
        if its is None:
            self.names.broken.add(key.text)
        return its

    def _quantity(self, key: Scalar, fields: Fields) -> QuantityInput | None:
        if not fields.has("unit"):
            fields.add("missing-key", key.span, key="unit", what=f"the input {key.text}")
            return None
        unit = self.amounts.unit(fields.scalar("unit"))
        if unit is None:
            return None
        self.names.dimensions[key.text] = unit.dimension
        limits = self._range(fields, unit)
        between = self._between(fields, unit)
        if fields.has("between") and fields.has("start"):
            fields.add("between-and-start", fields.place("between"))
        elif not fields.has("between") and not fields.has("start"):
            fields.add("field-needs-start", key.span)
        start = between[0] if between else self.amounts.amount(fields.get("start"), unit)
        if limits is None or start is None:
            return None
        low, high = limits
        for amount in between or (start,):
            if not within(amount.si, low, high):
                values = {"start": amount.written, "low": low.written, "high": high.written}
                fields.add("start-outside-range", amount.span, **values)
        return QuantityInput(
            name=key.text,
            label=fields.text("label") or LocalText({"en": key.text}),
            unit=unit,
            also=self.also(fields, unit),
            low=low,
            high=high,
            start=start,
            whole=fields.yes("whole"),
            scale=fields.line("scale"),
            hint=fields.text("hint"),
            span=key.span,
            scale_span=fields.place("scale"),
            between=between,
        )

    def _range(self, fields: Fields, unit: Unit) -> tuple[Amount, Amount] | None:
        limits = [self.amounts.amount(node, unit) for node in fields.items("range")]
        if len(limits) != 2:  # noqa: PLR2004  lowest and highest
            fields.add("range-needs-two", fields.place("range"))
            return None
        low, high = limits
        if low is None or high is None:
            return None
        if low.si >= high.si:
            fields.add("range-not-ascending", fields.place("range"))
            return None
        return low, high

    def _between(self, fields: Fields, unit: Unit | None) -> tuple[Amount, Amount] | None:
        if not fields.has("between"):
            return None
        ends = [self.amounts.amount(node, unit) for node in fields.items("between")]
        if len(ends) != 2:  # noqa: PLR2004  lowest and highest
            fields.add("between-needs-two", fields.place("between"))
            return None
        low, high = ends
        if low is None or high is None:
            return None
        if low.unit.dimension != high.unit.dimension:
            names = self._context.units
            measured = {"low": names.described(low.unit.dimension), "high": names.described(high.unit.dimension)}
            fields.add("between-two-dimensions", fields.place("between"), **measured)
            return None
        if low.si >= high.si:
            fields.add("range-not-ascending", fields.place("between"))
            return None
        return low, high

    def also(self, fields: Fields, unit: Unit) -> tuple[Unit, ...]:
        """The other units of a field or a step."""
        units = []
        for scalar in fields.scalars("also"):
            other = self.amounts.unit(scalar)
            if other and other.dimension != unit.dimension:
                names = self._context.units
                got, wanted = names.described(other.dimension), names.described(unit.dimension)
                fields.add("amount-wrong-dimension", scalar.span, text=other.id, got=got, wanted=wanted)
            elif other:
                units.append(other)
        return tuple(units)

    def _choice(self, key: Scalar, fields: Fields) -> ChoiceInput | None:
        self._takes_no(fields, ("range", "whole", "also", "scale", "between"), "choice-takes-no")
        unit = self.amounts.unit(fields.scalar("unit")) if fields.has("unit") else None
        if fields.has("unit") and unit is None:
            return None
        options = []
        for name, node in fields.pairs("choice"):
            its = self.sub(node, OPTION_KEYS, f"the choice {name.text}")
            amount = self.amounts.amount(its.get("is"), unit) if unit else None
            if (unit is not None) != its.has("is") or (its.has("is") and not its.has("basis")):
                code = "missing-key" if its.has("is") and unit is not None else "choice-mixed"
                its.add(code, name.span, key="basis", what=f"the choice {name.text}")
                continue
            label = its.text("label") or LocalText({"en": name.text})
            options.append(Option(name.text, label, amount, read_basis(its) if unit else None, name.span))
        words = tuple(option.name for option in options)
        written = [name.text for name, _ in fields.pairs("choice")]
        start = fields.scalar("start")
        if start and start.text not in written:
            fields.add("unknown-choice", start.span, name=start.text, hint=near_hint(start.text, words))
        if start is None and fields.get("start") is None:
            fields.add("field-needs-start", key.span)
        self.names.words[key.text] = words
        if unit:
            self.names.dimensions[key.text] = unit.dimension
        if not options or start is None:
            return None
        label = fields.text("label") or LocalText({"en": key.text})
        return ChoiceInput(key.text, label, unit, tuple(options), start.text, fields.text("hint"), key.span)

    def _takes_no(self, fields: Fields, names: Sequence[str], code: str) -> None:
        for name in names:
            if fields.has(name):
                fields.add(code, fields.place(name), key=name)

    # -------------------------------------------------------------------------------------------------------- rows

    def _rows(self, key: Scalar, fields: Fields) -> RowsInput | None:
        self._takes_no(fields, ("unit", "also", "range", "whole", "scale", "between", "choice"), "rows-takes-no")
        columns: list[Column] = []
        for name, node in fields.pairs("rows"):
            column = self._column(name, node)
            if column is None:
                self.names.broken.add(name.text)
                continue
            dimension = column.unit.dimension if isinstance(column, QuantityColumn) else None
            words = column.words if isinstance(column, ChoiceColumn) else None
            self.names.columns[name.text] = ColumnOf(key.text, len(columns), dimension, words)
            columns.append(column)
        start = tuple(self.row(node, columns) for node in fields.items("start"))
        if not columns:
            return None
        label = fields.text("label") or LocalText({"en": key.text})
        return RowsInput(key.text, label, tuple(columns), start, MOST_ROWS, fields.text("hint"), key.span)

    def _column(self, key: Scalar, node: Node) -> Column | None:
        fields = self.sub(node, COLUMN_KEYS, f"the column {key.text}")
        if not self.take(key):
            return None
        kinds = [kind for kind in ("unit", "choice") if fields.has(kind)]
        kinds += [kind for kind in ("tick", "text") if fields.yes(kind)]
        if len(kinds) != 1:
            fields.add("column-two-kinds", key.span, kinds=" and ".join(kinds) or "none of them")
            return None
        label = fields.text("label") or LocalText({"en": key.text})
        if kinds == ["text"]:
            return TextColumn(key.text, label, key.span)
        if kinds == ["tick"]:
            options = (("no", LocalText({"en": "no"})), ("yes", LocalText({"en": "yes"})))
            return ChoiceColumn(key.text, label, options, fields.line("start") or "no", tick=True, span=key.span)
        if kinds == ["choice"]:
            return self._choice_column(key, fields, label)
        unit = self.amounts.unit(fields.scalar("unit"))
        limits = self._range(fields, unit) if unit else None
        start = self.amounts.amount(fields.get("start"), unit) if unit and fields.has("start") else None
        if unit is None or limits is None:
            return None
        low, high = limits
        start = start or low
        return QuantityColumn(
            key.text, label, unit, self.also(fields, unit), low, high, start, fields.yes("whole"), key.span
        )

    def _choice_column(self, key: Scalar, fields: Fields, label: LocalText) -> ChoiceColumn | None:
        options = []
        for name, node in fields.pairs("choice"):
            its = self.sub(node, COLUMN_OPTION_KEYS, f"the choice {name.text}")
            options.append((name.text, its.text("label") or LocalText({"en": name.text})))
        words = [name for name, _ in options]
        start = fields.scalar("start")
        if start and start.text not in words:
            fields.add("unknown-choice", start.span, name=start.text, hint=near_hint(start.text, words))
            return None
        if not words:
            return None
        return ChoiceColumn(
            key.text, label, tuple(options), start.text if start else words[0], tick=False, span=key.span
        )

    def row(self, node: Node, columns: Sequence[Column]) -> dict[str, str]:
        """One row an author wrote: by column, as written. Wrong cells are Problems and left out."""
        known = {column.name: column for column in columns}
        row: dict[str, str] = {}
        if not isinstance(node, Mapping):
            self._context.problems.add("not-a-mapping", self._path, node.span, what="a row")
            return row
        for key, value in node.items:
            column = known.get(key.text)
            if column is None and key.text in self.names.broken:
                continue  # told already where the column stands
            if column is None:
                hint = near_hint(key.text, known)
                self._context.problems.add("unknown-column", self._path, key.span, name=key.text, hint=hint)
            elif isinstance(value, Scalar) and self._cell(column, value):
                row[key.text] = value.text
            elif not isinstance(value, Scalar):
                self._context.problems.add("not-a-text", self._path, value.span, key=key.text)
        return row

    def _cell(self, column: Column, value: Scalar) -> bool:
        if isinstance(column, ChoiceColumn) and value.text not in column.words:
            hint = near_hint(value.text, column.words)
            self._context.problems.add("unknown-choice", self._path, value.span, name=value.text, hint=hint)
            return False
        if isinstance(column, QuantityColumn):
            amount = self.amounts.amount(value, column.unit)
            if amount and not within(amount.si, column.low, column.high):
                values = {"start": amount.written, "low": column.low.written, "high": column.high.written}
                self._context.problems.add("start-outside-range", self._path, value.span, **values)
                return False
            return amount is not None
        return True

    # ------------------------------------------------------------------------------------------- constants, tables

    def constant(self, key: Scalar, node: Node) -> Constant | None:
        """One constant, or None with a Problem."""
        fields = self.sub(node, CONSTANT_KEYS, f"the constant {key.text}")
        if not self.take(key):
            return None
        unit = self.amounts.unit(fields.scalar("unit")) if fields.has("unit") else None
        between = self._between(fields, unit)
        amount: Amount | None
        if fields.has("between"):
            if fields.has("is"):
                fields.add("between-and-is", fields.place("is"))
            amount = between[0] if between else None
        else:
            value = fields.get("is")
            if value is None:
                fields.add("missing-key", key.span, key="is", what=f"the constant {key.text}")
            bare = isinstance(value, Scalar) and is_author_number(value.text)
            amount = self.amounts.amount(value, (unit or self._plain) if bare else None)
        if amount is None:
            self.names.broken.add(key.text)
            return None
        self.names.dimensions[key.text] = amount.unit.dimension
        return Constant(key.text, fields.text("label"), amount, read_basis(fields), key.span, between)

    def table(self, key: Scalar, node: Node) -> Table | None:
        """One table, or None with a Problem."""
        fields = self.sub(node, TABLE_KEYS, f"the table {key.text}")
        if not self.take(key):
            return None
        table = self._table(key, fields)
        if table is None:
            self.names.broken.add(key.text)
        return table

    def _table(self, key: Scalar, fields: Fields) -> Table | None:
        unit = self.amounts.unit(fields.scalar("unit"))
        if fields.has("by") == fields.has("x_unit"):
            fields.add("table-two-kinds" if fields.has("by") else "table-needs-x", key.span)
            return None
        rule = fields.scalar("rule")
        if rule and rule.text not in RULES:
            fields.add("unknown-rule", rule.span, rule=rule.text, hint=near_hint(rule.text, RULES))
            return None
        if rule and rule.text != "exact" and fields.has("by"):
            fields.add("table-names-are-exact", rule.span, rule=rule.text)
            return None
        by, x_unit = fields.scalar("by"), self.amounts.unit(fields.scalar("x_unit"))
        if unit is None or (x_unit is None and by is None):
            return None
        words = self.names.words.get(by.text) if by else None
        if by and words is None:
            hint = near_hint(by.text, self.names.words)
            fields.add("table-by-no-choice", by.span, name=by.text, hint=hint)
            return None
        rows, xs = self._table_rows(fields, unit, x_unit, words)
        if not rows:
            fields.add("table-without-rows", fields.place("rows"))
            return None
        the_rule = rule.text if rule else "exact"
        ys = tuple(row.amount.si for row in rows)
        self.names.tables[key.text] = TableOf(the_rule, words, x_unit, xs, ys, unit.dimension)
        label = fields.text("label") or LocalText({"en": key.text})
        return Table(key.text, label, by.text if by else None, the_rule, x_unit, unit, rows, key.span)

    def _table_rows(
        self, fields: Fields, unit: Unit, x_unit: Unit | None, words: tuple[str, ...] | None
    ) -> tuple[tuple[TableRow, ...], tuple[float, ...]]:
        rows: list[TableRow] = []
        xs: list[float] = []
        for node in fields.items("rows"):
            its = self.sub(node, TABLE_ROW_KEYS, "a row of a table")
            x, amount = its.scalar("x"), self.amounts.amount(its.get("is"), unit)
            if x is None or amount is None:
                continue
            found = self._x_of(its, x, x_unit, words)
            if found is None:
                continue
            at, written = found
            if at in xs:
                its.add("table-row-twice", x.span, word=x.text)
                continue
            rows.append(TableRow(x.text, amount, read_basis(its), x.span, written))
            xs.append(at)
        for (_, before), (row, after) in pairwise(zip(rows, xs, strict=True)):
            if words is None and after <= before:
                fields.add("table-not-ascending", row.span)
        if words is not None and len(rows) == len(fields.items("rows")):
            for index, word in enumerate(words):
                if float(index) not in xs:
                    fields.add("table-row-missing", fields.place("rows"), word=word)
        return tuple(rows), tuple(xs)

    def _x_of(
        self, its: Fields, x: Scalar, x_unit: Unit | None, words: tuple[str, ...] | None
    ) -> tuple[float, Amount | None] | None:
        if words is not None:
            if x.text in words:
                return float(words.index(x.text)), None
            its.add("unknown-choice", x.span, name=x.text, hint=near_hint(x.text, words))
            return None
        amount = self.amounts.amount(x, x_unit)
        if amount is None or x_unit is None:
            return None
        exact_x = amount.unit.exact_si(exact(amount.text)) / x_unit.factor - x_unit.offset
        return float(exact_x), amount
