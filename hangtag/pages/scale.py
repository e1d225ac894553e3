"""An entry's scale as a drawing: a bar like that of a map, bands as filled and open stretches, a marker, round ticks.

Positions are percentages and text has no scale of its own, so that words stay readable on the narrowest screen.
Position and words carry the meaning, never colour. Must not know files or templates: numbers in, SVG text out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from markupsafe import Markup, escape

from hangtag.amounts import Amount
from hangtag.answers import measured
from hangtag.entries import Band, Scale
from hangtag.numbers import half_up, show, snap

# The drawing from top to bottom, in CSS pixels.
_VALUE_BASELINE = 15
_BAR_TOP = 34
_BAR_HEIGHT = 26
_BAR_BOTTOM = _BAR_TOP + _BAR_HEIGHT
_TICK_BASELINE = _BAR_BOTTOM + 24
HEIGHT = _BAR_BOTTOM + 30
_LETTER_BASELINE = _BAR_TOP + 18

_MOST_TICKS = 5
_PHONE_BAR = 288  # the width of the bar on the narrowest screen
_DIGIT_WIDTH = 9
_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
_NARROWEST_FOR_LETTER = 1.8  # percent: 12 px of the widest bar, and a letter is 8 px wide
_NARROW = 4.5  # percent: 12 px of a phone's bar; letters of narrower stretches are left to wider screens
_NEAR_START, _NEAR_END = 18.0, 82.0  # beyond these a centred value would leave the drawing
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Stretch:
    """One band as it is drawn: from and to in percent of the bar."""

    letter: str
    start: float
    end: float
    filled: bool
    band: Band


def percent(scale: Scale, si: float) -> float:
    """Where an SI value stands on the bar: 0 at its start, 100 at its end; values beyond the ends stand at the ends."""
    share = (si - scale.start.si) / (scale.end.si - scale.start.si) * 100
    return min(100.0, max(0.0, share))


def stretches(scale: Scale) -> tuple[Stretch, ...]:
    """The bands in order, alternately filled and open; the last reaches the end of the bar."""
    found: list[Stretch] = []
    start = 0.0
    for index, band in enumerate(scale.bands):
        limit = band.below or band.up_to
        end = percent(scale, limit.si) if limit else 100.0
        found.append(Stretch(_LETTERS[index % len(_LETTERS)], start, end, index % 2 == 0, band))
        start = end
    return tuple(found)


def ticks(low: float, high: float) -> tuple[float, ...]:
    """A few round numbers between two ends, as many as a phone has room to print."""
    for most in range(_MOST_TICKS, 1, -1):
        found = round_numbers(low, high, most)
        widest = max(len(show(number, 15)) for number in found) * _DIGIT_WIDTH
        # The last number is set inwards from its tick, so it needs half its width more than the others.
        if _PHONE_BAR / most >= widest * 1.5:
            return found
    return round_numbers(low, high, 1)


def round_step(low: float, high: float, most: int) -> float:
    """The smallest round step that takes at most `most` steps from one end to the other."""
    rough = (high - low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * nice for nice in _ROUND if power * nice >= rough * (1 - 1e-9))


def round_numbers(low: float, high: float, most: int) -> tuple[float, ...]:
    """The multiples of a round step between two ends, at most `most` steps apart."""
    step = round_step(low, high, most)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return tuple(snap(index * step) for index in range(first, last + 1))


def anchor(at: float) -> str:
    """How a text at this percentage is set so that it stays inside the drawing."""
    if at < _NEAR_START:
        return "start"
    return "end" if at > _NEAR_END else "middle"


def middle(scale: Scale) -> float:
    """The SI value in the middle of the bar, rounded to two figures in the scale's unit."""
    centre = scale.unit.from_si((scale.start.si + scale.end.si) / 2)
    return scale.unit.to_si(float(two_figures(centre)))


def two_figures(value: float) -> str:
    """A number rounded to two figures, as `float` reads it."""
    if value == 0:
        return "0"
    negative, digits, exponent = half_up(value, 2)
    return f"{'-' if negative else ''}{digits[0]}.{digits[1:]}e{exponent}"


def draw(entry: str, scale: Scale, here: float, *, title: str, described: str) -> str:
    """The drawing as one SVG element with `here` (SI) marked; `title` and `described` are what a screen reader says."""
    at = percent(scale, here)
    prefix = f"scale-{escape(entry)}"
    labelled = f'role="img" aria-labelledby="{prefix}-title {prefix}-desc"'
    parts = [
        f'<svg class="ht-bar" width="100%" height="{HEIGHT}" {labelled}>',
        f'<title id="{prefix}-title">{escape(title)}</title>',
        f'<desc id="{prefix}-desc">{escape(described)}</desc>',
        *(_stretch(stretch) for stretch in stretches(scale)),
        _frame(),
        *_ticks(scale),
    ]
    if scale.spread:
        parts.append(_spread(prefix, scale, here, scale.spread.relative))
    parts += [_mark(prefix, at), *_letters(scale), _value(prefix, scale, here, at), "</svg>"]
    return "\n".join(parts)


