"""The files of the project as somebody else would get them: without what building and working leave behind.

Those of tests/bad/ are left out: they are wrong on purpose.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

_MADE = {
    ".git", ".venv", "site", "site-disk", "dist", "build", "__pycache__", ".pytest_cache", ".mypy_cache", ".ruff_cache",
    ".hypothesis", ".import_linter_cache", "test-results", "bad",
}  # fmt: skip
_PICTURES = {".png", ".jpg", ".gif", ".ico", ".woff2", ".zip"}


def texts(project: Path) -> Iterator[Path]:
    """Every text file of the project."""
    for path in sorted(project.rglob("*")):
        inside = path.relative_to(project).parts
        if (
            path.is_file()
            and not _MADE.intersection(inside)
            and not any(part.startswith(".hangtag") for part in inside)
        ) and path.suffix not in _PICTURES:
            yield path


def modules(project: Path) -> Iterator[Path]:
    """Every module of the engine."""
    yield from sorted((project / "hangtag").rglob("*.py"))


def docstring(path: Path) -> str:
    """A module's docstring, or an empty text."""
    return ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
