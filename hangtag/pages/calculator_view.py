"""What stands on a calculator's own page, gathered for its template.

Must not print the fields: that block is handed in.
"""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from hangtag.calculators import Calculator, ChoiceInput, Constant, Table
from hangtag.pages.examples_view import example_view
from hangtag.pages.uses import table_x
from hangtag.pages.writer import Writer
from hangtag.sources import Basis


def calculator_view(w: Writer, calculator: Calculator) -> dict[str, Any]:
    """Everything `calculator.md.j2` prints."""
    return {
        "calculator": calculator,
        "entries": w.book.entries_with(calculator.id),
        "numbers": _numbers(w, calculator),
        "tables": [_table(w, calculator, table) for table in calculator.tables],
        "claims": calculator.claims,
        "examples": [example_view(w, calculator, *numbered) for numbered in enumerate(calculator.examples, start=1)],
    }


def _numbers(w: Writer, calculator: Calculator) -> list[tuple[Markup, Basis]]:
    """The constants, then the named values of choices: each in words, and why it may be believed."""
    numbers = [
        (w.say("calculator-constant", label=w.plain(its.label or its.name), value=_constant(w, its)), its.basis)
        for its in calculator.constants
    ]
    for field in calculator.inputs:
        for option in field.options if isinstance(field, ChoiceInput) else ():
            if option.amount and option.basis:
                words = w.say("calculator-constant", label=w.plain(option.label), value=w.amount(option.amount))
                numbers.append((Markup("{}, {}").format(w.plain(field.label), words), option.basis))
    return numbers


def _constant(w: Writer, constant: Constant) -> Markup:
    if constant.between is None:
        return w.amount(constant.amount)
    low, high = constant.between
    return w.say("calculator-between", low=w.amount(low), high=w.amount(high))


def _table(w: Writer, calculator: Calculator, table: Table) -> dict[str, Any]:
    """A table with its rule in words; each row is what is looked up, its value and its basis."""
    rule = table.rule if table.by or table.rule != "exact" else "exactly"
    rows = [
        (
            w.amount(row.at) if row.at else w.plain(table_x(calculator, table, row)),
            w.amount(row.amount),
            row.basis,
        )
        for row in table.rows
    ]
    return {"label": table.label, "rule": w.say(f"calculator-table-{rule.replace('_', '-')}"), "rows": rows}
