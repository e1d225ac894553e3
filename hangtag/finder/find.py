"""The finder's answer: results with the reason in words, or the nearest names. Must not rank."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from hangtag.finder.index import Index
from hangtag.finder.numbers import Part
from hangtag.finder.ranking import nearest, rank
from hangtag.finder.tables import Target

MOST = 8


@dataclass(frozen=True)
class Near:
    """A name like the one that was typed. `page` is its address below the site's root."""

    id: str
    name: str
    page: str


@dataclass(frozen=True)
class Result:
    """One entry or kind of gear that was found: `term` is the entry's id, or None; `because` says why, in words.

    `value` is the typed number with its unit where it is one of the entry's; its page takes it as `?value=`.
    """

    id: str
    term: str | None
    name: str
    because: str
    page: str
    value: str | None
    score: int


@dataclass(frozen=True)
class Found:
    """Everything that was found for a text; `nearest` only where nothing was."""

    query: str
    results: tuple[Result, ...]
    nearest: tuple[Near, ...]

    def as_json(self) -> dict[str, object]:
        """The document of `hangtag find --json`."""
        return {
            "query": self.query,
            "results": [{key: value for key, value in asdict(its).items() if key != "id"} for its in self.results],
            "nearest": [{"term": near.id, "name": near.name, "page": near.page} for near in self.nearest],
        }


def find(index: Index, words: str, most: int = MOST) -> Found:
    """The entries that a text means, best first. Any text is fine; one without letters or digits finds nothing."""
    targets = index.tables.targets
    results = tuple(
        Result(
            its.id,
            None if its.is_gear else its.id,
            its.names[0].text,
            _because(index, its, found.best),
            _page(its),
            found.value,
            found.score,
        )
        for found in rank(index.tables, words, most)
        for its in (targets[found.target],)
    )
    if results:
        return Found(words, results, ())
    near = (targets[at] for at in nearest(index.tables, words))
    return Found(words, (), tuple(Near(its.id, its.names[0].text, _page(its)) for its in near))


def _page(target: Target) -> str:
    return f"{'gear' if target.is_gear else 'terms'}/{target.id}/"


def _because(index: Index, target: Target, part: Part) -> str:
    text = index.labels["find-because-gear" if target.is_gear else f"find-because-{part.why}"]
    for hole, value in part.values.items():
        text = text.replace(f"{{{hole}}}", value)
    return text.strip()
