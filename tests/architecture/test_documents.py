"""README and DEVELOPERS tell the truth: their commands are the ones there are, and the ones that run here."""

from __future__ import annotations

import re
import shlex
import subprocess
from pathlib import Path

import click
import pytest

from hangtag.cli import main, screen
from hangtag.cli.commands import commands
from tests.architecture.files import modules


def readme(project: Path) -> str:
    return (project / "README.md").read_text(encoding="utf-8")


def marked(text: str, mark: str) -> str:
    """The fenced block after a mark."""
    found = re.search(rf"<!-- {re.escape(mark)} -->\n```\w+\n(.*?)```", text, re.DOTALL)
    assert found, mark
    return found[1]


def table(project: Path) -> dict[str, str]:
    """The usage of every command in the README's table, by name."""
    rows = re.findall(r"^\| `hangtag (([\w-]+)[^`]*)` \|", readme(project), re.MULTILINE)
    return {name: usage for usage, name in rows}


def test_the_job_comes_first_and_then_the_two_commands(project: Path) -> None:
    headings = re.findall(r"^#+ .*$", readme(project), re.MULTILINE)
    assert headings[:2] == ["# hangtag", "## Two commands"]
    before = readme(project).partition("## Two commands")[0].strip().split("\n\n")
    assert len(before) == 2, "a heading, and the job in one paragraph"
    assert readme(project).index("command: test") < readme(project).index("![")


@pytest.mark.parametrize("which", ["build", "test"])
def test_each_of_the_two_commands_is_one_line_that_needs_nothing_but_python(project: Path, which: str) -> None:
    (line,) = marked(readme(project), f"command: {which}").splitlines()
    first, *rest = line.split(" && ")
    assert first == "python3 -m venv .venv"
    assert rest
    assert all(part.startswith(".venv/bin/") for part in rest)


def test_ci_runs_the_command_of_the_readme(project: Path, tmp_path: Path) -> None:
    # the script is run in a copy whose README holds another command: what it runs is what stands there
    (tmp_path / ".ci").mkdir()
    script = tmp_path / ".ci" / "run"
    script.write_bytes((project / ".ci" / "run").read_bytes())
    command = marked(readme(project), "command: test").strip()

    def run(instead: str) -> subprocess.CompletedProcess[str]:
        (tmp_path / "README.md").write_text(readme(project).replace(command, instead), encoding="utf-8")
        return subprocess.run(["bash", script], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)

    suite = "<testsuites><testsuite tests='{}' skipped='1'/></testsuites>"
    write = 'report=${{PYTEST_ADDOPTS##*--junitxml=}} && echo "' + suite + '" > $report'
    good = run(write.format(3))
    assert (good.returncode, good.stdout.splitlines()[-1]) == (0, "+ 2 tests ran"), good.stderr
    none = run(write.format(1))
    assert (none.returncode, none.stderr) == (1, ".ci/run: no test ran\n")
    assert run("false").returncode != 0
    assert run("").returncode == 1


def test_every_command_stands_in_the_readme_with_its_options(project: Path) -> None:
    rows = table(project)
    assert set(rows) == set(commands.commands)
    for name, command in commands.commands.items():
        parts = [command, *(command.commands.values() if isinstance(command, click.Group) else ())]
        options = {
            option
            for part in parts
            for parameter in part.params
            if isinstance(parameter, click.Option)
            for option in parameter.opts
            if option.startswith("--")
        }
        assert options - {"--book"} == set(re.findall(r"--[\w-]+", rows[name])), name


def test_the_examples_of_the_readme_run(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(project)
    monkeypatch.setattr(screen, "PATIENCE", 600)
    lines = re.findall(r"^hangtag ((?:work|show|check|read|find) .*)$", readme(project), re.MULTILINE)
    assert len(lines) >= 3
    for line in lines:
        assert main(shlex.split(line)) == 0, line
    assert capsys.readouterr().err == ""


def test_the_example_of_a_tag_is_what_the_command_prints(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    (line,) = re.findall(r"^hangtag (read .*)$", readme(project), re.MULTILINE)
    assert main([*shlex.split(line), "--book", str(project)]) == 0
    printed = capsys.readouterr().out
    for part in re.split(r"^ *\.\.\.$", marked(readme(project), "read example"), flags=re.MULTILINE):
        found = printed.find(part.strip("\n"))
        assert found >= 0, part
        printed = printed[found:]


def test_the_clubs_book_of_the_readme_is_a_book(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = marked(readme(project), "club book")
    assert len(text.splitlines()) == 6
    (tmp_path / "terms").mkdir()
    (tmp_path / "mkdocs.yml").write_text(text, encoding="utf-8")
    assert main(["check", str(tmp_path)]) == 0
    assert capsys.readouterr().out.startswith("No problems: ")


def test_every_file_and_folder_that_the_documents_name_is_there(project: Path) -> None:
    made = {"site/", "site-disk/", ".venv", "hangtag/_book"}
    for name in ("README.md", "DEVELOPERS.md"):
        text = (project / name).read_text(encoding="utf-8")
        paths = re.findall(r"`((?:hangtag|tests|terms|calculators|site_templates|\.ci)/[\w./-]*)`", text)
        links = re.findall(r"\]\((?!https?:|#)([^)]+)\)", text)
        missing = [path for path in [*paths, *links] if path not in made and not (project / path).exists()]
        assert missing == [], name


def test_the_house_map_names_every_room(project: Path) -> None:
    page = (project / "DEVELOPERS.md").read_text(encoding="utf-8")
    rooms = {path.relative_to(project / "hangtag").parts[0] for path in modules(project)} - {"__init__.py"}
    named = set(re.findall(r"`([\w]+(?:\.py|/))`", page.partition("## The house")[2].partition("\n## ")[0]))
    folders = {"hangtag/", "terms/", "calculators/", "site_templates/"}
    assert {room if room.endswith(".py") else f"{room}/" for room in rooms} == named - folders
