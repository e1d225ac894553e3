"""The pages of a small book: which there are, what stands on them and in which order, and that any text is safe."""

from __future__ import annotations

import html
import posixpath
import re
from pathlib import Path

import pytest
import yaml
from markdown import Markdown

from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.pages import Page, hand_written, pages
from hangtag.pages.uses import uses
from hangtag.resources import reference_book
from tests.site.books import loaded, make_trial, write

EXTENSIONS = ["attr_list", "def_list", "md_in_html", "sane_lists", "tables", "toc"]
HOSTILE = "R_IP <b>*x*</b> | [a](b) `c` {: .d }"


def block(_: Book, calculator: Calculator, __: str, heading: str) -> str:
    """A stand-in for a calculator's block: only its place on the page matters here."""
    return f'<div class="ht-calc" id="block-{calculator.id}-{heading or "none"}">\n<p>fields</p>\n</div>\n'


def made(root: Path) -> dict[str, Page]:
    return {page.path: page for page in pages(loaded(root), block)}


def rendered(page: Page) -> str:
    """The page as MkDocs would make it, its front matter aside."""
    return Markdown(extensions=EXTENSIONS).convert(page.markdown.split("---\n", 2)[2])


def meta(page: Page) -> dict[str, str]:
    found: dict[str, str] = yaml.safe_load(page.markdown.split("---\n", 2)[1])
    return found


def headings(page: Page) -> list[str]:
    return re.findall(r'<h2[^>]* id="([^"]+)"', rendered(page))


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_trial(tmp_path_factory.mktemp("pages") / "book")


@pytest.fixture(scope="module")
def trial(root: Path) -> dict[str, Page]:
    return made(root)


@pytest.fixture
def full(tmp_path: Path) -> Page:
    """A page of an entry that says everything an entry can say, in hostile words."""
    book = make_trial(tmp_path / "book")
    text = HOSTILE.replace("`", "").replace("{", "").replace("}", "")
    write(
        book,
        {
            "terms/trail/pole-tip.yml": f"""\
name: '{HOSTILE}'
also: ['tip {HOSTILE}']
in_short: 'The end of it, {HOSTILE}, see [[pole-wood|the *wood*]].'
say: '{HOSTILE}'
text: |
  A *tip* of 12000 mm, see [[pole-wood]]. {text}
reads:
  quantity: {{unit: mm, also: [in], plausible: [2 mm, 20000 mm]}}
  patterns: ["tip {{q}}", "{{k}} tip", "rubber tip"]
  near: [pole]
  kinds: [pole]
scale:
  unit: mm
  from: 0
  to: 20000
  higher_is: '{HOSTILE}'
  bands:
    - {{up_to: 10 mm, says: '{HOSTILE}', basis: published, source: pole-rule, at: '{HOSTILE}'}}
    - {{below: 2 m, says: middling, basis: derived, working: '{HOSTILE}'}}
    - {{says: long, basis: from memory}}
  spread: {{relative: 5 %, basis: reported, source: pole-rule, of: pole-rule}}
needs_time: '{HOSTILE}'
measured_by: [{{source: pole-rule, how: '{HOSTILE}'}}]
ask: ['{HOSTILE}?']
watch_out: |
  {text}
caution: |
  {text}
calculators: [pole-mass]
see: [pole-wood]
reviewed: 2026-11-20
history: [{{date: 2026-11-20, was: '{HOSTILE}', now: b, because: c}}]
""",
        },
    )
    return made(book)["terms/pole-tip.md"]


def test_every_kind_of_page_is_there(trial: dict[str, Page]) -> None:
    assert list(trial) == [
        "index.md",
        "areas/trail.md",
        "gear/index.md",
        "gear/pole.md",
        "gear/stick.md",
        "a-to-z.md",
        "terms/pole-length.md",
        "terms/pole-wood.md",
        "calculators/pole-days/index.md",
        "calculators/pole-flex/index.md",
        "calculators/pole-kit/index.md",
        "calculators/pole-mass/index.md",
        "calculators/pole-sway/index.md",
        "sources.md",
        "corrections.md",
    ]


def test_front_matter_says_title_and_description(trial: dict[str, Page]) -> None:
    for page in trial.values():
        assert meta(page)["title"] == page.title
        assert meta(page)["description"] == page.description
        assert 50 <= len(page.description) <= 160, page.path


def test_an_entry_has_its_parts_in_order(full: Page) -> None:
    assert headings(full) == [
        "scale",
        "on-a-tag",
        "meaning",
        "calculators",
        "examples",
        "ask",
        "misleads",
        "caution",
        "measured",
        "see-also",
        "sources",
        "history",
    ]


