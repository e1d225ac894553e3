"""Mistakes in what was typed, as Problems, and how all Problems reach the screen. Must not end the program."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from hangtag import problems
from hangtag.cli import screen
from hangtag.problems import Problem, ProblemError, near_hint


def report(found: Sequence[Problem], *, as_json: bool) -> None:
    """Show Problems: as text on the stream for messages, or with `--json` as one document on the output."""
    base = Path.cwd()
    if as_json:
        screen.say_json(problems.as_json(found, relative_to=base))
    else:
        screen.say(problems.render(found, relative_to=base), to=sys.stderr)


def usage_problem(error: click.ClickException) -> Problem:
    """What click refused, as a Problem with the next step."""
    context = getattr(error, "ctx", None)
    more = f"See {context.command_path} --help." if context is not None else "See hangtag --help."
    if isinstance(error, click.NoSuchOption):
        known = [name for parameter in context.command.params for name in parameter.opts] if context else []
        return Problem(
            "command-unknown-option", {"option": error.option_name}, hint=near_hint(error.option_name, known) or more
        )
    what = error.format_message().rstrip(".")
    return Problem("command-usage", {"what": what[:1].lower() + what[1:]}, hint=more)


class Commands(click.Group):
    """A group that knows the near name of a command."""

    def resolve_command(
        self, context: click.Context, arguments: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; raises ProblemError for one that does not exist."""
        name = arguments[0]
        if self.get_command(context, name) is None and not name.startswith("-"):
            known = self.list_commands(context)
            hint = near_hint(name, known) or f"The commands are {', '.join(known)}."
            raise ProblemError(Problem("command-unknown", {"command": name}, hint=hint))
        return super().resolve_command(context, arguments)
