"""A build takes the place of the last site whole or not at all."""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort

from hangtag.mkdocs_plugin import build_site
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.output import SITE, place_for, tidy
from hangtag.problems import ProblemError
from tests.site.books import TRIAL, make_trial


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its path; the sitemap carries the day of the build."""
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file() and "sitemap" not in file.name
    }


def code_of(work: Callable[[], object]) -> str:
    with pytest.raises(ProblemError) as caught:
        work()
    return caught.value.problems[0].code


def test_a_second_build_replaces_the_first_and_gives_the_same_bytes(
    trial: Path, trial_site: Path, tmp_path: Path
) -> None:
    out = tmp_path / "site"
    shutil.copytree(trial_site, out)
    (out / "stale.html").write_text("left over")
    assert build_site(trial, out) == out
    assert tree(out) == tree(trial_site)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["site"]


def test_a_failed_build_leaves_the_last_site_alone(trial_site: Path, tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    out = tmp_path / "site"
    shutil.copytree(trial_site, out)
    before = tree(out)
    (book / "terms/trail/pole-wood.yml").write_text("name: [\n")
    code_of(lambda: build_site(book, out))
    shutil.copy(TRIAL / "terms/trail/pole-wood.yml", book / "terms/trail")
    (book / "site_templates/docs").mkdir()
    (book / "site_templates/docs/about.md").write_text("# About\n\n[dead](no-such-page.md)\n")
    with pytest.raises(ProblemError) as caught:
        build_site(book, out)
    assert caught.value.problems[0].code == "site-build"
    assert "no-such-page.md" in caught.value.problems[0].message
    assert tree(out) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book", "site"]


def test_a_broken_mkdocs_file_is_a_problem(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    config = book / "mkdocs.yml"
    text = config.read_text()
    config.write_text(text.replace("docs_dir: docs", "docs_dir: no-such-folder"))
    assert code_of(lambda: build_site(book, tmp_path / "site")) == "site-build"
    config.write_text(text.replace("plugins: [hangtag]", "plugins: []"))
    assert code_of(lambda: build_site(book, tmp_path / "site")) == "plugin-missing"
    assert not (tmp_path / "site").exists()


def test_what_is_no_site_of_ours_is_refused(trial: Path, tmp_path: Path) -> None:
    precious = tmp_path / "precious"
    precious.mkdir()
    (precious / "letter.txt").write_text("dear")
    assert code_of(lambda: build_site(trial, precious)) == "out-not-ours"
    assert code_of(lambda: build_site(trial, precious / "letter.txt")) == "out-not-a-folder"
    assert (precious / "letter.txt").read_text() == "dear"


@pytest.mark.parametrize("up", [0, 1, 2])
def test_a_folder_that_holds_the_book_is_refused(tmp_path: Path, up: int) -> None:
    book = make_trial(tmp_path / "shelf" / "book")
    out = [book, *book.parents][up]
    assert code_of(lambda: build_site(book, out)) == "out-holds-book"
    assert (book / "mkdocs.yml").is_file()


def test_an_empty_folder_is_taken(trial: Path, tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    assert (build_site(trial, tmp_path / "site") / SITE.mark).is_file()


def test_a_swap_killed_between_its_renames_is_undone(tmp_path: Path) -> None:
    place = place_for(tmp_path / "site", tmp_path / "book")
    place.away.mkdir()
    (place.away / "index.html").write_text("the last good site")
    place.aside.mkdir()
    tidy(place)
    assert (place.out / "index.html").read_text() == "the last good site"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_swap_killed_after_its_renames_is_finished(tmp_path: Path) -> None:
    place = place_for(tmp_path / "site", tmp_path / "book")
    for folder, text in ((place.out, "new"), (place.away, "old")):
        folder.mkdir()
        (folder / "index.html").write_text(text)
    tidy(place)
    assert (place.out / "index.html").read_text() == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_where_nothing_can_be_written_there_is_a_problem(trial: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert code_of(lambda: build_site(trial, tmp_path / "file" / "site")) == "site-not-written"


def test_a_disk_build_is_packed_into_a_zip_that_is_ours(trial: Path, trial_disk: Path, tmp_path: Path) -> None:
    archive = trial_disk.with_suffix(".zip")
    with zipfile.ZipFile(archive) as packed:
        names = set(packed.namelist())
    files = {f"disk/{path.relative_to(trial_disk)}" for path in trial_disk.rglob("*") if path.is_file()}
    assert names == files - {f"disk/{SITE.mark}"}
    theirs = tmp_path / "site.zip"
    theirs.write_bytes(b"something else")
    assert code_of(lambda: build_site(trial, tmp_path / "site", disk=True)) == "zip-not-ours"
    assert theirs.read_bytes() == b"something else"


def test_mkdocs_alone_builds_a_book_and_shows_its_problems(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    with listening() as heard:
        build(load_config(str(book / "mkdocs.yml"), site_dir=str(tmp_path / "site"), strict=True))
        assert (tmp_path / "site/terms/pole-wood/index.html").is_file()
        (book / "terms/trail/pole-wood.yml").write_text("name: [\n")
        with pytest.raises(Abort):
            build(load_config(str(book / "mkdocs.yml"), site_dir=str(tmp_path / "site"), strict=True))
    assert "terms/trail/pole-wood.yml:" in heard[-1]


def test_progress_is_told(trial: Path, tmp_path: Path) -> None:
    told: list[str] = []
    build_site(trial, tmp_path / "site", progress=told.append)
    assert told == ["Reading the book", "Writing pages"]
