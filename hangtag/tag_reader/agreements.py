"""What must hold between numbers of one tag: the small language of `reads: agrees`.

    agreement: operand "=" operand ("-" | "*") operand
             | operand ">=" operand
    operand:   "{q}"  the entry's own value without a role  |  "{role}"  |  "{entry:q}"  |  "{entry:role}"

Only the two with `=` are arithmetic, and so certain. Must not look at tags.
"""

from __future__ import annotations

import re

OPERATORS = ("=-", "=*", ">=")
_OPERAND = r"\{\s*((?:[a-z0-9][a-z0-9-]*:)?[a-z][a-z0-9_]*)\s*\}"
_EQUAL = re.compile(rf"\s*{_OPERAND}\s*=\s*{_OPERAND}\s*([-*])\s*{_OPERAND}\s*")
_ORDER = re.compile(rf"\s*{_OPERAND}\s*>=\s*{_OPERAND}\s*")

Agreed = list[str]  # the operator, then the operands


def parse_agreement(text: str) -> Agreed | None:
    """`{q} = {heel} - {forefoot}` as `["=-", "q", "heel", "forefoot"]`; None for anything else."""
    equal = _EQUAL.fullmatch(text)
    if equal:
        return ["=" + equal.group(3), equal.group(1), equal.group(2), equal.group(4)]
    order = _ORDER.fullmatch(text)
    return [">=", order.group(1), order.group(2)] if order else None
