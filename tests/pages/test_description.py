"""Descriptions fit where search engines and previews show them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from hangtag.pages.description import LONGEST, describe

WORDS = st.lists(st.text("abcdefgh", min_size=1, max_size=12), min_size=1, max_size=60).map(" ".join)


def test_a_short_sentence_gets_its_name_and_what_the_page_holds() -> None:
    assert (
        describe("How heavy the yarn is.", "Denier", "With its scale, its arithmetic and its sources.")
        == "Denier: How heavy the yarn is. With its scale, its arithmetic and its sources."
    )


def test_a_long_sentence_is_cut_at_a_word() -> None:
    cut = describe("word " * 60, "Denier", "")
    assert len(cut) <= LONGEST
    assert cut.endswith("word…")


@given(WORDS, WORDS)
def test_no_description_is_too_long(sentence: str, name: str) -> None:
    assert len(describe(sentence, name, "With its scale, its arithmetic and its sources.")) <= LONGEST
