"""What a template may call: words in the page's language, safe text, links from this page, numbers and bases.

One Writer serves one page. All it hands out is Markup that is safe to print: templates escape everything else. Must not
decide what stands on a page.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from markupsafe import Markup, escape

from hangtag import markup
from hangtag.amounts import Amount
from hangtag.answers import measured
from hangtag.basis_words import basis_words, source_name
from hangtag.book import Book
from hangtag.entries import Entry
from hangtag.numbers import MINUS, show
from hangtag.pages import plain
from hangtag.pages.quantities import mark_quantities, quantity_pattern
from hangtag.sources import Basis, Source
from hangtag.strings import LocalText
from hangtag.units import Unit

Text = LocalText | str
PLAIN = "plain"  # the unit of a number that counts


class HasLabel(Protocol):
    """What `Writer.use` needs of a Use."""

    @property
    def label(self) -> str:
        """Its label in the strings table."""

    @property
    def values(self) -> Mapping[str, Text]:
        """What fills the label."""


def entry_path(entry: str) -> str:
    """Where an entry's page stands."""
    return f"terms/{entry}.md"


def area_path(area: str) -> str:
    """Where an area's page stands."""
    return f"areas/{area}.md"


def gear_path(kind: str) -> str:
    """Where the page of a kind of gear stands."""
    return f"gear/{kind}.md"


def calculator_path(calculator: str) -> str:
    """Where a calculator's page stands; its script is beside it."""
    return f"calculators/{calculator}/index.md"


def _safe(value: object) -> Markup:
    """A value of a label, escaped where nobody has done so yet."""
    return value if isinstance(value, Markup) else Markup(plain.plain(str(value)))


def is_plain(unit: Unit) -> bool:
    """Whether a number in this unit is printed alone."""
    return not unit.prints or unit.id == PLAIN


