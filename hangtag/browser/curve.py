"""One answer across one field as a picture: a line of 60 points, a ribbon where it is uncertain, the reader's point.

Positions across are percentages and text has no scale of its own, so that words stay readable on the narrowest screen;
`site_templates/scripts/curve.js` draws the same with a reader's values. Must not read files or templates: an answer's
fields in, numbers and SVG text out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import escape

from hangtag.answers import Given, measured
from hangtag.answers.run import run_values, uncertain_of
from hangtag.calculators import Calculator, Curve, Step
from hangtag.entries import Scale
from hangtag.formula.bounds import Uncertain, corners, ends_of
from hangtag.formula.by_hand import NoAnswer
from hangtag.numbers import show, show_plain, snap
from hangtag.pages.scale import grouped, round_numbers, round_step, stretches
from hangtag.units import Unit

POINTS = 60
# The drawing from top to bottom, in CSS pixels: room for the value of the highest point, the plot, the numbers below.
TOP = 26
HEIGHT = 200
_BOTTOM = TOP + HEIGHT
_ALL = _BOTTOM + 28
_MOST_STEPS = 4  # more numbers than five have no room on a phone
_GIVEN_DIGITS = 8  # a converted number would otherwise be a line long
_HALF = 50.0  # percent: a value further along is set to the left of its point
_LETTER = 16  # how far the letter of a band stands below its upper limit


@dataclass(frozen=True)
class Value:
    """The answer at one place, in its unit: the ends, and what it is at the middle of what is uncertain."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Row:
    """One row of the text table: a round number of the field, and the answer there as text, if there is one."""

    x: str
    y: str | None


@dataclass(frozen=True)
class Stretch:
    """One band of the answer's scale behind the line: its upper limit in SI, and how far from the top that is."""

    letter: str
    limit: float | None
    y: float
    filled: bool


@dataclass(frozen=True)
class Plot:
    """What is drawn. Places are percent from the left and pixels from the top; an empty path is one without answers."""

    across: Unit
    of: Unit
    x_ticks: tuple[tuple[float, str], ...]
    y_ticks: tuple[tuple[float, str], ...]
    line: str
    ribbon: str
    bands: tuple[Stretch, ...]
    here: tuple[float, float] | None
    here_x: str
    here_y: str
    rows: tuple[Row, ...]


def plot(
    calculator: Calculator, inputs: Sequence[Given], between: Callable[[str, str], str], scale: Scale | None = None
) -> Plot | None:
    """The picture of a calculator with fields as read; None for one without a curve.

    `between` puts two ends in words; `scale` is that of the answer, where it sits on one.
    """
    curve = calculator.curve
    given = next((its for its in inputs if curve and its.name == curve.across), None)
    if curve is None or given is None or given.shown is None:
        return None
    step = next(its for its in calculator.steps if its.name == curve.of)
    uncertain = {name: ends for name, ends in uncertain_of(calculator, inputs).items() if name != curve.across}
    run = _runner(calculator, inputs, curve, step, uncertain)
    drawing = _Drawing(curve, step, given.si, given.shown.unit, run, between, bool(uncertain))
    return drawing.plot(measured(show(given.shown.value, _GIVEN_DIGITS, 15), given.shown.unit), scale)


def _runner(
    calculator: Calculator, inputs: Sequence[Given], curve: Curve, step: Step, uncertain: Uncertain
) -> Callable[[float], Value | None]:
    """The answer at an SI value of the field, every other field as it stands."""
    program = calculator.program
    values = run_values(calculator, inputs)

    def run(x: float) -> Value | None:
        at = {**values, curve.across: x}
        try:
            if any(program.first_failed({**at, **corner}) >= 0 for corner in ({}, *corners(uncertain))):
                return None
            middle = program.run(at)[curve.of]
            ends = ends_of(program.run, at, uncertain, program.bounds)[curve.of] if uncertain else None
        except NoAnswer:
            return None
        low, high = (ends.low, ends.high) if ends else (middle, middle)
        return Value(step.unit.from_si(low), step.unit.from_si(middle), step.unit.from_si(high))

    return run


@dataclass(frozen=True)
class _Drawing:
    curve: Curve
    step: Step
    here: float
    unit: Unit
    run: Callable[[float], Value | None]
    between: Callable[[str, str], str]
    uncertain: bool

    def plot(self, here_x: str, scale: Scale | None) -> Plot:
        left, right = min(self.curve.low.si, self.here), max(self.curve.high.si, self.here)
        at_here = self.run(self.here)
        tried = [left + (right - left) * (i / (POINTS - 1)) for i in range(POINTS)]
        values = [self.run(x) for x in tried]
        y_ticks = _axis([value for value in (*values, at_here) if value is not None])
        bottom, top = y_ticks[0], y_ticks[-1]

        def across(x: float) -> float:
            return (x - left) / (right - left) * 100

        def down(y: float) -> float:
            return (top - y) / (top - bottom) * HEIGHT

        points = [
            (across(x), Value(down(value.low), down(value.middle), down(value.high))) if value else None
            for x, value in zip(tried, values, strict=True)
        ]
        x_ticks = round_numbers(self.unit.from_si(left), self.unit.from_si(right), _MOST_STEPS)
        return Plot(
            across=self.unit,
            of=self.step.unit,
            x_ticks=tuple((across(self.unit.to_si(tick)), show(tick, 15, 15)) for tick in x_ticks),
            y_ticks=tuple((down(tick), show(tick, 15, 15)) for tick in y_ticks),
            line=_line(points),
            ribbon=_ribbon(points) if self.uncertain else "",
            bands=_bands(scale, self.step.unit, down) if scale else (),
            here=(across(self.here), down(at_here.middle)) if at_here else None,
            here_x=here_x,
            here_y=self._text(at_here, with_unit=True) if at_here else "",
            rows=tuple(self._row(tick) for tick in x_ticks),
        )

    def _row(self, tick: float) -> Row:
        value = self.run(self.unit.to_si(tick))
        return Row(show(tick, 15, 15), self._text(value) if value else None)

    def _text(self, value: Value, *, with_unit: bool = False) -> str:
        """The answer as text; of an uncertain one both ends, where they are not shown alike."""
        step = self.step
        low, middle, high = (
            show(its, step.digits, step.places, step.whole) for its in (value.low, value.middle, value.high)
        )
        text = middle if low == high else self.between(low, high)
        return measured(text, step.unit) if with_unit else text


