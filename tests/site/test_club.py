"""A club's book in six lines builds the reference book and its own two files."""

from __future__ import annotations

from pathlib import Path

from mkdocs.config import load_config

from hangtag.book import Book
from hangtag.mkdocs_plugin.inherited import inherit
from hangtag.resources import reference_book
from tests.site.books import CLUB_CONFIG, loaded, write


def test_it_holds_the_reference_and_its_own_entry(reference: Book, club_site: Path) -> None:
    for entry in (*reference.entries, "larkmoor-blanket"):
        assert (club_site / f"terms/{entry}/index.html").is_file(), entry
    for calculator in reference.calculators:
        assert (club_site / f"calculators/{calculator}/index.html").is_file(), calculator
    for page in ("a-to-z", "sources", "about"):
        assert (club_site / page / "index.html").is_file(), page
    assert "Larkmoor Hill Club" in (club_site / "index.html").read_text(encoding="utf-8")


def test_an_addition_stands_on_the_inherited_page_with_its_author(club_site: Path) -> None:
    text = (club_site / "terms/fill-power/index.html").read_text(encoding="utf-8")
    assert "Larkmoor Hill Club" in text
    assert "2026-11-20" in text
    assert "The club's own bags are listed at the hut." in text or "The club’s own bags" in text
    assert "The hut is colder than the valley." in text


def test_it_looks_like_the_reference(club: Path, club_site: Path) -> None:
    config = load_config(str(club / "mkdocs.yml"))
    inherit(config, loaded(club))
    assert config.theme["font"] is False
    assert {"attr_list", "md_in_html", "sane_lists", "tables"} <= set(config.markdown_extensions)
    assert config.nav == load_config(str(reference_book() / "mkdocs.yml")).nav
    text = (club_site / "terms/larkmoor-blanket/index.html").read_text(encoding="utf-8")
    assert "styles/hangtag.css" in text
    assert 'class="ht-' in text


def test_what_a_club_says_itself_wins(tmp_path: Path) -> None:
    club = write(
        tmp_path / "club",
        {
            "mkdocs.yml": CLUB_CONFIG.replace("theme: material", "theme: {name: material, font: {text: Georgia}}")
            + "nav: [index.md]\n",
            "terms/.keep": "",
            "site_templates/overrides/partials/footer.html": "<footer>Larkmoor</footer>\n",
        },
    )
    config = load_config(str(club / "mkdocs.yml"))
    inherit(config, loaded(club))
    assert config.theme["font"] == {"text": "Georgia"}
    assert config.nav == ["index.md"]
    assert Path(config.theme.dirs[0]) == club / "site_templates/overrides"
