"""`export-docs`: plain Markdown that another generator makes into the same articles, without anything of ours."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config

from hangtag.output import DOCS
from hangtag.plain import export_docs
from hangtag.problems import ProblemError
from tests.site.books import make_trial, write
from tests.site.looks import articles, dead_links


def tree(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def code_of(work: Callable[[], object]) -> str:
    with pytest.raises(ProblemError) as caught:
        work()
    return caught.value.problems[0].code


@pytest.fixture(scope="module")
def exported(trial: Path) -> Path:
    """The trial book as Markdown."""
    return export_docs(trial, trial.parent / "exported")


def test_another_generator_makes_the_same_articles_of_it(
    exported: Path, trial_plain: Path, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    # MkDocs with its own theme and no plugin of ours
    with caplog.at_level(logging.WARNING, "mkdocs"):
        build(load_config(str(exported / "mkdocs.yml"), site_dir=str(tmp_path / "site"), strict=True))
    assert caplog.messages == []
    site = tmp_path / "site"
    expected = articles(trial_plain)
    for path, article in expected.items():
        page = re.sub(rb'data-page="[^"]*" ', b"", (site / path).read_bytes())
        assert article.strip() in page, path
    assert dead_links(site) == []
    formula = "calculators/pole-mass/formula.js"
    assert (site / formula).read_bytes() == (trial_plain / formula).read_bytes()


def test_every_page_stands_once_in_the_navigation(exported: Path) -> None:
    config = yaml.safe_load((exported / "mkdocs.yml").read_text(encoding="utf-8"))
    assert "plugins" not in config
    assert "theme" not in config

    def paths(items: list[dict[str, object] | str]) -> list[str]:
        found: list[str] = []
        for item in items:
            for target in item.values() if isinstance(item, dict) else (item,):
                found += paths(target) if isinstance(target, list) else [str(target)]
        return found

    named = paths(config["nav"])
    pages = [file.relative_to(exported / "docs").as_posix() for file in (exported / "docs").rglob("*.md")]
    assert sorted(named) == sorted(pages)
    assert named[0] == "index.md"


def test_its_pages_are_markdown_with_relative_links(exported: Path) -> None:
    text = (exported / "docs/terms/pole-length.md").read_text(encoding="utf-8")
    assert text.startswith("---\ntitle: ")
    assert "# Pole length { #pole-length }" in text
    assert "hangtag:" not in text
    assert "[[" not in text
    assert "](pole-wood.md)" in text
    assert (exported / "docs/scripts/hangtag.js").is_file()
    assert (exported / "docs/styles/calculator.css").is_file()
    assert (exported / "README.md").is_file()


def test_a_second_export_replaces_the_first_whole(trial: Path, exported: Path, tmp_path: Path) -> None:
    out = export_docs(trial, tmp_path / "docs")
    (out / "docs/left-over.md").write_text("# Left over\n")
    export_docs(trial, out)
    assert tree(out) == tree(exported)
    assert [path.name for path in tmp_path.iterdir()] == ["docs"]


def test_what_is_no_export_of_ours_is_refused(trial: Path, trial_plain: Path, tmp_path: Path) -> None:
    write(tmp_path, {"precious/letter.txt": "dear"})
    assert code_of(lambda: export_docs(trial, tmp_path / "precious")) == "docs-not-ours"
    assert code_of(lambda: export_docs(trial, tmp_path / "precious/letter.txt")) == "out-not-a-folder"
    assert code_of(lambda: export_docs(trial, trial_plain)) == "docs-not-ours"
    assert code_of(lambda: export_docs(trial, trial)) == "out-holds-book"
    assert code_of(lambda: export_docs(trial, trial / "terms" / "new")) == "out-holds-book"
    assert tree(tmp_path) == {"precious/letter.txt": b"dear"}
    (tmp_path / "empty").mkdir()
    assert (export_docs(trial, tmp_path / "empty") / DOCS.mark).is_file()


def test_a_failed_export_leaves_the_last_one_alone(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    out = export_docs(book, tmp_path / "docs")
    before = tree(out)
    entry = book / "terms/trail/pole-wood.yml"
    good = entry.read_text(encoding="utf-8")
    entry.write_text("name: [\n", encoding="utf-8")
    code_of(lambda: export_docs(book, out))
    entry.write_text(good, encoding="utf-8")
    assert tree(out) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book", "docs"]