@dataclass(frozen=True)
class Writer:
    """Writes the parts of the page at `path`, in `language`."""

    book: Book
    language: str
    path: str

    # ---------------------------------------------------------------------------------------------------- words

    def say(self, name: str, **values: object) -> Markup:
        """A label of the strings table; what is not yet safe to print of its values is made so."""
        return Markup(
            self.book.strings.say(name, self.language, **{key: _safe(value) for key, value in values.items()})
        )

    def say_text(self, name: str, **values: object) -> str:
        """A label as bare text, for titles and descriptions."""
        return self.book.strings.say(name, self.language, **values)

    def words(self, text: Text) -> str:
        """An author's text in the page's language, links as their words, not yet safe to print."""
        return plain.without_links(self._local(text), lambda entry: self._local(self.book.entries[entry].name))

    def plain(self, text: Text) -> Markup:
        """An author's plain text for Markdown, its `[[links]]` as links."""
        return self._marked(plain.plain_with_links(self._local(text), self._link_to_entry))

    def unlinked(self, text: Text) -> Markup:
        """An author's plain text for Markdown or HTML where no link may stand: headings and names of links."""
        return Markup(plain.plain(self.words(text)))

    def html(self, text: Text) -> Markup:
        """An author's plain text for raw HTML, its `[[links]]` as links."""
        return self._marked(markup.inline(self.book, self._local(text)))

    def markdown(self, text: Text) -> Markup:
        """An author's Markdown, its `[[links]]` as links."""
        return Markup(plain.markdown(self._local(text), self._link_to_entry, self._marked))

    def _marked(self, safe: str) -> Markup:
        return mark_quantities(safe, self._quantities)

    @cached_property
    def _quantities(self) -> re.Pattern[str]:
        return quantity_pattern(self.book.units)

    def _local(self, text: Text) -> str:
        return text.within(self.language) if isinstance(text, LocalText) else text

    # ---------------------------------------------------------------------------------------------------- links

    def to(self, path: str, anchor: str = "") -> Markup:
        """A relative link in Markdown from this page to another page of the book."""
        relative = posixpath.relpath(path, posixpath.dirname(self.path) or ".")
        return Markup(f"{relative}#{anchor}" if anchor else relative)

    def entry(self, entry: Entry | str, words: str | None = None) -> Markup:
        """A Markdown link to an entry by its name, or in the given words."""
        found = self.book.entries[entry] if isinstance(entry, str) else entry
        shown = plain.plain(words) if words else self.unlinked(found.name)
        return Markup(f"[{shown}]({self.to(entry_path(found.id))})")

    def _link_to_entry(self, entry: str, words: str | None) -> str:
        return self.entry(entry, words)

    def source(self, source: Source) -> Markup:
        """A Markdown link to a source's place on the sources page."""
        return Markup(f"[{plain.plain(source_name(source))}]({self.to('sources.md', source.id)})")

    def page(self, path: str, title: str) -> Markup:
        """A Markdown link to a page that has a label for its title."""
        return Markup(f"[{self.say(title)}]({self.to(path)})")

    def _source_html(self, source: Source) -> str:
        address = markup.target(f"sources.md#{source.id}")
        return Markup('<a href="{}">{}</a>').format(address, source_name(source))

    def source_details(self, source: Source) -> Markup:
        """Who made a source, when, and where to find it, as sentences."""
        facts = [source.authors, source.publisher, source.edition or source.year]
        parts = [self.plain(", ".join(fact for fact in facts if fact) + ".")] if any(facts) else []
        if source.doi:
            parts.append(Markup('<span translate="no">{}</span>.').format(self.say("source-doi", doi=source.doi)))
        if source.url and source.url.startswith(("https://", "http://")):
            address = escape(source.url).replace("(", "%28").replace(")", "%29").replace(" ", "%20")
            parts.append(Markup("[{}]({}).").format(self.say("source-link"), address))
        if source.read:
            parts.append(self.say("source-read", date=source.read))
        if source.superseded_by:
            newer = self.book.sources.get(source.superseded_by)
            parts.append(self.say("source-superseded", source=self.source(newer) if newer else source.superseded_by))
        return Markup(" ").join(parts)

    def use(self, use: HasLabel) -> Markup:
        """The place of one number in words."""
        return self.say(use.label, **{key: self.unlinked(value) for key, value in use.values.items()})

    # -------------------------------------------------------------------------------------- numbers and their bases

    def basis(self, basis: Basis) -> Markup:
        """A basis in words, for Markdown."""
        return Markup(basis_words(self.book, basis, self.language, name=self.source, text=self.plain))

    def basis_html(self, basis: Basis) -> Markup:
        """A basis in words, for raw HTML."""
        return Markup(basis_words(self.book, basis, self.language, name=self._source_html, text=self.html))

    def amount(self, amount: Amount, digits: int = 15, others: Iterable[Unit] = ()) -> Markup:
        """A number with its unit, as its author wrote it; `others` as in `printed`."""
        return self.quantity(amount.si, amount.unit, digits, others)

    def quantity(self, si: float, unit: Unit, digits: int = 4, others: Iterable[Unit] = ()) -> Markup:
        """An SI value in a unit; `others` as in `printed`."""
        return self.printed(show(unit.from_si(si), digits, max(6, digits)), unit, others)

    def printed(self, number: str, unit: Unit, others: Iterable[Unit] = ()) -> Markup:
        """A printed number with its unit, kept from translation, digits grouped by style; the unit is spoken in words.

        `others` are units of the same kind that a reader may prefer to see it in.
        """
        offered = [its.id for its in dict.fromkeys((unit, *others))]
        data = (
            Markup(' data-q="{} {}"').format(number.replace(MINUS, "-"), " ".join(offered)) if len(offered) > 1 else ""
        )
        return Markup('<span class="ht-q" translate="no"{}>{}{}</span>').format(
            data, markup.grouped(number), self.unit(unit)
        )

    def unit(self, unit: Unit) -> Markup:
        """A unit with its space before it, printed for the eye and in words for the ear."""
        if is_plain(unit):
            return Markup("")
        gap = "" if unit.prints == "°" else " "
        return Markup('<span class="ht-u" aria-hidden="true">{}{}</span><span class="ht-heard"> {}</span>').format(
            gap, unit.prints, unit.says
        )

    def quantity_text(self, si: float, unit: Unit, digits: int = 4) -> str:
        """An SI value in a unit as bare text."""
        return measured(show(unit.from_si(si), digits), unit)
