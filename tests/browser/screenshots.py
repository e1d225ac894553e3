"""Pictures of the pages for a person to look at: `python -m tests.browser.screenshots DIR`.

Home, an entry, a calculator with a mistake, the finder with results, a page of gear, a long list; each narrow and wide,
light and dark. Builds the reference book beside them in a folder that is thrown away. Judges nothing.
"""

from __future__ import annotations

import functools
import gzip
import http.server
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from playwright.sync_api import Page, sync_playwright

from hangtag.mkdocs_plugin import build_site
from hangtag.resources import reference_book
from tests import ensure_browser
from tests.browser.conftest import FLAGS
from tests.browser.kinds import open_finder, type_a_mistake

SCREENS = {360: 740, 1280: 800}
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
Act = Callable[[Page], object]


def _mistake(page: Page) -> None:
    page.wait_for_selector("hangtag-calculator[data-live]")
    type_a_mistake(page)


def _find(page: Page) -> None:
    open_finder(page, "1500")


def _nothing(_: Page) -> None:
    """The page as it comes."""


# name: address, what to do there, whether to show the page in full length
PICTURES: dict[str, tuple[str, Act, bool]] = {
    "home": ("", _nothing, True),
    "entry": ("terms/hydrostatic-head/", _nothing, True),
    "entry-with-drawing": ("terms/baffle-construction/", _nothing, True),
    "calculator-with-a-mistake": ("calculators/down-warmth/", _mistake, True),
    "finder-with-results": ("", _find, False),
    "gear": ("gear/tent/", _nothing, True),
    "a-to-z": ("a-to-z/", _nothing, False),
}


def take(folder: Path) -> Iterator[Path]:
    """Every picture, as it is written into `folder`."""
    browser_path = ensure_browser.find()
    if browser_path is None:
        sys.exit(ensure_browser.HELP)
    with served() as root, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(browser_path), args=FLAGS)
        for width, height in SCREENS.items():
            for scheme in SCHEMES:
                page = browser.new_page(viewport={"width": width, "height": height}, color_scheme=scheme)
                for name, (address, act, full) in PICTURES.items():
                    page.goto(root + address)
                    page.wait_for_load_state("networkidle")
                    act(page)
                    file = folder / f"{name}-{width}-{scheme}.png"
                    page.screenshot(path=file, full_page=full)
                    yield file
                page.close()
        browser.close()


@contextmanager
def served() -> Iterator[str]:
    """The address of the reference book's site, built for this."""
    with tempfile.TemporaryDirectory() as folder:
        site = build_site(reference_book(), Path(folder) / "site")
        handler = functools.partial(_Quiet, directory=str(site))
        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()
        server.server_close()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Serves files packed, as every host does."""

    def do_GET(self) -> None:
        """Send one file, and say that it is packed."""
        path = Path(self.translate_path(self.path))
        file = path / "index.html" if path.is_dir() else path
        if not file.is_file():
            self.send_error(404)
            return
        packed = gzip.compress(file.read_bytes(), 6)
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(file)))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(packed)))
        self.end_headers()
        self.wfile.write(packed)

    def log_message(self, *_: object) -> None:
        """Leave the output to the names of the pictures."""


def main() -> None:
    """Write the pictures into the folder that the command names."""
    if len(sys.argv) != 2:
        sys.exit("Say where the pictures go: python -m tests.browser.screenshots DIR")
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for file in take(folder):
        print(file)


if __name__ == "__main__":
    main()
