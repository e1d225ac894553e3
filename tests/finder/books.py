"""Books of any size for measuring: entries that read like those of the reference book, made from its own words."""

from __future__ import annotations

import random
from dataclasses import replace

from hangtag import words
from hangtag.book import Book
from hangtag.strings import LocalText

_NAME, _ALSO, _SENTENCE, _QUESTION = 2, (3, 2), 13, (3, 6)  # words, or how many of how many words


def grown(book: Book, entries: int, seed: int = 5) -> Book:
    """A book with so many entries: names and texts drawn from the words of `book`, in its own lengths and patterns.

    Its own entries come first. The same call gives the same book. Every fourth name has a word of its own, as
    trade names of things do.
    """
    source = random.Random(seed)  # noqa: S311  no secret
    texts = [str(text) for its in book.entries.values() for text in (its.name, *its.also, its.in_short, *its.heard)]
    vocabulary = [token.folded for text in texts for token in words.tokens(text) if token.kind == "word"]
    telling = sorted({word for word in vocabulary if len(word) > 3})
    models = list(book.entries.values())

    def drawn(count: int, among: list[str] = vocabulary) -> str:
        return " ".join(source.choice(among) for _ in range(count))

    def own() -> str:
        return "".join(source.choice("bdfgklmnprst") + source.choice("aeiou") for _ in range(3))

    made = dict(list(book.entries.items())[:entries])
    while len(made) < entries:
        name = drawn(_NAME, telling) if source.random() > 1 / 4 else f"{own()} {drawn(1, telling)}"
        id_ = name.replace(" ", "-")
        also = tuple(LocalText({"en": drawn(_ALSO[1], telling)}) for _ in range(_ALSO[0]))
        made[id_] = replace(
            source.choice(models),
            id=id_,
            name=LocalText({"en": name.capitalize()}),
            also=also,
            in_short=LocalText({"en": drawn(_SENTENCE)}),
            heard=tuple(LocalText({"en": drawn(_QUESTION[1])}) for _ in range(_QUESTION[0])),
        )
    return replace(book, entries=made)
