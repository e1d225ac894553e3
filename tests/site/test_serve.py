"""The live preview: an edit shows, a mistake stands in a bar on the last good pages."""

from __future__ import annotations

import contextlib
import socket
from collections.abc import Iterator
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest

from hangtag.mkdocs_plugin import serve_site
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.mkdocs_plugin.serve import Preview, read_address
from hangtag.problems import ProblemError
from tests.site.books import make_trial

ENTRY = "terms/trail/pole-wood.yml"


@contextlib.contextmanager
def previewing(book: Path) -> Iterator[Preview]:
    """A preview that rebuilds when a test says so."""
    with listening():
        preview = Preview(book, "127.0.0.1", 0, lambda _: None)
        preview.rebuild()
        preview.server_bind()
        preview.server_activate()
        preview.serve_thread.start()
        preview.watch_book()
        yield preview
        preview.shutdown()
        preview.clear()


def get(preview: Preview, path: str) -> str:
    try:
        with urlopen(f"http://127.0.0.1:{preview.server_address[1]}/{path}") as answer:
            return str(answer.read().decode())
    except HTTPError as error:
        return error.read().decode()


def test_a_mistake_stands_on_the_last_good_page_until_it_is_mended(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    good = (book / ENTRY).read_text()
    with previewing(book) as preview:
        assert "What the stick was cut from." in get(preview, "terms/pole-wood/")
        assert 'role="alert"' not in get(preview, "terms/pole-wood/")
        (book / ENTRY).write_text(good.replace("text: Invented", "texd: <b>Invented</b>"))
        preview.rebuild()
        page = get(preview, "terms/pole-wood/")
        assert "What the stick was cut from." in page
        assert 'role="alert"' in page
        assert "pole-wood.yml:3:1" in page
        assert "&lt;b&gt;Invented" in page
        (book / ENTRY).write_text(good.replace("cut from", "carved from"))
        preview.rebuild()
        page = get(preview, "terms/pole-wood/")
        assert "What the stick was carved from." in page
        assert 'role="alert"' not in page


def test_a_book_that_is_broken_from_the_start_says_so(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    (book / ENTRY).write_text("name: [\n")
    with previewing(book) as preview:
        assert "pole-wood.yml" in get(preview, "")


def test_a_dead_link_is_shown_and_the_page_too(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    (book / ENTRY).write_text((book / ENTRY).read_text() + "watch_out: See [this](nowhere.md).\n")
    with previewing(book) as preview:
        assert "What the stick was cut from." in get(preview, "terms/pole-wood/")


@pytest.mark.parametrize("address", ["", "8000", "here", ":8000", "127.0.0.1:", "127.0.0.1:0", "::1:99999", "a:-1"])
def test_an_address_that_is_none_is_a_problem(address: str) -> None:
    with pytest.raises(ProblemError) as caught:
        read_address(address)
    assert caught.value.problems[0].code == "address-wrong"


def test_a_taken_address_is_a_problem(trial: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(ProblemError) as caught:
            serve_site(trial, f"127.0.0.1:{taken.getsockname()[1]}", lambda _: None)
    assert caught.value.problems[0].code == "address-taken"
