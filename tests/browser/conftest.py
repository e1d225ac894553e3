"""One browser, the sites it visits, and a page that fails on any error or any request to another host.

Both books are built once: the reference book, and the trial book that has every kind of field.
"""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, sync_playwright

from hangtag.book import Book
from hangtag.mkdocs_plugin import build_site
from hangtag.resources import reference_book
from tests import ensure_browser
from tests.site.books import loaded, make_shared, make_trial

SECURITY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-src 'none'"
)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
BOOKS = ("trial", "reference")
VISITS = ("http", "file")


@dataclass(frozen=True)
class Site:
    """One built site at an address. `disk` says that pages end in .html."""

    book: Book
    root: str
    folder: Path
    disk: bool

    def page(self, path: str) -> str:
        """The address of a page, such as `calculators/down-loft`."""
        if not self.disk:
            return f"{self.root}{path}/"
        alone = self.folder / f"{path}.html"
        return f"{self.root}{path}.html" if alone.is_file() else f"{self.root}{path}/index.html"


class _Handler(http.server.SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", SECURITY)
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Keep the tests' output free of requests."""


class Sites:
    """Builds each site when a test first asks for it."""

    def __init__(self, folder: Path, address: str) -> None:
        self._folder = folder
        self._address = address

    @functools.cache  # noqa: B019  lives as long as the session
    def root(self, book: str) -> Path:
        """The folder of a book."""
        make = {"trial": make_trial, "shared": make_shared}.get(book)
        return make(self._folder / f"{book}-book") if make else reference_book()

    @functools.cache  # noqa: B019  as above
    def get(self, book: str, visit: str) -> Site:
        """A book's site over http below a sub-path with a strict policy, or from file://."""
        disk = visit == "file"
        folder = build_site(self.root(book), self._folder / f"{book}-{visit}", disk)
        address = folder.as_uri() + "/" if disk else f"{self._address}/{folder.name}/"
        return Site(loaded(self.root(book)), address, folder, disk)


@pytest.fixture(scope="session")
def sites(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Sites]:
    """Every book by visit."""
    folder = tmp_path_factory.mktemp("sites")
    handler = functools.partial(_Handler, directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield Sites(folder, f"http://127.0.0.1:{server.server_address[1]}")
    server.shutdown()
    server.server_close()


@pytest.fixture(params=[(book, visit) for book in BOOKS for visit in VISITS], ids="-".join)
def site(request: pytest.FixtureRequest, sites: Sites) -> Site:
    """Each book in each way to visit it."""
    return sites.get(*request.param)


@pytest.fixture(params=BOOKS)
def web(request: pytest.FixtureRequest, sites: Sites) -> Site:
    """Each book over http."""
    return sites.get(request.param, "http")


@pytest.fixture
def trial(sites: Sites) -> Site:
    """The trial book over http."""
    return sites.get("trial", "http")


@pytest.fixture
def shared_site(sites: Sites) -> Site:
    """The book of the shared cases over http."""
    return sites.get("shared", "http")


@pytest.fixture(params=VISITS)
def sites_of_trial(request: pytest.FixtureRequest, sites: Sites) -> Site:
    """The trial book in each way to visit it."""
    return sites.get("trial", request.param)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium. Without one the tests fail and say what to do next."""
    path = ensure_browser.find()
    if path is None:
        pytest.fail(ensure_browser.HELP)
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=str(path), args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A fresh profile at phone width."""
    context = browser.new_context(viewport={"width": 360, "height": 740})
    yield context
    context.close()


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """A page that must neither report an error nor ask another host."""
    page = context.new_page()
    heard: list[str] = []
    page.on("console", lambda message: heard.append(message.text) if message.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("requestfailed", lambda request: heard.append(f"failed: {request.url}") if _counts(request) else None)
    page.on("request", lambda request: heard.append(f"asked: {request.url}") if not _is_ours(request.url) else None)
    yield page
    assert heard == []


def _counts(request: Request) -> bool:
    return request.failure != "net::ERR_ABORTED"  # leaving a page early is no fault of it


def _is_ours(address: str) -> bool:
    return address.startswith(("http://127.0.0.1:", "file://", "data:"))
