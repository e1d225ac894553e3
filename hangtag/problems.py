"""One value for everything that can be wrong with a file or a command, and the two ways to show it.

Holds `Problem` with its place, the exception and the collector that carry many, the text form with a caret, the JSON
form, and did-you-mean. Must not know any file format: rooms that read files say where, this room says how it looks.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hangtag.messages import MESSAGES


@dataclass(frozen=True, order=True)
class Span:
    """A stretch of a text file: 1-based lines and columns in code points, the end column just past the last one."""

    line: int
    column: int
    end_line: int
    end_column: int


@dataclass(frozen=True)
class Label:
    """A second place that explains a Problem, with the words to print beside it."""

    span: Span
    text: str
    path: str | None = None


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong, where, and what to do next.

    `code` names the kind (a key of `messages.MESSAGES`), `values` fill its words in when it is shown; `path` and
    `span` are None for mistakes that stand in no file, such as a wrong option.
    """

    code: str
    values: Mapping[str, object] = field(default_factory=dict)
    path: str | None = None
    span: Span | None = None
    labels: tuple[Label, ...] = ()
    hint: str | None = None

    @property
    def message(self) -> str:
        """The sentence for this problem, its values filled in."""
        return MESSAGES[self.code].format(**self.values)


class ProblemError(Exception):
    """Raised with one or more Problems; the command line prints them and exits."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("; ".join(problem.message for problem in problems))
        self.problems: tuple[Problem, ...] = problems


class Problems:
    """Collects Problems so that all are shown at once, not the first alone."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(self, code: str, path: str | None = None, span: Span | None = None, **rest: Any) -> None:  # noqa: ANN401  values of any printable kind
        """Note one Problem; `labels` and `hint` are taken by name, every other keyword is a value of its message."""
        labels = tuple(rest.pop("labels", ()))
        hint = rest.pop("hint", None)
        self._found.append(Problem(code, rest, path, span, labels, hint))

    def extend(self, problems: Iterable[Problem]) -> None:
        """Take over Problems found elsewhere."""
        self._found.extend(problems)

    def __bool__(self) -> bool:
        return bool(self._found)

    def __len__(self) -> int:
        return len(self._found)

    def sorted(self) -> tuple[Problem, ...]:
        """All of them by file, line and column; those without a place come first; exact repeats are dropped."""
        unique: dict[tuple[object, ...], Problem] = {}
        for problem in self._found:
            unique.setdefault((problem.code, problem.path, problem.span, problem.message), problem)
        return tuple(sorted(unique.values(), key=_place))

    def raise_if_any(self) -> None:
        """Raise a ProblemError with all of them, or do nothing."""
        if self._found:
            raise ProblemError(*self.sorted())


def _place(problem: Problem) -> tuple[str, Span, str]:
    return (problem.path or "", problem.span or Span(0, 0, 0, 0), problem.code)


def did_you_mean(word: str, known: Iterable[str]) -> str | None:
    """The known name nearest to `word`, or None where none is near or the word has under three letters."""
    if len(word) < 3:  # noqa: PLR2004  two letters are near to everything
        return None
    near = difflib.get_close_matches(word, sorted(set(known)), n=1, cutoff=0.6)
    return near[0] if near and near[0] != word else None


def near_hint(word: str, known: Iterable[str]) -> str | None:
    """`Did you mean ...?` for the nearest known name, or None."""
    near = did_you_mean(word, known)
    return f"Did you mean {near}?" if near else None


# ------------------------------------------------------------------------------------------------- how they are shown

_MOST_SHOWN = 120  # a line of a megabyte must not be printed whole
TextOf = Callable[[str], str | None]


def text_of_file(path: str) -> str | None:
    """The text of a file for drawing carets, or None where it cannot be read."""
    try:
        return Path(path).read_text(encoding="utf-8-sig", errors="replace")
    except OSError:
        return None


