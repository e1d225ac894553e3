"""What a live preview adds to its pages: problems beside what they are about, a bar elsewhere, "holds" at examples.

And how it keeps up: an edit is shown by what changed alone, and the pages are those of a whole build.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from hangtag.checking import check_book
from hangtag.mkdocs_plugin.places import keys_at
from hangtag.mkdocs_plugin.quiet import listening
from hangtag.mkdocs_plugin.serve import Preview
from hangtag.mkdocs_plugin.session import Interrupted, Session
from tests.site.books import make_trial
from tests.site.test_serve import get, previewing

LENGTH = "terms/trail/pole-length.yml"
FLEX = "calculators/pole-flex.yml"
HOLDS = '<span class="ht-preview-holds"'
BESIDE = '<div class="ht-preview-problem"'


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Preview]]:
    """One preview of the trial book for all tests that mend what they break."""
    book = make_trial(tmp_path_factory.mktemp("live") / "book")
    with previewing(book) as preview:
        yield book, preview


@pytest.fixture
def spoil(live: tuple[Path, Preview]) -> Iterator[Spoil]:
    """Spoils files of the preview's book, and mends them after the test."""
    spoil = Spoil(*live)
    yield spoil
    spoil.mend()


class Spoil:
    """Changes a file and lets the preview see it, as a save does, before the pages that mention it follow."""

    def __init__(self, book: Path, preview: Preview) -> None:
        self._book, self._preview = book, preview
        self._good: dict[Path, str] = {}

    def __call__(self, path: str, good: str, bad: str) -> None:
        file = self._book / path
        text = file.read_text(encoding="utf-8")
        self._good.setdefault(file, text)
        assert good in text
        file.write_text(text.replace(good, bad, 1), encoding="utf-8")
        self._preview.show_edited()

    def mend(self) -> None:
        """As it was before."""
        for file, text in self._good.items():
            file.write_text(text, encoding="utf-8")
        self._preview.show_edited()
        assert self._preview.problems == ()


@pytest.mark.parametrize(
    ("path", "good", "bad", "page", "part"),
    [
        (LENGTH, "[[pole-wood]]", "[[pole-wod]]", "terms/pole-length/", 'id="meaning"'),
        (LENGTH, "higher_is", "higher", "terms/pole-length/", 'id="scale"'),
        (LENGTH, "A **long** pole", "See [[nothing]]. A pole", "terms/pole-length/", 'id="caution"'),
        (LENGTH, "in_short: How", "in_shrot: How", "terms/pole-length/", "</h1>"),
        (FLEX, "unit: mm, also: [m, in]", "unit: nm, also: [m, in]", "calculators/pole-flex/", 'data-input="length"'),
        (FLEX, "length * shrink, unit", "length * shrnk, unit", "calculators/pole-flex/", 'data-step="dry"'),
        (FLEX, "part / 2, unit: plain", "part / 2, unit: mm", "calculators/pole-flex/", 'data-step="half"'),
        (FLEX, "say: That is a peg.", "says: That is a peg.", "calculators/pole-flex/", 'class="ht-refusal"'),
    ],
)
def test_a_problem_stands_beside_what_it_is_about(  # noqa: PLR0913  a row of the table
    live: tuple[Path, Preview], spoil: Spoil, path: str, good: str, bad: str, page: str, part: str
) -> None:
    spoil(path, good, bad)
    text = get(live[1], page)
    before, mark, after = text.partition(BESIDE)
    assert mark, live[1].problems
    # nothing but the end of the part's own first words stands between
    assert part in before[-400:]
    shown = after[: after.index("</div>")]
    assert f"{path}:" in shown
    assert " | " in shown
    assert "^" in shown


def test_the_problem_of_a_calculator_stands_on_the_page_of_an_entry_too(
    live: tuple[Path, Preview], spoil: Spoil
) -> None:
    spoil("calculators/pole-mass.yml", "label: ", "lable: ")
    page = get(live[1], "terms/pole-length/")
    block = page.index('data-calculator="pole-mass"')
    assert page.index(BESIDE) > block


def test_every_other_page_has_a_bar_that_leads_there(live: tuple[Path, Preview], spoil: Spoil) -> None:
    spoil(LENGTH, "[[pole-wood]]", "[[pole-wod]]")
    page = get(live[1], "terms/pole-wood/")
    assert BESIDE not in page
    assert 'role="alert"' in page
    assert 'href="/terms/pole-length/#ht-problem-1"' in page
    assert "pole-length.yml:5:" in page
    assert 'id="ht-problem-1"' in get(live[1], "terms/pole-length/")


