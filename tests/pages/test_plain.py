"""An author's text stands on the page as it was typed, whatever marks it holds."""

from __future__ import annotations

import html
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown import Markdown

from hangtag.pages.plain import markdown, plain, plain_with_links, without_links

PRINTABLE = st.text(alphabet=st.characters(codec="ascii", categories=("L", "N", "P", "S", "Zs")))
EXTENSIONS = ["attr_list", "def_list", "md_in_html", "sane_lists", "tables", "toc"]


def rendered(text: str) -> str:
    return Markdown(extensions=EXTENSIONS).convert(text)


def shown(page: str) -> str:
    """What a reader sees of HTML."""
    return html.unescape(re.sub(r"<[^>]*>", "", page))


@pytest.mark.parametrize(
    "text",
    [
        "R_IP and _R_",
        "a < b > c & d &amp; e",
        "<script>alert(1)</script>",
        "<b>bold</b>",
        "2 * 3 * 4 **5**",
        "[a](b) ![c](d) [e]",
        "a | b | c",
        "`code` ``more``",
        "{: .class } { #id }",
        "# no heading",
        "1. no list",
        "12) no list",
        "- no list",
        "+ no list",
        ": no definition",
        "=== no underline",
        "> no quote",
        "back\\slash \\* \\_",
        "quotes \" and '",
        "~~struck~~ ^up^ $x$",
        "https://example.org/a_b_c?d=1&e=2",
        "&#42; and &lt;",
    ],
)
def test_plain_text_is_shown_as_typed(text: str) -> None:
    for before, after in (("", ""), ("### ", " { #here }"), ("- ", ""), ("some words ", " and more")):
        page = rendered(f"{before}{plain(text)}{after}")
        assert text in shown(page)
        assert "<script" not in page
        assert "<em>" not in page
        assert "<a " not in page


@given(PRINTABLE)
def test_any_plain_text_is_shown_as_typed(text: str) -> None:
    one_line = " ".join(text.split())
    page = rendered(f"Words {plain(text)}")
    assert shown(page).strip() == f"Words {one_line}".strip()


@given(PRINTABLE)
def test_plain_text_is_safe_in_an_attribute(text: str) -> None:
    safe = plain(text)
    assert not re.search(r"[<>\"']", safe)
    assert html.unescape(safe) == " ".join(text.split())


def test_links_in_plain_text_keep_the_words_around_them() -> None:
    written = plain_with_links(
        "see [[pole-wood|the *wood*]] and [[yarn]], R_IP", lambda entry, words: f"<{entry}:{words}>"
    )
    assert html.unescape(written) == "see <pole-wood:the *wood*> and <yarn:None>, R_IP"


def test_a_link_may_begin_and_end_a_text() -> None:
    assert plain_with_links("[[a]] [[b]]", lambda entry, _: entry.upper()) == "A B"


def test_markdown_stays_markdown_and_html_in_it_is_shown() -> None:
    page = rendered(
        markdown("A *word*, <b>no</b>, 3 < 4, <https://example.org>, [[yarn]].", lambda e, _: f"[{e}](x.md)")
    )
    assert "<em>word</em>" in page
    assert "&lt;b&gt;no" in page
    assert '<a href="https://example.org">' in page
    assert '<a href="x.md">yarn</a>' in page


def test_code_in_markdown_is_left_alone() -> None:
    text = "`<b> [[yarn]]` and\n\n```\n<i> [[yarn]]\n```\n\n[[yarn]]"
    written = markdown(text, lambda *_: "LINK", lambda piece: piece.replace("and", "AND"))
    assert written == "`<b> [[yarn]]` AND\n\n```\n<i> [[yarn]]\n```\n\nLINK"


def test_words_of_links_remain_where_no_link_may_stand() -> None:
    assert without_links("a [[yarn]]\nand [[yarn|thread]]", lambda entry: entry.title()) == "a Yarn and thread"
