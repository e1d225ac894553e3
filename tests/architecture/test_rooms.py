"""A room imports only from rows above its own, and one room each knows MkDocs, click and rich, and pint."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

LINT = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"


def lint(where: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", LINT], cwd=where, capture_output=True, text=True, check=False)


def test_the_rows_hold(project: Path) -> None:
    ran = lint(project)
    assert ran.returncode == 0, ran.stdout + ran.stderr


def test_a_room_that_looks_down_is_caught(project: Path, tmp_path: Path) -> None:
    shutil.copytree(project / "hangtag", tmp_path / "hangtag", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(project / "pyproject.toml", tmp_path)
    assert lint(tmp_path).returncode == 0
    with (tmp_path / "hangtag" / "numbers.py").open("a", encoding="utf-8") as room:
        room.write("\nimport hangtag.book\n")
    ran = lint(tmp_path)
    assert ran.returncode == 1
    assert "hangtag.numbers is not allowed to import hangtag.book" in ran.stdout.replace("\n", " ")


def test_a_second_room_that_knows_mkdocs_is_caught(project: Path, tmp_path: Path) -> None:
    shutil.copytree(project / "hangtag", tmp_path / "hangtag", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(project / "pyproject.toml", tmp_path)
    with (tmp_path / "hangtag" / "site.py").open("a", encoding="utf-8") as room:
        room.write("\nimport mkdocs.config\n")
    ran = lint(tmp_path)
    assert ran.returncode == 1
    assert "One room knows MkDocs BROKEN" in ran.stdout
