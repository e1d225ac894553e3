"""How soon a page is there on a slow telephone: `python -m tests.bench.paint [terms/denier/ ...]`.

150 ms round trip, 1.6 Mbit/s, the processor slowed four times, as the mobile profile of Lighthouse has it. Prints the
largest contentful paint, the blocked time and the shifts of layout, the middle of three views each. Judges nothing.
"""

from __future__ import annotations

import statistics
import sys

from playwright.sync_api import Browser, sync_playwright

from tests import ensure_browser
from tests.browser.conftest import FLAGS
from tests.browser.screenshots import served

TURNS = 3
PAGES = ("", "terms/hydrostatic-head/", "terms/base-weight/", "calculators/water-column/")
NETWORK = {"offline": False, "latency": 150, "downloadThroughput": 1_600_000 / 8, "uploadThroughput": 750_000 / 8}
SLOWER = 4
SETTLED = 1_500  # milliseconds after the last request
WATCH = """window.seen = { lcp: 0, cls: 0, tbt: 0 };
  const watch = (type, take) => new PerformanceObserver((list) => list.getEntries().forEach(take))
    .observe({ type, buffered: true });
  watch("largest-contentful-paint", (one) => { seen.lcp = one.startTime; });
  watch("layout-shift", (one) => { if (!one.hadRecentInput) seen.cls += one.value; });
  watch("longtask", (one) => { seen.tbt += Math.max(0, one.duration - 50); });"""


def view(browser: Browser, address: str) -> dict[str, float]:
    """One first view with an empty cache: `lcp` and `tbt` in milliseconds, `cls` as a share of the screen."""
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", NETWORK)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.add_init_script(WATCH)
    page.goto(address)
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(SETTLED)
    seen: dict[str, float] = page.evaluate("window.seen")
    context.close()
    return seen


def main() -> None:
    """Print a line a page."""
    path = ensure_browser.find()
    if path is None:
        sys.exit(ensure_browser.HELP)
    with served() as root, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(path), args=FLAGS)
        print(f"{'page':34}{'LCP, ms':>9}{'TBT, ms':>9}{'CLS':>9}")
        for address in sys.argv[1:] or PAGES:
            views = [view(browser, root + address) for _ in range(TURNS)]
            middle = {name: statistics.median(one[name] for one in views) for name in ("lcp", "tbt", "cls")}
            print(f"{address or 'home':34}{middle['lcp']:9.0f}{middle['tbt']:9.0f}{middle['cls']:9.4f}")
        browser.close()


if __name__ == "__main__":
    main()
