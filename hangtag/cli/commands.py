"""The commands: build, serve, check, work, show; read and others have a file of their own beside this one.

Each finds its book, calls one room and prints what came back. A room is imported when its command runs, so that
`--help` does not wait for all of them. Must not hold what another program would want too: that belongs in a room.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

import hangtag
from hangtag.cli import screen
from hangtag.cli.book import book_argument, book_option, good_book, json_option, load, which_book
from hangtag.cli.export import export_docs
from hangtag.cli.faults import Commands
from hangtag.cli.find import find
from hangtag.cli.new import new
from hangtag.cli.read import read
from hangtag.problems import Problem, ProblemError, Problems, near_hint, render
from hangtag.problems import as_json as problems_as_json
from hangtag.resources import reference_book

if TYPE_CHECKING:
    from hangtag.book import Book
    from hangtag.calculators import Calculator


@click.group(cls=Commands, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(hangtag.__version__, prog_name="hangtag")
@click.pass_context
def commands(context: click.Context) -> int:
    """Turn a folder of plain YAML into a reference site for outdoor gear in which every number is calculated."""
    if context.invoked_subcommand is not None:
        return 0  # click goes on with the command, and gives its exit code instead
    screen.complain(context.get_help())
    return 2


commands.add_command(read)
commands.add_command(find)
commands.add_command(export_docs)
commands.add_command(new)


@commands.command()
@book_argument
@book_option
@click.option("--out", metavar="DIR", type=click.Path(path_type=Path), help="Where the site goes.")
@click.option("--disk", is_flag=True, help="Build for opening from disk, without a web server.")
@click.option("--plain", is_flag=True, help="Build the plain look, which needs no theme.")
def build(book: Path | None, book_option: Path | None, out: Path | None, *, disk: bool, plain: bool) -> int:
    """Check a book, then build its site and print where it is. A failed build leaves the last good site alone."""
    root = which_book(book, book_option)
    with screen.Progress("Checking the book") as progress:
        book_read = good_book(root)
        if plain:
            from hangtag.plain import build_plain as build_site
        else:
            from hangtag.mkdocs_plugin import build_site

        progress("Building the site")
        site = build_site(root, out or _usual_out(root, disk=disk, plain=plain), disk, progress)
    screen.say(f"Built {book_read.title} ({_counts(book_read)}).")
    screen.say(f"The site is in {site}")
    if disk:
        screen.say(f"Open it: {(site / 'index.html').as_uri()}")
        screen.say(f"Packed for passing on: {site.with_name(site.name + '.zip')}")
    else:
        screen.say(f'Look at it: python3 -m http.server --directory "{site}" 8000, then open http://localhost:8000/')
        from hangtag.output import POLICY_FILE, read_policy

        screen.say(f"The policy that its pages keep, for the web server (also in {POLICY_FILE}):")
        screen.say(read_policy(site))
    if not disk and 'rel="canonical"' not in (site / "index.html").read_text(encoding="utf-8"):
        screen.say("Its pages name no address of their own: site_url is not set (README, Putting it on a web site).")
        screen.say("So there is no feed of corrections either: a feed is named by its address.")
    return 0


@commands.command()
@book_argument
@book_option
@click.option("--address", metavar="HOST:PORT", default="127.0.0.1:8000", show_default=True, help="Where to listen.")
def serve(book: Path | None, book_option: Path | None, address: str) -> int:
    """Show the site while you write: an edited YAML file shows at once. Stop with Ctrl-C."""
    root = which_book(book, book_option)
    from hangtag.mkdocs_plugin import serve_site

    serve_site(root, address, screen.say)
    return 0


@commands.command()
@book_argument
@book_option
@click.option(
    "--since", metavar="REV", help="Also report numbers that changed since this git revision and left no history."
)
@json_option
def check(book: Path | None, book_option: Path | None, since: str | None, *, as_json: bool) -> int:
    """Print every problem in a book, with its place and the next step. Exit code 1 if there is any."""
    root = which_book(book, book_option)
    with screen.Progress("Checking the book"):
        loaded = load(root)
        found = loaded.problems
        if since is not None:
            from hangtag.since import check_since

            found = (*found, *check_since(root, since))
    if as_json:
        screen.say_json(problems_as_json(found, relative_to=Path.cwd()))
    elif found:
        screen.say(render(found, relative_to=Path.cwd()))
        screen.say(f"\n{len(found)} {'problem' if len(found) == 1 else 'problems'}")
    elif loaded.book is not None:
        screen.say(f"No problems: {_counts(loaded.book)}.")
    return 1 if found else 0


@commands.command()
@click.argument("calculator", required=False)
@click.argument("values", metavar="[NAME=VALUE]...", nargs=-1)
@book_option
@json_option
def work(calculator: str | None, values: tuple[str, ...], book_option: Path | None, *, as_json: bool) -> int:
    """Run a calculator: hangtag work water-column head="10000 mm".

    A value that is not given takes its start value; a list comes from a file: kit=@kit.csv. The working is printed step
    by step. To work backwards, give an answer its value and ask for a field: hangtag work down-loft thickness="50 mm"
    fill_weight=?
    """
    with screen.Progress("Reading the book"):
        book = good_book(which_book(None, book_option))
    known = book.calculators
    if calculator is None:
        raise ProblemError(
            Problem(
                "command-usage",
                {"what": "the name of a calculator is missing"},
                hint=f"The calculators are {', '.join(known)}.",
            )
        )
    if calculator not in known:
        raise ProblemError(Problem("unknown-calculator", {"id": calculator}, hint=_calculator_hint(book, calculator)))
    given = _with_lists(known[calculator], _given(values))
    from hangtag import answers
    from hangtag.cli.question import question

    asked = question(known[calculator], given)
    if asked:
        answer = answers.work_backwards(book, known[calculator], asked.given, asked.output, asked.wanted, asked.unknown)
    else:
        answer = answers.work(book, known[calculator], given)
    if as_json:
        screen.say_json(answers.as_json(answer))
    else:
        from hangtag.terminal import answer_lines

        screen.say_lines(answer_lines(book, answer))
    return 0


@commands.command()
@click.argument("entry", metavar="ID", required=False)
@book_option
@json_option
def show(entry: str | None, book_option: Path | None, *, as_json: bool) -> int:
    """Print an entry: what it means, its scale, its calculators, what to ask, and its sources."""
    with screen.Progress("Reading the book"):
        book = good_book(which_book(None, book_option))
    if entry is None:
        raise ProblemError(
            Problem(
                "command-usage",
                {"what": "the id of an entry is missing"},
                hint=f"The entries are {', '.join(book.entries)}.",
            )
        )
    found = book.entries.get(entry) or next((e for e in book.entries.values() if entry in e.was), None)
    if found is None:
        raise ProblemError(Problem("unknown-entry", {"id": entry}, hint=_entry_hint(book, entry)))
    if as_json:
        from hangtag import api

        screen.say_json(api.term(book, found))
    else:
        from hangtag.terminal import entry_lines

        screen.say_lines(entry_lines(book, found))
    return 0


def _usual_out(root: Path, *, disk: bool, plain: bool) -> Path:
    """`site` in the book, or in the folder here for the copy in the wheel, which may not be writable."""
    name = "site" + "-plain" * plain + "-disk" * disk
    packaged = root == reference_book() and root.name == "_book"
    return (Path.cwd() if packaged else root) / name


def _counts(book: Book) -> str:
    def count(number: int, one: str, many: str) -> str:
        return f"{number} {one if number == 1 else many}"

    examples = sum(len(calculator.examples) for calculator in book.calculators.values())
    return ", ".join(
        (
            count(len(book.entries), "entry", "entries"),
            count(len(book.calculators), "calculator", "calculators"),
            count(examples, "worked example", "worked examples"),
        )
    )


# ---------------------------------------------------------------------------------------------------- what was typed


def _given(values: Sequence[str]) -> dict[str, str]:
    """`name=value` words as a mapping. Raises ProblemError with every word that is none, or is given twice."""
    problems = Problems()
    given: dict[str, str] = {}
    for word in values:
        name, equals, value = word.partition("=")
        name = name.strip()
        if not equals or not name:
            problems.add("work-no-equals", text=word, hint='Put quotes around a value with a space: head="10000 mm".')
        elif name in given:
            problems.add("work-given-twice", name=name)
        else:
            given[name] = value.strip()
    problems.raise_if_any()
    return given


def _with_lists(calculator: Calculator, given: dict[str, str]) -> dict[str, str]:
    """The same, each list that is named as `@file` read from that file. Raises ProblemError where it cannot be."""
    from hangtag.calculators import RowsInput

    lists = {its.name for its in calculator.inputs if isinstance(its, RowsInput)}
    return {name: _list(text[1:]) if name in lists and text.startswith("@") else text for name, text in given.items()}


def _list(file: str) -> str:
    try:
        return Path(file).read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        because = "it is not UTF-8 text"
    except (OSError, ValueError) as error:  # a name with a NUL is a ValueError
        because = (getattr(error, "strerror", None) or str(error)).lower()
    raise ProblemError(Problem("list-unreadable", {"file": file, "because": because}))


def _calculator_hint(book: Book, typed: str) -> str:
    entry = book.entries.get(typed)
    if entry is not None and entry.calculators:
        return f"{typed} is an entry; its calculators: {', '.join(entry.calculators)}."
    return near_hint(typed, book.calculators) or f"The calculators are {', '.join(book.calculators)}."


def _entry_hint(book: Book, typed: str) -> str | None:
    by_word = {
        str(word).lower(): entry.id
        for entry in book.entries.values()
        for name in (entry.name, *entry.also)
        for word in name
    }
    if typed.lower() in by_word:
        return f"Did you mean {by_word[typed.lower()]}?"
    if typed in book.calculators:
        return f"{typed} is a calculator: hangtag work {typed}"
    near = near_hint(typed.lower(), [*book.entries, *by_word])
    if near is None:
        return f"The entries are {', '.join(book.entries)}." if len(book.entries) <= _FEW else None
    word = near.removeprefix("Did you mean ").removesuffix("?")
    return f"Did you mean {by_word.get(word, word)}?"


_FEW = 40
