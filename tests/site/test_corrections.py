"""Keeping a book current: what was corrected as page and feed, how to cite it, and how to tell that something is wrong.

The feed is held against RFC 4287 (section 4: which elements a feed and an entry must have, and how often) and the dates
against RFC 3339; both read as standards.
"""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, unquote, urlsplit
from xml.etree import ElementTree as ET

import pytest

from hangtag.book import Book
from hangtag.entries import Change
from hangtag.mkdocs_plugin import build_site
from hangtag.pages import Addresses, feed
from hangtag.pages.foot import tell_address
from hangtag.site import site_files
from hangtag.tell_us import fault, filled
from tests.site.books import loaded
from tests.site.linked import SITE, TELL, make_linked

ATOM = "{http://www.w3.org/2005/Atom}"
RFC_3339 = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
WEB = Addresses(SITE)


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_linked(tmp_path_factory.mktemp("current") / "book")


@pytest.fixture(scope="module")
def book(root: Path) -> Book:
    return loaded(root)


@pytest.fixture(scope="module")
def site(root: Path) -> Path:
    return build_site(root, root.parent / "site")


def page(site: Path, path: str) -> str:
    return (site / path / "index.html").read_text(encoding="utf-8")


def tree(book: Book) -> ET.Element:
    text = feed(book, WEB, "en")
    assert text is not None
    assert text.startswith('<?xml version="1.0" encoding="utf-8"?>\n')
    return ET.fromstring(text)  # noqa: S314  our own


# ------------------------------------------------------------------------------------------------- page of corrections


def test_every_line_of_history_stands_on_one_page_the_newest_first(site: Path) -> None:
    text = page(site, "corrections")
    days = re.findall(r'<h2 id="(on-[\d-]+)">', text)
    assert days == ["on-2026-11-20", "on-2026-11-02", "on-2026-10"]
    lines = [
        html.unescape(re.sub("<[^>]+>", "", line)) for line in re.findall(r"<li><span id.*?</li>", text, re.DOTALL)
    ]
    assert lines == [
        "Pole length: 900 mm became 1000 mm, because longer sticks are sold now",
        "Mass of a pole: 30 mm became 25 mm, because a < b & the sticks were measured",
        "Mass of a pole: 1 became 2, because a pair is two",
    ]
    assert "../calculators/pole-mass/#history" in text
    assert 'href="https://larkmoor.example/gear/corrections.xml"' in text
    assert "corrections/" in page(site, "a-to-z"), "the foot of every page leads there"


def test_an_entry_and_a_calculator_show_their_own(site: Path) -> None:
    for path, was in (("terms/pole-length", "900 mm"), ("calculators/pole-mass", "30 mm")):
        text = page(site, path)
        assert re.search(rf"<li>[\d-]+: {was} became", text), path
        assert '<h2 id="history">' in text
    assert 'id="history"' not in page(site, "terms/pole-wood")


def test_a_book_without_corrections_says_so(trial_site: Path) -> None:
    text = page(trial_site, "corrections")
    assert "No number has been changed yet." in text
    assert "corrections.xml" not in text
    assert not (trial_site / "corrections.xml").exists(), "a feed is named by its address, and there is none"


# ---------------------------------------------------------------------------------------------------------------- feed


def test_the_feed_has_what_a_feed_must_have(book: Book) -> None:
    root = tree(book)
    assert root.tag == f"{ATOM}feed"
    for element in (root, *root.findall(f"{ATOM}entry")):
        for name in ("id", "title", "updated"):
            (one,) = element.findall(f"{ATOM}{name}")
            assert (one.text or "").strip()
        assert RFC_3339.fullmatch(element.findtext(f"{ATOM}updated") or "")
        alternate = [link for link in element.findall(f"{ATOM}link") if link.get("rel") == "alternate"]
        assert len(alternate) == 1
        assert str(alternate[0].get("href")).startswith(SITE)
    assert root.findtext(f"{ATOM}author/{ATOM}name") == "Larkmoor trial book", "else each entry would need an author"
    (own,) = [link for link in root.findall(f"{ATOM}link") if link.get("rel") == "self"]
    assert own.get("href") == f"{SITE}corrections.xml"
    for entry in root.findall(f"{ATOM}entry"):
        assert entry.find(f"{ATOM}content").get("type") == "text"  # type: ignore[union-attr]


def test_the_feed_says_what_the_page_says(book: Book, site: Path) -> None:
    entries = tree(book).findall(f"{ATOM}entry")
    said = [(entry.findtext(f"{ATOM}title"), entry.findtext(f"{ATOM}content")) for entry in entries]
    assert said[1] == ("Mass of a pole", "30 mm became 25 mm, because a < b & the sticks were measured")
    dates = [entry.findtext(f"{ATOM}updated") or "" for entry in entries]
    assert dates == ["2026-11-20T00:00:00Z", "2026-11-02T00:00:00Z", "2026-10-01T00:00:00Z"]
    assert tree(book).findtext(f"{ATOM}updated") == "2026-11-21T00:00:00Z", "the day of the last review"
    assert (site / "corrections.xml").read_text(encoding="utf-8") == feed(book, WEB, "en")
    text = page(site, "corrections")
    assert 'type="application/atom+xml"' in text
    for entry in entries:
        place = (entry.findtext(f"{ATOM}id") or "").removeprefix(f"{SITE}corrections/#")
        assert f'id="{place}"' in text, "the id of an entry is the address of its line"


