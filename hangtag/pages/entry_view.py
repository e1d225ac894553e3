"""What stands on an entry's page, gathered for its template. Must not write Markdown: the template does."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hangtag import markup
from hangtag.amounts import Amount
from hangtag.answers import band_of
from hangtag.entries import Band, Entry, Scale
from hangtag.pages import scale as drawing
from hangtag.pages.examples_view import first_examples
from hangtag.pages.samples import samples, start_value
from hangtag.pages.uses import Use, of_calculator, of_entry
from hangtag.pages.writer import Writer
from hangtag.sources import BASIS_NEEDS


@dataclass(frozen=True)
class BandRow:
    """One stretch of a scale in words."""

    letter: str
    limits: Markup
    says: Markup
    basis: Markup
    current: bool


@dataclass(frozen=True)
class ScaleView:
    """A scale's figure: its drawing, its bands in words, and what the script needs to move the marker."""

    entry: str
    svg: Markup
    here: Markup
    rows: tuple[BandRow, ...]
    attributes: Markup
    spread: Markup | None
    scale: Scale


def entry_view(w: Writer, entry: Entry) -> dict[str, Any]:
    """Everything `entry.md.j2` prints."""
    calculators = tuple(w.book.calculators[name] for name in entry.calculators)
    found = [*of_entry(entry), *(use for calculator in calculators for use in of_calculator(calculator))]
    return {
        "entry": entry,
        "area": w.book.areas[entry.area],
        "also": [w.unlinked(name) for name in _names(w, entry)],
        "samples": [sample_html(text) for text in samples(w.book, entry)],
        "kinds": [w.unlinked(w.book.gear[kind].name) for kind, _ in entry.reads.kinds] if entry.reads else [],
        "scale": scale_view(w, entry),
        "calculators": calculators,
        "examples": first_examples(w, calculators),
        "sources": by_basis(w, found),
    }


def _names(w: Writer, entry: Entry) -> list[str]:
    """The other names of an entry, each once, in the page's language."""
    return list(dict.fromkeys(name.within(w.language) for name in entry.also))


def sample_html(text: str) -> Markup:
    """A printed tag's line: numbers grouped by style, all of it kept from translation."""
    words = Markup("").join(markup.grouped(word) for word in re.split(r"(\s)", text))
    return Markup('<span translate="no">{}</span>').format(words)


def by_basis(w: Writer, found: list[Use]) -> list[tuple[Markup, list[Markup]]]:
    """Each basis in words, once, with the places that stand on it: the strongest first, test methods before all."""
    strength = list(BASIS_NEEDS)
    groups: dict[Markup, list[Markup]] = defaultdict(list)
    for use in sorted(found, key=lambda use: strength.index(use.basis.kind) if use.basis else -1):
        words = w.basis(use.basis) if use.basis else w.source(w.book.sources[use.sources[0]])
        place = w.use(use)
        if place not in groups[words]:
            groups[words].append(place)
    return list(groups.items())


def scale_view(w: Writer, entry: Entry) -> ScaleView | None:
    """The figure of an entry's scale, marked at the value its page speaks of."""
    scale = entry.scale
    here = start_value(w.book, entry)
    if scale is None or here is None:
        return None
    band = band_of(w.book, entry.id, here)
    number = w.quantity_text(here, scale.unit)
    name = w.words(entry.name)
    svg = drawing.draw(
        entry.id,
        scale,
        here,
        title=w.say_text(
            "scale-title",
            term=name,
            low=w.quantity_text(scale.start.si, scale.unit),
            high=w.quantity_text(scale.end.si, scale.unit),
        ),
        described=w.say_text("scale-desc", value=number, band=w.words(band.says) if band else ""),
    )
    return ScaleView(
        entry.id,
        Markup(svg),
        w.quantity(here, scale.unit),
        tuple(_rows(w, scale, band)),
        _attributes(entry, scale, here),
        _spread(w, scale, here),
        scale,
    )


def _attributes(entry: Entry, scale: Scale, here: float) -> Markup:
    units = " ".join(unit.id for unit in (scale.unit, *scale.also))
    spread = Markup(' data-spread="{}"').format(repr(scale.spread.relative)) if scale.spread else Markup("")
    return (
        Markup('data-scale="{}" data-from="{}" data-to="{}" data-unit="{}" data-units="{}" data-limits="{}"').format(
            entry.id, repr(scale.start.si), repr(scale.end.si), scale.unit.id, units, markup.limits(scale)
        )
        + spread
        + Markup(' data-here="{}"').format(repr(here))
    )


def _rows(w: Writer, scale: Scale, current: Band | None) -> list[BandRow]:
    rows = []
    lower: Amount | None = None
    lower_included = True
    for stretch in drawing.stretches(scale):
        band = stretch.band
        upper = drawing.limit_of(band)
        limits = _limits(w, scale, lower, lower_included=lower_included, upper=upper, closed=bool(band.up_to))
        rows.append(BandRow(stretch.letter, limits, w.html(band.says), w.basis_html(band.basis), band is current))
        lower, lower_included = upper, band.below is not None
    return rows


def _limits(  # noqa: PLR0913  both ends of a stretch, and whether each belongs to it
    w: Writer, scale: Scale, lower: Amount | None, *, lower_included: bool, upper: Amount | None, closed: bool
) -> Markup:
    """The ends of a stretch in words: `under`, `up to`, `over` say which end belongs to it."""
    if lower is None and upper is None:
        return w.say("band-all")
    high = "up-to" if closed else "under"
    if lower is None and upper is not None:
        return w.say(f"band-{high}", high=_limit(w, scale, upper))
    low = "from" if lower_included else "over"
    if upper is None and lower is not None:
        return w.say(f"band-{low}", low=_limit(w, scale, lower))
    assert lower is not None  # noqa: S101  for the type checker: the cases above took the rest
    assert upper is not None  # noqa: S101
    return w.say(f"band-{low}-{high}", low=_limit(w, scale, lower), high=_limit(w, scale, upper))


def _limit(w: Writer, scale: Scale, limit: Amount) -> Markup:
    """A limit in the scale's unit, and as its source writes it where that is another unit."""
    shown = w.quantity(limit.si, scale.unit, others=scale.also)
    if limit.unit.id == scale.unit.id:
        return shown
    return Markup("{} ({})").format(shown, w.amount(limit))


def _spread(w: Writer, scale: Scale, here: float) -> Markup | None:
    if scale.spread is None:
        return None
    share = scale.spread.relative
    says = w.say(
        "scale-spread",
        value=w.quantity(here, scale.unit, others=scale.also),
        low=w.quantity(here * (1 - share), scale.unit, others=scale.also),
        high=w.quantity(here * (1 + share), scale.unit, others=scale.also),
    )
    return Markup('{} <span class="ht-basis">{}</span>').format(says, w.basis_html(scale.spread.basis))
