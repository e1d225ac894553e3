"""An entry as lines. Must not leave out what the page says about danger."""

from __future__ import annotations

from collections.abc import Iterator

from hangtag.amounts import Amount
from hangtag.basis_words import source_name
from hangtag.book import Book
from hangtag.calculators import ChoiceInput, QuantityInput, RowsInput
from hangtag.entries import Addition, Band, Entry, Scale
from hangtag.pages.samples import samples
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.terminal.lines import BLANK, Kind, Line, Words, amount_text, typed_text


def entry_lines(book: Book, entry: Entry, language: str = DEFAULT_LANGUAGE) -> list[Line]:
    """A whole entry, in the order of its page."""
    return list(_lines(Words(book, language), entry))


def _lines(w: Words, entry: Entry) -> Iterator[Line]:
    yield Line(w.plain(entry.name), Kind.TITLE)
    yield Line(w.plain(entry.in_short))
    if entry.also:
        yield Line(f"{w.say('entry-also')}: {', '.join(w.plain(name) for name in entry.also)}", Kind.SOFT)
    printed = samples(w.book, entry)
    if printed:
        yield from w.heading("entry-tag-title")
        yield Line(", ".join(printed), indent=2)
    if entry.scale:
        yield from _scale(w, entry.scale)
    yield from w.prose("entry-text-title", entry.text)
    yield from w.prose("entry-needs-time", entry.needs_time)
    yield from _calculators(w, entry)
    yield from w.items("entry-ask-title", [w.plain(question) for question in entry.ask])
    yield from w.prose("entry-misleads-title", entry.watch_out)
    yield from w.cautions(entry.caution, entry.inherited_caution)
    yield from w.items(
        "entry-measured-title", [f"{w.plain(its.how)} ({_source(w.book, its.source)})" for its in entry.measured_by]
    )
    for addition in entry.additions:
        yield from _addition(w, addition)
    yield from w.items("entry-see-title", [_neighbour(w, see) for see in entry.see])
    yield from w.items("entry-sources-title", list(dict.fromkeys(w.basis(basis) for basis in entry.bases)))


def _scale(w: Words, scale: Scale) -> Iterator[Line]:
    yield from w.heading("entry-scale-title")
    yield Line(w.say("scale-higher", says=w.plain(scale.higher_is)), indent=2)
    low: Amount | None = None
    over = False  # whether the limit that two bands share belongs to the lower one
    for band in scale.bands:
        yield Line(f"{_stretch(w, band, low, over=over)}: {w.plain(band.says)}", indent=2)
        yield Line(w.basis(band.basis), Kind.SOFT, indent=4)
        low, over = band.below or band.up_to, band.up_to is not None
    yield Line(w.say("scale-promise"), Kind.SOFT, indent=2)


def _stretch(w: Words, band: Band, low: Amount | None, *, over: bool) -> str:
    """Where a band lies, in words: `1000 mm to under 2000 mm`."""
    high = band.below or band.up_to
    values = {name: amount_text(amount) for name, amount in (("low", low), ("high", high)) if amount}
    start = "" if low is None else "over" if over else "from"
    end = "" if high is None else "under" if band.below else "up-to"
    return w.say("-".join(part for part in ("band", start, end) if part) if start or end else "band-all", **values)


def _calculators(w: Words, entry: Entry) -> Iterator[Line]:
    if entry.calculators:
        yield from w.heading("entry-calculators-title")
    for name in entry.calculators:
        calculator = w.book.calculators[name]
        # a list is left at its start rows: they do not fit on a command line
        values = (_typed(its) for its in calculator.inputs if not isinstance(its, RowsInput))
        yield Line(w.plain(calculator.question), indent=2)
        yield Line(f"hangtag work {name} {' '.join(values)}", Kind.COMMAND, indent=4)


def _typed(its: ChoiceInput | QuantityInput) -> str:
    """A field's start value as it may be typed after its name."""
    if isinstance(its, ChoiceInput):
        return f"{its.name}={its.start}"
    if its.between is None:
        return f"{its.name}={typed_text(its.start)}"
    low, high = its.between
    ends = f"{low.text} to {typed_text(high)}" if low.unit == high.unit else f"{typed_text(low)} to {typed_text(high)}"
    return f'{its.name}="{ends.replace(chr(34), "")}"'


def _addition(w: Words, addition: Addition) -> Iterator[Line]:
    yield BLANK
    yield Line(w.say("addition-by", by=addition.by, date=addition.date), Kind.HEADING)
    if addition.text:
        yield Line(w.plain(addition.text), Kind.MARKDOWN, indent=2)
    for question in addition.ask:
        yield Line(w.plain(question), indent=2, mark="- ")
    if addition.caution:
        yield Line(w.plain(addition.caution), Kind.CAUTION, indent=2)
    for see in addition.see:
        yield Line(f"{w.say('entry-see-title')}: {_neighbour(w, see)}", indent=2)


def _neighbour(w: Words, entry: str) -> str:
    return f"{w.plain(w.book.entries[entry].name)} ({entry})"


def _source(book: Book, source: str) -> str:
    found = book.sources.get(source)
    return source_name(found) if found else source
