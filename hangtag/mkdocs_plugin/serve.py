"""The live preview: a saved file shows at once, problems stand beside what they are about on the last good pages.

What was edited is made first and shown; the pages that only mention it follow. Not strict: while writing, a
half-finished page is better than none. Must not write into the book.
"""

from __future__ import annotations

import shutil
import socket
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from mkdocs.livereload import LiveReloadServer

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.checking import check_book
from hangtag.entries import Entry
from hangtag.memory import Memory
from hangtag.mkdocs_plugin.marks import ExampleId, Fault, examples_on, marked
from hangtag.mkdocs_plugin.places import place_of
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.mkdocs_plugin.session import Interrupted, Session
from hangtag.problems import Problem, ProblemError, render
from hangtag.resources import CALCULATORS, CONFIG, TEMPLATES, TERMS

_HIGHEST_PORT = 65535
_LOOKED_AT_EVERY = 0.1  # seconds between two looks at the files
_SETTLED_AFTER = 0.05  # seconds without a further change, after which a save is taken for finished
_AT_ONCE = 12  # edited entries and calculators at most that are made before all other pages
_NO_PAGE = "<!doctype html>\n<title>hangtag</title>\n<body>\n<p>There is no page here yet.</p>\n</body>\n"


class Preview(LiveReloadServer):
    """Serves the last good build of one book and rebuilds it; `problems` is what is wrong with the book now."""

    def __init__(self, root: Path, host: str, port: int, say: Callable[[str], None]) -> None:
        self._work = Path(tempfile.mkdtemp(prefix="hangtag-"))
        self._say = say
        self._root = root
        self._memory = Memory()
        self._session = Session(root, self._work)
        self._shown: Book | None = None
        self._mentioned = False  # whether pages that mention what was edited still wait
        self._asked = threading.local()
        self.problems: tuple[Problem, ...] = ()
        super().__init__(
            builder=self.rebuild, host=host, port=port, root=str(self._session.pages), polling_interval=_LOOKED_AT_EVERY
        )
        self.build_delay = _SETTLED_AFTER
        self.error_handler = lambda _: marked(_NO_PAGE, None, self._faults(), {}).encode()

    def rebuild(self) -> None:
        """Bring every page up to date; where that fails, the last good pages stay and say why."""
        self.show_edited()
        self.show_the_rest()

    def show_edited(self) -> None:
        """Check the book, and make the pages of what was edited: none yet the first time, or where that is much."""
        started = time.monotonic()
        loaded = check_book(self._root, self._memory)
        problems, book = loaded.problems, loaded.book
        edited = _edited(self._shown, book) if self._shown and book else []
        if book is not None:
            try:
                with _writing(self._work):
                    self._session.show(book, edited if len(edited) <= _AT_ONCE else [])
            except ProblemError as error:
                problems = (*problems, *error.problems)
            self._shown, self._mentioned = book, True
        self.problems = problems
        if problems:
            self._say(render(problems, relative_to=self._root))
        elif edited:
            self._say(f"Shown in {time.monotonic() - started:.1f} s: {', '.join(its.id for its in edited[:_AT_ONCE])}")

    def show_the_rest(self, between: Callable[[], None] = lambda: None) -> bool:
        """Make every other page that is out of date, and say whether one changed. `between` as in `Session.build`."""
        if self._shown is None or not self._mentioned:
            return False
        started = time.monotonic()
        try:
            with _writing(self._work):
                changed = self._session.build(self._shown, between)
        except ProblemError as error:
            self.problems = (*self.problems, *error.problems)
            self._say(render(error.problems, relative_to=self._root))
            return True
        finally:
            self.root = str(self._session.pages)
        self._mentioned = False
        self._say(f"All pages are up to date ({time.monotonic() - started:.1f} s)")
        return changed

    def watch_book(self) -> None:
        """Watch what pages are made from, in this book and in those it inherits."""
        parents = self._shown.parents if self._shown else ()
        for root in (self._root, *parents):
            for name in (CONFIG, TERMS, CALCULATORS, TEMPLATES):
                if (root / name).exists():
                    self.watch(str(root / name))

    def clear(self) -> None:
        """Take the built pages away."""
        shutil.rmtree(self._work, ignore_errors=True)

    # ------------------------------------------------------------------------------------------------- the server

    def _build_loop(self) -> None:
        """As MkDocs' own, but the pages of what was edited are shown before all others are made."""
        while self._wait_for_change():
            try:
                self.show_edited()
                self._reload()
                if self.show_the_rest(self._stop_if_edited):
                    self._wanted_epoch = _now()
            except Interrupted:
                pass  # what was edited meanwhile comes first
            except Exception as error:  # noqa: BLE001  a mistake of ours, or of another plugin, must not end the preview
                self._say(f"The pages could not be built: {type(error).__name__}: {error}")
            self._reload()

    def _wait_for_change(self) -> bool:
        with self._rebuild_cond:
            # a wait without an end could not be stopped from the keyboard everywhere
            while not self._rebuild_cond.wait_for(lambda: self._want_rebuild or self._shutdown, self.shutdown_delay):
                pass
            while not self._shutdown and self._rebuild_cond.wait(self.build_delay):
                pass
            self._want_rebuild = False
            self._wanted_epoch = _now()
            return not self._shutdown

    def _reload(self) -> None:
        with self._epoch_cond:
            self._visible_epoch = self._wanted_epoch
            self._epoch_cond.notify_all()

    def _stop_if_edited(self) -> None:
        if self._want_rebuild or self._shutdown:
            raise Interrupted

    def _serve_request(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes] | None:
        self._asked.address = environ["PATH_INFO"].encode("latin-1").decode("utf-8", "ignore").lstrip("/")
        answer: Iterable[bytes] | None = super()._serve_request(environ, start_response)
        return answer

    def _inject_js_into_html(self, content: bytes, epoch: int) -> bytes:
        page: bytes = super()._inject_js_into_html(content, epoch)  # type: ignore[no-untyped-call]  # MkDocs leaves it open
        path = self._session.page_at(self._asked.address)
        examples = examples_on(self._shown, path) if self._shown and path else []
        return marked(page.decode(), path, self._faults(), {its: self._holds(its) for its in examples}).encode()

    def _faults(self) -> list[Fault]:
        faults = []
        for problem in self.problems:
            text = render((problem,), relative_to=self._root)
            place = place_of(problem)
            address = self._session.address_of(place.page) if place else None
            faults.append(Fault(text, text.split("\n")[0], place, None if address is None else f"/{address}"))
        return faults

    def _holds(self, example: ExampleId) -> bool:
        """Whether an example holds: it did when its page was made, and nothing else is wrong with its file now."""
        calculator, number = example
        about = [place for problem in self.problems if (place := place_of(problem)) and place.calculator == calculator]
        return all(place.example is not None and place.example != number for place in about)


