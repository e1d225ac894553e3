"""A browser's translator at work: every text is wrapped and changed, in the page and whenever a script writes one.

Numbers, units and ids are kept from it, calculators go on answering, and the digits of a number stay one text.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Site
from tests.browser.kinds import kinds

# As such tools do: two elements around each text, whatever stands in `translate="no"` left alone, new texts too.
TRANSLATE = """() => {
  const skipped = new Set(["SCRIPT", "STYLE", "TEMPLATE", "NOSCRIPT", "TEXTAREA"]);
  const kept = (node) => { const near = node.parentElement && node.parentElement.closest("[translate]");
    return near ? near.getAttribute("translate") === "no" : false; };
  const wrap = (text) => {
    if (!text.data.trim() || !text.parentElement || skipped.has(text.parentElement.tagName)) return;
    if (text.parentElement.localName === "font" || kept(text)) return;
    if (text.parentElement.namespaceURI.endsWith("svg") || text.parentElement.localName === "option") {
      text.data = "«" + text.data + "»"; return; }
    const outer = document.createElement("font"); const inner = document.createElement("font");
    inner.textContent = text.data.replace(/\\p{L}+/gu, (word) => "«" + word + "»");
    outer.append(inner); text.replaceWith(outer); };
  const all = (root) => { const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT); const found = [];
    while (walker.nextNode()) found.push(walker.currentNode); found.forEach(wrap); };
  const watch = new MutationObserver((changes) => { watch.disconnect();
    changes.forEach((change) => change.addedNodes.forEach((node) => node.nodeType === 3 ? wrap(node) : all(node)));
    go(); });
  const go = () => watch.observe(document.body, { childList: true, subtree: true });
  all(document.body); go(); }"""
KEPT = """() => [...document.querySelectorAll(
    "article :is(.ht-q, [data-number], [data-symbol], .ht-tick-number, .ht-mark-value, mn)"
  )].map((one) => [one.className.baseVal ?? one.className, one.textContent])"""


@pytest.fixture
def translated(page: Page, trial: Site) -> Page:
    """The page of an entry, its scripts at work, translated."""
    page.goto(kinds(trial)["entry"])
    page.wait_for_selector("hangtag-calculator[data-live]")
    page.evaluate(TRANSLATE)
    assert page.locator("font font").count() > 50
    return page


def test_numbers_and_units_are_kept(page: Page, trial: Site) -> None:
    page.goto(kinds(trial)["entry"])
    page.wait_for_selector("hangtag-calculator[data-live]")
    before = page.evaluate(KEPT)
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map((one) => one.id)")
    page.evaluate(TRANSLATE)
    assert len(before) > 20
    assert page.evaluate(KEPT) == before
    assert page.evaluate("[...document.querySelectorAll('[id]')].map((one) => one.id)") == ids


def test_calculators_go_on_answering(translated: Page) -> None:
    field = translated.locator("#pole-mass-length")
    answer = translated.locator("hangtag-calculator[data-calculator='pole-mass'] output [data-number]").first
    first = answer.text_content()
    field.fill("1500")
    expect(answer).not_to_have_text(first or "")
    second = answer.text_content() or ""
    assert re.fullmatch(r"[\d.]+", second)
    field.fill("much")
    field.blur()
    error = translated.locator("#pole-mass-length-error")
    expect(error).to_be_visible()
    assert "«" in (error.text_content() or "")
    field.fill("1500")
    expect(error).to_be_hidden()
    assert answer.text_content() == second


def test_the_readers_number_goes_on_moving_the_scale(translated: Page) -> None:
    translated.locator("[data-own] input").fill("300")
    expect(translated.locator(".ht-mark-value")).to_have_text(re.compile(r"^300\smm$"))
    expect(translated.locator(".ht-bands [data-current]")).to_have_attribute("data-band", "0")
    expect(translated.locator(".ht-reading-says")).to_contain_text("«short» «sticks»")


def test_digits_are_grouped_by_style_alone(page: Page, trial: Site) -> None:
    page.goto(kinds(trial)["entry"])
    page.wait_for_selector("hangtag-calculator[data-live]")
    page.locator("[data-own] input").fill("1234567")
    value = page.locator(".ht-reading-value")
    expect(value).to_have_text(re.compile(r"^1234567\smm$"))
    assert value.locator(".ht-g").count() == 2
    gap = value.locator(".ht-g").first.evaluate("one => parseFloat(getComputedStyle(one).marginLeft)")
    assert gap > 0
