"""The public list of the package is short, whole and explained."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import hangtag


@pytest.mark.parametrize("name", hangtag.__all__)
def test_every_public_name_is_there(name: str) -> None:
    value = getattr(hangtag, name)
    assert isinstance(value, str) or value.__doc__


def test_the_three_lists_of_public_names_agree(project: Path) -> None:
    tree = ast.parse((project / "hangtag" / "__init__.py").read_text(encoding="utf-8"))
    for_types = {
        (alias.name, node.module)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("hangtag.")
        for alias in node.names
    }
    at_once = {("__version__", "hangtag.version")}  # a word alone: nothing has to be loaded for it
    assert for_types - at_once == {(name, f"hangtag.{room}") for name, room in hangtag._ROOMS.items()}
    assert {name for name, _ in for_types} == set(hangtag.__all__)
    assert hangtag.__all__ == sorted(hangtag.__all__)


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        getattr(hangtag, "nothing")  # noqa: B009  the static checkers know that it is not there


def test_public_names_stand_in_the_developers_page(project: Path) -> None:
    page = (project / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert [name for name in hangtag.__all__ if f"`{name}`" not in page] == []


def test_asking_for_help_does_not_wait_for_the_engine() -> None:
    code = "import sys; from hangtag.cli import main; main(['--help']); sys.exit('pint' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    assert "build" in ran.stdout
