"""The live preview: a saved file shows at once, and problems stand in a bar on the last good pages.

Not strict: while writing, a half-finished page is better than none. Must not write into the book.
"""

from __future__ import annotations

import html
import shutil
import socket
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from mkdocs.livereload import LiveReloadServer

from hangtag.checking import check_book
from hangtag.mkdocs_plugin.build import run_mkdocs
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.problems import Problem, ProblemError, render
from hangtag.resources import CALCULATORS, CONFIG, TEMPLATES, TERMS

_HIGHEST_PORT = 65535
_NO_PAGE = "<!doctype html>\n<title>hangtag</title>\n<body>\n<p>There is no page here yet.</p>\n</body>\n"


class Preview(LiveReloadServer):
    """Serves the last good build of one book and rebuilds it; `problems` is what is wrong with the book now."""

    def __init__(self, root: Path, host: str, port: int, say: Callable[[str], None]) -> None:
        self._work = Path(tempfile.mkdtemp(prefix="hangtag-"))
        self._say = say
        self._book = root
        self._count = 0
        self.problems = ""
        super().__init__(builder=self.rebuild, host=host, port=port, root=str(self._next_folder()))
        self.error_handler = lambda _: self._with_bar(_NO_PAGE.encode())

    def rebuild(self) -> None:
        """Build into a folder of its own and show it; where that fails, the last good pages stay and say why."""
        started = time.monotonic()
        loaded = check_book(self._book)
        problems = loaded.problems
        if loaded.book is not None:
            folder = self._next_folder()
            try:
                run_mkdocs(self._book, loaded.book, folder, disk=False, strict=False)
            except ProblemError as error:
                problems = (*problems, *error.problems)
                shutil.rmtree(folder)
            else:
                last, self.root = self.root, str(folder)
                shutil.rmtree(last)
        self.problems = render(problems, relative_to=self._book) if problems else ""
        self._say(self.problems or f"Built in {time.monotonic() - started:.1f} s")

    def watch_book(self) -> None:
        """Watch what pages are made from, in this book and in those it inherits."""
        loaded = check_book(self._book)
        parents = loaded.book.parents if loaded.book else ()
        for root in (self._book, *parents):
            for name in (CONFIG, TERMS, CALCULATORS, TEMPLATES):
                if (root / name).exists():
                    self.watch(str(root / name))

    def clear(self) -> None:
        """Take the built pages away."""
        shutil.rmtree(self._work, ignore_errors=True)

    def _next_folder(self) -> Path:
        self._count += 1
        folder = self._work / str(self._count)
        folder.mkdir()
        return folder

    def _inject_js_into_html(self, content: bytes, epoch: int) -> bytes:
        page: bytes = super()._inject_js_into_html(content, epoch)  # type: ignore[no-untyped-call]  # MkDocs leaves it open
        return self._with_bar(page)

    def _with_bar(self, page: bytes) -> bytes:
        if not self.problems:
            return page
        bar = (
            '<div role="alert" style="position:fixed;inset:auto 0 0 0;max-height:50vh;overflow:auto;z-index:99;'
            'padding:1em;background:#fff;color:#000;border-top:4px solid #a00"><p>The pages are the last good ones. '
            f'The book has problems:</p><pre style="white-space:pre-wrap">{html.escape(self.problems)}</pre></div>'
        )
        head, end, tail = page.rpartition(b"</body>")
        return head + bar.encode() + end + tail if end else page + bar.encode()


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