def test_what_an_entry_does_not_say_has_no_heading(trial: dict[str, Page]) -> None:
    assert headings(trial["terms/pole-wood.md"]) == ["meaning"]


def test_an_author_cannot_break_a_page(full: Page) -> None:
    page = rendered(full)
    article = re.sub(r"<code>.*?</code>", "", page)
    assert "<b>" not in article
    assert 'href="b"' not in page.split('id="meaning"')[0]  # before the first Markdown text
    assert 'class="d"' not in page
    shown = html.unescape(re.sub(r"<[^>]*>", "", page))
    assert shown.count(HOSTILE) >= 12


def test_numbers_are_kept_from_translation_and_whole(full: Page) -> None:
    page = rendered(full)
    assert 'A <em>tip</em> of <span class="ht-q" translate="no">12<span class="ht-g">000</span> mm</span>' in page
    assert 'tip 10<span class="ht-g">000</span> mm</span></li>' in page.replace("\N{NO-BREAK SPACE}", " ")
    assert '<li><span translate="no">10k tip</span></li>' in page
    assert "rubber tip" in page


def test_limits_say_which_end_belongs_to_a_band(full: Page) -> None:
    shown = re.sub(r'<span class="ht-heard">.*?</span>|<[^>]*>', "", rendered(full))
    assert "up to 10 mm" in shown
    assert "over 10 mm to under 2000 mm (2 m)" in shown
    assert "2000 mm (2 m) and more" in shown


def test_the_start_value_is_marked(trial: dict[str, Page]) -> None:
    page = rendered(trial["terms/pole-length.md"])
    assert 'data-scale="pole-length" data-from="0.0" data-to="2.0" data-unit="mm" data-units="mm in"' in page
    assert re.search(r'id="scale-pole-length-mark" x="60%"', page)  # pole-mass starts at 1200 of 2000 mm
    assert re.findall(r'data-band="(\d)" data-current', page) == ["1"]


@pytest.mark.parametrize(
    ("basis", "words"),
    [
        ("published", "published in The invented pole rule (2026), R_IP"),
        ("derived", "derived: R_IP"),
        ("memory", "unconfirmed"),
        ("reported", "as reported by The invented pole rule (2026); original not read"),
    ],
)
def test_every_basis_is_said_in_words(full: Page, basis: str, words: str) -> None:
    shown = html.unescape(re.sub(r"<[^>]*>", "", rendered(full)))
    assert words in shown, basis


def test_calculators_stand_on_entry_and_own_page(trial: dict[str, Page]) -> None:
    entry = rendered(trial["terms/pole-length.md"])
    assert entry.index("block-pole-mass-h3") < entry.index("block-pole-sway-h3")
    assert "block-pole-mass-none" in rendered(trial["calculators/pole-mass/index.md"])


def test_a_calculators_page_shows_each_example_with_labels(trial: dict[str, Page]) -> None:
    page = rendered(trial["calculators/pole-mass/index.md"])
    shown = re.sub(r'<span class="ht-heard">.*?</span>|<[^>]*>', "", page)
    assert "Pole length50 in" in shown.replace("\n", "")
    assert "WoodAsh" in shown.replace("\n", "")
    assert "Mass of all1.62 kg" in shown.replace("\n", "")
    assert shown.count("derived:") == 2


def test_a_to_z_lists_other_names(trial: dict[str, Page]) -> None:
    page = rendered(trial["a-to-z.md"])
    assert re.findall(r'<h2 id="(letter-.)"', page) == ["letter-p", "letter-s"]
    assert re.search(r'stick length <span class="ht-uses">see <a href="terms/pole-length.md">Pole length</a>', page)
    assert '<a href="calculators/pole-sway/index.md">How much colder is the grip than the hand?</a>' in page


def test_sources_list_the_exact_places(trial: dict[str, Page]) -> None:
    page = rendered(trial["sources.md"])
    work = page[page.index('id="pole-rule"') : page.index('id="no-source"')]
    assert "scale, sticks for most hills" in work
    assert "choice, Ash" in work
    assert "2 common practice, no source" in page[page.index('id="no-source"') :]


def test_every_link_leads_to_a_page_and_place_of_the_book(trial: dict[str, Page], root: Path) -> None:
    known = {*trial, *hand_written(loaded(root))}
    for page in trial.values():
        text = rendered(page)
        for link in re.findall(r'href="([^"]+)"', text):
            path, _, anchor = html.unescape(link).partition("#")
            if path.startswith("hangtag:"):
                target = path.removeprefix("hangtag:")
            else:
                target = posixpath.normpath(posixpath.join(posixpath.dirname(page.path), path)) if path else page.path
            assert target in known, (page.path, link)
            if anchor and target in trial:
                assert f'id="{anchor}"' in rendered(trial[target]), (page.path, link)


