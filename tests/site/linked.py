"""The trial book as a site that knows its address: with earlier ids, changed numbers, and an address to write to.

Everything in it is invented.
"""

from __future__ import annotations

from pathlib import Path

from tests.site.books import make_trial

SITE = "https://larkmoor.example/gear/"
TELL = "mailto:gear@larkmoor.example"
CHANGES = """\
history:
  - {date: 2026-11-02, was: 30 mm, now: 25 mm, because: "a < b & the sticks were measured"}
  - {date: 2026-10, was: 1, now: 2, because: a pair is two}
was: [stick-mass]
"""


def make_linked(folder: Path, site_url: str | None = SITE, tell_us: str | None = TELL, more: str = "") -> Path:
    """The trial book with a `site_url`, `tell_us` and a version; `more` are further lines of mkdocs.yml."""
    make_trial(folder)
    config = folder / "mkdocs.yml"
    options = "".join(f", {name}: {value!r}" for name, value in (("tell_us", tell_us),) if value)
    text = config.read_text(encoding="utf-8").replace(
        "plugins: [hangtag]", f"plugins: [hangtag: {{version: 2026-11{options}}}]"
    )
    config.write_text(text + (f"site_url: {site_url}\n" if site_url else "") + more, encoding="utf-8")
    calculator = folder / "calculators/pole-mass.yml"
    calculator.write_text(calculator.read_text(encoding="utf-8") + CHANGES, encoding="utf-8")
    entry = folder / "terms/trail/pole-length.yml"
    change = "history: [{date: 2026-11-20, was: 900 mm, now: 1000 mm, because: longer sticks are sold now}]\n"
    reviewed = 'reviewed: "2026-11-21"\n'
    entry.write_text(entry.read_text(encoding="utf-8") + change + reviewed, encoding="utf-8")
    return folder
