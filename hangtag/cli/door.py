"""The door: runs a command and turns whatever goes wrong into Problems and an exit code.

Must not know any one command.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence

import click

from hangtag.cli import screen
from hangtag.cli.commands import commands
from hangtag.cli.faults import report, usage_problem
from hangtag.problems import Problem, ProblemError

DONE, PROBLEMS, WRONG_USE = 0, 1, 2
INTERRUPTED = 130  # what a shell expects after Ctrl-C


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; `arguments` default to the ones typed. Gives the exit code; a user's mistake never raises."""
    typed = list(sys.argv[1:] if arguments is None else arguments)
    as_json = wants_json(typed)
    screen.prepare()
    try:
        try:
            return _run(typed)
        except ProblemError as error:
            report(error.problems, as_json=as_json)
            # what stands in a file is the book's, all else was typed
            return PROBLEMS if any(problem.path for problem in error.problems) else WRONG_USE
        except click.ClickException as error:
            report((usage_problem(error),), as_json=as_json)
        except OSError as error:
            report((_failed(error),), as_json=as_json)
        except RecursionError:
            too_deep = Problem("command-failed", {"doing": "the command", "because": "nested too deep"})
            report((too_deep,), as_json=as_json)
    except (KeyboardInterrupt, click.exceptions.Abort):
        screen.complain("stopped before the end")
        return INTERRUPTED
    except OSError:
        # even the message could not be written: the exit code is all that is left
        return WRONG_USE
    return WRONG_USE


def wants_json(typed: Sequence[str]) -> bool:
    """Whether `--json` stands among the options; told from the words alone, so that it holds for unreadable ones."""
    options = typed[: typed.index("--")] if "--" in typed else typed
    return "--json" in options


def _run(typed: list[str]) -> int:
    code = commands.main(args=typed, prog_name="hangtag", standalone_mode=False)
    return code if isinstance(code, int) else DONE


def _failed(error: OSError) -> Problem:
    because = error.strerror or str(error) or type(error).__name__
    if error.filename is not None:
        because += f" ({os.fsdecode(error.filename)})"
    hints = {
        errno.ENOSPC: "Free some space, or name another folder with --out.",
        errno.EROFS: "Name a folder that can be written with --out.",
        errno.EACCES: "Name a folder that can be written with --out.",
    }
    return Problem(
        "command-failed",
        {"doing": "this could not be read or written", "because": because.lower()},
        hint=hints.get(error.errno or 0),
    )