def test_a_problem_of_a_page_that_is_not_there_is_shown_in_full(live: tuple[Path, Preview], spoil: Spoil) -> None:
    book, preview = live
    new = book / "terms" / "trail" / "pole-tip.yml"
    new.write_text("name: Pole tip\nin_short: Its end.\ntxet: Words.\n", encoding="utf-8")
    preview.show_edited()
    for path in ("terms/pole-wood/", "terms/pole-tip/"):
        assert "3 | txet: Words." in get(preview, path)
    new.unlink()
    spoil.mend()


def test_holds_stands_beside_each_example_that_holds(live: tuple[Path, Preview], spoil: Spoil) -> None:
    book, preview = live
    count = preview_examples(book, "pole-flex")
    assert get(preview, "calculators/pole-flex/").count(HOLDS) == count > 1
    assert HOLDS in get(preview, "terms/pole-length/")
    spoil(FLEX, "dry: {low: 812.8 mm", "dry: {low: 813.8 mm")
    page = get(preview, "calculators/pole-flex/")
    assert page.count(HOLDS) == count - 1
    assert page.index(BESIDE) > page.index(HOLDS)
    spoil(FLEX, "question:", "qestion:")
    assert HOLDS not in get(preview, "calculators/pole-flex/")


def preview_examples(root: Path, calculator: str) -> int:
    """How many examples a calculator has."""
    book = check_book(root).book
    assert book is not None
    return len(book.calculators[calculator].examples)


def test_built_sites_hold_nothing_of_a_preview(trial_site: Path) -> None:
    texts = [path.read_text(encoding="utf-8") for path in trial_site.rglob("*.html")]
    assert texts
    assert not [text for text in texts if "ht-preview" in text]


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file by its path, but for the packed map of the site, which holds the time."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.suffix != ".gz"
    }


def test_an_edit_is_shown_at_once_and_all_else_follows_as_in_a_whole_build(tmp_path: Path) -> None:
    root = make_trial(tmp_path / "book")
    work, other = tmp_path / "work", tmp_path / "other"
    work.mkdir()
    other.mkdir()
    about = root / "site_templates" / "docs" / "about.md"  # every page shows its title
    about.parent.mkdir()
    about.write_text("# About it\n\nInvented.\n", encoding="utf-8")
    with listening():
        session = Session(root, work)
        first = check_book(root).book
        assert first is not None
        assert session.build(first)
        file = root / LENGTH
        file.write_text(
            file.read_text(encoding="utf-8").replace("name: Pole length", "name: Length of a pole"), encoding="utf-8"
        )
        new = check_book(root).book
        assert new is not None
        session.show(new, [new.entries["pole-length"]])
        assert "Length of a pole</" in (session.pages / "terms/pole-length/index.html").read_text(encoding="utf-8")
        assert "Length of a pole</" not in (session.pages / "a-to-z/index.html").read_text(encoding="utf-8")
        with pytest.raises(Interrupted):
            session.build(new, _interrupt)
        assert "Length of a pole</" not in (session.pages / "a-to-z/index.html").read_text(encoding="utf-8")
        assert session.build(new)
        about.write_text("# All about it\n\nInvented.\n", encoding="utf-8")
        assert session.build(new)
        whole = Session(root, other)
        whole.build(new)
    assert files_of(session.pages) == files_of(whole.pages)


def _interrupt() -> None:
    raise Interrupted


TEXT = """\
# a comment: with a colon
name: A
inputs:
  head:
    label: Column
examples:
- says: one
  given: {a: 1}
- given: {a: 2}
  gives:
    b: 3
text: |
  words: that look like a key
"""


@pytest.mark.parametrize(
    ("line", "keys"),
    [
        (2, ("name",)),
        (5, ("inputs", "head", "label")),
        (7, ("examples", "1", "says")),
        (8, ("examples", "1", "given")),
        (9, ("examples", "2", "given")),
        (11, ("examples", "2", "gives", "b")),
        (12, ("text",)),
        (13, ("text", "words")),
        (99, ("text", "words")),
    ],
)
def test_the_keys_of_a_line_are_found_in_any_text(line: int, keys: tuple[str, ...]) -> None:
    assert keys_at(TEXT, line) == keys


@pytest.mark.parametrize("text", ["", "\n\n", "[", "- - a: 1", "\t: x", "a\n b\n  c"])
def test_a_text_that_is_no_yaml_has_the_keys_that_it_has(text: str) -> None:
    assert all(isinstance(key, str) for key in keys_at(text, 9))
