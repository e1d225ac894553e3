"""The vocabulary as a whole: complete, linked, founded, and cautious wherever the subject can hurt somebody."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import yaml

from hangtag.book.links import LINK

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hangtag.book import Book
    from hangtag.entries import Entry

# What a newcomer meets on the tags of shelters, beds, packs, rain clothes and shoes. The ids are a contract: addresses
# of pages and other people's books name them.
FIRST_VOCABULARY = {
    "fabrics": (
        "denier linear-density filament-count fabric-weight thread-count weave ripstop nylon polyester"
        " maker-fabric-name uhmwpe-laminate silicone-coating polyurethane-coating polyethylene-coating"
        " coated-fabric-names pack-fabrics tenacity tear-strength abrasion-resistance wet-stretch moisture-regain"
        " uv-degradation upf"
    ),
    "weather": (
        "hydrostatic-head waterproof durable-water-repellent spray-rating wet-out seam-sealing"
        " waterproof-breathable-membrane moisture-vapour-transmission ret laminate-construction air-permeability"
    ),
    "warmth": (
        "baffle-construction fill-power fill-weight loft down-content treated-down overfill synthetic-insulation"
        " insulation-weight clo tog r-value temperature-rating draft-tube wind-chill sleep-system"
    ),
    "load": (
        "base-weight consumables worn-weight pack-weight skin-out-weight total-weight big-three maximum-load"
        " pack-volume torso-length item-weight"
    ),
    "feet": "drop stack-height heel-angle mid-cut lug-depth weight-on-feet",
    "shelter": (
        "rainfly vestibule wall-construction floor-area peak-height minimum-weight packed-weight condensation sag tarp"
        " season-words hammock-rating"
    ),
}
FIRST_CALCULATORS = (
    "fabric-panel yarns-to-weight strip-strength wet-fly seam-sealer sweat-budget vapour-methods ret-flux drop-impact"
    " filament-surface insulation-units overfill-gain clothing-layers sleep-balance rating-spread breath-water"
    " dew-point tent-air floor-per-person usable-width wind-on-panel boots-to-back volume-units load-share"
    " altitude-temperature laminate-check strap-pull"
)
MUST_CAUTION = (
    "temperature-rating r-value sleep-system sleep-balance wind-chill treated-down drop stack-height weight-on-feet"
    " base-weight consumables pack-days load-share walking-effort maximum-load hammock-rating strap-pull vestibule"
    " rainfly tarp wall-construction condensation tent-air sag wind-on-panel uhmwpe-laminate tenacity tear-strength"
    " seam-sealing durable-water-repellent ret moisture-vapour-transmission waterproof-breathable-membrane"
    " air-permeability upf uv-degradation"
)
ONE_WAY = "sleep-balance load-share wind-on-panel tent-air strap-pull"

# The words without which a caution about its subject would be empty.
SAYS = {
    "temperature-rating": "adult",
    "treated-down": "wet|damp",
    "consumables": "water",
    "pack-days": "water",
    "load-share": "child.*pregnan",
    "vestibule": "carbon monoxide",
    "tent-air": "fumes",
    "wall-construction": "carbon monoxide",
    "condensation": "carbon monoxide",
    "rainfly": "carbon monoxide",
    "tarp": "carbon monoxide|flame|fire",
    "sag": "storm",
    "wind-on-panel": "storm",
    "uhmwpe-laminate": "melt",
    "tenacity": "climb",
    "tear-strength": "climb",
    "hammock-rating": "child",
    "strap-pull": "child",
    "base-weight": "first aid",
}


def targets(entry: Entry) -> Iterator[str]:
    """The entries that an entry's page leads to, by `see`, by a link in its words, or by a part of its drawing."""
    yield from entry.see
    texts = [entry.in_short, entry.text, entry.watch_out, entry.caution, entry.needs_time, *entry.ask]
    for words in (words for text in texts if text for words in text):
        yield from (found[1].strip() for found in LINK.finditer(words))
    if entry.drawing:
        yield from entry.drawing.parts.values()


