"""What a book says of itself finds the entry that says it: names, other names, and every printed form."""

from __future__ import annotations

from hangtag.book import Book
from hangtag.finder import Index, find
from tests.finder.printed import printed, shared, without_numbers

FIRST = 0.98
IN_THREE = 0.995


def test_every_name_finds_its_entry_first(found_in: Index, reference: Book) -> None:
    for entry in reference.entries.values():
        for name in (text for its in (entry.name, *entry.also) for text in its):
            assert find(found_in, name).results[0].id == entry.id, name


def test_every_printed_form_finds_its_entry(found_in: Index, reference: Book) -> None:
    several = shared(reference)
    first, in_three = [], []
    for text, entry in printed(reference):
        ids = [its.id for its in find(found_in, text).results]
        in_three.append(entry.id in ids[:3])
        if without_numbers(text) not in several:
            first.append(ids[:1] == [entry.id])
        assert entry.id in ids, text
    assert sum(first) >= FIRST * len(first)
    assert sum(in_three) >= IN_THREE * len(in_three)
