"""Numbers with their units inside an author's sentences: kept on one line, from translation, and grouped by style.

The text itself stays as written, so that it is copied and spoken as one number. Must not change what is said.
"""

from __future__ import annotations

import re

from markupsafe import Markup, escape

from hangtag import markup
from hangtag.units import UnitList

# Printed units that are also everyday words: `5 in 10 tests` is no length.
_WORDS_TOO = {"in", "plain"}


def quantity_pattern(units: UnitList) -> re.Pattern[str]:
    """What finds a number and a unit of the book in running text."""
    prints = {unit.prints for unit in units.units.values() if unit.prints} - _WORDS_TOO
    longest_first = sorted(prints, key=lambda text: (-len(text), text))
    # Text may be escaped already: units are looked for in both forms.
    either = "|".join(re.escape(form) for text in longest_first for form in dict.fromkeys((text, str(escape(text)))))
    return re.compile(rf"(?<![\w.,;&#/-])([-−]?[0-9]+(?:\.[0-9]+)?) ({either or '(?!)'})(?![\w/^*²³])")


def mark_quantities(text: str, pattern: re.Pattern[str]) -> Markup:
    """Safe text with every quantity in it marked up."""
    return Markup(
        pattern.sub(
            lambda found: f'<span class="ht-q" translate="no">{markup.grouped(found[1])} {found[2]}</span>', text
        )
    )
