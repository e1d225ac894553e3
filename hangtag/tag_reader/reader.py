"""A Reader: the data of a book's tags, and what is made of it once so that reading is quick.

Everything here follows from `data`, which JSON can hold. Must not read tags.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

from hangtag.tag_reader.figures import Figures
from hangtag.tag_reader.items import Spelling
from hangtag.tag_reader.judge import Court, Measure, Rule, Slot, Units
from hangtag.tag_reader.match import LONGEST, Matcher, Node
from hangtag.tag_reader.parts import PartWords
from hangtag.tag_reader.quantities import Grammar

Data = dict[str, Any]
Phrases = dict[str, list[tuple[tuple[str, ...], int]]]  # by their first word: the words, and whose they are
OUTSIDE_SCALE, TWO_UNITS = "outside-scale", "two-units"  # the contradictions that need no agreement of an entry
_LENGTH = "length"
_LENGTH_WORDS = frozenset("mm cm m in ft yd \" '".split())


class Reader:
    """Reads the tags of one book: see `read`. Equal data give equal readings."""

    def __init__(self, data: Data) -> None:
        self._data = data
        units = data["units"]
        self.units = Units(
            {its: unit["scale"] for its, unit in units.items()},
            {its: unit["shift"] for its, unit in units.items()},
            {its: unit["dimension"] for its, unit in units.items()},
        )
        spellings = sorted({spelling for measure in _measures(data) for spelling in measure["units"]})
        unit_words = frozenset(word for spelling in spellings for word in spelling.split(" ") if len(word) > 0)
        self.spelling = Spelling(data["same"], frozenset(data["abbreviated"]), unit_words)
        self.grammar = Grammar(
            units=_unit_tree(spellings),
            unit_words=unit_words,
            smaller=_smaller(units),
            systems=_systems(data),
            us=frozenset(word for unit in units.values() if unit["system"] == "us" for word in unit["spellings"]),
            bounds=data["bounds"],
            bound_words=frozenset(words.split(" ")[0] for words in data["bounds"]),
            fractions={mark: (above, below) for mark, (above, below) in data["fractions"].items()},
        )
        self.figures = Figures(
            frozenset(data["money"]), frozenset(data["months"]), frozenset(data["numbered"]), self.grammar.fractions
        )
        rules, root, signatures = _tree(data)
        words = {word for _, parts in data["patterns"] for word in parts if isinstance(word, str) and len(word) > 1}
        self.matcher = Matcher(root, signatures, frozenset(data["fillers"]), frozenset(words))
        self.court = Court(rules, self.units, frozenset(data["elsewhere"]), frozenset(data["lengths"]))
        self.parts = PartWords(
            frozenset(data["parts"]), frozenset(data["parts_with_colon"]), frozenset(data["measures"])
        )
        self.kinds = list(data["kinds"])
        self.kind_words = phrases([data["kinds"][kind]["words"] for kind in self.kinds])
        self.no_kind = phrases([data["no_kind"]])
        self.danger = phrases([danger["words"] for danger in data["danger"]])
        self.trademarks = frozenset(data["trademarks"])
        self.entries: Data = data["entries"]
        self.codes = frozenset(
            [OUTSIDE_SCALE, TWO_UNITS, *(its["code"] for entry in self.entries.values() for its in entry["agrees"])]
        )
        self.namers = [its for its, entry in data["entries"].items() if entry["unknown_names"]]
        self.known = _known(data, frozenset(words) | unit_words)

    def data(self) -> Data:
        """All of it as plain data that JSON can hold: what the browser reads tags with."""
        return self._data

    def say(self, label: str, **values: object) -> str:
        """A sentence of the reader's, its holes filled."""
        text: str = self._data["words"][label]
        for name, value in values.items():
            text = text.replace("{" + name + "}", str(value))
        return text


def phrases(groups: Sequence[Sequence[str]]) -> Phrases:
    """Phrases by their first word, the longest first; each with the number of its group."""
    found: Phrases = {}
    for index, group in enumerate(groups):
        for text in group:
            words = tuple(text.split(" "))
            found.setdefault(words[0], []).append((words, index))
    for its in found.values():
        its.sort(key=lambda one: (-len(one[0]), one[1]))
    return found


def _measures(data: Data) -> list[Data]:
    found = []
    for entry in data["entries"].values():
        found += [
            measure for measure in (entry["measure"], *(its["measure"] for its in entry["roles"].values())) if measure
        ]
    return found


def _unit_tree(spellings: Sequence[str]) -> dict[str, object]:
    root: dict[str, Any] = {}
    for spelling in spellings:
        node = root
        for word in spelling.split(" "):
            node = node.setdefault(word, {})
        node[""] = spelling
    return root


def _smaller(units: Mapping[str, Data]) -> dict[str, dict[str, float]]:
    """Which spellings may follow a larger one in a compound: pounds and ounces, feet and inches."""
    found: dict[str, dict[str, float]] = {}
    for large in units.values():
        for small in units.values():
            same = large["system"] == small["system"] == "us" and large["dimension"] == small["dimension"]
            ratio = large["scale"] / small["scale"]
            whole = float(round(ratio))
            if (
                not same
                or whole <= 1
                or abs(ratio - whole) > 1e-9 * whole
                or large["dimension"] not in {_LENGTH, "mass"}
            ):
                continue
            for spelling in large["spellings"]:
                found.setdefault(spelling, {}).update(dict.fromkeys(small["spellings"], whole))
    return found


