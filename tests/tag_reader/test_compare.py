"""Tags side by side: one unit a row, no difference inside a published tolerance, no ranking across test methods."""

from __future__ import annotations

import pytest

from hangtag import tag_reader
from hangtag.book import Book
from hangtag.tag_reader import Reader
from hangtag.tag_reader.compare import Row, compare


@pytest.fixture(scope="module")
def reader(reference: Book) -> Reader:
    return tag_reader.compile_book(reference)


def row(reader: Reader, term: str, *texts: str) -> Row:
    rows = compare(reader, [tag_reader.read(reader, text) for text in texts])
    return next(its for its in rows if its.term == term)


def values(its: Row) -> list[str | None]:
    return [cell.value if cell else None for cell in its.cells]


def test_a_difference_is_told_in_the_first_tags_unit(reader: Reader) -> None:
    its = row(reader, "denier", "Tent fly: 15D nylon", "Tent fly: 22 dtex nylon")
    assert (its.part, its.unit, values(its)) == ("fly", "denier", ["15", "19.8"])
    assert (its.verdict, its.says) == ("more", "Tag 2 states 4.8\u00a0D more than tag 1.")


def test_parts_are_not_mixed(reader: Reader) -> None:
    rows = compare(reader, [tag_reader.read(reader, text) for text in ("Tent fly: 15D nylon", "Tent floor: 30D nylon")])
    found = {its.part: its.verdict for its in rows if its.term == "denier"}
    assert found == {"fly": "only", "floor": "only"}


def test_what_lies_inside_the_published_tolerance_is_no_difference(reader: Reader) -> None:
    near = row(reader, "fill-power", "down bag, 850 fill power", "down bag, 830 fill power")
    assert near.verdict == "spread"
    assert near.says.startswith("No difference: the published tolerance of such claims, 5 %, is wider")
    assert row(reader, "fill-power", "down bag, 850 fill power", "down bag, 750 fill power").verdict == "more"


def test_figures_of_different_tests_are_not_ranked(reader: Reader) -> None:
    its = row(reader, "hydrostatic-head", "Tent, water head 1200 mm, ISO 811", "Tent, water head 1800 mm, AATCC 127")
    assert its.verdict == "methods"
    assert "more" not in its.says
    untold = row(reader, "hydrostatic-head", "Tent, water head 1200 mm, ISO 811", "Tent, water head 1800 mm")
    assert "more than one test" in untold.says
    same = row(reader, "hydrostatic-head", "Tent, water head 1200 mm, ISO 811", "Tent, water head 1800 mm, ISO 811")
    assert same.says == "Tag 2 states 600\u00a0mm more than tag 1."


def test_roundings_in_two_units_are_the_same(reader: Reader) -> None:
    assert row(reader, "item-weight", "Tarp, weight 34 oz", "Tarp, weight 964 g").verdict == "rounding"
    assert row(reader, "item-weight", "Tarp, weight 964 g", "Tarp, weight 964 g").verdict == "same"
    assert row(reader, "item-weight", "Tarp, weight 960 g", "Tarp, weight 964 g").verdict == "more"


def test_bounds_and_ranges(reader: Reader) -> None:
    least = row(reader, "fill-power", "down bag, 850+ fill power", "down bag, 700 fill power")
    assert values(least) == ["at least 850", "700"]
    assert least.says.startswith("Tag 1 states at least 150")
    over = row(reader, "fill-power", "down bag, 850+ fill power", "down bag, 900 fill power")
    assert over.verdict == "overlap"
    spans = row(reader, "torso-length", "Pack, torso length 16-19 in", "Pack, torso length 20-22 in")
    assert values(spans) == ["16 to 19", "20 to 22"]
    assert spans.verdict == "more"
    assert row(reader, "torso-length", "Pack, torso 16-19 in", "Pack, torso 18-22 in").verdict == "overlap"


def test_four_tags_and_words(reader: Reader) -> None:
    texts = [f"Tent fly: {denier}D ripstop nylon" for denier in (15, 40, 20)] + ["Tent fly: polyester"]
    its = row(reader, "denier", *texts)
    assert its.says == "25\u00a0D apart, from tag 1 to tag 2."
    assert row(reader, "ripstop", *texts).says == "Stated on tag 1, tag 2 and tag 3."
    assert row(reader, "ripstop", texts[0], texts[3]).says == "Only tag 1 states this."


def test_the_same_again_in_other_units_is_one_claim(reader: Reader) -> None:
    its = row(reader, "minimum-weight", "Tent, min weight 2 lb 4 oz (1.02 kg)", "Tent, min weight 2 lb 4 oz")
    assert its.verdict == "same"


def test_what_can_be_read_in_two_ways_is_not_compared(reader: Reader) -> None:
    its = row(reader, "item-weight", "Synthetic jacket: 60g insulation, 11.6 oz", "Synthetic jacket, weight 400 g")
    assert (its.verdict, its.says) == ("either", "Not compared: on tag 1 it can be read in more than one way.")
