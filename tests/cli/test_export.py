"""`hangtag export-docs` and `hangtag build --plain`: what they say, and what they refuse."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Hangtag
from tests.site.books import make_trial

pytestmark = pytest.mark.slow

POLICY = "Content-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; "


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    """The trial book."""
    return make_trial(tmp_path / "trial")


def test_an_export_says_where_it_is(hangtag: Hangtag, trial: Path, tmp_path: Path) -> None:
    out = tmp_path / "carried away"
    ran = hangtag("export-docs", out, "--book", trial)
    assert ran.code == 0, ran.err
    assert str(out / "docs") in ran.out
    assert (out / "docs/terms/pole-wood.md").is_file()
    again = hangtag("export-docs", out, "--book", trial)
    assert (again.code, again.out) == (0, ran.out)


def test_an_export_takes_no_folder_but_its_own(hangtag: Hangtag, trial: Path, tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters/letter.txt").write_text("Dear club,", encoding="utf-8")
    ran = hangtag("export-docs", tmp_path / "letters", "--book", trial)
    assert (ran.code, ran.out) == (2, "")
    assert "so it is no folder that an export may replace" in ran.err
    assert [path.name for path in (tmp_path / "letters").iterdir()] == ["letter.txt"]
    assert hangtag("export-docs", trial, "--book", trial).code == 2
    assert hangtag("export-docs").code == 2


def test_a_book_with_problems_is_not_exported(hangtag: Hangtag, trial: Path, tmp_path: Path) -> None:
    (trial / "terms/trail/pole-wood.yml").write_text("name: [", encoding="utf-8")
    ran = hangtag("export-docs", tmp_path / "out", "--book", trial)
    assert (ran.code, ran.out) == (1, "")
    assert "pole-wood.yml:2:1: this is not YAML" in ran.err
    assert not (tmp_path / "out").exists()


def test_the_plain_look_stands_beside_the_other_one(hangtag: Hangtag, trial: Path) -> None:
    ran = hangtag("build", trial, "--plain")
    assert ran.code == 0, ran.err
    assert f"The site is in {trial / 'site-plain'}\n" in ran.out
    assert (trial / "site-plain/styles/plain.css").is_file()
    ran = hangtag("build", trial, "--plain", "--disk")
    assert ran.code == 0, ran.err
    assert f"{trial / 'site-plain-disk.zip'}\n" in ran.out
    assert (trial / "site-plain-disk/terms/pole-wood.html").is_file()


@pytest.mark.parametrize("look", [(), ("--plain",)])
def test_a_build_prints_the_policy_that_it_wrote(
    hangtag: Hangtag, trial: Path, tmp_path: Path, look: tuple[str, ...]
) -> None:
    ran = hangtag("build", trial, *look, "--out", tmp_path / "site")
    (line,) = [line for line in ran.out.splitlines() if line.startswith(POLICY)]
    assert line in (tmp_path / "site/content-security-policy.txt").read_text(encoding="utf-8").splitlines()
