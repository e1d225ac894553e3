"""A calculator's scripts: the shared runtime of all, parts that only some pages load, the data and formulas of each.

Formulas come from `formula.to_javascript`, the spelling of units from `typed`. Must hold no words of a calculator: a
script reads those in the page, which may be in any language.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

from hangtag.answers import measured
from hangtag.book import Book
from hangtag.calculators import (
    Calculator,
    ChoiceColumn,
    ChoiceInput,
    Column,
    Input,
    QuantityColumn,
    QuantityInput,
    RowsInput,
    Step,
)
from hangtag.formula import core, to_javascript
from hangtag.formula.bounds import SAMPLED
from hangtag.formula.program import parts_of
from hangtag.resources import template_dirs
from hangtag.typed import browser_table, spelling_key
from hangtag.units import Unit

# The parts of the shared script, in the order in which they need each other.
RUNTIME = ("numbers.js", "units.js", "formulas.js", "slots.js", "fields.js", "calculator.js")
# Labels that scripts say: all names that begin so.
SPOKEN_BY_SCRIPTS = ("number-", "unit-", "field-", "no-answer-", "result-spoken")
# Scripts that only pages with such a thing load, and the labels each of them says.
PARTS: dict[str, tuple[str, ...]] = {
    "address.js": (),
    "scales.js": ("scale-desc",),
    "curve.js": (),
    "backwards.js": ("backwards-",),
    "lookups.js": ("no-answer-outside-table", "no-answer-no-solution"),
    "ranges.js": ("range-",),
    "rows.js": ("rows-cell", "rows-faults", "rows-more", "rows-no-choice"),
    "edits.js": ("rows-", "paste-"),
    "pictures.js": (),
    "preference.js": ("scale-title",),
    "copy.js": ("copy-", "list-too-long"),
}
_EXACT_IN_FLOATS = 2**53  # both parts of a fraction below this divide to the float nearest to it
# Only our own scripts pass here: none has such a comment in a string, or a template within a template.
_COMMENT = re.compile(r"/\*\*.*?\*/ ?", re.DOTALL)
# Texts and patterns stay as they are, comments to the end of a line go, and so do the spaces around marks; around `+`
# and `-` only where no other one follows, since two of them that meet would mean another thing.
_TOKEN = re.compile(
    r"""(?P<kept>"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`"""
    r"""|(?:(?<=[(,=:\[!&|?{};>])|(?<=[(,=:\[!&|?{};>]\ ))/(?![*/])(?:[^/\\\n\[]|\\.|\[(?:[^\]\\\n]|\\.)*\])+/[a-z]*)"""
    r"""|\ *//[^\n]*|\ *(?P<mark>[=*<>?:&|,{}();!\[\]]+)\ *|(?<=[^-+\ ])\ (?P<sign>[-+/]=?)\ (?=[^-+\ ])"""
)


def runtime_script(book: Book) -> str:
    """The shared script of all calculators: our parts, the book's units, and the words scripts say."""
    folders = template_dirs(book)
    parts = {name: without_comments(nearest(folders, name).read_text(encoding="utf-8")) for name in RUNTIME}
    last = parts.pop(RUNTIME[-1])
    units = f"hangtag.units.read({literal(_units(book))});"
    return "\n".join((*parts.values(), units, *_words(book, SPOKEN_BY_SCRIPTS), last)) + "\n"


def part_script(book: Book, name: str) -> str:
    """One of PARTS, with the words it says."""
    source = nearest(template_dirs(book), name).read_text(encoding="utf-8")
    return "\n".join((*_words(book, PARTS[name]), without_comments(source))) + "\n"


def formula_script(calculator: Calculator) -> str:
    """One calculator's data and formulas, as a classic script that hands them to the shared one."""
    fields = ",\n".join(f"    {literal(_input_row(its))}" for its in calculator.inputs)
    steps = ",\n".join(f"    {literal(_step_row(calculator, step))}" for step in calculator.steps)
    more = "".join(f"  {name}: {literal(value)},\n" for name, value in _more(calculator).items())
    return (
        f"// Generated from calculators/{calculator.id}.yml. SI values go in, SI values come out.\n"
        f"hangtag.calculator({literal(calculator.id)}, {{\n{more}"
        f"  inputs: [\n{fields},\n  ],\n  steps: [\n{steps},\n  ],\n"
        f"  {to_javascript.functions(calculator.program)},\n}});\n"
    )


def _more(calculator: Calculator) -> dict[str, object]:
    """What only some calculators have: scripts to load first, uncertain constants (SI ends, unit), a picture."""
    domain = calculator.program.domain
    needs = ["rows"] * bool(domain.lists) + ["ranges"] * bool(domain.uncertain or domain.ranges)
    trees = (*calculator.program.requires, *(tree for _, tree in calculator.program.steps))
    needs += ["lookups"] * any(map(_looks_up, trees))
    uncertain = {
        its.name: [*domain.uncertain[its.name], its.amount.unit.id] for its in calculator.constants if its.between
    }
    picture = calculator.picture
    drawn = picture and {"kind": picture.kind, "of": picture.of, "across": picture.across}
    return {name: value for name, value in (("needs", needs), ("uncertain", uncertain), ("picture", drawn)) if value}


