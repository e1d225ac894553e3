"""What stands on a calculator's own page, gathered for its template.

Must not print the fields: that block is handed in.
"""

from __future__ import annotations

from typing import Any

from hangtag.calculators import Calculator, ChoiceInput
from hangtag.pages.examples_view import example_view
from hangtag.pages.writer import Writer


def calculator_view(w: Writer, calculator: Calculator) -> dict[str, Any]:
    """Everything `calculator.md.j2` prints."""
    return {
        "calculator": calculator,
        "entries": w.book.entries_with(calculator.id),
        "constants": calculator.constants,
        "choices": [field for field in calculator.inputs if isinstance(field, ChoiceInput)],
        "claims": calculator.claims,
        "examples": [example_view(w, calculator, *numbered) for numbered in enumerate(calculator.examples, start=1)],
    }
