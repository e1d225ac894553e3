"""The built wheel in a fresh environment: it carries the reference book, and builds it where nothing else is."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

from tests.site.books import CLUB_CONFIG

pytestmark = pytest.mark.slow


def do(*command: str | Path, cwd: Path) -> str:
    """Run a command away from the checkout; its output. What it says is shown where it fails."""
    alone = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "HANGTAG"))}
    ran = subprocess.run(command, cwd=cwd, env=alone, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout."""
    project = Path(__file__).resolve().parents[2]
    folder = tmp_path_factory.mktemp("dist")
    do(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, project, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


def test_it_carries_the_book_and_the_engine_and_no_more(wheel: Path, project: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    kept = {name.removeprefix("hangtag/_book/") for name in names if name.startswith("hangtag/_book/")}
    book = {
        str(path.relative_to(project).as_posix())
        for folder in ("terms", "calculators", "site_templates")
        for path in (project / folder).rglob("*")
        if path.is_file()
    }
    assert kept == book | {"mkdocs.yml"}
    assert {name.split("/")[0] for name in names if ".dist-info" not in name} == {"hangtag"}
    assert {"term.json", "calculator.json"} <= {Path(name).name for name in kept if "/schema/" in name}
    licences = {Path(name).name for name in names if "/licenses/" in name}
    assert licences == {"LICENSE", "LICENSE-CONTENT.md"}


def test_a_fresh_environment_builds_the_bundled_book(wheel: Path, tmp_path: Path) -> None:
    fresh, desk = tmp_path / "fresh", tmp_path / "desk"
    desk.mkdir()
    venv.create(fresh, with_pip=True)
    scripts = fresh / ("Scripts" if os.name == "nt" else "bin")
    do(scripts / "python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check", wheel, cwd=desk)

    answer = json.loads(do(scripts / "hangtag", "work", "water-column", "head=10k", "--json", cwd=desk))
    assert answer["outputs"]["pressure"]["value"] == 98.0665
    assert do(scripts / "hangtag", "check", cwd=desk).startswith("No problems: ")

    said = do(scripts / "hangtag", "build", cwd=desk)
    assert f"The site is in {desk / 'site'}" in said
    assert (desk / "site" / "index.html").is_file()
    assert (desk / "site" / "calculators" / "water-column" / "formula.js").is_file()
    term = json.loads((desk / "site" / "schema" / "term.json").read_text(encoding="utf-8"))
    assert term["$schema"] == "http://json-schema.org/draft-07/schema#"
    assert [path.name for path in desk.iterdir()] == ["site"]

    club = desk / "club"
    (club / "terms").mkdir(parents=True)
    (club / "mkdocs.yml").write_text(CLUB_CONFIG, encoding="utf-8")
    do(scripts / "hangtag", "build", "--plain", "--disk", cwd=club)
    do(scripts / "hangtag", "export-docs", desk / "carried", cwd=club)
    assert (club / "site-plain-disk.zip").is_file()
    for page in ("terms/denier", "about", "a-to-z"):
        assert (club / f"site-plain-disk/{page}.html").is_file()
        assert (desk / f"carried/docs/{page}.md").is_file()
    assert "Larkmoor Hill Club" in (club / "site-plain-disk/index.html").read_text(encoding="utf-8")