def render(problems: Sequence[Problem], *, text_of: TextOf = text_of_file, relative_to: Path | None = None) -> str:
    """All Problems as text: `file:line:column: message`, the line with a caret under the place, labels and the hint."""
    texts: dict[str, list[str]] = {}

    def lines_of(path: str | None) -> list[str]:
        if path is None:
            return []
        if path not in texts:
            texts[path] = (text_of(path) or "").split("\n")
        return texts[path]

    return "\n".join(_render_one(problem, lines_of, relative_to) for problem in problems)


def _render_one(problem: Problem, lines_of: Callable[[str | None], list[str]], base: Path | None) -> str:
    head = harmless(problem.message)
    if problem.path is not None:
        place = shown_path(problem.path, base)
        if problem.span is not None:
            place += f":{problem.span.line}:{problem.span.column}"
        head = f"{place}: {head}"
    out = [head]
    lines = lines_of(problem.path)
    if problem.span is not None:
        out += _caret(lines, problem.span, "")
    for label in problem.labels:
        label_path = label.path or problem.path
        if label_path != problem.path:
            out.append(f"  {shown_path(label_path or '', base)}:{label.span.line}:{label.span.column}")
        out += _caret(lines_of(label_path), label.span, label.text)
    if problem.hint:
        out.append(f"  {harmless(problem.hint)}")
    return "\n".join(out)


def _caret(lines: list[str], span: Span, words: str) -> list[str]:
    if not 1 <= span.line <= len(lines):
        return [f"  {words}"] if words else []
    line = harmless(lines[span.line - 1])
    end = span.end_column if span.end_line == span.line else len(line) + 1
    start = span.column - 1
    width = max(1, min(end - span.column, _MOST_SHOWN, max(1, len(line) - start)))
    shift = 0
    if len(line) > _MOST_SHOWN:
        shift = max(0, start - _MOST_SHOWN // 3)
        line = line[shift : shift + _MOST_SHOWN]
        width = max(1, min(width, len(line) - (start - shift)))
    number = str(span.line)
    mark = " " * (start - shift) + "^" + "~" * (width - 1)
    return [f"  {number} | {line.rstrip()}", f"  {' ' * len(number)} | {mark}{' ' + words if words else ''}"]


# A cloned book must not steer the terminal: escapes, line separators and marks of direction are shown as one sign.
_HARMFUL = {
    code: "\N{REPLACEMENT CHARACTER}"
    for first, last in (
        (0x00, 0x1F),
        (0x7F, 0x9F),
        (0x2028, 0x2029),
        (0x202A, 0x202E),
        (0x2066, 0x2069),
        (0xFEFF, 0xFEFF),
    )
    for code in range(first, last + 1)
} | {0x09: " "}


def harmless(text: str) -> str:
    """The same text, each sign that could steer a terminal replaced by one that cannot; its length stays."""
    return text.translate(_HARMFUL)


def shown_path(path: str, base: Path | None) -> str:
    """A path as people write it: relative to `base` where it lies below it."""
    if base is None:
        return path
    try:
        # the folder's own links are followed, the file's are not: its name is the one its author knows
        its = Path(path)
        return (its.parent.resolve() / its.name).relative_to(base.resolve()).as_posix()
    except (ValueError, OSError):
        return path


def as_json(problems: Sequence[Problem], *, relative_to: Path | None = None) -> dict[str, object]:
    """`{"problems": [...]}` with code, message, path, span, labels and hint; absent is null."""

    def span(value: Span | None) -> dict[str, int] | None:
        if value is None:
            return None
        return {
            "line": value.line,
            "column": value.column,
            "end_line": value.end_line,
            "end_column": value.end_column,
        }

    return {
        "problems": [
            {
                "code": problem.code,
                "message": problem.message,
                "path": None if problem.path is None else shown_path(problem.path, relative_to),
                "span": span(problem.span),
                "labels": [{"span": span(label.span), "text": label.text} for label in problem.labels],
                "hint": problem.hint,
            }
            for problem in problems
        ]
    }
