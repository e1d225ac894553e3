"""Writing to a terminal, a pipe or a full disk: text, styled lines, JSON, and a line of progress.

A reader that closes the pipe early (`| head`) is no mistake: what is left is dropped, and the exit code stays what it
would have been. Must not know what the text means.
"""

from __future__ import annotations

import errno
import json
import os
import sys
import threading
from collections.abc import Iterable
from types import TracebackType
from typing import Self, TextIO

from rich.console import Console, RenderableType
from rich.markdown import Markdown
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from hangtag.terminal import Kind, Line

PATIENCE = 1.0  # seconds before a long run says what it is doing
_WIDEST = 100  # characters; longer lines of prose are hard to read
_STYLES: dict[Kind, str] = {
    Kind.TITLE: "bold underline",
    Kind.HEADING: "bold",
    Kind.RESULT: "bold green",
    Kind.SOFT: "dim",
    Kind.CAUTION: "bold yellow",
    Kind.COMMAND: "dim",
    Kind.MARKS: "bold green",
}
_NEVER_WRAPPED = {Kind.COMMAND, Kind.VERBATIM, Kind.MARKS}


def prepare() -> None:
    """Make both streams print `?` where they cannot print a character, instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def say(text: str, *, to: TextIO | None = None) -> None:
    """Print a text and a line end. Raises OSError where it cannot be written, except to a pipe that was closed."""
    is_read_on(text, to=to)


def is_read_on(text: str, *, to: TextIO | None = None) -> bool:
    """The same as `say`, and whether anybody still reads: one who is to print a million lines can stop."""
    stream: TextIO | None = to or sys.stdout
    if stream is None:  # a program may be started with its output closed
        return False
    try:
        stream.write(text + "\n")
        stream.flush()
    except OSError as error:
        _drop(stream)
        if not _is_closed_pipe(error):
            raise
        return False
    return True


def complain(text: str) -> None:
    """Print a text to the stream for messages; nothing is left to do where even that fails."""
    try:
        say(text, to=sys.stderr)
    except OSError:
        return


def say_json(document: object) -> None:
    """Print a document as JSON, readable and in plain UTF-8."""
    say(json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False))


def is_watched() -> bool:
    """Whether messages go to a terminal, where a line of progress may be rewritten."""
    return sys.stderr is not None and sys.stderr.isatty()


def say_lines(lines: Iterable[Line]) -> None:
    """Print lines with their styles, wrapped to the terminal; a pipe gets the same words without colour."""
    console = Console(highlight=False, markup=False, emoji=False)
    console.width = min(console.width, _WIDEST)
    with console.capture() as captured:
        for line in lines:
            if line.kind in _NEVER_WRAPPED:
                style = _STYLES.get(line.kind, "")
                console.print(Text(" " * line.indent + line.text, style=style), soft_wrap=True)
            else:
                console.print(_rendered(line))
    text = "\n".join(line.rstrip() for line in captured.get().splitlines())
    say(text)


def _rendered(line: Line) -> RenderableType:
    style = _STYLES.get(line.kind, "")
    body: RenderableType
    if line.kind in {Kind.MARKDOWN, Kind.CAUTION}:
        body = Markdown(line.text, style=style or "none", hyperlinks=False)
    else:
        body = Text(" ".join(line.text.split()), style=style)
    if line.mark:
        hanging = Table.grid()
        hanging.add_column(no_wrap=True)
        hanging.add_row(line.mark, body)
        body = hanging
    return Padding(body, (0, 0, 0, line.indent))


def _is_closed_pipe(error: OSError) -> bool:
    # Windows reports a closed pipe as an invalid argument
    return isinstance(error, BrokenPipeError) or (os.name == "nt" and error.errno == errno.EINVAL)


def _drop(stream: TextIO) -> None:
    """Send everything still to come nowhere, so that neither we nor the interpreter trips over it at the end."""
    try:
        number = stream.fileno()
    except (OSError, ValueError):
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, number)
    os.close(nowhere)


class Progress:
    """Says on the stream for messages what a run is doing, once it has taken longer than PATIENCE.

    Call it with a few words at each stage. In a terminal one line is rewritten; elsewhere each stage is a line.
    """

    def __init__(self, words: str) -> None:
        self._words = words
        self._lock = threading.Lock()
        self._timer = threading.Timer(PATIENCE, self._begin)
        self._timer.daemon = True
        self._console = Console(stderr=True, highlight=False, markup=False, emoji=False)
        self._status = self._console.status(Text(words)) if self._console.is_terminal else None
        self._shown = False

    def __call__(self, words: str) -> None:
        """Say the next stage."""
        with self._lock:
            self._words = words
            if self._shown:
                self._show()

    def __enter__(self) -> Self:
        self._timer.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._timer.cancel()
        with self._lock:
            if self._status is not None and self._shown:
                self._status.stop()
            self._shown = False

    def _begin(self) -> None:
        with self._lock:
            self._shown = True
            if self._status is not None:
                self._status.start()
            self._show()

    def _show(self) -> None:
        if self._status is not None:
            self._status.update(Text(self._words))
        else:
            complain(f"{self._words} ...")