def _systems(data: Data) -> dict[str, list[tuple[str, str, float]]]:
    found: dict[str, list[tuple[str, str, float]]] = {}
    for measure in _measures(data):
        for spelling, its in measure["units"].items():
            unit = data["units"][its]
            meaning = (unit["dimension"], unit["system"], 0.0 if unit["shift"] else unit["scale"])
            meanings = found.setdefault(spelling, [])
            if meaning not in meanings:
                meanings.append(meaning)
    return found


def _tree(data: Data) -> tuple[list[Rule], Node, dict[str, list[int]]]:
    """The rules, and one tree of all patterns; a role's hole stands in it twice, with its unit and without."""
    root = Node()
    rules: list[Rule] = []
    signature_of: dict[tuple[str, ...], int] = {}
    signatures: dict[str, list[int]] = {}

    def signature(measure: Measure) -> int:
        key = tuple(sorted(measure.units))
        known = signature_of.get(key)
        if known is None:
            known = signature_of[key] = len(signature_of)
            for spelling in key:
                signatures.setdefault(spelling, []).append(known)
        return known

    for entry_id, parts in data["patterns"]:
        rule = _rule(data, entry_id, parts, len(rules))
        if rule is None:
            continue
        shape = _without_units(parts, rule.slots)
        if len(shape) > LONGEST:
            continue
        rules.append(rule)
        roles = [index for index, part in enumerate(shape) if isinstance(part, list) and part[0] == "role"]
        for printed in product((True, False), repeat=len(roles)):
            with_unit = dict(zip(roles, printed, strict=True))
            node, slot = root, 0
            for index, part in enumerate(shape):
                if isinstance(part, str):
                    node = node.words.setdefault(part, Node())
                    continue
                measure = rule.slots[slot].measure
                slot += 1
                hole = "quantity" if with_unit.get(index) or part[0] == "quantity" else part[0]
                if hole == "quantity":
                    node = node.holes.setdefault(signature(measure), Node())
                elif hole == "thousand":
                    node.thousand = node.thousand or Node()
                    node = node.thousand
                else:
                    node.bare = node.bare or Node()
                    node = node.bare
            if rule.rank not in node.ends:
                node.ends.append(rule.rank)
    return rules, root, signatures


def _without_units(parts: Sequence[Any], slots: Sequence[Slot]) -> list[Any]:
    """`{heel}/{forefoot} mm`: a unit that a pattern prints after a role's hole belongs to the number."""
    found: list[Any] = []
    slot = -1
    at = 0
    while at < len(parts):
        part = parts[at]
        found.append(part)
        at += 1
        if isinstance(part, list):
            slot += 1
            if part[0] == "role":
                for length in range(len(parts) - at, 0, -1):
                    words = parts[at : at + length]
                    if all(isinstance(word, str) for word in words) and " ".join(words) in slots[slot].measure.units:
                        found[-1] = ["quantity", part[1], part[2]]
                        at += length
                        break
    return found


def _rule(data: Data, entry_id: str, parts: Sequence[Any], rank: int) -> Rule | None:
    entry = data["entries"][entry_id]
    slots: list[Slot] = []
    for part in parts:
        if isinstance(part, str):
            continue
        _, other, role = part
        owner = data["entries"].get(other or entry_id)
        source = owner["roles"][role]["measure"] if role else owner["measure"]
        if source is None:
            return None
        measure = Measure(
            source["units"],
            source["unit"],
            source["dimension"],
            source["low"],
            source["high"],
            source["others"],
            frozenset(source["borrowed"]),
        )
        slots.append(Slot(other or entry_id, role, measure, is_role=role is not None))
    words = [part for part in parts if isinstance(part, str)]
    own = [word for word in words if "a" <= word[0] <= "z"]
    names = set(entry["names"])
    return Rule(
        entry=entry_id,
        slots=slots,
        words=len(own),
        names=any(word in names for word in own),
        marks=len(slots) == 1 and len(words) > len(own),
        tight=not slots and any(len(word) == 1 for word in own),
        itself=bool(slots) and bool(own) and all(slot.term != entry_id for slot in slots),
        near=frozenset(entry["near"]),
        kinds=frozenset(entry["kinds"]),
        lengths=any(not _LENGTH_WORDS.isdisjoint(slot.measure.units) for slot in slots),
        rank=rank,
    )


def _known(data: Data, words: frozenset[str]) -> frozenset[str]:
    """Every word that is nobody's name."""
    found = set(words) | set(data["known"]) | set(data["parts"]) | set(data["elsewhere"]) | set(data["lengths"])
    found |= set(data["same"]) | set(data["same"].values()) | set(data["fillers"]) | set(data["months"])
    found |= set(data["numbered"]) | set(data["money"])
    for entry in data["entries"].values():
        found |= set(entry["near"]) | set(entry["names"])
    for kind in data["kinds"].values():
        found |= {word for text in kind["words"] for word in text.split(" ")}
    for danger in data["danger"]:
        found |= {word for text in danger["words"] for word in text.split(" ")}
    return frozenset(found)
