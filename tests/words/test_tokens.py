"""The normaliser in Python and in V8: shared cases, and what holds for every text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangtag import words
from hangtag.words import characters
from tests.v8 import V8

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent.parent / "compliance" / "words" / "tokens.json").read_text(encoding="utf-8")
)
# Texts like tags, with what their makers' keyboards add.
like_tags = st.text(
    st.sampled_from(list("0123456789005.,'/-–− kKdDmM²³₂×x°ºCéÉ\u0301\u200bß½™\u00a0\u2009’”ﬁµ寒🏕:;()"))
)


@pytest.fixture(scope="module")
def v8() -> V8:
    context = V8("numbers.js")
    context.load(words.to_javascript())
    return context


def in_python(text: str) -> list[dict[str, Any]]:
    return [{**token._asdict(), "values": list(token.values)} for token in words.tokens(text)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: ascii(case["text"]))
def test_shared_cases(case: dict[str, Any], v8: V8) -> None:
    assert in_python(case["text"]) == case["tokens"]
    assert v8.call("hangtag.words.tokens", case["text"]) == {"gives": case["tokens"]}


@settings(deadline=None, max_examples=200)
@given(st.text() | like_tags)
def test_both_languages_find_the_same_tokens(v8: V8, text: str) -> None:
    assert v8.call("hangtag.words.tokens", text) == {"gives": in_python(text)}
    assert v8.call("hangtag.words.folded", text) == {"gives": words.folded(text)}


@settings(deadline=None, max_examples=200)
@given(st.text() | like_tags)
def test_the_places_rebuild_the_text(text: str) -> None:
    rebuilt, at = "", 0
    for token in words.tokens(text):
        assert at <= token.start < token.end
        assert token.glued == (bool(rebuilt) and token.start == at)
        rebuilt += text[at : token.end]
        assert words.tokens(text[at : token.start]) == (), "nothing that can be read lies between two tokens"
        at = token.end
    assert words.tokens(text[at:]) == ()
    assert rebuilt + text[at:] == text


@settings(deadline=None)
@given(st.text() | like_tags)
def test_folding_twice_changes_nothing(text: str) -> None:
    once = words.folded(text)
    assert words.folded(once) == once


def test_every_character_of_the_first_plane_is_read_alike(v8: V8) -> None:
    for first in range(0, 0x10000, 0x800):
        if 0xD800 <= first < 0xE000:
            continue
        text = "\n".join(map(chr, range(first, first + 0x800)))
        assert v8.call("hangtag.words.tokens", text) == {"gives": in_python(text)}, hex(first)


def test_the_table_is_settled_in_one_step_and_names_no_character_twice() -> None:
    listed = "".join(characters.READ_AS.values())
    assert len(listed) == len(set(listed))
    for read_as in characters.READ_AS:
        assert all(characters.TABLE.get(character, character) == character for character in read_as)


def test_the_browser_file_names_no_platform_folding() -> None:
    script = words.to_javascript()
    for forbidden in ("toLowerCase", "normalize(", "\\w", "\\p{", "localeCompare", "__READ_AS__"):
        assert forbidden not in script


def test_a_long_text_takes_time_in_proportion() -> None:
    text = "1." * 20_000 + "20D " * 10_000
    assert len(words.tokens(text)) > 50_000
