"""Two states of a book side by side: every number that changed must stand in a new line of history.

A calculator's line may stand in its own file or in an entry that shows the calculator. Must not run git itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from difflib import SequenceMatcher
from pathlib import Path, PurePosixPath

from hangtag.problems import Problem, Problems, Span
from hangtag.resources import CALCULATORS, TERMS
from hangtag.since.figures import Figure, Figures, of_calculator, of_entry
from hangtag.since.revision import Revision, find_revision
from hangtag.yaml_source import Mapping, Node, Scalar, Sequence, read_bytes, read_file

_NUMBER = re.compile(r"\d+(?:[,\u00a0\u2009\u202f ]\d{3})*(?:\.\d+)?")
_MARKS = re.compile(r"[,\u00a0\u2009\u202f ]")
_START = Span(1, 1, 1, 2)


@dataclass(frozen=True)
class Line:
    """One line of history as it is written."""

    date: str
    was: str
    now: str
    because: str


@dataclass(frozen=True)
class Changed:
    """A number that is another now; None where it is new, or gone."""

    name: str
    was: Figure | None
    now: Figure | None


def check_since(root: Path, name: str) -> tuple[Problem, ...]:
    """Every number of the book in `root` that changed since the revision `name` and stands in no new line of history.

    An id that is gone and left no `was` is a Problem too. Raises ProblemError where there is no such revision.
    """
    return _Comparison(root, find_revision(root, name)).problems()


class _Comparison:
    def __init__(self, root: Path, revision: Revision) -> None:
        self._root = root
        self._revision = revision
        self._problems = Problems()
        self._old = {_key(path): path for path in revision.files() if _is_compared(path)}
        self._now = {_key(path): path for path in _files(root) if _is_compared(path)}
        self._nodes: dict[str, Node | None] = {}

    def problems(self) -> tuple[Problem, ...]:
        if not self._old:
            self._problems.add("since-nothing", str(self._root), None, revision=self._revision.name)
        changed = self._revision.changed()
        for key, path in self._old.items():
            if path in changed:
                self._compare(key, path)
        return self._problems.sorted()

    def _compare(self, key: tuple[str, str], old_path: str) -> None:
        path = self._now.get(key) or self._heir(key)
        if path is None:
            values = {"id": key[1], "revision": self._revision.name}
            hint = f"Write was: [{key[1]}] into the file that takes its place, so that old links lead there."
            self._problems.add("since-gone", str(self._root / old_path), None, hint=hint, **values)
            return
        old, now = self._old_node(old_path), self._node(path)
        if old is None or now is None:
            return
        figures = of_entry if key[0] == TERMS else of_calculator
        lines = self._new_lines(path, old)
        if key[0] == CALCULATORS:
            lines += [line for entry in self._entries_with(key[1], PurePosixPath(path).stem) for line in entry]
        for one in _changes(figures(old), figures(now)):
            if not any(_says(line, one) for line in lines):
                self._add(one, path, now)

    def _add(self, one: Changed, path: str, node: Node) -> None:
        span = one.now.span if one.now else node.span if isinstance(node, Scalar) else _START
        was, now = (one.was.text if one.was else None), (one.now.text if one.now else None)
        code = "number-changed" if was and now else "number-gone" if was else "number-new"
        line = f'- {{date: ..., was: "{was or "none"}", now: "{now or "none"}", because: "..."}}'
        hint = f"Add a line under history: {line}"
        values = {"where": one.name, "was": was, "now": now, "revision": self._revision.name}
        self._problems.add(code, str(self._root / path), span, hint=hint, **values)

    # ------------------------------------------------------------------------------------------------- lines of history

    def _new_lines(self, path: str, old: Node | None) -> list[Line]:
        """The lines of a file that its earlier state did not have."""
        before = set(_lines(old))
        return [line for line in _lines(self._node(path)) if line not in before]

    def _entries_with(self, was: str, calculator: str) -> Iterator[list[Line]]:
        """The new lines of every entry that shows a calculator, under its earlier id or its own."""
        for key, path in self._now.items():
            if key[0] != TERMS:
                continue
            shows = _texts(self._node(path), "calculators")
            if calculator in shows or was in shows:
                old = self._old.get(key)
                yield self._new_lines(path, self._old_node(old) if old else None)

    # -------------------------------------------------------------------------------------------------------- the files

    def _heir(self, key: tuple[str, str]) -> str | None:
        """The file that says `was` of an id that is gone."""
        for (kind, _), path in self._now.items():
            if kind == key[0] and key[1] in _texts(self._node(path), "was"):
                return path
        return None

    def _node(self, path: str) -> Node | None:
        # what cannot be read now is a Problem of the book, and said there
        if path not in self._nodes:
            self._nodes[path] = read_file(self._root / path, Problems())
        return self._nodes[path]

    def _old_node(self, path: str) -> Node | None:
        problems = Problems()
        node = read_bytes(self._revision.read(path), path, problems)
        if problems:
            self._problems.add("since-unreadable", str(self._root / path), None, revision=self._revision.name)
        return node


def _is_compared(path: str) -> bool:
    name = PurePosixPath(path).name
    return not name.startswith("_") and not name.endswith(".adds.yml")


def _key(path: str) -> tuple[str, str]:
    """Whether a file is a term or a calculator, and its id: an entry may move to another area."""
    pure = PurePosixPath(path)
    return pure.parts[0], pure.stem


def _files(root: Path) -> Iterator[str]:
    for pattern in (f"{TERMS}/*/*.yml", f"{CALCULATORS}/*.yml"):
        yield from (path.relative_to(root).as_posix() for path in sorted(root.glob(pattern)))


def _texts(node: Node | None, key: str) -> list[str]:
    found = node.get(key) if isinstance(node, Mapping) else None
    return [item.text for item in found.items if isinstance(item, Scalar)] if isinstance(found, Sequence) else []


def _lines(node: Node | None) -> list[Line]:
    found = node.get("history") if isinstance(node, Mapping) else None
    lines = []
    for item in found.items if isinstance(found, Sequence) else ():
        if isinstance(item, Mapping):
            said = {key.text: value.text for key, value in item.items if isinstance(value, Scalar)}
            lines.append(Line(*(said.get(name, "") for name in ("date", "was", "now", "because"))))
    return lines


def _changes(old: Figures, now: Figures) -> Iterator[Changed]:
    """What is another number now. What was taken out or put in counts between limits alone: it moves the others."""
    for name, figure in now.named.items():
        before = old.named.get(name)
        if before is not None and before.text != figure.text:
            yield Changed(now.words.get(name, name), before, figure)
    for name, limits in now.limits.items():
        if name in old.limits:
            yield from _moved(name, old.limits[name], limits)


def _moved(name: str, old: list[Figure], now: list[Figure]) -> Iterator[Changed]:
    matcher = SequenceMatcher(None, [one.text for one in old], [one.text for one in now], autojunk=False)
    for what, old_from, old_to, now_from, now_to in matcher.get_opcodes():
        if what == "equal":
            continue
        before, after = old[old_from:old_to], now[now_from:now_to]
        for at in range(max(len(before), len(after))):
            yield Changed(name, before[at] if at < len(before) else None, after[at] if at < len(after) else None)


def _says(line: Line, one: Changed) -> bool:
    """Whether a line tells of a change: it names the new number, or the one that is gone."""
    return _names(line.now, one.now) if one.now else _names(line.was, one.was)


def _names(text: str, figure: Figure | None) -> bool:
    return figure is not None and Decimal(figure.number).copy_abs() in set(_numbers(text))


def _numbers(text: str) -> Iterable[Decimal]:
    return (Decimal(_MARKS.sub("", found[0])) for found in _NUMBER.finditer(text))
