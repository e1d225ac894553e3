"""Which entries a typed text means, best first: whole numbers only, so that both languages agree.

An entry's score is the sum of three parts: a name that stands in the text, its single words, and its numbers. The best
part says why the entry is there. The browser does the same in `site_templates/scripts/finder.js`.
Must not know how a result is said or shown.
"""

from __future__ import annotations

from dataclasses import dataclass

from hangtag.finder.matching import SAME, Word, meant
from hangtag.finder.numbers import Part, Why, fit, spelled
from hangtag.finder.query import Query, read
from hangtag.finder.stems import slips
from hangtag.finder.tables import ALSO, NAME, Name, Tables, words_of

# What a name is worth: typed alone, typed with nothing else that means something, typed among other words.
_ALONE, _WHOLE, _WITHIN, _EACH_WORD, _MOST_WORDS = 6000, 4000, 300, 100, 4
_BESIDE_A_NUMBER = 600  # a name beside a number of something else
_LEAST = 120  # below it nothing is shown
_LEAST_OF_BEST = 20  # percent
_GEAR_FROM = 3500
_MOST_GEAR = 2
_MOST_NEAREST = 3
_LONGEST_JOINED = 40
_HOW: dict[int, Why] = {NAME: "name", ALSO: "also"}  # by what a name is worth; all others are printed on tags
_NOTHING: tuple[int, Why] = (0, "words")


@dataclass(frozen=True)
class Ranked:
    """One result: the place of its target, its score, and the part that says why it is there.

    `value` is the typed number with its unit where that is a usual value of the entry.
    """

    target: int
    score: int
    best: Part
    value: str | None


def rank(tables: Tables, typed: str, most: int) -> list[Ranked]:
    """The best results: entries first, then kinds of gear that the text names."""
    search = _Search(tables, read(typed, tables.unit_keys))
    ranked = [found for at in range(len(tables.targets)) if (found := search.judge(at)).score >= _LEAST]
    ranked.sort(key=lambda found: (-found.score, tables.targets[found.target].id))
    gear = [found for found in ranked if tables.targets[found.target].is_gear and found.score >= _GEAR_FROM]
    entries = [found for found in ranked if not tables.targets[found.target].is_gear]
    entries = [found for found in entries if found.score * 100 >= entries[0].score * _LEAST_OF_BEST]
    gear = gear[:_MOST_GEAR]
    return [*entries[: most - len(gear)], *gear]


def nearest(tables: Tables, typed: str) -> list[int]:
    """The targets whose names are most like a text for which nothing was found; none for a text without letters."""
    joined = "".join(words_of(read(typed, {}).tokens))[:_LONGEST_JOINED]
    if not joined:
        return []
    most = (len(joined) + 1) // 2  # what is farther away is like nothing
    far = []
    for at, target in enumerate(tables.targets):
        if not target.is_gear:
            away = min(
                slips(joined, name.joined, most) * 100 // max(len(joined), len(name.joined), 1) for name in target.names
            )
            far.append((away, target.id, at))
    return [at for _, _, at in sorted(far)[:_MOST_NEAREST]]


class _Search:
    """One text against all targets."""

    def __init__(self, tables: Tables, query: Query) -> None:
        self._tables, self._query = tables, query
        taken = {at for number in query.numbers for at in range(number.start, number.end)}
        unnumbered = [token for at, token in enumerate(query.tokens) if at not in taken]
        self._joined = "".join(words_of(query.tokens))
        self._unnumbered = "".join(words_of(unnumbered))
        self._words: list[Word] = meant(tables, query)
        self._weight = sum(word.weight for word in self._words)
        # words without a meaning of their own still tell `all-in weight` from `weight`
        self._known = {word: SAME for word in words_of(query.tokens) if word[0] in "0123456789" or word in tables.stop}
        for word in self._words:
            for known, quality in word.known.items():
                self._known[known] = max(quality, self._known.get(known, 0))

    def judge(self, at: int) -> Ranked:
        """A target's score and its best part."""
        target = self._tables.targets[at]
        words, is_named = self._by_words(at)
        number = fit(self._tables, self._query, target, is_named=is_named, has_words=bool(self._words))
        if self._query.numbers and not number.score:
            words = Part(words.score // 2, words.why, words.values)
        is_touched = words.score > 0 or any(name.joined == self._joined for name in target.names)
        parts = (
            self._by_name(at, fits=number.score > 0) if is_touched else Part(),
            number,
            spelled(self._tables, self._query, target),
            words,
        )
        value = number.values["typed"] if number.is_value else None
        return Ranked(at, sum(part.score for part in parts), max(parts, key=lambda part: part.score), value)

    def _by_words(self, at: int) -> tuple[Part, bool]:
        """What single words are worth, and whether one of them is a word of the target's names or labels."""
        total, best, is_named = 0, 0, False
        why: Why = "words"
        for word in self._words:
            worth, its = word.targets.get(at, _NOTHING)
            total += worth * word.weight
            is_named = is_named or (worth > 0 and its in {"words", "label"})
            if worth * word.weight > best:
                best, why = worth * word.weight, its
        if not total:
            return Part(), False
        said = [f"“{word.typed}”" for word in self._words if word.targets.get(at, (0, None))[1] == why]
        return Part(total * 10 // self._weight, why, {"words": ", ".join(dict.fromkeys(said))}), is_named

    def _by_name(self, at: int, *, fits: bool) -> Part:
        """What the name that stands best in the text is worth."""
        best = Part()
        for name in self._tables.targets[at].names:
            quality = self._quality(name)
            score = self._standing(name, fits) * quality // 100 * name.worth // 100
            if score > best.score:
                how: Why = _HOW.get(name.worth, "printed")
                best = Part(score, "near" if quality < SAME else how, {"name": name.text})
        return best

    def _quality(self, name: Name) -> int:
        """How well the words of the text stand for all words of a name; 0 where one is missing."""
        if not name.joined:
            return 0
        if name.joined in {self._joined, self._unnumbered}:
            return SAME
        telling = [word for word in name.words if word not in self._tables.stop]
        needed = telling if len(telling) > 1 else name.words
        apart = min((self._known.get(word, 0) for word in needed), default=0)
        return max(apart, self._known.get(name.joined, 0))

    def _standing(self, name: Name, fits: bool) -> int:
        if name.joined == self._joined or (fits and name.joined == self._unnumbered):
            return _ALONE
        its = {*name.words, name.joined}
        weight = sum(word.weight for word in self._words if its & word.known.keys())
        if weight == self._weight:
            odd = any(token.kind == "number" and token.folded not in its for token in self._query.tokens)
            return _WHOLE if fits or not odd else _BESIDE_A_NUMBER
        return (_WITHIN + _EACH_WORD * min(len(name.words), _MOST_WORDS)) * weight // self._weight
