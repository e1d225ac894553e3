"""What a formula needs beyond the four rules: a look-up in a table, and a root by halving.

Each is written out in the same order in `site_templates/scripts/`, so that both languages agree to the bit wherever the
functions inside do. Must not know units, names or spans.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

HALVINGS = 40
AT_END = 1e-12  # an end of the range counts as the answer where both sides differ by less than this share


class NoEntryError(ValueError):
    """A table has no row for this value."""


class NoRootError(ValueError):
    """Both sides never meet within the bounds."""


def lookup(x: float, xs: Sequence[float], ys: Sequence[float], rule: str) -> float:
    """The y of a table at x, by its rule.

    exact takes the row with this very x, step the last row not above it, up_to the first row not below it, and linear
    goes straight between two rows. `xs` ascends. Raises NoEntryError below a step table, above an up_to one, outside a
    linear one, and for an x that an exact one lacks.
    """
    if rule == "exact":
        for at, y in zip(xs, ys, strict=True):
            if at == x:
                return y
        raise NoEntryError
    if rule == "up_to":
        for at, y in zip(xs, ys, strict=True):
            if x <= at:
                return y
        raise NoEntryError
    if x < xs[0] or (rule == "linear" and x > xs[-1]):
        raise NoEntryError
    if rule == "step":
        found = ys[0]
        for at, y in zip(xs, ys, strict=True):
            if at <= x:
                found = y
        return found
    for (x0, x1), (y0, y1) in zip(pairwise(xs), pairwise(ys), strict=True):
        if x <= x1:
            return y0 + (y1 - y0) * ((x - x0) / (x1 - x0))
    raise NoEntryError


def root(sides: Callable[[float], tuple[float, float]], low: float, high: float) -> float:
    """Where both sides are equal between the bounds: 40 halvings on the sign of left minus right; zero is not negative.

    Raises NoRootError where the sign is the same at both ends and neither end is the answer.
    """
    for end in (low, high):
        left, right = sides(end)
        if abs(left - right) <= AT_END * max(abs(left), abs(right)):
            return end
    left, right = sides(low)
    below = left - right < 0
    left, right = sides(high)
    if (left - right < 0) == below:
        raise NoRootError
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        left, right = sides(middle)
        if (left - right < 0) == below:
            low = middle
        else:
            high = middle
    return (low + high) / 2
