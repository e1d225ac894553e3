"""The book's list of units: exact factors, temperatures, and nothing of an author's handed to pint."""

from __future__ import annotations

from fractions import Fraction

import pytest

from hangtag.problems import Problems
from hangtag.units import PINT_WORDS, TEMPERATURE, TEMPERATURE_DIFFERENCE, UnitList, read_units, registry
from hangtag.yaml_source import Mapping, read_text


def listed(text: str) -> tuple[UnitList, list[str]]:
    problems = Problems()
    node = read_text(text, "_units.yml", problems)
    assert isinstance(node, Mapping)
    units = read_units(node, "_units.yml", problems)
    return units, [its.code for its in problems.sorted()]


@pytest.mark.parametrize(
    ("is_", "factor"),
    [
        ("foot", Fraction(381, 1250)),  # the international foot of 1959: 0.3048 m exactly
        ("inch**3/ounce", Fraction(16387064, 10**12) / Fraction(28349523125, 10**12)),
        ("0.155 * meter**2 * kelvin / watt", Fraction(155, 1000)),
        (
            "hour * foot**2 * delta_degF / Btu_it",
            Fraction(3600) * Fraction(381, 1250) ** 2 * Fraction(5, 9) / Fraction(105505585262, 10**8),
        ),
        ("gram / (100 * meter)", Fraction(1, 100_000)),
    ],
)
def test_factors_are_exact(is_: str, factor: Fraction) -> None:
    units, codes = listed(f"u: {{is: {is_}, says: u}}\n")
    assert codes == []
    assert units.units["u"].factor == factor


def test_temperatures_and_differences_are_two_kinds() -> None:
    units, codes = listed(
        "C: {is: degC, kind: temperature, says: c}\nF: {is: degF, kind: temperature, says: f}\n"
        "K: {is: kelvin, says: k}\ndF: {is: delta_degF, says: df}\nU: {is: watt/meter**2/delta_degC, says: u}\n"
    )
    assert codes == []
    assert units.units["C"].dimension == units.units["F"].dimension == TEMPERATURE
    assert units.units["K"].dimension == units.units["dF"].dimension == TEMPERATURE_DIFFERENCE
    assert units.units["F"].exact_si(Fraction(-40)) == units.units["C"].exact_si(Fraction(-40)) == Fraction(23315, 100)
    assert units.units["C"].to_si(35.0) == 308.15


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("u: {is: D, says: u}", "bad-unit-definition"),  # the debye, in pint
        ("u: {is: cfm, says: u}", "bad-unit-definition"),  # the centifermi
        ("u: {is: meter**x, says: u}", "bad-unit-definition"),
        ("u: {is: 0 * meter, says: u}", "bad-unit-definition"),
        ("u: {is: meter meter, says: u}", "bad-unit-definition"),
        ("u: {is: __import__, says: u}", "bad-unit-definition"),
        ("u: {is: degC, says: u}", "bad-unit-definition"),
        ("2u: {is: meter, says: u}", "bad-unit-id"),
        ("'a b': {is: meter, says: u}", "bad-unit-id"),
        ("u: {is: meter, says: u}\nv: {is: 2 * meter, typed: [u], says: v}", "unit-spelling-shared"),
        ("dimensions: {length: m}", "unknown-unit"),
    ],
)
def test_what_is_no_unit(line: str, code: str) -> None:
    assert listed(line + "\n")[1] == [code]


def test_pint_knows_every_allowed_word_by_that_very_name() -> None:
    for word in PINT_WORDS:
        assert registry().get_name(word, case_sensitive=True) or word in registry()


def test_a_dimension_has_a_name_or_its_base_units() -> None:
    units, _ = listed("m: {is: meter, says: m}\ng: {is: gram, says: g}\ndimensions: {length: m}\n")
    length, mass = units.units["m"].dimension, units.units["g"].dimension
    assert units.name_of(length) == "length"
    assert units.name_of(mass / length ** Fraction(2)) == "quantity in kg·m^-2"
    assert units.name_of(length / length) == "plain number"
