"""The parts of a drawing lead to pages that are there, for the web and from disk."""

from __future__ import annotations

import re
from pathlib import Path

import pytest


@pytest.mark.parametrize("visit", ["web", "disk"])
def test_every_link_of_a_drawing_is_alive(trial_site: Path, trial_disk: Path, visit: str) -> None:
    page = trial_site / "gear/stick/index.html" if visit == "web" else trial_disk / "gear/stick.html"
    text = page.read_text(encoding="utf-8")
    assert "hangtag:" not in text
    figure = text[text.index('<figure class="ht-drawing ht-gear-drawing">') : text.index("</figure>")]
    links = re.findall(r'<a [^>]*href="([^"]+)"', figure)
    assert len(links) == 2 * 3  # shapes, words and the list
    for link in links:
        target = (page.parent / link).resolve()
        assert (target / "index.html").is_file() if visit == "web" else target.is_file(), link


@pytest.mark.parametrize("visit", ["web", "disk"])
def test_the_pictures_lead_to_the_kinds(trial_site: Path, trial_disk: Path, visit: str) -> None:
    folder = trial_site if visit == "web" else trial_disk
    for page in (folder / "index.html", folder / "gear/index.html"):
        text = page.read_text(encoding="utf-8")
        links = re.findall(r'<a href="([^"]+)">', text[text.index('class="ht-gear-grid"') :].partition("</ul>")[0])
        assert len(links) == 2
        for link in links:
            target = (page.parent / link).resolve()
            assert (target / "index.html").is_file() if visit == "web" else target.is_file(), link
