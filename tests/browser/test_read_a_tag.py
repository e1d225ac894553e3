"""The page that reads a tag, as readers meet it: typed, from an address, by keyboard, from a disk, in hostile hands."""

from __future__ import annotations

from urllib.parse import quote_plus

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page

from hangtag.mkdocs_plugin import build_site
from tests.browser.conftest import Site, Sites
from tests.browser.support import until
from tests.browser.test_axe import check
from tests.site.books import loaded, make_trial

TENT = "Fly: 15D ripstop nylon, 1200 mm. Floor 20D, 1800 mm. Min 2 lb 4 oz. Zorbing mesh, kN loops"
READS = """\
reads:
  quantity: {unit: mm, also: [m], plausible: [500 mm, 2000 mm]}
  patterns: ["pole {q}"]
"""
BAGS = ("Down bag 850 fill power, 10D nylon, 900 g", "Down bag 830 fill power, 20D nylon, 2 lb 3 oz, DWR")
NARROWEST = 320
LEAST_TARGET = 44


@pytest.fixture(scope="module")
def book(sites: Sites) -> Site:
    """The reference book over http, with a strict policy."""
    return sites.get("reference", "http")


def opened(page: Page, site: Site, *texts: str) -> Locator:
    """The page with these tags in its address; gives the place of what was read."""
    fragment = "&".join(f"t={quote_plus(text)}" for text in texts)
    page.goto("about:blank")
    page.goto(site.page("read-a-tag") + (f"#{fragment}" if fragment else ""))
    page.locator(".ht-tags-form").wait_for(state="visible", timeout=5000)
    return page.locator("[data-told]")


def no_sideways(page: Page) -> bool:
    return bool(page.evaluate("() => document.documentElement.scrollWidth <= innerWidth"))


def test_from_an_address_every_part_is_explained(page: Page, book: Site) -> None:
    told = opened(page, book, TENT)
    assert told.locator("h2").all_text_contents() == [
        "Part by part",
        "Caution",
        "The tag itself",
        "Not understood",
        "Not on this tag",
        "Three questions for the shop",
    ]
    assert told.locator(".ht-told-parts h3").all_text_contents()[:2] == ["Fly", "Floor"]
    own = told.locator(".ht-told-own")
    assert own.locator("mark.ht-mark-read").first.inner_text().startswith("15D")
    assert "not understood" in (own.locator("mark.ht-mark-unread").first.text_content() or "")
    assert "caution" in (own.locator("mark.ht-mark-danger").first.text_content() or "")
    assert page.locator(".ht-tags-kind select option").first.text_content() == "told by its words: Tent"
    heard = page.locator("#tags [role=status]").first
    until(page, lambda: (heard.text_content() or "").startswith("7 parts"))


def test_a_calculator_opens_with_the_tags_own_numbers(page: Page, book: Site) -> None:
    told = opened(page, book, "Trail shoe, stack height 34/26 mm, 8 mm drop")
    told.locator(".ht-told-fill a").first.click()
    page.wait_for_selector("[data-calculator='shoe-drop'][data-live]")
    assert page.locator("[id='shoe-drop-heel_stack']").input_value() == "34"
    assert page.locator("[id='shoe-drop-forefoot_stack']").input_value() == "26"


def test_typing_reads_at_once_speaks_once_and_writes_the_address(page: Page, book: Site) -> None:
    opened(page, book)
    assert page.locator(".ht-tags-worked").is_visible(), "the sample stays until something is typed"
    page.evaluate(
        "() => { window.said = 0; new MutationObserver(() => { window.said += 1; })"
        ".observe(document.querySelector('#tags [role=status]'), { childList: true }); }"
    )
    box = page.locator("textarea")
    box.press_sequentially("tarp 20D nylon", delay=15)
    page.locator("[data-told] > section .ht-told-name", has_text="Denier").first.wait_for()
    assert page.url.endswith("/read-a-tag/"), "the address waits for rest"
    until(page, lambda: page.url.endswith("#t=tarp+20D+nylon"))
    assert page.evaluate("() => window.said") == 1
    page.locator(".ht-tags-kind select").select_option("tent")
    until(page, lambda: page.url.endswith("#t=tarp+20D+nylon&k=tent"))
    page.reload()
    page.locator(".ht-tags-form").wait_for(state="visible")
    assert page.locator(".ht-tags-kind select").input_value() == "tent"
    assert box.input_value() == "tarp 20D nylon"


def test_the_built_sample_is_what_the_browser_shows(page: Page, book: Site) -> None:
    told = opened(page, book)
    links = "els => els.map(e => e.outerHTML.replace(/href=\"[^\"]*\"/g, '')).join('')"
    built = told.locator(".ht-tags-worked > section").evaluate_all(links)
    page.locator("[data-sample]").first.click()
    page.locator("[data-told] > section").first.wait_for()
    assert told.locator("> section").evaluate_all(links) == built


