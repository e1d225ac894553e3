"""What a screen reader is given of one page of each kind: the accessibility tree as text, units in words.

The expected texts stand in tests/compliance/heard/. With --reset, pytest writes them anew: review them as a diff.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Site
from tests.browser.kinds import kinds

HEARD = Path(__file__).parents[1] / "compliance" / "heard"
KINDS = ("home", "entry", "calculator", "area", "index", "sources", "about", "corrections", "gear", "kind of gear")
# Addresses are no part of what is heard, and a test's port changes.
_ADDRESS = re.compile(r"^\s*- /url: .*\n", re.MULTILINE)


def compare(text: str, name: str, config: pytest.Config) -> None:
    """Hold a text against the reviewed one; with --reset write it in its place first."""
    text = _ADDRESS.sub("", text + "\n")
    expected = HEARD / f"{name}.txt"
    if config.getoption("--reset"):
        expected.parent.mkdir(exist_ok=True)
        expected.write_text(text, encoding="utf-8")
    assert text == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_heard_is_what_was_reviewed(page: Page, trial: Site, kind: str, pytestconfig: pytest.Config) -> None:
    page.goto(kinds(trial)[kind])
    if kind in {"entry", "calculator"}:
        page.wait_for_selector("hangtag-calculator[data-live]")
    compare(page.locator("article").aria_snapshot(), kind.replace(" ", "-"), pytestconfig)


def test_the_frame_of_every_page_is_heard_as_reviewed(page: Page, trial: Site, pytestconfig: pytest.Config) -> None:
    page.goto(kinds(trial)["area"])
    frame = [page.locator(part).aria_snapshot() for part in (".ht-header", ".ht-footer")]
    compare("\n".join(frame), "frame", pytestconfig)


def test_units_are_heard_in_words(page: Page, trial: Site) -> None:
    page.goto(kinds(trial)["entry"])
    page.wait_for_selector("hangtag-calculator[data-live]")
    text = page.locator("article").aria_snapshot()
    # answers, given values, stretches of a scale, the sentence below a curve; symbols are left to formulas, pictures
    values = re.findall(r"^ *- (?:status|definition|listitem)\b.*|^ *- paragraph: .*At .*", text, re.MULTILINE)
    assert any("millimetres" in line for line in values)
    assert [line for line in values if re.search(r"\d[ \u00a0](mm|kg|m|in)\b", line)] == []
