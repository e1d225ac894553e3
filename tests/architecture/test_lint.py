"""The lint and the types hold, so that the one command says so and not only an editor."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(
    "tool", [["ruff", "check", "--no-cache"], ["mypy", "--no-error-summary"]], ids=lambda tool: tool[0]
)
def test_it_has_nothing_to_say(project: Path, tool: list[str]) -> None:
    ran = subprocess.run([sys.executable, "-m", *tool], cwd=project, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
