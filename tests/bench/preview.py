"""How soon a saved edit is served by the live preview, beside a whole build: `python -m tests.bench.preview [TURNS]`.

Copies the reference book, starts `hangtag serve` as authors do, edits one entry and one calculator and asks for the
page until it holds the edit. The whole build is made in the same minute on the same machine, so that the ratio means
something on a busy one. Also prints the preview's own time on the processor, which a busy machine changes little.
Judges nothing.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

from hangtag.resources import CALCULATORS, CONFIG, TEMPLATES, TERMS, reference_book

ADDRESS = "127.0.0.1:8761"
TURNS = 5
EDITS = (  # a file, the words that are edited, the page that shows them
    ("terms/*/hydrostatic-head.yml", "How tall a column", "terms/hydrostatic-head/"),
    ("calculators/water-column.yml", "How hard does", "calculators/water-column/"),
)
PATIENCE = 300  # seconds
_TICKS = os.sysconf("SC_CLK_TCK")


def page(path: str) -> str:
    """A page of the preview; empty where there is none."""
    try:
        with urlopen(f"http://{ADDRESS}/{path}") as answer:
            return str(answer.read().decode())
    except URLError:
        return ""


def processor_time(process: int) -> float:
    """Seconds a process has used of the processor so far (Linux)."""
    fields = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / _TICKS


def wait_for(words: str, path: str) -> float:
    """Seconds until a page holds some words. Raises TimeoutError."""
    started = time.perf_counter()
    while words not in (text := page(path)) or 'role="alert"' in text:  # a bar would show the words too
        if time.perf_counter() - started > PATIENCE:
            raise TimeoutError(path)
        time.sleep(0.01)
    return time.perf_counter() - started


def main() -> None:
    """Print a line for each kind of edit, and one for the whole build."""
    turns = int(sys.argv[1]) if len(sys.argv) > 1 else TURNS
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "book"
        book.mkdir()
        for name in (TERMS, CALCULATORS, TEMPLATES):
            shutil.copytree(reference_book() / name, book / name)
        shutil.copy(reference_book() / CONFIG, book / CONFIG)
        started = time.perf_counter()
        whole = [sys.executable, "-m", "hangtag", "build", str(book), "--out", str(Path(folder) / "site")]
        subprocess.run(whole, check=True, capture_output=True)
        built = time.perf_counter() - started
        serve = [sys.executable, "-m", "hangtag", "serve", str(book), "--address", ADDRESS]
        with subprocess.Popen(serve, stdout=subprocess.DEVNULL) as preview:
            try:
                wait_for("</html>", "")
                for pattern, words, path in EDITS:
                    _measure(preview.pid, next(book.glob(pattern)), words, path, turns, built)
            finally:
                preview.terminate()
    print(f"a whole build, checked: {built:.2f} s (load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors)")


def _measure(process: int, file: Path, words: str, path: str, turns: int, built: float) -> None:  # noqa: PLR0913
    text = file.read_text(encoding="utf-8")
    times, used = [], []
    for turn in range(turns):
        time.sleep(built)  # the pages that mention the edit are done
        new = f"Turn {turn} {words}"
        before = processor_time(process)
        file.write_text(text.replace(words, new), encoding="utf-8")
        times.append(wait_for(new, path))
        used.append(processor_time(process) - before)
    middle = statistics.median(times)
    print(
        f"{path}: saved to served {middle:.2f} s ({min(times):.2f} to {max(times):.2f}), "
        f"{statistics.median(used):.2f} s of it computing; a whole build takes {built / middle:.0f} times as long"
    )


if __name__ == "__main__":
    main()
