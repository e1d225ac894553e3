"""What a built site holds: every page, no source file, addresses that lead somewhere, nothing inline."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from hangtag.site import site_files
from tests.site.books import loaded


class Addresses(HTMLParser):
    """The addresses and ids of one page, and whatever a strict policy would stop."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()
        self.inline: list[str] = []
        self._script = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        self.links += [value for name in ("href", "src") if (value := values.get(name)) and tag != "base"]
        if identity := values.get("id"):
            assert identity not in self.ids, f"{identity} stands twice"
            self.ids.add(identity)
        self._script = tag == "script" and "src" not in values
        self.inline += [f"{tag} {name}" for name in values if name == "style" or name.startswith("on")]
        self.inline += [tag] if tag == "style" else []

    def handle_data(self, data: str) -> None:
        if self._script and data.strip():
            self.inline.append("script")

    def handle_endtag(self, tag: str) -> None:  # noqa: ARG002  HTMLParser names it
        self._script = False


@pytest.fixture(params=["trial_site", "trial_disk", "club_site", "trial_plain", "trial_plain_disk"])
def site(request: pytest.FixtureRequest) -> Path:
    """Each site of this room."""
    folder: Path = request.getfixturevalue(request.param)
    return folder


def pages(site: Path) -> dict[Path, Addresses]:
    return {file: Addresses(file.read_text(encoding="utf-8")) for file in sorted(site.rglob("*.html"))}


def test_every_link_leads_to_a_file_and_every_fragment_to_an_element(site: Path) -> None:
    found = pages(site)
    disk = (site / "a-to-z.html").is_file()
    for page, addresses in found.items():
        if page.name == "404.html":
            continue  # stands at any address, so its links are absolute
        for link in addresses.links:
            parts = urlsplit(link)
            if parts.scheme in {"https", "http", "mailto"}:
                continue
            assert not parts.path.startswith("/"), (page, link)
            target = page if not parts.path else (page.parent / unquote(parts.path)).resolve()
            if parts.path.endswith("/") or target.is_dir():
                assert not disk, f"{page} links to a folder, which opens as a listing: {link}"
                target /= "index.html"
            assert target.is_file(), (page, link)
            if parts.fragment and target.suffix == ".html":
                assert unquote(parts.fragment) in found[target].ids, (page, link)


def test_nothing_is_inline_and_no_address_is_left_open(site: Path) -> None:
    for page, addresses in pages(site).items():
        assert addresses.inline == [], page
        assert "hangtag:" not in "".join(addresses.links), page
        assert "[[" not in re.sub(r"<code>.*?</code>", "", page.read_text(encoding="utf-8")), page


def test_the_yaml_of_a_book_stays_out_of_its_site(site: Path) -> None:
    assert not [file for file in site.rglob("*") if file.suffix in {".yml", ".yaml", ".j2", ".py"}]


def test_dead_weight_of_the_theme_stays_out(site: Path) -> None:
    assert not list(site.rglob("*.map"))
    assert not list(site.rglob("lunr*"))
    ours = {"api", "calculators", "drawings", "gear", "terms"}  # these grow with the book
    rest = (file for file in site.rglob("*") if file.relative_to(site).parts[0] not in ours)
    assert sum(file.stat().st_size for file in rest) < 1_500_000


def test_every_entry_and_calculator_has_its_permanent_address(trial: Path, trial_site: Path) -> None:
    book = loaded(trial)
    for entry in book.entries:
        assert (trial_site / f"terms/{entry}/index.html").is_file()
        assert (trial_site / f"api/v1/terms/{entry}.json").is_file()
    for calculator in book.calculators:
        assert (trial_site / f"calculators/{calculator}/index.html").is_file()
        assert (trial_site / f"calculators/{calculator}/formula.js").is_file()
        assert (trial_site / f"api/v1/calculators/{calculator}.json").is_file()
    for area in book.areas:
        assert (trial_site / f"areas/{area}/index.html").is_file()
    for path in ("index.html", "a-to-z/index.html", "sources/index.html", "schema/term.json", "scripts/hangtag.js"):
        assert (trial_site / path).is_file()


def test_an_old_address_has_a_plain_link_and_is_not_for_search_engines(trial: Path) -> None:
    book = loaded(trial)
    moved = {
        (disk, site_url): next(
            file for file in site_files(book, disk=disk, site_url=site_url) if "stick-length" in file.path
        )
        for disk in (False, True)
        for site_url in (None, "https://larkmoor.example/gear/")
    }
    assert {disk: moved[disk, None].path for disk in (False, True)} == {
        False: "terms/stick-length/index.html",
        True: "terms/stick-length.html",
    }
    for (disk, site_url), file in moved.items():
        text = str(file.content)
        to = "pole-length.html" if disk else "../pole-length/"
        assert f'<a href="{to}">Pole length</a>' in text
        assert '<meta name="robots" content="noindex">' in text
        canonical = "https://larkmoor.example/gear/terms/pole-length/" if site_url else to
        assert f'<link rel="canonical" href="{canonical}">' in text


def test_no_path_stands_twice_and_the_order_is_fixed(trial: Path) -> None:
    book = loaded(trial)
    paths = [file.path for file in site_files(book)]
    assert len(paths) == len(set(paths))
    assert paths == [file.path for file in site_files(loaded(trial))]


def test_strings_in_scripts_cannot_end_them(trial_site: Path) -> None:
    for file in (trial_site / "scripts/hangtag.js", *trial_site.glob("calculators/*/formula.js")):
        text = file.read_text(encoding="utf-8")
        assert "\u2028" not in text
        assert "\u2029" not in text
        assert "</" not in text
        assert "<!--" not in text
