"""The small files that name groups: `_areas.yml`, `_gear.yml`, and the tables of labels.

Must not look at entries: whether a named entry exists is `links.py`'s to check.
"""

from __future__ import annotations

from collections.abc import Collection

from hangtag.book.model import Area, DangerWord, Gear
from hangtag.problems import Problems
from hangtag.shape import LINE, TEXT, Fields, Key, Keys, many, named, schema_of
from hangtag.strings import LocalText
from hangtag.yaml_source import Mapping, Node, Scalar

AREA_KEYS: Keys = {
    "name": Key("What the area is called.", TEXT, required=True),
    "in_short": Key("One sentence: what is found here.", TEXT, required=True),
}
KIND_KEYS: Keys = {
    "name": Key("What this kind of gear is called.", TEXT, required=True),
    "words": Key("Words on a tag that give the kind away.", many(LINE), required=True),
    "tags": Key("The entries that belong on its tag, what matters first.", many(LINE)),
}
DANGER_KEYS: Keys = {
    "words": Key("Words on a tag that bring this caution.", many(LINE), required=True),
    "caution": Key("The caution.", TEXT, required=True),
}
GEAR_KEYS: Keys = {
    "kinds": Key("Kinds of gear by id.", named(schema_of(KIND_KEYS)), required=True),
    "danger": Key("Words that bring a caution with or without an entry.", many(schema_of(DANGER_KEYS))),
}


def read_areas(node: Node, path: str, problems: Problems, languages: Collection[str]) -> dict[str, Area]:
    """The areas of one `_areas.yml`, in its order."""
    areas = {}
    for key, value in node.items if isinstance(node, Mapping) else ():
        fields = Fields(value, AREA_KEYS, path, problems, f"the area {key.text}", languages)
        name = fields.text("name") or LocalText({"en": key.text})
        areas[key.text] = Area(key.text, name, fields.text("in_short") or LocalText({"en": ""}), path, key.span)
    return areas


def read_gear(
    node: Node, path: str, problems: Problems, languages: Collection[str]
) -> tuple[dict[str, Gear], tuple[DangerWord, ...]]:
    """The kinds of gear and the danger words of one `_gear.yml`."""
    fields = Fields(node, GEAR_KEYS, path, problems, "_gear.yml", languages)
    kinds = {}
    for key, value in fields.pairs("kinds"):
        its = Fields(value, KIND_KEYS, path, problems, f"the kind {key.text}", languages)
        tags = its.scalars("tags")
        kinds[key.text] = Gear(
            id=key.text,
            name=its.text("name") or LocalText({"en": key.text}),
            words=its.lines("words"),
            tags=tuple(tag.text for tag in tags),
            path=path,
            span=key.span,
            tag_spans=tuple(tag.span for tag in tags),
        )
    danger = []
    for item in fields.items("danger"):
        its = Fields(item, DANGER_KEYS, path, problems, "a danger word", languages)
        danger.append(DangerWord(its.lines("words"), its.text("caution") or LocalText({"en": ""}), path, its.span))
    return kinds, tuple(danger)


def read_strings(node: Node, path: str, problems: Problems) -> dict[str, str]:
    """The labels of one `strings/<lang>.yml`."""
    table = {}
    for key, value in node.items if isinstance(node, Mapping) else ():
        if isinstance(value, Scalar):
            table[key.text] = value.text
        else:
            problems.add("not-a-text", path, value.span, key=key.text)
    if not isinstance(node, Mapping):
        problems.add("not-a-mapping", path, node.span, what="a table of labels")
    return table
