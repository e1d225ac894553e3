"""How soon the finder answers a slow phone, and what it costs: `python -m tests.bench.finder`.

A page on a line of 150 ms and 1.6 Mbit/s, with a processor slowed four times: the time from the first key to the first
result with nothing loaded yet, then that of later keys; for the reference book and for grown ones. Prints, judges
nothing: a shared machine may be slow at any moment.
"""

from __future__ import annotations

import functools
import gzip
import http.server
import statistics
import tempfile
import threading
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from hangtag.browser import finder_data, finder_script
from hangtag.mkdocs_plugin import build_site
from hangtag.resources import reference_book
from tests import ensure_browser
from tests.finder.books import grown
from tests.site.books import loaded

ENTRIES = (150, 1_500)
TURNS = 3
LINE = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 200_000}  # bytes a second
SLOWED = 4
LATER = ("cold from below", "hidrostatic heda", "20D/34F", "xqzzqx water")
# Times one search as a key starts it, until the list stands in the page.
_SEARCH = """(typed) => {
  const input = document.querySelector("#ht-find-header");
  input.value = typed;
  const start = performance.now();
  input.dispatchEvent(new Event("input", { bubbles: true }));
  document.querySelector("[role=listbox]").getBoundingClientRect();
  return performance.now() - start;
}"""
_FIRST = """() => new Promise((done) => {
  const input = document.querySelector("#ht-find-header");
  const start = performance.now();
  new MutationObserver(() => done(performance.now() - start)).observe(
    document.querySelector("[role=listbox]"), { childList: true });
  input.value = "d";
  input.dispatchEvent(new Event("input", { bubbles: true }));
})"""


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Answers packed, as hosts do, and keeps quiet."""

    def do_GET(self) -> None:
        """Send scripts packed; all else as it is."""
        if not self.path.endswith(".js"):
            super().do_GET()
            return
        packed = gzip.compress(Path(self.translate_path(self.path)).read_bytes(), 9)
        self.send_response(http.HTTPStatus.OK)
        self.send_header("Content-Type", "text/javascript; charset=utf-8")
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(packed)))
        self.end_headers()
        self.wfile.write(packed)

    def log_message(self, *_: object) -> None:
        """Keep the output free of requests."""


def slow_page(browser: Browser) -> Page:
    """A page on a slow line and a slow processor, with nothing kept from before."""
    page = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", LINE)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    return page


def main() -> None:
    """Print bytes and times."""
    book = loaded(reference_book())
    books = {"reference": book} | {f"{count} entries": grown(book, count) for count in ENTRIES}
    print(f"code {len(gzip.compress(finder_script(book).encode(), 9))} bytes, packed")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = build_site(book.root, Path(folder) / "site", False)
        handler = functools.partial(_Quiet, directory=str(site))
        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_address[1]}/terms/denier/"
        browser = playwright.chromium.launch(executable_path=str(ensure_browser.find()), args=["--no-sandbox"])
        for name, its in books.items():
            data = finder_data(its, disk=False)
            (site / "scripts" / "finder-data.js").write_text(data, encoding="utf-8")
            first, later = [], []
            for _ in range(TURNS):
                page = slow_page(browser)
                page.goto(address)
                first.append(page.evaluate(_FIRST))
                later += [page.evaluate(_SEARCH, typed) for text in LATER for typed in (text[:3], text[:6], text)]
                page.context.close()
            slowest = sorted(later)[int(len(later) * 0.95)]
            print(
                f"{name}: data {len(gzip.compress(data.encode(), 9))} bytes packed; "
                f"first result {statistics.median(first):.0f} ms, later keys p95 {slowest:.0f} ms"
            )
        browser.close()
        server.shutdown()


if __name__ == "__main__":
    main()
