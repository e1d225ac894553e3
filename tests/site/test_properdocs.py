"""The plugin under the fork that goes on with MkDocs 1.x: the same files and articles, byte for byte."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.site.looks import articles, our_files

pytestmark = pytest.mark.slow


def made_by(generator: str, book: Path, site: Path, *more: str) -> Path:
    """The site that a generator's own command makes of a book."""
    quiet = {"NO_MKDOCS_2_WARNING": "1", "DISABLE_MKDOCS_2_WARNING": "true"}
    here = {**os.environ, **quiet, "PYTHONPATH": str(Path(__file__).parents[2])}  # this checkout, whatever is installed
    options = ("--strict", "--config-file", str(book / "mkdocs.yml"), "--site-dir", str(site), *more)
    command = [sys.executable, "-m", generator, "build", *options]
    ran = subprocess.run(command, cwd=book, env=here, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return site


@pytest.mark.parametrize("more", [(), ("--no-directory-urls",)], ids=["folders", "files"])
def test_both_generators_make_the_same_of_our_book(trial: Path, tmp_path: Path, more: tuple[str, ...]) -> None:
    old = made_by("mkdocs", trial, tmp_path / "mkdocs", *more)
    new = made_by("properdocs", trial, tmp_path / "properdocs", *more)
    assert "ProperDocs" in (new / "index.html").read_text(encoding="utf-8")
    assert "ProperDocs" not in (old / "index.html").read_text(encoding="utf-8")
    assert articles(new) == articles(old)
    assert len(articles(old)) > 10
    assert our_files(new) == our_files(old)
    assert len(our_files(old)) > 30


def test_a_short_book_builds_under_the_fork(club: Path, club_site: Path, tmp_path: Path) -> None:
    new = made_by("properdocs", club, tmp_path / "properdocs")
    assert articles(new) == articles(club_site)
    assert our_files(new) == our_files(club_site)