def _looks_up(node: core.CoreNode | core.AnyCondition) -> bool:
    return isinstance(node, core.TableLookup | core.Root) or any(map(_looks_up, parts_of(node)))


def literal(value: object) -> str:
    """A value as a JavaScript literal that no HTML parser and no old engine takes apart."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def nearest(folders: list[Path], name: str) -> Path:
    """A script's source in the first of the template folders that has it."""
    return next(folder / "scripts" / name for folder in folders if (folder / "scripts" / name).is_file())


def _words(book: Book, beginnings: tuple[str, ...]) -> list[str]:
    """Labels whose names begin so, handed to the table of labels: one line a language."""
    return [
        f"hangtag.slots.define({literal(language)}, {literal(_spoken(book, language, beginnings))});"
        for language in book.strings.languages
        if beginnings
    ]


def _spoken(book: Book, language: str, beginnings: tuple[str, ...]) -> dict[str, str]:
    table = book.strings.by_language[language]
    apart = PARTS["lookups.js"] if beginnings == SPOKEN_BY_SCRIPTS else ()
    return {name: text for name, text in sorted(table.items()) if name.startswith(beginnings) and name not in apart}


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


def _spellings(unit: Unit) -> tuple[str, ...]:
    return (unit.id, unit.prints, unit.says, *unit.typed)


def _units(book: Book) -> str:
    """The table of units as lines for `hangtag.units.read`: what they measure alone on a line, then a unit a line.

    A line holds id, printed form, spoken name, exact factor, system, spelling in addresses, float factor, both offsets,
    and typed spellings, parted by tabs, which no file of a book may hold. What can be told from the rest stays empty:
    `cm²` and `cm2` of `cm^2`, and spellings that differ from those only in what no reader of units looks at.
    """
    kinds: dict[object, list[str]] = {}
    keys = Counter(key for unit in book.units.units.values() for key in set(map(spelling_key, _spellings(unit))))
    shared = {key for key, units in keys.items() if units > 1}  # only written out do these tell their units apart
    for id_, row in browser_table(book.units).items():
        unit, spelling = book.units.units[id_], ascii_spelling(book.units.units[id_])
        small = max(unit.factor.numerator, unit.factor.denominator) < _EXACT_IN_FLOATS
        told = {spelling_key(id_), spelling_key(unit.prints)} - shared
        cells = [
            id_,
            "" if row["p"] == id_.replace("^2", "²").replace("^3", "³") else row["p"],
            row["s"],
            str(unit.factor),
            unit.system,
            "" if spelling == id_.replace("^", "") else spelling,
            "" if small else row["f"],
            row.get("o"),
            row.get("on"),
            *(typed for typed in unit.typed if spelling_key(typed) not in told),
        ]
        line = "\t".join("" if cell is None else str(cell) for cell in cells)
        kinds.setdefault(row["k"], []).append(line.rstrip("\t"))
    return "\n".join(line for kind, lines in kinds.items() for line in (str(kind), *lines))


def _input_row(its: Input) -> dict[str, object]:
    if isinstance(its, ChoiceInput):
        options = [
            [option.name, float(option.amount.text), option.amount.unit.id, option.amount.si]
            if option.amount
            else [option.name]
            for option in its.options
        ]
        return {"name": its.name, "options": options}
    if isinstance(its, RowsInput):
        return {"name": its.name, "columns": [_column_row(column) for column in its.columns], "most": its.most}
    return _quantity_row(its, field_units(its)) | ({"between": True} if its.between else {})


def _quantity_row(its: QuantityInput | QuantityColumn, units: tuple[Unit, ...]) -> dict[str, object]:
    row: dict[str, object] = {
        "name": its.name,
        "units": [unit.id for unit in units],
        "low": [float(its.low.text), its.low.unit.id],
        "high": [float(its.high.text), its.high.unit.id],
    }
    return row | ({"whole": True} if its.whole else {})


def _column_row(column: Column) -> dict[str, object]:
    if isinstance(column, QuantityColumn):
        start = [column.start.text, column.start.unit.id]
        return _quantity_row(column, (column.unit, *column.also)) | {"start": start}
    if isinstance(column, ChoiceColumn):
        words = {"name": column.name, "words": column.words, "start": column.start}
        return words | ({"tick": True} if column.tick else {})
    return {"name": column.name}


def _step_row(calculator: Calculator, step: Step) -> dict[str, object]:
    row: dict[str, object] = {
        "name": step.name,
        "unit": step.unit.id,
        "digits": step.digits,
        "places": step.places,
        "whole": step.whole,
    }
    if step.also:
        row["units"] = [unit.id for unit in (step.unit, *step.also)]
    return row | ({"sampled": True} if calculator.program.bounds.get(step.name) == SAMPLED else {})


def without_comments(source: str) -> str:
    """A script without its comments, indents and most spaces: its readers have the source, its users the bytes."""
    source = _TOKEN.sub(lambda found: found["mark"] or found["sign"] or found["kept"] or "", _COMMENT.sub("", source))
    return "\n".join(line for line in map(str.strip, source.splitlines()) if line)