def test_side_by_side_by_keyboard(page: Page, book: Site) -> None:
    page.set_viewport_size({"width": NARROWEST, "height": 700})
    opened(page, book, BAGS[0])
    page.locator("[data-do=add]").focus()
    page.keyboard.press("Enter")
    page.keyboard.insert_text(BAGS[1])  # the focus is in the new box
    table = page.locator("table.ht-sides")
    table.wait_for()
    words = table.inner_text()
    assert "No difference: the published tolerance" in words
    assert "Tag 2 states 10\u00a0D more than tag 1." in words
    assert "Only tag 2 states this." in words
    assert no_sideways(page)
    page.locator("[data-do=remove]").last.focus()
    page.keyboard.press("Enter")
    until(page, lambda: not table.count())
    assert page.evaluate("() => document.activeElement.localName") == "textarea"
    for _ in range(3):
        page.locator("[data-do=add]").click()
    assert page.locator("[data-do=add]").is_hidden(), "four are enough"


def test_copying_says_what_it_copied(page: Page, context: BrowserContext, book: Site) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    opened(page, book, *BAGS)
    page.locator("[data-copy] button").click()
    said = page.locator("[data-said]")
    said.wait_for()
    assert said.inner_text().startswith("Copied: the link to this page with 2 tags (Down bag 850")
    copied = page.evaluate("() => navigator.clipboard.readText()")
    assert copied == f"{book.page('read-a-tag')}#" + "&".join(f"t={quote_plus(text)}" for text in BAGS)


def test_a_tag_too_long_for_a_link_stays_in_the_box(page: Page, book: Site) -> None:
    opened(page, book)
    page.locator("textarea").fill("20D nylon, " * 1000)
    said = page.locator("[data-said]")
    said.wait_for()
    assert said.inner_text().startswith("Too long for a link")
    assert "#" not in page.url
    assert page.locator(".ht-mark-read").count() > 1000  # all 10,000 characters were read


@pytest.mark.parametrize(
    "text",
    [
        "<script>document.title='x'</script> <img src=x onerror=alert(1)> 20D",
        "\u202e20D nylon\u202c \u2067fly 1200 mm",
        "20D\0 nylon \ufeff 1200 mm",
        "%E0%A4%A 20D &k=nothing&t=",
        "9" * 500 + " mm HH",
    ],
    ids=["markup", "direction", "nul", "encoding", "digits"],
)
def test_hostile_text_is_text(page: Page, book: Site, text: str) -> None:
    told = opened(page, book, text)
    assert page.title() != "x"
    assert told.locator("script, img").count() == 0
    assert told.locator("section").count() > 0
    assert no_sideways(page)
    page.goto(book.page("read-a-tag") + "#t=%E0%A4%A+20D&k=__proto__")
    page.reload()
    page.locator("[data-told] > section .ht-told-name", has_text="Denier").first.wait_for()


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("texts", [(TENT,), BAGS], ids=["one", "two"])
def test_axe_and_targets(page: Page, book: Site, width: int, texts: tuple[str, ...]) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    opened(page, book, *texts)
    page.locator("[data-told] summary").first.click()
    check(page, "read a tag")
    sizes = page.locator("#tags :is(button, select, textarea, summary):visible").evaluate_all(
        "els => els.map(e => Math.round(e.getBoundingClientRect().height))"
    )
    assert min(sizes) >= LEAST_TARGET


def test_without_a_script_a_sample_is_explained(browser: Browser, book: Site) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(book.page("read-a-tag"))
    assert page.locator(".ht-tags-no-script").is_visible()
    assert page.locator(".ht-tags-form").is_hidden()
    assert page.locator(".ht-tags-worked .ht-told-name", has_text="Hydrostatic head").first.is_visible()
    context.close()


def test_it_is_loaded_on_this_page_alone(page: Page, book: Site) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(book.root)
    assert not [address for address in asked if "tags" in address]
    page.locator("header").get_by_role("link", name="Read a tag").click()
    page.locator(".ht-tags-form").wait_for(state="visible")
    assert [address.rsplit("/", 1)[1] for address in asked if "tags" in address] == ["tags.js", "tags-data.js"]


@pytest.fixture(scope="module")
def stick(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """A small book that reads tags, built for a disk."""
    root = make_trial(tmp_path_factory.mktemp("stick") / "book")
    entry = root / "terms/trail/pole-length.yml"
    entry.write_text(entry.read_text(encoding="utf-8") + READS, encoding="utf-8")
    folder = build_site(root, root.parent / "a stick", disk=True)
    return Site(loaded(root), folder.as_uri() + "/", folder, disk=True)


def test_from_a_disk(page: Page, stick: Site) -> None:
    site = stick
    told = opened(page, site, "pole 1.5 m")
    link = told.locator(".ht-told-name a").first
    name = link.inner_text()
    page.locator("textarea").fill("pole 1.6 m")
    until(page, lambda: page.url.endswith("#t=pole+1.6+m"))
    link.click()
    assert page.locator("h1").inner_text() == name


def test_on_paper_it_is_a_card(page: Page, book: Site) -> None:
    opened(page, book, TENT)
    page.emulate_media(media="print")
    assert page.locator(".ht-tags-form").is_hidden()
    assert page.locator(".ht-told-own").is_visible()
    assert page.locator(".ht-told-ask").is_visible()
