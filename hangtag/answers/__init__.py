"""Running a calculator with a reader's own values: reading fields, refusing in words, steps, bands, working backwards.

Must not print or format pages. The browser does the same from the same data; shared cases hold the two together.
"""

from hangtag.answers.as_json import as_json, band_json, caution_of
from hangtag.answers.backwards import work_backwards
from hangtag.answers.fields import quantity_given, range_given, read_field
from hangtag.answers.model import Answer, Cell, Given, Refusal, Result, Shown, Solution, Solved
from hangtag.answers.rows import rows_given
from hangtag.answers.run import run, run_values, work
from hangtag.answers.words import band_of, measured

__all__ = [
    "Answer",
    "Cell",
    "Given",
    "Refusal",
    "Result",
    "Shown",
    "Solution",
    "Solved",
    "as_json",
    "band_json",
    "band_of",
    "caution_of",
    "measured",
    "quantity_given",
    "range_given",
    "read_field",
    "rows_given",
    "run",
    "run_values",
    "work",
    "work_backwards",
]
