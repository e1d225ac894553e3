"""Calculators for a browser: their HTML, complete without a script, and scripts that keep it up to date; the finder.

Must not compute anything, nor know pages or MkDocs.
"""

from __future__ import annotations

from hangtag.browser.finder import finder_data, finder_script, finder_text
from hangtag.browser.html import calculator_html
from hangtag.browser.scripts import PARTS, RUNTIME, formula_script, literal, part_script, runtime_script
from hangtag.browser.tags import TAG_SCRIPTS, tags_data, tags_script

__all__ = [
    "PARTS",
    "RUNTIME",
    "TAG_SCRIPTS",
    "calculator_html",
    "finder_data",
    "finder_script",
    "finder_text",
    "formula_script",
    "literal",
    "part_script",
    "runtime_script",
    "tags_data",
    "tags_script",
]
