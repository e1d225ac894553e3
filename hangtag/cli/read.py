"""`hangtag read`: one tag explained as text or JSON, or a file of tags as a stream of JSON.

Must not read or explain a tag itself: that is the tag reader's, the words are the terminal's.
"""

from __future__ import annotations

import gc
import io
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import click

from hangtag.cli import screen
from hangtag.cli.book import book_option, good_book, which_book
from hangtag.problems import Problem, ProblemError, near_hint

if TYPE_CHECKING:
    from hangtag.book import Book
    from hangtag.cli.read_accept import Accepted
    from hangtag.cli.read_records import Faulty, Record
    from hangtag.cli.read_stream import Document, Summary

STDIN = "-"
_SHORT_TAG = 'hangtag read "Fly: 20D ripstop nylon, 1200 mm"'


@dataclass(frozen=True)
class _Run:
    """What one run reads tags with."""

    book: Book
    explain: Callable[[str], Document]
    accepted: Accepted | None


@click.command()
@click.argument("text", metavar="[TEXT]...", nargs=-1)
@click.option("--file", "file", metavar="F", help="A file of tags, or - for what is piped in: one tag a line, or CSV.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document. With --file it is always one a line.")
@click.option(
    "--kind", metavar="K", help="The kind of gear, where the tag's own words do not tell: tent, bag, pack ..."
)
@click.option("--id", "id_column", metavar="COLUMN", help="The column of a CSV file that names each tag.")
@click.option("--site", metavar="URL", help="The web address of the book's site, for the links in JSON.")
@click.option("--fail-on", type=click.Choice(["certain"]), help="Exit code 1 where a tag certainly contradicts itself.")
@click.option("--accept", metavar="FILE", help="Known contradictions, a line each: id, code (* for every id).")
@book_option
def read(  # noqa: PLR0913  the options of a command are its arguments
    text: tuple[str, ...],
    file: str | None,
    *,
    as_json: bool,
    kind: str | None,
    id_column: str | None,
    site: str | None,
    fail_on: str | None,
    accept: str | None,
    book_option: Path | None,
) -> int:
    """Explain a spec tag, such as "Fly: 20D ripstop nylon, 1200 mm".

    All words are one tag; - or a pipe reads it from there. With --file each line is a tag, or each row of a CSV file
    with a header (a name in .csv or .tsv, or --id), and every tag becomes one line of JSON. The exit code is 0 whatever
    the tags say, 1 if --fail-on finds something, 2 if something could not be read.
    """
    _check_usage(text, file, id_column, site)
    tag = "" if file is not None else _tag_text(text)
    with screen.Progress("Reading the book"):
        run = _run(good_book(which_book(None, book_option)), kind, site, accept)
    summary = _one(run, tag, as_json=as_json) if file is None else _many(run, file, id_column)
    if summary.faults:
        return 2
    return 1 if fail_on and summary.has_certain else 0


def _check_usage(text: tuple[str, ...], file: str | None, id_column: str | None, site: str | None) -> None:
    what = None
    if text and file is not None:
        what = "a tag and a file of tags are two things to read"
    elif id_column is not None and file is None:
        what = "--id names a column of a file, and no --file is given"
    elif site is not None and not site.lower().startswith(("http://", "https://")):
        what = "--site takes an address that begins with https:// or http://"
    if what:
        raise ProblemError(Problem("command-usage", {"what": what}, hint="See hangtag read --help."))


def _run(book: Book, kind: str | None, site: str | None, accept: str | None) -> _Run:
    if kind is not None and kind not in book.gear:
        hint = near_hint(kind, book.gear) or f"The kinds are {', '.join(book.gear)}."
        raise ProblemError(Problem("unknown-kind", {"id": kind}, hint=hint))
    from hangtag import tag_reader
    from hangtag.cli.read_accept import read_accepted

    reader = tag_reader.compile_book(book)
    accepted = None if accept is None else read_accepted(Path(accept), reader.codes)
    return _Run(book, lambda text: tag_reader.read(reader, text, kind).as_json(site), accepted)


# ------------------------------------------------------------------------------------------------------------- one tag


def _tag_text(words: tuple[str, ...]) -> str:
    if not words and sys.stdin is not None and sys.stdin.isatty():
        raise ProblemError(Problem("command-usage", {"what": "there is no tag to read"}, hint=f"Try: {_SHORT_TAG}"))
    text = _piped_tag() if words in {(), (STDIN,)} else " ".join(words)
    if not text.strip():
        raise ProblemError(Problem("command-usage", {"what": "the tag is empty"}, hint=f"Try: {_SHORT_TAG}"))
    return text.strip()


def _piped_tag() -> str:
    from hangtag.cli.read_records import whole_text

    with _opened(STDIN) as stream:
        return whole_text(stream, _shown(STDIN))


def _one(run: _Run, text: str, *, as_json: bool) -> Summary:
    from hangtag.cli.read_stream import Summary, with_accepted

    document = with_accepted(run.explain(text), run.accepted)
    if as_json:
        screen.say_json(document)
    else:
        from hangtag.terminal import tag_lines

        screen.say_lines(tag_lines(run.book, document))
    summary = Summary()
    summary.count(document)
    return summary


# ---------------------------------------------------------------------------------------------------------- many tags


def _many(run: _Run, file: str, id_column: str | None) -> Summary:
    from hangtag.cli.read_stream import stream, summary_lines

    def read_one(record: Record) -> Document:
        document = run.explain(record.text)
        document["id"] = record.id
        return document

    gc.freeze()  # the book stays to the end; looking through it again for garbage costs a tenth of the time
    with _opened(file) as opened:
        summary = stream(_records(run.book, opened, file, id_column), read_one, run.accepted)
    if not summary.is_cut_off:
        for line in summary_lines(summary, run.accepted):
            screen.complain(line)
    return summary


def _records(book: Book, opened: BinaryIO, file: str, id_column: str | None) -> Iterator[Record | Faulty]:
    from hangtag.cli.read_records import is_table, line_records, table_records

    if not is_table(file, id_column):
        return line_records(opened, _shown(file))
    units = {spelling for unit in book.units.units.values() for spelling in (unit.id, unit.prints, *unit.typed)}
    return table_records(opened, _shown(file), id_column, units)


def _shown(file: str) -> str:
    return "standard input" if file == STDIN else file


@contextmanager
def _opened(file: str) -> Iterator[BinaryIO]:
    if file == STDIN:
        # a program may be started with its input closed
        yield io.BytesIO() if sys.stdin is None else sys.stdin.buffer
        return
    with _open(file) as opened:
        yield opened


def _open(file: str) -> BinaryIO:
    try:
        return Path(file).open("rb")
    except (OSError, ValueError) as error:  # a name with a NUL is a ValueError
        because = (getattr(error, "strerror", None) or str(error)).lower()
        raise ProblemError(Problem("tags-unreadable", {"file": file, "because": because})) from None
