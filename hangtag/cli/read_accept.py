"""The list of contradictions that somebody looked at and accepts: `id, code` lines. Must not read tags.

    # the maker rounds both figures
    QH-104, weight-pair
    *, drop-mismatch

An id is that of the file of tags (the number of the line where it has none); `*` stands for every tag. `#` begins a
comment on a line of its own.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

from hangtag.problems import Problem, ProblemError, Problems, near_hint

EVERY = "*"


@dataclass
class Accepted:
    """Pairs of id and code, and which of them were met so far."""

    pairs: frozenset[tuple[str, str]] = frozenset()
    met: set[tuple[str, str]] = field(default_factory=set)

    def covers(self, tag_id: str | None, code: str) -> bool:
        """Whether a contradiction of a tag is accepted; remembers that it was met."""
        found = [pair for pair in ((tag_id or "", code), (EVERY, code)) if pair in self.pairs]
        self.met.update(found)
        return bool(found)

    @property
    def unmet(self) -> list[tuple[str, str]]:
        """What was accepted and never met, in order."""
        return sorted(self.pairs - self.met)


def read_accepted(file: Path, codes: Collection[str]) -> Accepted:
    """Read the file. Raises ProblemError with every line that is no pair or names no code of `codes`."""
    try:
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise ProblemError(Problem("tags-unreadable", {"file": file, "because": "it is not UTF-8 text"})) from None
    except (OSError, ValueError) as error:  # a name with a NUL is a ValueError
        because = (getattr(error, "strerror", None) or str(error)).lower()
        raise ProblemError(Problem("tags-unreadable", {"file": file, "because": because})) from None
    problems = Problems()
    pairs = set()
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        # an id may hold a comma, a code never does
        tag_id, comma, code = (part.strip() for part in line.rpartition(","))
        place = f"{file}:{number}"
        if not comma or not tag_id or not code:
            problems.add("accept-line", place=place, hint="For example: QH-104, drop-mismatch")
        elif code not in codes:
            hint = near_hint(code, codes) or f"The codes are {', '.join(sorted(codes))}."
            problems.add("accept-code", place=place, named=code, hint=hint)
        else:
            pairs.add((tag_id.strip('"'), code))
    problems.raise_if_any()
    return Accepted(frozenset(pairs))
