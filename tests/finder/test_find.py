"""What single searches give: numbers and their units, typos, reasons in words, and no dead end."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangtag.finder import Index, find, is_searchable
from tests.v8 import V8

# Texts like queries, and everything else a keyboard gives.
like_queries = st.text(
    st.sampled_from(list("abdefiklmnoprstuwxy0123456789 .,/-–−²°'\"kgCFmR(+é×½\u00a0𝐃")), max_size=20
)


def ids(index: Index, typed: str) -> list[str]:
    return [its.id for its in find(index, typed).results]


@pytest.mark.parametrize(
    ("typed", "same"),
    [
        ("20D", "20 D"),
        ("10 000 mm", "10,000 mm"),
        ("10k mm", "10000mm"),
        ("55 g/m²", "55 g/m2"),
        ("55 g/m^2", "55 gsm"),
        ("−5 °C", "-5 C"),
        ("DENIER", "denier"),
        ("dénier", "denier"),
        ("rip stop", "ripstop"),
    ],
)
def test_other_ways_to_type_the_same_find_the_same(found_in: Index, typed: str, same: str) -> None:
    assert ids(found_in, typed)[0] == ids(found_in, same)[0]


def test_a_number_with_a_unit_matches_that_unit_alone(found_in: Index) -> None:
    for typed, unit in (("20D", "D"), ("60 L", "L"), ("2.5 tog", "tog")):
        for its in find(found_in, typed).results:
            quantity = next(each.quantity for each in found_in.tables.targets if each.id == its.id)
            assert quantity is not None
            assert unit in {found_in.tables.units[row].prints for row in quantity.units}, (typed, its.id)


def test_a_swap_is_one_slip(found_in: Index) -> None:
    assert ids(found_in, "ripstpo")[0] == "ripstop"


def test_short_words_are_not_bent(found_in: Index) -> None:
    assert find(found_in, "dex").results == ()  # one letter from `den`


def test_a_bare_number_lists_what_it_could_be(found_in: Index) -> None:
    found = find(found_in, "1500")
    assert found.results[0].id == "hydrostatic-head"
    assert found.results[0].because == "could be 1500 mm"
    assert len(found.results) > 1


def test_a_value_goes_along_only_where_it_is_one(found_in: Index) -> None:
    assert find(found_in, "1500 mm").results[0].value == "1500 mm"
    assert find(found_in, "1500").results[0].value is None
    assert find(found_in, "denier").results[0].value is None


@pytest.mark.parametrize(
    ("typed", "because"),
    [
        ("denier", "this is its name"),
        ("water column", "also called water column"),
        ("20D", "tags print it so: 20 D"),
        ("condesation", "close to what you typed: Condensation"),
        ("cold from below", "people ask about it with “cold”, “below”"),
        ("g/m2", "in g/m²"),
    ],
)
def test_a_result_says_why_it_is_there(found_in: Index, typed: str, because: str) -> None:
    assert find(found_in, typed).results[0].because == because


def test_gear_comes_after_entries(found_in: Index) -> None:
    found = find(found_in, "tent").results
    assert [its.page for its in found if its.term is None] == ["gear/tent/"]
    assert found[-1].term is None


def test_nothing_found_names_the_nearest(found_in: Index) -> None:
    found = find(found_in, "xqzzqx")
    assert found.results == ()
    assert len(found.nearest) == 3


def test_only_signs_find_nothing(found_in: Index) -> None:
    assert not is_searchable("?!")
    assert find(found_in, "?!").as_json() == {"query": "?!", "results": [], "nearest": []}


def test_equal_scores_stand_by_id(found_in: Index) -> None:
    results = [its for its in find(found_in, "20").results if its.term]
    assert results == sorted(results, key=lambda its: (-its.score, its.id))


@settings(max_examples=150)
@given(st.text(max_size=60) | like_queries)
def test_any_text_is_searched_alike_in_both_languages(found_in: Index, v8: V8, typed: str) -> None:
    assert v8.call("hangtag.finder.find", typed)["gives"] == find(found_in, typed).as_json()


def test_a_very_long_text_is_searched(found_in: Index, v8: V8) -> None:
    for typed in ("a" * 10_000, "20D " * 2_500, "𝐃" * 5_000):
        assert v8.call("hangtag.finder.find", typed)["gives"] == find(found_in, typed).as_json()
