"""What holds for every number and every text, against `decimal` of the standard library and against V8."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangtag import numbers
from tests.v8 import V8

finite = st.floats(allow_nan=False, allow_infinity=False)
everyday = st.floats(min_value=-1e9, max_value=1e9) | st.decimals(-9999, 9999, places=4).map(float)
# Texts near to numbers find more than texts of any kind.
near_numbers = st.text(st.sampled_from(list("0123456789000555.,' kKeE+-−–/½m²D\u00a0\u2009\u200b’")), max_size=14)


@pytest.fixture(scope="module")
def v8() -> V8:
    return V8("numbers.js")


def by_decimal(value: float, digits: int) -> Decimal:
    """The shortest digits of a float, rounded half-up by the standard library."""
    exact = Decimal(repr(value))
    if not exact:
        return Decimal(0)
    return exact.quantize(Decimal(1).scaleb(exact.adjusted() - digits + 1), ROUND_HALF_UP) if digits > 0 else exact


@settings(deadline=None)
@given(finite, st.integers(1, 16))
def test_half_up_is_that_of_the_decimal_module(value: float, digits: int) -> None:
    negative, text, exponent = numbers.half_up(value, digits)
    ours = Decimal(int(text)).scaleb(exponent - len(text) + 1)
    assert (-ours if negative else ours) == by_decimal(value, digits)


@settings(deadline=None)
@given(everyday, st.integers(1, 8), st.integers(0, 8))
def test_shown_numbers_are_within_half_of_their_last_place(value: float, digits: int, places: int) -> None:
    shown = Decimal(numbers.show_plain(value, digits, places))
    exact = Decimal(repr(value))
    last = max(-places, min(0, exact.adjusted() - digits + 1)) if exact else 0
    assert abs(shown - exact) <= Decimal("0.500001").scaleb(last)


@settings(deadline=None)
@given(finite | everyday, st.integers(0, 15), st.integers(0, 9), st.booleans())
def test_both_languages_show_the_same(v8: V8, value: float, digits: int, places: int, whole: bool) -> None:
    text = numbers.show(value, digits, places, whole)
    assert v8.call("hangtag.numbers.show", value, digits, places, whole) == {"gives": text}
    assert v8.call("hangtag.numbers.snap", value) == {"gives": numbers.snap(value)}


@settings(deadline=None)
@given(near_numbers | st.text(max_size=20), st.sampled_from(["en", "de"]), st.booleans())
def test_both_languages_read_the_same_or_refuse_with_the_same_words(
    v8: V8, text: str, language: str, kelvin: bool
) -> None:
    try:
        expected: dict[str, object] = {"gives": vars(numbers.read_typed(text, language, kelvin=kelvin))}
    except numbers.NotANumber as refused:
        expected = {"refuses": refused.code, "values": refused.values}
    assert v8.call("hangtag.numbers.readTyped", text, language, kelvin) == expected


@settings(deadline=None)
@given(near_numbers)
def test_what_is_read_is_an_author_number_and_an_honest_reading(text: str) -> None:
    try:
        number = numbers.read_typed(text).number
    except numbers.NotANumber:
        return
    assert numbers.is_author_number(number)
    assert float(number) == float(Fraction(number))
    assert str(number) == numbers.read_typed(number).number


@settings(deadline=None)
@given(st.text(st.sampled_from(list("0123456789.,' ")), min_size=1, max_size=12))
def test_honest_values_agree_in_both_languages(v8: V8, body: str) -> None:
    assert v8.call("hangtag.numbers.honest", body) == {"gives": list(numbers.honest_values(body))}


@settings(deadline=None)
@given(st.fractions(max_denominator=10**9))
def test_an_exact_number_is_shown_to_15_digits(value: Fraction) -> None:
    shown = Fraction(numbers.show_exact(value))
    assert abs(shown - value) <= abs(value) * Fraction(5, 10**15)


@pytest.mark.parametrize("text", ["1", "-1", "0.5", "007", "1e3", "1e+3", "-2.50e-10", "1e200"])
def test_author_numbers(text: str) -> None:
    assert numbers.exact(text) == Fraction(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "+1",
        ".5",
        "1.",
        "1,5",
        "1 500",
        "1_000",
        "1E3",
        "1e",
        "1e301",
        "1e9999",
        "nan",
        "inf",
        "0x10",
        "1/2",
        "１",
        "1\n",
        "1" * 201,
    ],
)
def test_what_is_no_author_number(text: str) -> None:
    assert not numbers.is_author_number(text)
    with pytest.raises(ValueError, match=r"^"):
        numbers.exact(text)


@pytest.mark.parametrize("value", [float("inf"), float("-inf"), float("nan")])
def test_what_is_not_finite_is_never_shown(value: float) -> None:
    for function in (numbers.show, numbers.show_plain, numbers.snap):
        with pytest.raises(ValueError, match=r"inf|nan"):
            function(value)
