"""Running the command line: inside this process for most tests, as a program where streams and signals matter."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from hangtag import checking
from hangtag.book import Book, Loaded
from hangtag.cli import main, screen

CLUB = """\
site_name: Larkmoor Hill Club gear notes
docs_dir: terms
theme: material
plugins:
  - hangtag:
      inherits: reference
"""


@dataclass(frozen=True)
class Ran:
    """What a run of the command line gave."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:  # noqa: ANN401  a document of any shape
        """The output as JSON."""
        return json.loads(self.out)


Hangtag = Callable[..., Ran]


@pytest.fixture
def hangtag(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, reference: Book) -> Hangtag:
    """Run a command in this process. The reference book is read once for all; `program` reads it as readers do."""
    monkeypatch.setattr(screen, "PATIENCE", 600)  # how long a run takes here is no part of what it says
    check_book = checking.check_book

    def remembered(root: Path) -> Loaded:
        return Loaded(reference, ()) if root == reference.root else check_book(root)

    monkeypatch.setattr(checking, "check_book", remembered)

    def run(*arguments: object) -> Ran:
        capfd.readouterr()
        code = main([str(argument) for argument in arguments])
        out, err = capfd.readouterr()
        assert "Traceback" not in out + err
        return Ran(code, out, err)

    return run


@pytest.fixture
def program(project: Path) -> Callable[..., subprocess.Popen[bytes]]:
    """Start the command line as a program of its own."""

    def start(*arguments: str | bytes, env: Mapping[str, str] | None = None, **streams: Any) -> subprocess.Popen[bytes]:  # noqa: ANN401
        return subprocess.Popen(
            [sys.executable, "-m", "hangtag", *arguments],
            cwd=project,
            env={**os.environ, **(env or {})},
            **streams,
        )

    return start


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """A club's own book that adds nothing yet."""
    folder = tmp_path / "club"
    (folder / "terms").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text(CLUB, encoding="utf-8")
    return folder


@pytest.fixture
def broken(club: Path) -> Path:
    """A book with mistakes in two files."""
    area = club / "terms" / "warmth"
    area.mkdir()
    (area / "a-quilt.yml").write_text("name: A quilt\nin_short: It is warm.\ntxet: Words.\n", encoding="utf-8")
    (area / "b-bag.yml").write_text(
        "name: A bag\nname: A sack\nin_short: It is warm.\ntext: Words.\n", encoding="utf-8"
    )
    return club