def test_raw_html_begins_at_the_margin_and_with_a_block(trial: dict[str, Page], full: Page) -> None:
    for page in [*trial.values(), full]:
        body = page.markdown.split("---\n", 2)[2]
        for start in re.findall(r"(?<=\n\n)[ \t]*<([a-z-]+)", body):
            assert start in {"figure", "div", "p", "span", "nav", "details"}, (page.path, start)
        assert not re.search(r"^[ \t]+<(?:div|figure|svg|hangtag)", body, re.MULTILINE), page.path


def test_additions_of_a_club_are_set_off_with_name_and_date(tmp_path: Path) -> None:
    make_trial(tmp_path / "parent")
    club = write(
        tmp_path / "club",
        {
            "mkdocs.yml": "site_name: Larkmoor\ndocs_dir: terms\nplugins:\n  - hangtag: {inherits: ../parent}\n",
            "terms/trail/pole-length.adds.yml": (
                "by: Larkmoor Hill Club\ndate: 2026-11-01\ntext: We cut ours *short*.\nask: [Who cut it?]\n"
                "caution: Mind the *ends*.\nsee: [pole-wood]\n"
            ),
        },
    )
    page = rendered(made(club)["terms/pole-length.md"])
    assert page.count('<p class="ht-addition">Added by Larkmoor Hill Club, 2026-11-01</p>') == 3
    assert "cut ours <em>short</em>" in page
    assert "Mind the <em>ends</em>" in page
    assert "may break" in page  # the inherited caution stays


def test_an_inherited_caution_stands_beside_an_overrides_own(tmp_path: Path) -> None:
    make_trial(tmp_path / "parent")
    club = write(
        tmp_path / "club",
        {
            "mkdocs.yml": "site_name: Larkmoor\ndocs_dir: terms\nplugins:\n  - hangtag: {inherits: ../parent}\n",
            "terms/trail/pole-length.yml": (
                "name: Pole length\nin_short: How long our own stick is.\ntext: Ours.\ncaution: Mind *our* ends.\n"
                "scale: {unit: mm, from: 0, to: 3000, higher_is: longer, bands: [{says: any, basis: common practice}]}"
            ),
        },
    )
    page = rendered(made(club)["terms/pole-length.md"])
    caution = page[page.index('id="caution"') :]
    assert caution.index("Mind <em>our</em> ends") < caution.index("Of the entry this one replaces")
    assert "may break" in caution


def test_hand_written_pages_come_from_the_nearest_book(root: Path) -> None:
    found = hand_written(loaded(root))
    assert set(found) == {"about.md"}
    assert found["about.md"].is_relative_to(reference_book())


def test_the_about_page_explains_every_basis() -> None:
    about = (reference_book() / "site_templates" / "docs" / "about.md").read_text(encoding="utf-8").lower()
    for words in ("published in", "as reported by", "original not read", "computed with", "derived", "unconfirmed"):
        assert words in about
    assert "common practice, no source" in about


# ------------------------------------------------------------------------------- lists, tables, ranges and equations


def shown(book: Book, calculator: str) -> str:
    page = {page.path: page for page in pages(book, block)}[f"calculators/{calculator}/index.md"]
    apart = rendered(page).replace("</dt>", " ").replace("</dd>", " ")
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", apart)).split())


def test_every_row_of_a_table_stands_on_the_page_with_its_basis(shared: Book) -> None:
    text = shown(shared, "walk")
    assert "Factor of the ground. Looked up by name." in text
    assert "Snow: 1.5 common practice, no source" in text
    assert "Factor of sinking. Between two rows the value runs in a straight line" in text
    assert re.search(r"250 mm millimetres: 2 common practice, no source", text)


def test_an_uncertain_constant_shows_both_ends(shared: Book) -> None:
    assert "Factor is 0.9 to 1.1 common practice, no source" in shown(shared, "layer")


def test_examples_show_ranges_rows_and_ends(shared: Book) -> None:
    text = shown(shared, "layer")
    assert "Conductivity 0.04 W/(m·K) watts per metre kelvin to 0.05 W/(m·K)" in text
    assert "gives Resistance, lowest 0.36" in text
    assert "gives Resistance, highest 0.55" in text
    text = shown(shared, "kit")
    assert "Kit, row 1 Weight 2 kg kilograms, Number 2" in text
    assert "Kit, row 2 Weight 1 kg kilograms, Where it goes gets used up" in text


def test_the_sources_page_lists_the_rows_of_tables(reference: Book) -> None:
    used = [use for use in uses(reference) if use.label == "use-table"]
    assert used
    assert all(use.basis and use.values["label"] and use.values["x"] for use in used)