def _stretch(stretch: Stretch) -> str:
    kind = "ht-filled" if stretch.filled else "ht-open"
    x, width = _pct(stretch.start), _pct(stretch.end - stretch.start)
    return f'<rect class="{kind}" x="{x}" y="{_BAR_TOP}" width="{width}" height="{_BAR_HEIGHT}"/>'


def _letters(scale: Scale) -> list[str]:
    """The letters that the list of bands begins with, in every stretch that is wide enough for one."""
    drawn = []
    for stretch in stretches(scale):
        width = stretch.end - stretch.start
        if width < _NARROWEST_FOR_LETTER:
            continue
        kind = f"ht-{'filled' if stretch.filled else 'open'}-letter{' ht-narrow' if width < _NARROW else ''}"
        x = _pct((stretch.start + stretch.end) / 2)
        drawn.append(
            f'<text class="{kind}" x="{x}" y="{_LETTER_BASELINE}" text-anchor="middle">{stretch.letter}</text>'
        )
    return drawn


def _frame() -> str:
    return f'<rect class="ht-frame" x="0" y="{_BAR_TOP}" width="100%" height="{_BAR_HEIGHT}"/>'


def _ticks(scale: Scale) -> list[str]:
    drawn = []
    for value in ticks(scale.unit.from_si(scale.start.si), scale.unit.from_si(scale.end.si)):
        at = percent(scale, scale.unit.to_si(value))
        set_as = {0.0: "start", 100.0: "end"}.get(round(at, 6), "middle")
        x = _pct(at)
        drawn.append(f'<line class="ht-tick" x1="{x}" x2="{x}" y1="{_BAR_BOTTOM}" y2="{_BAR_BOTTOM + 7}"/>')
        drawn.append(
            f'<text class="ht-tick-number" x="{x}" y="{_TICK_BASELINE}" text-anchor="{set_as}" translate="no">'
            f"{grouped(show(value, 15))}</text>"
        )
    return drawn


def _spread(prefix: str, scale: Scale, here: float, relative: float) -> str:
    low, high = percent(scale, here * (1 - relative)), percent(scale, here * (1 + relative))
    return (
        f'<rect class="ht-spread" id="{prefix}-spread" x="{_pct(low)}" y="{_BAR_TOP - 5}" '
        f'width="{_pct(high - low)}" height="{_BAR_HEIGHT + 10}"/>'
    )


def _mark(prefix: str, at: float) -> str:
    """The marker: a pin above the bar and a line through it, edged so that it shows on filled and open stretches."""
    tip = _BAR_TOP - 1
    return (
        f'<svg class="ht-mark" id="{prefix}-mark" x="{_pct(at)}" y="0" width="1" height="{HEIGHT}" overflow="visible">'
        f'<line class="ht-mark-edge" x1="0" x2="0" y1="{_BAR_TOP}" y2="{_BAR_BOTTOM + 4}"/>'
        f'<line class="ht-mark-line" x1="0" x2="0" y1="{_BAR_TOP - 4}" y2="{_BAR_BOTTOM + 4}"/>'
        f'<path class="ht-mark-pin" d="M0 {tip}L-6 {tip - 11}H6Z"/></svg>'
    )


def _value(prefix: str, scale: Scale, here: float, at: float) -> str:
    shown = show(scale.unit.from_si(here))
    number, unit = grouped(shown), escape(measured(shown, scale.unit).removeprefix(shown))
    return (
        f'<text class="ht-mark-value" id="{prefix}-value" x="{_pct(at)}" y="{_VALUE_BASELINE}" '
        f'text-anchor="{anchor(at)}" translate="no">{number}{unit}</text>'
    )


def _pct(value: float) -> str:
    return f"{show(value, 6, 3)}%"


def grouped(number: str) -> Markup:
    """Digits in threes by small shifts, from five digits on: the text itself stays whole."""
    whole, point, decimals = number.partition(".")
    if len(whole.lstrip("−")) < len("10000"):
        return escape(number)
    first = len(whole) % 3 or 3
    groups = [whole[:first], *(whole[at : at + 3] for at in range(first, len(whole), 3))]
    shifted = Markup("").join(Markup('<tspan dx="2">{}</tspan>').format(group) for group in groups[1:])
    return escape(groups[0]) + shifted + escape(point + decimals)


def limit_of(band: Band) -> Amount | None:
    """The upper limit of a band, included or not."""
    return band.below or band.up_to
