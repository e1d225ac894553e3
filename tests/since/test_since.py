"""`check --since`: a number that changed without a line of history is told, at its place; one with a line is not."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from hangtag.checking import check_book
from hangtag.problems import ProblemError, Problems, render
from hangtag.resources import reference_book
from hangtag.since import check_since
from hangtag.since.figures import of_calculator
from hangtag.yaml_source import read_file
from tests.cli.conftest import Hangtag, hangtag  # noqa: F401  a fixture
from tests.site.books import make_trial

LENGTH, WOOD = "terms/trail/pole-length.yml", "terms/trail/pole-wood.yml"
MASS, DAYS = "calculators/pole-mass.yml", "calculators/pole-days.yml"
READS = 'reads:\n  quantity: {unit: mm, plausible: [300, 2500]}\n  patterns: ["{q}"]\n'


def git(folder: Path, *arguments: str) -> None:
    own = ["-c", "user.name=a", "-c", "user.email=a@larkmoor.example", "-c", "commit.gpgsign=false"]
    subprocess.run(["git", *own, *arguments], cwd=folder, check=True, capture_output=True)


@pytest.fixture(scope="module")
def repository(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository that holds the trial book in a folder of its own."""
    folder = tmp_path_factory.mktemp("repository")
    book = make_trial(folder / "gear book")
    edit(book / LENGTH, "caution: |", READS + "caution: |")
    git(folder, "init", "-q")
    git(folder, "add", "gear book/terms", "gear book/calculators", "gear book/mkdocs.yml")
    git(folder, "commit", "-q", "-m", "first")
    return folder


@pytest.fixture
def book(repository: Path) -> Path:
    git(repository, "checkout", "-q", "--", ".")
    git(repository, "clean", "-q", "-f", "gear book/terms", "gear book/calculators")
    return repository / "gear book"


