"""Calculators for a browser: their HTML, complete without a script, and the scripts that keep it up to date.

Must not compute anything, nor know pages or MkDocs.
"""

from __future__ import annotations

from hangtag.browser.html import calculator_html
from hangtag.browser.scripts import PARTS, RUNTIME, formula_script, literal, part_script, runtime_script

__all__ = ["PARTS", "RUNTIME", "calculator_html", "formula_script", "literal", "part_script", "runtime_script"]
