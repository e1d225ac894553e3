"""The small files that name groups: `_areas.yml`, `_gear.yml`, and the tables of labels.

Must not look at entries: whether a named entry exists is `links.py`'s to check.
"""

from __future__ import annotations

from collections.abc import Collection

from hangtag.book.model import Area, DangerWord, Gear
from hangtag.entry_reader import DRAWING_KEYS, drawing_of
from hangtag.problems import Label, Problems, near_hint
from hangtag.shape import LINE, TEXT, Fields, Key, Keys, many, named, schema_of
from hangtag.strings import LocalText
from hangtag.yaml_source import Mapping, Node, Scalar

MOST_QUESTIONS = 3  # as many as a shy person can put to a shop
LISTS = ("wanted", "beside", "calculators")
_NO_KIND = "index"  # gear/index is the page of all kinds

AREA_KEYS: Keys = {
    "name": Key("What the area is called.", TEXT, required=True),
    "in_short": Key("One sentence: what is found here.", TEXT, required=True),
}
KIND_KEYS: Keys = {
    "name": Key("What this kind of gear is called.", TEXT, required=True),
    "in_short": Key("One sentence of at most 25 words: what this thing is.", TEXT),
    "words": Key(
        "Words on a tag that give the kind away, plurals and everyday words too; a word may stand in several kinds.",
        many(LINE),
        required=True,
    ),
    "tags": Key("The entries that such a tag prints, in the order to read them.", many(LINE)),
    "wanted": Key("Those of `tags` that a good tag states: without them a buyer has to guess.", many(LINE)),
    "beside": Key("Entries that no tag prints and that matter for this thing.", many(LINE)),
    "matters": Key(
        "What matters first, a short paragraph each, without numbers; [[id]] links to an entry.",
        {"anyOf": [many(TEXT), named(many(LINE))]},
    ),
    "ask": Key(
        "At most three questions for the shop.",
        {"anyOf": [{**many(TEXT), "maxItems": MOST_QUESTIONS}, named(many(LINE))]},
    ),
    "needs_time": Key("What must be done weeks before a trip.", TEXT),
    "calculators": Key("Calculators that a buyer of such a thing would use, in this order.", many(LINE)),
    "drawing": Key("A labelled line drawing whose parts lead to entries.", schema_of(DRAWING_KEYS)),
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
    kinds = {key.text: _kind(key, value, fields) for key, value in fields.pairs("kinds")}
    danger = []
    for item in fields.items("danger"):
        its = Fields(item, DANGER_KEYS, path, problems, "a danger word", languages)
        words = _words(its, "a danger word")
        danger.append(DangerWord(words, its.text("caution") or LocalText({"en": ""}), path, its.span))
    return kinds, tuple(danger)


def _kind(key: Scalar, value: Node, of: Fields) -> Gear:
    if key.text == _NO_KIND or not all(c.isascii() and (c.islower() or c.isdigit() or c == "-") for c in key.text):
        of.add("bad-kind", key.span, id=key.text)
    its = Fields(value, KIND_KEYS, of.path, of.problems, f"the kind {key.text}", of.languages)
    tags = _once(its, "tags")
    lists = {name: _once(its, name) for name in LISTS}
    for scalar in lists["wanted"]:
        if scalar.text not in [tag.text for tag in tags]:
            hint = near_hint(scalar.text, [tag.text for tag in tags])
            its.add("wanted-not-on-tag", scalar.span, id=scalar.text, hint=hint)
    for scalar in lists["beside"]:
        if scalar.text in [tag.text for tag in tags]:
            its.add("beside-on-tag", scalar.span, id=scalar.text)
    ask = its.texts("ask")
    if len(ask) > MOST_QUESTIONS:
        its.add("ask-too-many", ask[MOST_QUESTIONS].span, most=MOST_QUESTIONS)
    return Gear(
        id=key.text,
        name=its.text("name") or LocalText({"en": key.text}),
        words=_words(its, f"the kind {key.text}"),
        tags=tuple(tag.text for tag in tags),
        path=of.path,
        span=key.span,
        tag_spans=tuple(tag.span for tag in tags),
        in_short=its.text("in_short"),
        wanted=tuple(scalar.text for scalar in lists["wanted"]),
        beside=tuple(scalar.text for scalar in lists["beside"]),
        matters=its.texts("matters"),
        ask=ask,
        needs_time=its.text("needs_time"),
        calculators=tuple(scalar.text for scalar in lists["calculators"]),
        drawing=drawing_of(its),
        places={f"{name}.{at}": scalar.span for name in LISTS for at, scalar in enumerate(lists[name])},
    )


def _words(its: Fields, what: str) -> tuple[str, ...]:
    words = tuple(scalar.text for scalar in _once(its, "words"))
    if its.has("words") and not its.items("words"):
        its.add("without-words", its.place("words"), what=what)
    return words


def _once(its: Fields, name: str) -> tuple[Scalar, ...]:
    """A list of texts, none of which may stand in it twice, in any case."""
    scalars = its.scalars(name)
    seen: dict[str, Scalar] = {}
    for scalar in scalars:
        first = seen.setdefault(scalar.text.casefold(), scalar)
        if first is not scalar:
            labels = [Label(first.span, "here it stands first")]
            its.add("listed-twice", scalar.span, text=scalar.text, key=name, labels=labels)
    return scalars


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
