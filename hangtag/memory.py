"""What was worked out before, kept for as long as all it was made from is the same.

A live preview reads a book again at every save; what an author did not touch need not be worked out again. Lives in
memory only, so that nothing stale outlives the program. Must not know what is kept.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable
from pathlib import Path
from typing import Any, TypeVar, cast

from hangtag.problems import Problem, Problems

T = TypeVar("T")


class Memory:
    """Values by name, each with what it was made from and with the Problems that making it found."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, tuple[tuple[object, ...], Any, tuple[Problem, ...]]] = {}

    def recall(
        self, name: Hashable, made_from: tuple[object, ...], make: Callable[[Problems], T], problems: Problems
    ) -> T:
        """What `make` gives: from memory where `made_from` is equal to that of the last time.

        `make` notes its Problems in the collector it is handed; they go to `problems` each time, made anew or not.
        """
        kept = self._kept.get(name)
        if kept is None or kept[0] != made_from:
            found = Problems()
            value = make(found)
            kept = self._kept[name] = (made_from, value, found.sorted())
        problems.extend(kept[2])
        return cast("T", kept[1])


def fingerprint(path: Path) -> str:
    """A hash of what a file holds; empty where it cannot be read."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