def _edited(old: Book, new: Book) -> list[Entry | Calculator]:
    """The entries and calculators that are not what they were; new ones are not among them."""
    return [
        *(its for its in new.entries.values() if old.entries.get(its.id, its) != its),
        *(its for its in new.calculators.values() if old.calculators.get(its.id, its) != its),
    ]


@contextmanager
def _writing(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise ProblemError(Problem("site-not-written", {"path": folder, "reason": reason})) from error


def _now() -> int:
    return int(time.monotonic() * 1000)


def serve_site(root: Path, address: str, say: Callable[[str], None] | None = None) -> None:
    """Serve a live preview at `HOST:PORT` until Ctrl-C. `say` gets a line for each build.

    Raises ProblemError for an address that is none or is taken.
    """
    say = say or _to_screen
    host, port = read_address(address)
    _sure_is_free(host, port, address)
    with listening():
        server = Preview(root, host, port, say)
        try:
            server.rebuild()
            server.watch_book()
            say(f"Look at http://{host}:{port}/ (Ctrl-C ends it)")
            server.serve()  # type: ignore[no-untyped-call]  # MkDocs leaves it open
        except KeyboardInterrupt:
            pass
        except OSError as error:
            raise _taken(address, error) from error
        finally:
            server.shutdown()
            server.clear()


def _sure_is_free(host: str, port: int, address: str) -> None:
    # said before the pages are built, not after
    try:
        with socket.socket() as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind((host, port))
    except OSError as error:
        raise _taken(address, error) from error


def _taken(address: str, error: OSError) -> ProblemError:
    return ProblemError(Problem("address-taken", {"address": address, "reason": error.strerror or str(error)}))


def read_address(address: str) -> tuple[str, int]:
    """`HOST:PORT` as its parts. Raises ProblemError for anything else."""
    host, colon, port = address.rpartition(":")
    if not (colon and host and port.isascii() and port.isdigit() and 0 < int(port) <= _HIGHEST_PORT):
        raise ProblemError(Problem("address-wrong", {"address": address}, hint="Write it as 127.0.0.1:8000."))
    return host, int(port)


def _to_screen(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()
