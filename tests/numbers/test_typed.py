"""The shared cases of what is typed into a field, with its unit, in Python and in V8."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from hangtag.numbers import NotANumber
from hangtag.typed import WrongUnit, browser_table, convert_text, find_typed, folded_key, read_quantity
from hangtag.units import BASES, Dimension, Unit, UnitList
from tests.v8 import V8

CASES: dict[str, list[dict[str, Any]]] = json.loads(
    (Path(__file__).parent.parent / "compliance" / "fields" / "quantities.json").read_text(encoding="utf-8")
)


def units_of_the_cases() -> UnitList:
    """A list whose dimensions differ by name alone: which bases they are made of is of no account here."""
    names: dict[str, Dimension] = {}
    for row in CASES["units"]:
        exponents = (Fraction(len(names) + 1), *[Fraction(0)] * (len(BASES) - 1))
        names.setdefault(row["measures"], Dimension(exponents))
    units = {
        row["id"]: Unit(
            id=row["id"],
            is_=row["id"],
            prints=row["prints"],
            typed=tuple(row["typed"]),
            says=row["says"],
            system=None,
            dimension=names[row["measures"]],
            factor=Fraction(row["factor"]),
            offset=Fraction(row["offset"]),
        )
        for row in CASES["units"]
    }
    return UnitList(units, {dimension: name for name, dimension in names.items()})


UNITS = units_of_the_cases()


@pytest.fixture(scope="module")
def v8() -> V8:
    context = V8("numbers.js", "units.js")
    context.load(f"hangtag.units.define({json.dumps(browser_table(UNITS))})")
    return context


@pytest.mark.parametrize("case", CASES["reads"], ids=lambda case: ascii(case["text"]) + "-" + case["own"][0])
def test_reading_a_quantity(case: dict[str, Any], v8: V8) -> None:
    own = [UNITS.units[unit] for unit in case["own"]]
    try:
        quantity = read_quantity(case["text"], own, UNITS, case["language"])
        python: dict[str, Any] = {"gives": {**vars(quantity), "unit": quantity.unit.id}}
    except (NotANumber, WrongUnit) as refused:
        python = {"refuses": refused.code, "values": refused.values}
    if "refuses" in case:
        assert python["refuses"] == case["refuses"]
    else:
        assert {key: python["gives"][key] for key in case["gives"]} == case["gives"]
    assert v8.call("hangtag.units.readQuantity", case["text"], case["own"], case["language"]) == python


@pytest.mark.parametrize("case", CASES["converts"], ids=lambda case: f"{case['number']} {case['from']} in {case['to']}")
def test_switching_a_unit(case: dict[str, Any], v8: V8) -> None:
    assert convert_text(case["number"], UNITS.units[case["from"]], UNITS.units[case["to"]]) == case["text"]
    assert v8.call("hangtag.units.convertText", case["number"], case["from"], case["to"]) == {"gives": case["text"]}


decimals = st.decimals(-(10**7), 10**7, places=4).map(lambda value: format(value.normalize(), "f"))
unit_ids = st.sampled_from(sorted(UNITS.units))


@settings(deadline=None)
@given(decimals, unit_ids, unit_ids)
def test_a_unit_switch_is_exact_and_agrees(v8: V8, number: str, first: str, second: str) -> None:
    source, target = UNITS.units[first], UNITS.units[second]
    text = convert_text(number, source, target)
    assert v8.call("hangtag.units.convertText", number, first, second) == {"gives": text}
    exact = source.exact_si(Fraction(number)) / target.factor - target.offset
    assert abs(Fraction(text) - exact) <= abs(exact) * Fraction(5, 10**15)


@settings(deadline=None)
@given(st.floats(-1e12, 1e12), unit_ids)
def test_si_values_agree_to_the_bit(v8: V8, value: float, unit: str) -> None:
    assert v8.call("hangtag.units.toSi", value, unit) == {"gives": UNITS.units[unit].to_si(value)}
    assert v8.call("hangtag.units.fromSi", value, unit) == {"gives": UNITS.units[unit].from_si(value)}


near_units = st.text(st.sampled_from(list("mMgGkKdDozOZinIN²³^2/ ·µ°CF\"'₂ H")), min_size=1, max_size=7)


@settings(deadline=None)
@given(near_units | st.text(min_size=1, max_size=6), st.lists(unit_ids, min_size=1, max_size=3))
def test_both_languages_find_the_same_unit(v8: V8, text: str, own: list[str]) -> None:
    unit = find_typed(text, [UNITS.units[each] for each in own], UNITS)
    assert v8.call("hangtag.units.find", text, own) == {"gives": None if unit is None else unit.id}


def test_every_spelling_finds_its_unit_in_its_own_field() -> None:
    for unit in UNITS.units.values():
        for spelling in (unit.id, unit.prints, *unit.typed, unit.says, unit.says.upper()):
            assert find_typed(spelling, [unit], UNITS) is unit, spelling


def test_a_spelling_that_folds_to_two_units_is_not_guessed() -> None:
    milli, mega = (
        Unit(
            id=name,
            is_=name,
            prints=name,
            typed=(),
            says=name + name,
            system=None,
            dimension=Dimension(),
            factor=Fraction(1),
        )
        for name in ("mPa", "MPa")
    )
    both = UnitList({"mPa": milli, "MPa": mega})
    assert folded_key("MPA") == "mpa"
    assert find_typed("mPa", [milli, mega], both) is milli
    assert find_typed("MPa", [milli, mega], both) is mega
    assert find_typed("mpa", [milli, mega], both) is None


def test_a_refusal_names_both_dimensions_and_what_would_do() -> None:
    own = [UNITS.units["mmH2O"], UNITS.units["kPa"]]
    with pytest.raises(WrongUnit) as refused:
        read_quantity("3 kg", own, UNITS)
    assert refused.value.values == {"unit": "kg", "found": "mass", "wanted": "pressure", "known": "mm, kPa"}


def test_every_refusal_has_its_words() -> None:
    room = Path(__file__).parent.parent
    table = yaml.safe_load((room.parent / "site_templates" / "strings" / "en.yml").read_text(encoding="utf-8"))
    typed = json.loads((room / "compliance" / "numbers" / "read_typed.json").read_text(encoding="utf-8"))
    refused = [case for case in (*typed, *CASES["reads"]) if "refuses" in case]
    assert len({case["refuses"] for case in refused}) == 9
    for case in refused:
        own = [UNITS.units[unit] for unit in case.get("own", ["m"])]
        words = ""
        try:
            read_quantity(case["text"], own, UNITS, case["language"])
        except (NotANumber, WrongUnit) as refusal:
            words = table[refusal.code].format(**refusal.values)
        assert words.endswith(".")
        assert "{" not in words
