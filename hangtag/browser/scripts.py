"""A calculator's scripts: the shared runtime of all, and the data and formulas of each.

Formulas come from `formula.to_javascript`, the spelling of units from `typed`. Must hold no words of a calculator: a
script reads those in the page, which may be in any language.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from hangtag.answers import measured
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceInput, Input, QuantityInput, Step
from hangtag.formula import to_javascript
from hangtag.resources import template_dirs
from hangtag.typed import browser_table
from hangtag.units import Unit

# The parts of the shared script, in the order in which they need each other.
RUNTIME = ("numbers.js", "units.js", "formulas.js", "slots.js", "scales.js", "fields.js", "calculator.js")
# Labels that scripts say: all names that begin so.
SPOKEN_BY_SCRIPTS = ("number-", "unit-", "field-", "no-answer-", "result-spoken", "scale-desc", "calc-unloaded")
_COMMENT = re.compile(r"/\*\*.*?\*/ ?", re.DOTALL)  # only our own scripts pass here: none has such a string


def runtime_script(book: Book) -> str:
    """The shared script of all calculators: our parts, the book's units, and the words scripts say."""
    folders = template_dirs(book)
    parts = {name: _without_comments(_nearest(folders, name).read_text(encoding="utf-8")) for name in RUNTIME}
    last = parts.pop(RUNTIME[-1])
    words = [
        f"hangtag.slots.define({literal(language)}, {literal(_spoken(book, language))});"
        for language in book.strings.languages
    ]
    return "\n".join((*parts.values(), f"hangtag.units.define({literal(_units(book))});", *words, last)) + "\n"


def formula_script(calculator: Calculator) -> str:
    """One calculator's data and formulas, as a classic script that hands them to the shared one."""
    fields = ",\n".join(f"    {literal(_input_row(its))}" for its in calculator.inputs)
    steps = ",\n".join(f"    {literal(_step_row(step))}" for step in calculator.steps)
    return (
        f"// Generated from calculators/{calculator.id}.yml. SI values go in, SI values come out.\n"
        f"hangtag.calculator({literal(calculator.id)}, {{\n"
        f"  inputs: [\n{fields},\n  ],\n  steps: [\n{steps},\n  ],\n"
        f"  {to_javascript.functions(calculator.program)},\n}});\n"
    )


def literal(value: object) -> str:
    """A value as a JavaScript literal that no HTML parser and no old engine takes apart."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _nearest(folders: list[Path], name: str) -> Path:
    return next(folder / "scripts" / name for folder in folders if (folder / "scripts" / name).is_file())


def _spoken(book: Book, language: str) -> dict[str, str]:
    table = book.strings.by_language[language]
    return {name: text for name, text in sorted(table.items()) if name.startswith(SPOKEN_BY_SCRIPTS)}


def field_units(field: QuantityInput) -> tuple[Unit, ...]:
    """The units a field offers, its own first, the one of its start value among them."""
    units = (field.unit, *field.also)
    return units if field.start.unit in units else (*units, field.start.unit)


def ascii_spelling(unit: Unit) -> str:
    """How an address carries a unit: its id, or the first spelling that needs no escapes there."""
    if not measured("", unit):
        return ""
    plain = (text for text in (unit.id, *unit.typed) if text.isascii() and not set(text) & set(' %^"&+#'))
    return next(plain, unit.id)


def _units(book: Book) -> dict[str, dict[str, object]]:
    table = browser_table(book.units)
    for id_, row in table.items():
        spelling = ascii_spelling(book.units.units[id_])
        if spelling != id_:
            row["a"] = spelling
    return table


def _input_row(its: Input) -> dict[str, object]:
    if isinstance(its, ChoiceInput):
        options = [
            [option.name, float(option.amount.text), option.amount.unit.id, option.amount.si] for option in its.options
        ]
        return {"name": its.name, "options": options}
    row: dict[str, object] = {
        "name": its.name,
        "units": [unit.id for unit in field_units(its)],
        "low": [float(its.low.text), its.low.unit.id],
        "high": [float(its.high.text), its.high.unit.id],
    }
    return row | ({"whole": True} if its.whole else {})


def _step_row(step: Step) -> dict[str, object]:
    return {
        "name": step.name,
        "unit": step.unit.id,
        "digits": step.digits,
        "places": step.places,
        "whole": step.whole,
    }


def _without_comments(source: str) -> str:
    """A script without its comments and indents: its readers have the source, its users the bytes."""
    lines = (line.strip() for line in _COMMENT.sub("", source).splitlines())
    return "\n".join(line for line in lines if line and not line.startswith("//"))
