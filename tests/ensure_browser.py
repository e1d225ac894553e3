"""Finds a Chromium for the browser tests, or installs one: `python -m tests.ensure_browser` prints where it is.

In this order: the one named in HANGTAG_BROWSER, one on the path, the one that Playwright keeps; then, to install,
Debian's package (as root, where apt-get is) and Playwright's own download. Must never end well without a browser.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

NAMED = "HANGTAG_BROWSER"
NAMES = ("chromium", "chromium-browser")
HELP = f"""No Chromium was found, and none could be installed. One of these helps:
  - install the package chromium of this system (Debian: apt-get install chromium),
  - run: {sys.executable} -m playwright install --with-deps chromium
  - name a browser that is there: {NAMED}=/path/to/chromium"""


def find() -> Path | None:
    """The first Chromium that runs, or None."""
    return next((path for path in _candidates() if _runs(path)), None)


def install() -> Path | None:
    """Install a Chromium by the first way that works here. None where no way does."""
    for way in (_from_debian, _from_playwright):
        if way() and (path := find()):
            return path
    return None


def _candidates() -> Iterator[Path]:
    named = os.environ.get(NAMED)
    if named:
        yield Path(named)
        return  # who names a browser wants that one
    yield from (Path(found) for name in NAMES if (found := shutil.which(name)))
    own = _kept_by_playwright()
    if own is not None:
        yield own


def _kept_by_playwright() -> Path | None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        path = Path(playwright.chromium.executable_path)
    return path if path.exists() else None


def _runs(path: Path) -> bool:
    # a packaged stub may be there without the browser, and a download without its libraries
    try:
        ran = subprocess.run([path, "--version"], capture_output=True, timeout=60, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return False
    return ran.returncode == 0


def _from_debian() -> bool:
    tool = shutil.which("apt-get")
    if tool is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return False
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    _do([tool, "update"], quiet)
    return _do([tool, "install", "--yes", "--no-install-recommends", "chromium"], quiet)


def _from_playwright() -> bool:
    return _do([sys.executable, "-m", "playwright", "install", "chromium"], dict(os.environ))


def _do(command: list[str], environment: dict[str, str]) -> bool:
    print("+", " ".join(command), file=sys.stderr, flush=True)
    try:
        return subprocess.run(command, env=environment, stdin=subprocess.DEVNULL, check=False).returncode == 0
    except OSError as error:
        print(error, file=sys.stderr)
        return False


def main(finds: Callable[[], Path | None] = find, installs: Callable[[], Path | None] = install) -> int:
    """Print where the browser is; 1 and the next steps where there is none."""
    path = finds() or installs()
    if path is None:
        print(HELP, file=sys.stderr)
        return 1
    print(f"Browser: {path}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
