"""Words made alike, slips counted, and stems packed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangtag.finder.packed import pack, unpack
from hangtag.finder.stems import is_forgiven, singular, slips, stem


@pytest.mark.parametrize(
    ("word", "one"),
    [
        ("baffles", "baffle"),
        ("tenacities", "tenacity"),
        ("boxes", "box"),
        ("glass", "glass"),
        ("gas", "gas"),
        ("clos", "clo"),
    ],
)
def test_a_plural_is_taken_off(word: str, one: str) -> None:
    assert singular(word) == one


@pytest.mark.parametrize("words", [("leak", "leaks", "leaking", "leaked"), ("sag", "sagging"), ("freeze", "freezing")])
def test_forms_of_a_word_have_one_stem(words: tuple[str, ...]) -> None:
    assert len({stem(word) for word in words}) == 1


@pytest.mark.parametrize(
    ("one", "other", "count"),
    [
        ("ripstpo", "ripstop", 1),
        ("bafle", "baffle", 1),
        ("denir", "denier", 1),
        ("denier", "denier", 0),
        ("abc", "xyz", 3),
    ],
)
def test_slips_are_counted(one: str, other: str, count: int) -> None:
    assert slips(one, other, 2) == count


def test_only_words_of_four_letters_without_digits_are_forgiven() -> None:
    assert [word for word in ("den", "deni", "d3nier", "𝐃enier") if is_forgiven(word)] == ["deni"]


stems = st.text(st.characters(exclude_categories=["Nd", "Cs"]), min_size=1, max_size=8)
places = st.dictionaries(st.integers(0, 20_000), st.integers(0, 2), min_size=1, max_size=5)


@given(st.dictionaries(stems.filter(lambda text: not any(c in "0123456789" for c in text)), places, max_size=6))
def test_packed_stems_come_back(found: dict[str, dict[int, int]]) -> None:
    assert unpack(*pack(found)) == found