def test_ids_of_the_feed_stay_when_lines_are_added(book: Book) -> None:
    def ids(book: Book) -> set[str | None]:
        return {entry.findtext(f"{ATOM}id") for entry in tree(book).findall(f"{ATOM}entry")}

    entry = book.entries["pole-length"]
    more = replace(entry, history=(Change("2026-11-20", "1", "2", "so"), *entry.history))
    longer = replace(book, entries={**book.entries, entry.id: more})
    assert len(ids(longer)) == 4
    assert ids(book) < ids(longer)


def test_without_an_address_there_is_no_feed(book: Book) -> None:
    assert feed(book, Addresses(), "en") is None
    assert "corrections.xml" not in {file.path for file in site_files(book)}
    assert "corrections.xml" in {file.path for file in site_files(book, site_url=SITE)}


# ------------------------------------------------------------------------------------------------------- cite, tell us


def test_an_entry_and_a_calculator_say_how_to_cite_them(site: Path) -> None:
    def cite(path: str) -> str:
        found = re.search(r'<p class="ht-cite">(.*?)</p>', page(site, path), re.DOTALL)
        assert found, path
        return html.unescape(re.sub("<[^>]+>", "", found[1]))

    assert cite("terms/pole-length") == (
        "Cite “Pole length”. Larkmoor trial book, version 2026-11, reviewed 2026-11-21. "
        "https://larkmoor.example/gear/terms/pole-length/"
    )
    assert cite("calculators/pole-mass") == (
        "Cite “Mass of a pole”. Larkmoor trial book, version 2026-11. https://larkmoor.example/gear/calculators/pole-mass/"
    )


def test_an_entry_has_three_letters_to_write_already_addressed(site: Path) -> None:
    text = page(site, "terms/pole-length")
    (line,) = re.findall(r'<p class="ht-tell">(.*?)</p>', text, re.DOTALL)
    links = [(html.unescape(link), words) for link, words in re.findall(r'href="([^"]+)">([^<]+)<', line)]
    assert [words for _, words in links] == ["something is wrong", "something is unclear", "a word is missing"]
    for link, words in links:
        parts = urlsplit(link)
        assert f"{parts.scheme}:{parts.path}" == TELL
        asked = parse_qs(parts.query)
        assert asked["subject"] == [f"pole-length, version 2026-11: {words}"]
        assert asked["body"][0].startswith(
            "Page: https://larkmoor.example/gear/terms/pole-length/\r\nVersion: 2026-11\r\n"
        )
        assert "{" not in unquote(link)


def test_where_nobody_can_be_told_nothing_offers_it(trial_site: Path, trial: Path) -> None:
    assert tell_address(loaded(trial), "missing", "en") == ""
    for file in trial_site.rglob("*.html"):
        assert "mailto:" not in file.read_text(encoding="utf-8")
    assert "ht-tell" not in page(trial_site, "terms/pole-length")


def test_an_empty_search_leaves_room_for_the_words_that_were_typed(book: Book) -> None:
    address = tell_address(book, "missing", "en")
    asked = parse_qs(urlsplit(address.replace("{words}", "tarp%20%26%20loose")).query)
    assert asked["subject"] == ["tarp & loose: a word is missing"]
    assert asked["body"][0].startswith("Looked for: tarp & loose\r\nVersion: 2026-11\r\n")


@pytest.mark.parametrize(
    ("template", "becomes"),
    [
        ("mailto:a@larkmoor.example", "mailto:a@larkmoor.example?subject=S%20%26&body=B%0D%0A%3F"),
        ("mailto:a@larkmoor.example?subject={id}", "mailto:a@larkmoor.example?subject=pole"),
        ("https://larkmoor.example/new", "https://larkmoor.example/new"),
        ("https://larkmoor.example/new?t={subject}&w={words}", "https://larkmoor.example/new?t=S%20%26&w={words}"),
    ],
)
def test_places_are_filled_fit_for_an_address(template: str, becomes: str) -> None:
    assert fault(template) is None
    assert filled(template, {"subject": "S &", "body": "B\n?", "id": "pole", "words": "{words}"}) == becomes


@pytest.mark.parametrize(
    "template",
    [
        "javascript:alert(1)",
        "gear@larkmoor.example",
        "https://x y",
        'https://x/"',
        "https://x/{}",
        "https://x/{id",
        "data:,",
    ],
)
def test_what_is_no_address_is_refused(template: str) -> None:
    assert fault(template) is not None


def test_the_address_may_come_from_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = make_linked(tmp_path / "book", tell_us=None)
    config = root / "mkdocs.yml"
    text = config.read_text(encoding="utf-8")
    config.write_text(text.replace("{version: 2026-11}", '{tell_us: !ENV [LARKMOOR_TELL, ""]}'), encoding="utf-8")
    monkeypatch.delenv("LARKMOOR_TELL", raising=False)
    assert loaded(root).tell_us is None
    monkeypatch.setenv("LARKMOOR_TELL", TELL)
    assert loaded(root).tell_us == TELL
