"""Rules that every file keeps: it says what it is for, stays small, and knows no one machine."""

from __future__ import annotations

import re
import statistics
import tomllib
from pathlib import Path

from tests.architecture.files import docstring, modules, texts

MACHINE = re.compile(r"(?<![\w./-])/(?:work|root|home/\w+)/")


def test_every_module_says_what_it_is_for_and_what_it_must_not_do(project: Path) -> None:
    silent = [
        str(path.relative_to(project))
        for path in modules(project)
        if not re.search(r"\b[Mm]ust\s+(not|hold)\b", docstring(path))
    ]
    assert silent == []


def test_every_test_module_says_what_it_shows(project: Path) -> None:
    written = (path for path in sorted((project / "tests").rglob("*.py")) if path.read_text(encoding="utf-8").strip())
    assert [str(path.relative_to(project)) for path in written if not docstring(path)] == []


def test_files_of_the_engine_stay_small(project: Path) -> None:
    lengths = {path.name: len(path.read_text(encoding="utf-8").splitlines()) for path in modules(project)}
    assert statistics.median(lengths.values()) <= 150
    assert len([name for name, lines in lengths.items() if lines > 400]) <= len(lengths) // 10


def test_no_file_knows_a_machine(project: Path) -> None:
    told = [
        f"{path.relative_to(project)}:{number}"
        for path in texts(project)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if MACHINE.search(line)
    ]
    assert told == []


def test_the_rule_about_machines_can_fail() -> None:
    parts = ("cd ", "root", "x"), ('"', "work", "main"), ("(", "home/ann", "")
    assert all(MACHINE.search(f"{before}/{folder}/{rest}") for before, folder, rest in parts)
    assert not MACHINE.search("https://example.org/work/x and site/root/y")


def test_every_file_ends_its_lines_plainly(project: Path) -> None:
    wrong = [
        str(path.relative_to(project))
        for path in texts(project)
        if (b"\r\n" in path.read_bytes() or b"\t" in path.read_bytes())
    ]
    assert wrong == []


def test_every_lint_rule_that_is_off_has_a_reason(project: Path) -> None:
    text = (project / "pyproject.toml").read_text(encoding="utf-8")
    lint = tomllib.loads(text)["tool"]["ruff"]["lint"]
    off = [*lint["ignore"], *(rule for rules in lint["per-file-ignores"].values() for rule in rules)]
    bare = [rule for rule in off if not re.search(rf'^ +"{rule}", +# \S', text, re.MULTILINE)]
    assert off
    assert bare == []
    assert lint["select"] == ["ALL"]


def test_every_exception_from_a_warning_being_an_error_has_a_reason(project: Path) -> None:
    text = (project / "pyproject.toml").read_text(encoding="utf-8")
    filters = tomllib.loads(text)["tool"]["pytest"]["ini_options"]["filterwarnings"]
    assert filters[0] == "error"
    lines = text.splitlines()
    for exception in filters[1:]:
        assert exception.startswith("ignore")
        assert any(exception in line.replace("\\\\", "\\") and "# " in line for line in lines), exception