def _axis(values: Sequence[Value]) -> tuple[float, ...]:
    """Round numbers that reach around all values, zero among them where that is near."""
    bottom = min((value.low for value in values), default=0.0)
    top = max((value.high for value in values), default=0.0)
    if 0 < bottom < top / 2:
        bottom = 0.0
    if top - bottom <= abs(top) * 1e-9:
        bottom, top = bottom - 1, top + 1
    step = round_step(bottom, top, _MOST_STEPS)
    first, last = math.floor(bottom / step + 1e-9), math.ceil(top / step - 1e-9)
    return tuple(snap(index * step) for index in range(first, last + 1))


Point = tuple[float, Value] | None


def _line(points: Sequence[Point]) -> str:
    """From point to point; where there is no answer the line has a gap."""
    parts = []
    before: Point = None
    for point in points:
        if point:
            x, value = point
            parts.append(f"{'L' if before else 'M'}{_short(x)} {_short(value.middle)}")
        before = point
    return "".join(parts)


def _ribbon(points: Sequence[Point]) -> str:
    """The area between the ends, a piece from each point to the next."""
    pieces = []
    for before, point in pairwise(points):
        if before and point:
            (x0, last), (x1, value) = before, point
            corners = ((x0, last.low), (x1, value.low), (x1, value.high), (x0, last.high))
            pieces.append("M" + "L".join(f"{_short(x)} {_short(y)}" for x, y in corners) + "Z")
    return "".join(pieces)


def _short(value: float) -> str:
    return show_plain(value, 5, 2)


def _bands(scale: Scale, unit: Unit, down: Callable[[float], float]) -> tuple[Stretch, ...]:
    """The bands from the top down: each is drawn to the bottom, over the one above it."""
    found = []
    for stretch in reversed(stretches(scale)):
        limit = stretch.band.below or stretch.band.up_to
        y = down(unit.from_si(limit.si)) if limit else 0.0
        found.append(Stretch(stretch.letter, limit.si if limit else None, y, stretch.filled))
    return tuple(found)


# ------------------------------------------------------------------------------------------------------- the drawing


def draw(drawn: Plot, prefix: str, title: str) -> str:
    """The picture as one SVG element; `prefix` begins its ids, `title` is what a screen reader says."""
    x, y = drawn.here or (0.0, 0.0)
    late = "true" if x > _HALF else "false"
    lines = (
        f'<svg y="{TOP}" width="100%" height="{HEIGHT}" viewBox="0 0 100 {HEIGHT}" preserveAspectRatio="none" '
        f'overflow="visible"><path class="ht-ribbon" d="{drawn.ribbon}"/><path class="ht-line" d="{drawn.line}"/></svg>'
    )
    here = (
        f'<svg class="ht-here" y="{_short(TOP + y)}" width="{_short(x)}%" height="{_short(HEIGHT - float(_short(y)))}" '
        f'overflow="visible" data-late="{late}"><line x2="100%"/><line x1="100%" x2="100%" y2="100%"/>'
        f'<circle cx="100%" r="5"/><text x="100%" y="-10" translate="no">{escape(drawn.here_y)}</text></svg>'
    )
    parts = [
        f'<svg class="ht-plot" width="100%" height="{_ALL}" role="img" aria-labelledby="{escape(prefix)}-title">',
        f'<title id="{escape(prefix)}-title">{escape(title)}</title>',
        f'<svg class="ht-plot-bands" y="{TOP}" width="100%" height="{HEIGHT}">{"".join(map(_band, drawn.bands))}</svg>',
        f'<g class="ht-plot-y">{"".join(_y_tick(at, text) for at, text in drawn.y_ticks)}</g>',
        f'<g class="ht-plot-x">{"".join(_x_tick(at, text) for at, text in drawn.x_ticks)}</g>',
        lines,
        here,
        "</svg>",
    ]
    return "\n".join(parts)


def _band(band: Stretch) -> str:
    limit = "" if band.limit is None else f' data-si="{band.limit!r}"'
    kind = "ht-plot-filled" if band.filled else "ht-plot-open"
    return (
        f'<svg y="{_short(band.y)}" width="100%" height="100%" overflow="visible"{limit}><rect class="{kind}" '
        f'width="100%" height="1000%"/><text x="100%" dx="-14" y="{_LETTER}">{band.letter}</text></svg>'
    )


def _y_tick(at: float, text: str) -> str:
    return (
        f'<svg y="{_short(TOP + at)}" width="100%" height="1" overflow="visible">'
        f'<text dx="-8" dy="5" text-anchor="end" translate="no">{grouped(text)}</text><line x2="100%"/></svg>'
    )


def _x_tick(at: float, text: str) -> str:
    return (
        f'<svg x="{_short(at)}%" y="{_BOTTOM}" width="1" height="1" overflow="visible">'
        f'<text y="22" text-anchor="middle" translate="no">{grouped(text)}</text><line y2="6"/></svg>'
    )