def caution(book: Book, its_id: str) -> str:
    """The caution of an entry or a calculator, of both where both have that id."""
    found = [kind[its_id].caution for kind in (book.entries, book.calculators) if its_id in kind]
    return "\n".join(str(text) for text in found if text)


@pytest.fixture(scope="module")
def listed(project: Path) -> dict[str, list[str]]:
    """tests/cautions.yml."""
    read: dict[str, list[str]] = yaml.safe_load((project / "tests" / "cautions.yml").read_text(encoding="utf-8"))
    return read


@pytest.mark.parametrize("area", FIRST_VOCABULARY)
def test_every_word_of_the_first_vocabulary_has_its_entry(reference: Book, area: str) -> None:
    wanted = set(FIRST_VOCABULARY[area].split())
    assert wanted - {entry.id for entry in reference.entries_of(area)} == set()


def test_every_first_calculator_exists(reference: Book) -> None:
    assert set(FIRST_CALCULATORS.split()) - set(reference.calculators) == set()


def test_no_entry_is_an_orphan(reference: Book) -> None:
    reached = {tag for kind in reference.gear.values() for tag in kind.tags}
    for entry in reference.entries.values():
        reached.update(target for target in targets(entry) if target != entry.id)
    assert set(reference.entries) - reached == set()


def test_every_entry_leads_on(reference: Book) -> None:
    assert [entry.id for entry in reference.entries.values() if len(entry.see) < 2] == []


def test_every_entry_stands_on_something(reference: Book) -> None:
    assert [entry.id for entry in reference.entries.values() if not list(entry.bases)] == []


def test_every_entry_answers_a_shopper(reference: Book) -> None:
    """What people ask and search for, what to ask in the shop, where the number misleads."""
    unfinished = [
        entry.id
        for entry in reference.entries.values()
        if not (len(entry.heard) >= 2 and entry.ask and entry.watch_out and entry.reviewed)
    ]
    assert unfinished == []


def test_every_calculator_stands_on_a_page(reference: Book) -> None:
    assert [its_id for its_id in reference.calculators if not reference.entries_with(its_id)] == []


def test_every_calculator_has_two_examples_and_a_source(reference: Book) -> None:
    weak = [its.id for its in reference.calculators.values() if len(its.examples) < 2 or not its.claims]
    assert weak == []


def test_the_list_of_cautions_holds_what_can_hurt(listed: dict[str, list[str]]) -> None:
    assert set(MUST_CAUTION.split()) - {*listed["entries"], *listed["calculators"]} == set()


def test_everything_listed_carries_a_caution(reference: Book, listed: dict[str, list[str]]) -> None:
    assert [its_id for its_id in listed["entries"] if not reference.entries[its_id].caution] == []
    assert [its_id for its_id in listed["calculators"] if not reference.calculators[its_id].caution] == []


def test_everything_with_a_caution_is_listed(reference: Book, listed: dict[str, list[str]]) -> None:
    """So that nobody takes one away unnoticed."""
    assert {entry.id for entry in reference.entries.values() if entry.caution} == set(listed["entries"])
    assert {its.id for its in reference.calculators.values() if its.caution} == set(listed["calculators"])


@pytest.mark.parametrize("its_id", SAYS)
def test_cautions_name_the_danger(reference: Book, its_id: str) -> None:
    assert re.search(SAYS[its_id], " ".join(caution(reference, its_id).split()), re.IGNORECASE)


@pytest.mark.parametrize("its_id", ONE_WAY.split())
def test_what_must_not_be_worked_backwards_is_one_way(reference: Book, its_id: str) -> None:
    assert reference.calculators[its_id].one_way


def test_no_rating_of_a_pair_is_called_wrong(reference: Book) -> None:
    """The ordinary spread of ratings has no source: it may say unusual, never wrong."""
    its = reference.calculators["rating-spread"]
    texts = [its.name, its.question, *(step.label for step in its.steps), *(example.says for example in its.examples)]
    assert not [str(text) for text in texts if text and re.search(r"\bwrong\b", str(text))]
    assert any("unusual" in str(text).lower() for text in texts)
