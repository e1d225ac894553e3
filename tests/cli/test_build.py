"""`hangtag build`: a whole site or none, and it says where it is."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.conftest import Hangtag

pytestmark = pytest.mark.slow


def tree(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_club_builds_the_reference_book_and_its_own(hangtag: Hangtag, club: Path) -> None:
    (club / "terms" / "feet").mkdir()
    (club / "terms" / "feet" / "gaiter.yml").write_text(
        "name: Gaiter\nin_short: A sleeve that keeps stones out of a shoe.\ntext: It closes the top of the shoe.\n",
        encoding="utf-8",
    )
    ran = hangtag("build", club)
    assert ran.code == 0, ran.err
    site = club / "site"
    assert f"The site is in {site}\n" in ran.out
    assert "http://localhost:8000/" in ran.out
    assert (site / "terms" / "gaiter" / "index.html").is_file()
    assert (site / "terms" / "denier" / "index.html").is_file()
    assert (site / "schema" / "term.json").is_file()
    before = tree(site)

    (club / "terms" / "feet" / "gaiter.yml").write_text("name: [", encoding="utf-8")
    failed = hangtag("build", club)
    assert (failed.code, failed.out) == (1, "")
    assert "gaiter.yml:2:1: this is not YAML" in failed.err
    assert tree(site) == before
    assert not [path for path in club.iterdir() if path.name not in {"mkdocs.yml", "terms", "site"}]


def test_a_site_for_the_disk(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("build", club, "--disk")
    assert ran.code == 0, ran.err
    page = club / "site-disk" / "index.html"
    assert page.is_file()
    assert page.as_uri() in ran.out
    assert f"{club / 'site-disk.zip'}\n" in ran.out
    assert (club / "site-disk.zip").is_file()
    assert (club / "site-disk" / "terms" / "denier.html").is_file()


def test_a_folder_that_is_not_ours_is_not_replaced(hangtag: Hangtag, club: Path, tmp_path: Path) -> None:
    out = tmp_path / "letters"
    out.mkdir()
    (out / "letter.txt").write_text("Dear club,", encoding="utf-8")
    ran = hangtag("build", club, "--out", out)
    assert (ran.code, ran.out) == (2, "")
    assert str(out) in ran.err
    assert tree(out) == {"letter.txt": b"Dear club,"}


def test_the_book_itself_is_not_replaced(hangtag: Hangtag, club: Path) -> None:
    before = tree(club)
    for out in (club, club.parent, club / "terms"):
        ran = hangtag("build", club, "--out", out)
        assert (ran.code, ran.out) == (2, "")
    assert tree(club) == before


def test_a_file_where_the_site_should_go(hangtag: Hangtag, club: Path, tmp_path: Path) -> None:
    out = tmp_path / "taken"
    out.write_text("x", encoding="utf-8")
    for place in (out, out / "inside"):
        ran = hangtag("build", club, "--out", place)
        assert (ran.code, ran.out) == (2, "")
        assert "taken" in ran.err


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="a folder in which nobody can write")
def test_a_place_that_cannot_be_written(hangtag: Hangtag, club: Path) -> None:
    ran = hangtag("build", club, "--out", "/proc/self/site")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.count("\n") <= 3


def test_it_says_when_pages_have_no_address(hangtag: Hangtag, club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HANGTAG_SITE_URL", raising=False)
    assert "site_url" in hangtag("build", club).out
    monkeypatch.setenv("HANGTAG_SITE_URL", "https://gear.example.org/book/")
    assert os.environ["HANGTAG_SITE_URL"]
