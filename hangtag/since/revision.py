"""An earlier state of a book, read out of git. Must not change the repository, nor know what a file means."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from hangtag.problems import Problem, ProblemError
from hangtag.resources import CALCULATORS, TERMS

_SHALLOW = "In a shallow clone a revision has to be fetched first, or the clone made whole: git fetch --unshallow."


@dataclass(frozen=True)
class Revision:
    """One revision of the book in `root`, under the name it was asked for by."""

    root: Path
    name: str
    commit: str

    def files(self) -> list[str]:
        """The YAML files of terms/ and calculators/ there, by their path below the book's folder."""
        listed = _git(self.root, "ls-tree", "-r", "-z", "--name-only", self.commit, "--", TERMS, CALCULATORS)
        return [name for name in listed.decode("utf-8", "replace").split("\0") if name.endswith(".yml")]

    def changed(self) -> set[str]:
        """Those of them whose bytes may be others in the folder now; one that was only touched may be among them."""
        listed = _git(
            self.root,
            "diff-index",
            "-z",
            "--name-only",
            "--no-renames",
            "--relative",
            self.commit,
            "--",
            TERMS,
            CALCULATORS,
        )
        return set(listed.decode("utf-8", "replace").split("\0"))

    def read(self, path: str) -> bytes:
        """What one file held there."""
        return _git(self.root, "show", f"{self.commit}:./{path}")


def find_revision(root: Path, name: str) -> Revision:
    """The revision `name` of the book in `root`. Raises ProblemError where there is none, or no git to ask."""
    if _run(root, "rev-parse", "--is-inside-work-tree").returncode != 0:
        raise ProblemError(
            Problem("since-no-repository", {"path": str(root)}, hint="The book's folder must be under git for --since.")
        )
    # what looks like an option must not become one
    found = (
        None
        if name.startswith("-") or "\0" in name
        else _run(root, "rev-parse", "--verify", "--quiet", f"{name}^{{commit}}")
    )
    if found is None or found.returncode != 0:
        raise ProblemError(Problem("since-unknown", {"revision": name}, hint=_SHALLOW if _is_shallow(root) else None))
    return Revision(root, name, found.stdout.decode("ascii").strip())


def _is_shallow(root: Path) -> bool:
    return _run(root, "rev-parse", "--is-shallow-repository").stdout.strip() == b"true"


def _git(root: Path, *arguments: str) -> bytes:
    ran = _run(root, *arguments)
    if ran.returncode != 0:
        because = ran.stderr.decode("utf-8", "replace").strip() or f"exit code {ran.returncode}"
        raise ProblemError(Problem("command-failed", {"doing": "git", "because": because}))
    return ran.stdout


def _run(root: Path, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    git = shutil.which("git")
    if git is None:
        raise ProblemError(
            Problem("since-no-git", hint="Install git, or leave --since away: the other checks need none.")
        )
    return subprocess.run(  # noqa: S603  git itself, with arguments of ours and a revision that begins with no hyphen
        [git, "-c", "core.quotePath=false", *arguments], cwd=root, capture_output=True, check=False
    )
