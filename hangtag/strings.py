"""Words in more than one language: an author's text by language, and the table of labels and messages.

The table is `site_templates/strings/<lang>.yml`: flat names to text with `{holes}`. Must not know what a label is for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from hangtag.problems import Span

DEFAULT_LANGUAGE = "en"


@dataclass(frozen=True)
class LocalText:
    """A text as its author wrote it, by language; a language without it shows the original, never nothing."""

    by_language: Mapping[str, str]
    span: Span | None = None
    # by language, from characters start..end of the text to their place in the file
    places: Mapping[str, Callable[[int, int], Span]] = field(default_factory=dict, compare=False, repr=False)

    def within(self, language: str = DEFAULT_LANGUAGE) -> str:
        """The text in `language`, or in the book's first language where that one is missing."""
        return self.by_language.get(language) or next(iter(self.by_language.values()))

    def __str__(self) -> str:
        return self.within()

    def __iter__(self) -> Iterator[str]:
        return iter(self.by_language.values())


@dataclass(frozen=True)
class Strings:
    """Every fixed label and message, by language and name."""

    by_language: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    @property
    def languages(self) -> tuple[str, ...]:
        """The languages that have a table, the default first."""
        return tuple(sorted(self.by_language, key=lambda code: (code != DEFAULT_LANGUAGE, code)))

    def table(self, language: str = DEFAULT_LANGUAGE) -> dict[str, str]:
        """All labels of one language over those of the default language."""
        return {**self.by_language.get(DEFAULT_LANGUAGE, {}), **self.by_language.get(language, {})}

    def say(self, name: str, language: str = DEFAULT_LANGUAGE, **values: object) -> str:
        """One label with its holes filled. Raises KeyError for a name that no table has: that is a mistake in code."""
        for code in (language, DEFAULT_LANGUAGE):
            text = self.by_language.get(code, {}).get(name)
            if text is not None:
                return text.format(**values)
        raise KeyError(name)