def edit(file: Path, before: str, after: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert text.count(before) == 1, (file.name, before)
    file.write_text(text.replace(before, after), encoding="utf-8")


def add(file: Path, lines: str) -> None:
    file.write_text(file.read_text(encoding="utf-8") + lines, encoding="utf-8")


def history(was: str, now: str) -> str:
    return f'history: [{{date: 2026-11-20, was: "{was}", now: "{now}", because: it was measured}}]\n'


def told(book: Path) -> list[str]:
    return [problem.message for problem in check_since(book, "HEAD")]


def test_what_did_not_change_is_not_told(book: Path) -> None:
    assert told(book) == []
    (book / LENGTH).touch()
    assert told(book) == []


@pytest.mark.parametrize(
    ("file", "before", "after", "where", "was", "now"),
    [
        (LENGTH, "below: 1000,", "below: 900,", "scale, limit of a band", "1000 mm", "900 mm"),
        (LENGTH, "up_to: 60 in", "up_to: 61 in", "scale, limit of a band", "60 in", "61 in"),
        (LENGTH, "  to: 2000", "  to: 2,500", None, "", ""),
        (LENGTH, "  to: 2000", "  to: 2500", "scale, to", "2000 mm", "2500 mm"),
        (LENGTH, "[300, 2500]", "[300, 2600]", "upper end of reads, plausible", "2500 mm", "2600 mm"),
        (
            MASS,
            "range: [100, 100 in]",
            "range: [100 mm, 90 in]",
            "upper end of range of input length",
            "100 in",
            "90 in",
        ),
    ],
)
def test_a_changed_number_is_told_at_its_place(  # noqa: PLR0913  one case
    book: Path, file: str, before: str, after: str, where: str | None, was: str, now: str
) -> None:
    edit(book / file, before, after)
    if where is None:
        assert told(book) == [], "what is no number is told by the check itself"
        return
    (problem,) = check_since(book, "HEAD")
    assert problem.message == f"{where} was {was} at HEAD and is {now}; no new line of history says so"
    assert problem.path == str(book / file)
    assert problem.span is not None
    line = (book / file).read_text(encoding="utf-8").splitlines()[problem.span.line - 1]
    assert line[problem.span.column - 1 : problem.span.end_column - 1] in now
    assert f'was: "{was}", now: "{now}"' in (problem.hint or "")
    add(book / file, history(was, now))
    assert told(book) == []


def test_a_line_must_be_new_and_name_the_number(book: Path) -> None:
    edit(book / LENGTH, "below: 1000,", "below: 1200,")
    add(book / LENGTH, history("1,000 mm", "1.2 m"))
    assert len(told(book)) == 1, "1.2 is another number"
    edit(book / LENGTH, "1.2 m", "about 1,200 mm")
    assert told(book) == []


def test_the_same_number_written_otherwise_is_no_change(book: Path) -> None:
    edit(book / LENGTH, "below: 1000,", "below: 1000.0 mm,")
    assert told(book) == []


def test_a_band_put_in_or_taken_out_is_told(book: Path) -> None:
    line = '    - {below: 1000, says: "short sticks, see [[pole-wood|wood]]", basis: common practice}\n'
    edit(book / LENGTH, line, "")
    assert told(book) == ["scale, limit of a band was 1000 mm at HEAD and is gone; no new line of history says so"]
    git(book, "checkout", "-q", "--", ".")
    edit(book / LENGTH, line, line + line.replace("1000", "1100"))
    new = "scale, limit of a band is 1100 mm, which did not stand at HEAD; no new line of history says so"
    assert told(book) == [new]


def test_constants_choices_tables_and_examples_are_numbers_too(book: Path) -> None:
    folders = (Path(__file__).parents[1] / "compliance/book", book, reference_book())
    files = [path for folder in folders for path in folder.glob("calculators/[!_]*.yml")]
    nodes = [node for path in files if (node := read_file(path, Problems()))]
    found = [name for node in nodes for name in of_calculator(node).named]
    for start in ("constant ", "table ", "lower end of range of input ", "upper end of constant ", "example with "):
        assert any(name.startswith(start) for name in found), start
    for part in (", choice ", ", column ", ", low"):
        assert any(part in name for name in found), part


def test_a_calculators_line_may_stand_in_an_entry_that_shows_it(book: Path) -> None:
    edit(book / MASS, "range: [100, 100 in]", "range: [100, 90 in]")
    assert len(told(book)) == 1
    add(book / WOOD, history("100 in", "90 in"))
    assert len(told(book)) == 1, "wood does not show that calculator"
    add(book / LENGTH, history("100 in", "90 in"))
    assert told(book) == []


def test_an_example_is_known_by_what_it_is_given(book: Path) -> None:
    text = (book / MASS).read_text(encoding="utf-8")
    head, mark, examples = text.partition("examples:\n")
    items = examples.split("  - ")[1:]
    assert len(items) > 1
    # the last one ends with what follows the examples
    last, *rest = items.pop().partition("holds_for:")
    turned = [last, *items]
    text = head + mark + "".join(f"  - {item}" for item in turned) + "".join(rest)
    (book / MASS).write_text(text, encoding="utf-8")
    assert told(book) == []
    edit(book / MASS, "mass: 0.064 kg", "mass: 0.065 kg")
    assert told(book) == ["example 2, mass was 0.064 kg at HEAD and is 0.065 kg; no new line of history says so"]


def test_an_id_that_goes_leaves_was(book: Path) -> None:
    text = (book / WOOD).read_text(encoding="utf-8")
    (book / WOOD).unlink()
    (problem,) = check_since(book, "HEAD")
    assert problem.message == "pole-wood was a page at HEAD and is gone; its address leads nowhere"
    heir = book / "terms/trail/pole-timber.yml"
    heir.write_text(text + "was: [pole-wood]\n", encoding="utf-8")
    assert told(book) == []


def test_an_entry_that_was_renamed_or_moved_is_compared_with_what_it_was(book: Path) -> None:
    text = (book / LENGTH).read_text(encoding="utf-8")
    (book / LENGTH).unlink()
    changed = text.replace("below: 1000,", "below: 900,").replace("was: [", "was: [pole-length, ")
    (book / "terms/trail/pole-reach.yml").write_text(changed, encoding="utf-8")
    assert told(book) == ["scale, limit of a band was 1000 mm at HEAD and is 900 mm; no new line of history says so"]


def test_other_revisions_and_other_books(book: Path, repository: Path) -> None:
    edit(book / LENGTH, "below: 1000,", "below: 900,")
    assert render(check_since(book, "HEAD~0"), relative_to=repository).startswith(f"gear book/{LENGTH}:13:15: ")
    other = repository / "other"
    (other / "terms").mkdir(parents=True, exist_ok=True)
    assert told(other) == ["at HEAD there was no book in this folder"]


def raises(work: Callable[[], object]) -> tuple[str, str | None]:
    with pytest.raises(ProblemError) as caught:
        work()
    (problem,) = caught.value.problems
    return problem.message, problem.hint


@pytest.mark.parametrize("name", ["no-such", "--help", "HEAD:terms", "", "HEAD~99", "\u0000", "$(id)"])
def test_a_revision_that_is_none_is_refused(book: Path, name: str) -> None:
    assert raises(lambda: check_since(book, name))[0] == f"git knows no revision {name}"


def test_a_folder_under_no_git_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    message, _ = raises(lambda: check_since(tmp_path, "HEAD"))
    assert message == f"{tmp_path} is under no git, so it has no earlier state"


def test_a_machine_without_git_is_told_so(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda _: None)
    assert raises(lambda: check_since(book, "HEAD"))[0].startswith("there is no git here")


def test_a_file_that_cannot_be_read_as_it_was_is_told(book: Path, repository: Path) -> None:
    good = (book / WOOD).read_bytes()
    (book / WOOD).write_text("name: [\n", encoding="utf-8")
    git(repository, "commit", "-q", "-a", "-m", "broken")
    (book / WOOD).write_bytes(good)
    try:
        assert told(book) == ["this file cannot be read as it stood at HEAD, so its numbers were not compared"]
    finally:
        git(repository, "reset", "-q", "--hard", "HEAD~1")


def test_the_command_adds_them_to_what_check_finds(book: Path, hangtag: Hangtag) -> None:  # noqa: F811  the fixture
    assert check_book(book).problems == ()
    ran = hangtag("check", book, "--since", "HEAD")
    assert (ran.code, ran.err) == (0, "")
    edit(book / LENGTH, "below: 1000,", "below: 900,")
    ran = hangtag("check", book, "--since", "HEAD")
    assert (ran.code, ran.err) == (1, "")
    assert "scale, limit of a band was 1000 mm at HEAD and is 900 mm" in ran.out
    assert "^~~" in ran.out
    as_json = hangtag("check", book, "--since", "HEAD", "--json")
    assert as_json.code == 1
    assert [problem["code"] for problem in as_json.json["problems"]] == ["number-changed"]
    wrong = hangtag("check", book, "--since", "no-such", "--json")
    assert (wrong.code, wrong.json["problems"][0]["code"]) == (2, "since-unknown")
