"""Reading and printing numbers: the author's exact grammar, the one display rule, and what a reader typed.

The browser does the same in `site_templates/scripts/numbers.js`; tests/compliance/numbers holds the two together.
Must not know units: what follows a typed number is handed back as it stands.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

# --------------------------------------------------------------------------------------------------- author's numbers

_AUTHOR = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:e([+-]?[0-9]{1,3}))?")
# together far below the largest float, so that no number of an author's overflows in any unit
_LARGEST_EXPONENT = 200
_LONGEST_AUTHOR = 60


def is_author_number(text: str) -> bool:
    """Whether a text is `-?digits[.digits][e±n]`, with an exponent that a float can hold."""
    if len(text) > _LONGEST_AUTHOR:
        return False
    found = _AUTHOR.fullmatch(text)
    return found is not None and abs(int(found.group(1) or 0)) <= _LARGEST_EXPONENT


def exact(text: str) -> Fraction:
    """The exact value of an author's number. Raises ValueError for any other text."""
    if not is_author_number(text):
        raise ValueError(text)
    return Fraction(text)


# ----------------------------------------------------------------------------------------------------------- printing

SNAP_DIGITS = 15  # decimal digits that every float keeps; what follows may be the trace of a conversion
MINUS = "\N{MINUS SIGN}"


def half_up(value: float, digits: int) -> tuple[bool, str, int]:
    """Round to significant digits, a 5 away from zero, starting from the shortest digits that give the float.

    Gives (negative, digit string, exponent) of d.ddd * 10^exponent, without trailing zeros; zero is (False, "0", 0).
    With `digits` of 0 or less the place lies left of the first digit. Raises ValueError for inf and nan.
    """
    if not math.isfinite(value):
        raise ValueError(repr(value))
    mantissa, _, power = repr(abs(value)).partition("e")
    whole, _, decimals = mantissa.partition(".")
    all_digits = whole + decimals
    shortest = all_digits.lstrip("0")
    exponent = int(power or 0) + len(whole) - 1 - (len(all_digits) - len(shortest))
    return _rounded(value < 0, shortest, exponent, digits)


def _rounded(negative: bool, digits: str, exponent: int, keep: int) -> tuple[bool, str, int]:
    """Half-up on a string of digits: no float comes in, so both languages agree."""
    if keep < len(digits):
        up = keep >= 0 and digits[keep] >= "5"
        kept = digits[: max(keep, 0)]
        if up:
            grown = str(int(kept or "0") + 1)
            if len(grown) > len(kept):
                exponent += 1
            kept = grown
        digits = kept
    digits = digits.rstrip("0")
    return (negative, digits, exponent) if digits else (False, "0", 0)


def snap(value: float) -> float:
    """The float at 15 significant digits, half-up: what bands compare. Raises ValueError for inf and nan."""
    negative, digits, exponent = half_up(value, SNAP_DIGITS)
    snapped = float(f"{'-' if negative else ''}{digits}e{exponent - len(digits) + 1}")
    return snapped if math.isfinite(snapped) else value  # the largest floats have nothing above them to round to


def show_plain(value: float, digits: int = 4, places: int = 6, whole: bool = False) -> str:
    """A number by the one display rule, with ASCII `-`: for URLs and other programs.

    First half-up to 15 significant digits, then half-up to `digits` of them, but never left of the units place and
    never past `places` decimals; `whole` keeps no decimals. No trailing zeros, no grouping, zero has no sign.
    Raises ValueError for inf and nan.
    """
    negative, text, exponent = half_up(value, SNAP_DIGITS)
    units = exponent + 1  # how many digits stand left of the point
    keep = units if whole else min(max(digits, units), units + places)
    return _plain(*_rounded(negative, text, exponent, keep))


def show(value: float, digits: int = 4, places: int = 6, whole: bool = False) -> str:
    """The same as `show_plain` with a true minus sign: for people."""
    return show_plain(value, digits, places, whole).replace("-", MINUS)


def show_exact(value: Fraction) -> str:
    """An exact number in decimals, half-up to at most 15 significant digits, with ASCII `-`."""
    above, below = abs(value.numerator), value.denominator
    exponent = len(str(above)) - len(str(below))
    shift = SNAP_DIGITS + 1 - exponent  # at least 16 digits of the quotient, so that the rounding sees the 16th
    quotient = above * 10**shift // below if shift >= 0 else above // (below * 10**-shift)
    text = str(quotient)
    return _plain(*_rounded(value < 0, text if quotient else "", len(text) - 1 - shift, SNAP_DIGITS))


def _plain(negative: bool, digits: str, exponent: int) -> str:
    if exponent < 0:
        digits, exponent = "0" * -exponent + digits, 0
    whole = digits[: exponent + 1].ljust(exponent + 1, "0")
    decimals = digits[exponent + 1 :]
    return ("-" if negative else "") + whole + ("." + decimals if decimals else "")


# ------------------------------------------------------------------------------------------------------ what was typed

LONGEST_TYPED = 100
# Languages whose decimal mark is the point; every other language of a page writes 1,5.
POINT_LANGUAGES = frozenset({"en", "es-mx", "es-us", "he", "hi", "ja", "ko", "ms", "sw", "th", "zh"})
_SPACES = "\t\n\r\f\v\u0085\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"
_MINUSES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d"
_APOSTROPHES = "\u2018\u2019\u02bc\u00b4`\uff07"
_UNSEEN = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u200e\u200f\u2060\u2066\u2067\u2068\u2069\ufeff"))
_FOLD = {
    **dict.fromkeys(map(ord, _SPACES), " "),
    **dict.fromkeys(map(ord, _MINUSES), "-"),
    **dict.fromkeys(map(ord, _APOSTROPHES), "'"),
    **{0xFF10 + digit: str(digit) for digit in range(10)},  # an East Asian keyboard's full-width digits
    0xFF0B: "+",
    0xFF0C: ",",
    0xFF0E: ".",
}
_DIGITS = "0123456789"
_MARKS = ".,' "
_GROUP = 3
_POWER_OF_TEN = re.compile("[eE][+-]?[0-9]")
_SECOND_NUMBER = re.compile(
    "^[-+/:~'\" ]*[0-9\u00bc-\u00be\u2150-\u215e]| [0-9]"
)  # 10/10, 5-10, 5'11, 2\u00bd, 2 lb 4 oz


class Refused(ValueError):
    """A typed text that does not fit. `code` is a label of the strings table, `values` fill its holes."""

    def __init__(self, code: str, values: Mapping[str, object]) -> None:
        super().__init__(code)
        self.code = code
        self.values = dict(values)


class NotANumber(Refused):
    """A typed text that is no number."""


@dataclass(frozen=True)
class Typed:
    """What was read: `number` in the author's grammar, the rest as `unit`; `doubted` where it could mean another."""

    number: str
    unit: str
    doubted: bool


def is_point_language(language: str) -> bool:
    """Whether a page in this language writes 1.5 (and 1,500) rather than 1,5 (and 1.500)."""
    code = language.lower()
    return code in POINT_LANGUAGES or code.partition("-")[0] in POINT_LANGUAGES


def honest_values(body: str) -> tuple[str, ...]:
    """Every honest reading of ASCII digits with marks `. , '` or space, as author's numbers; none for `1.2.3`.

    `1.500` is 1500 or 1.5, in this order; `1.500,25` is 1500.25 alone.
    """
    thousands, decimal = _readings(body)
    return tuple(value for value in (thousands, decimal) if value is not None)


def read_typed(text: str, language: str = "en", *, kelvin: bool = False) -> Typed:
    """Read a number as people type it, and what follows it.

    Comma, point, space and apostrophe are understood; where `1,500` or `1.500` could be either, the page's language
    decides. A `k` or `K` right after the digits and before no letter is a thousand; with `kelvin` a `K` is left
    as the unit. Raises NotANumber with the code of a label that says why in words.
    """
    if len(text) > LONGEST_TYPED:
        raise NotANumber("number-too-long", {"most": str(LONGEST_TYPED)})
    seen = text.translate(_UNSEEN)
    folded = seen.translate(_FOLD)  # one character for one: places agree
    shown = {"text": folded.strip(" ")}
    if not shown["text"]:
        raise NotANumber("number-empty", {})

    at = _past(folded, 0, " ")
    start = at
    at = _past(folded, at, "+- ")
    signs = folded[start:at].replace(" ", "")
    if len(signs) > 1:
        raise NotANumber("number-two-signs", shown)
    end = _end_of_body(folded, at)
    body = folded[at:end]
    if not body:
        raise NotANumber("number-none", shown)
    number, doubted = _choose(body, is_point_language(language), shown)

    if end < len(folded) and folded[end] in "kK" and folded[end - 1] in _DIGITS and not _is_letter(folded, end + 1):
        capital = folded[end] == "K"
        if not (capital and kelvin):
            number, doubted, end = _times_thousand(number), doubted or capital, end + 1
    rest_at = _past(folded, end, " ")
    unit_end = len(folded.rstrip(" "))
    _refuse_rest(folded[end:], shown)
    if number != "0" and "-" in signs:
        number = "-" + number
    return Typed(number, seen[rest_at:unit_end], doubted)


def _past(text: str, at: int, among: str) -> int:
    while at < len(text) and text[at] in among:
        at += 1
    return at


def _is_letter(text: str, at: int) -> bool:
    """Anything that could go on with a unit's name: a letter or digit of ASCII, and all beyond ASCII."""
    return at < len(text) and (
        "a" <= text[at] <= "z" or "A" <= text[at] <= "Z" or text[at] in _DIGITS or text[at] > "~"
    )


def _end_of_body(text: str, at: int) -> int:
    """Where digits and the marks between them end: a space or apostrophe belongs to it only before exactly three."""
    start = at
    at = _past(text, at, _DIGITS)
    marks = ""
    while at < len(text) and text[at] in _MARKS:
        mark = text[at]
        after = _past(text, at + 1, _DIGITS)
        count = after - at - 1
        if mark in " '" and (at == start or count != _GROUP or marks.strip(mark)):
            break
        if count == 0 and at == start:
            break
        marks += mark
        at = after
        if count == 0:  # `1500.` ends here
            break
    return at


def _readings(body: str) -> tuple[str | None, str | None]:
    """(with the marks as thousands, with the last mark as the decimal one); None where that reading is not honest."""
    marks = [character for character in body if character in _MARKS]
    if not marks:
        return _canonical(body, ""), None
    last = marks[-1]
    head, _, tail = body.rpartition(last)
    thousands = _joined(body) if len(set(marks)) == 1 else None
    decimal = None
    if last in ".," and marks.count(last) == 1:
        whole = _joined(head) if len(marks) > 1 else head
        if whole is not None and len(set(marks)) <= 2 and (whole or tail):  # noqa: PLR2004  a thousands mark and a decimal one
            decimal = _canonical(whole, tail)
    return thousands, decimal


def _joined(body: str) -> str | None:
    """Digits in groups of three as one number, or None where the groups are not those of thousands."""
    first, *others = "".join(" " if character in _MARKS else character for character in body).split(" ")
    good = 1 <= len(first) <= _GROUP and first[0] != "0" and all(len(group) == _GROUP for group in others)
    return first + "".join(others) if good else None


def _choose(body: str, point: bool, shown: Mapping[str, str]) -> tuple[str, bool]:
    """The reading a page's language prefers, and whether a reader could have meant another."""
    thousands, decimal = _readings(body)
    marks = {character for character in body if character in _MARKS}
    native = marks == {"." if point else ","}
    if thousands is not None:
        return (decimal, True) if native and decimal is not None else (thousands, False)
    if decimal is None:
        raise NotANumber("number-two" if marks <= set(" '") else "number-two-points", shown)
    alone = len(marks) == 1 and body[-1] not in _MARKS
    return decimal, alone and not native


def _canonical(whole: str, decimals: str) -> str:
    whole = whole.lstrip("0") or "0"
    decimals = decimals.rstrip("0")
    return f"{whole}.{decimals}" if decimals else whole


def _times_thousand(number: str) -> str:
    whole, _, decimals = number.partition(".")
    moved = decimals.ljust(_GROUP, "0")
    return _canonical(whole + moved[:_GROUP], moved[_GROUP:])


def _refuse_rest(rest: str, shown: Mapping[str, str]) -> None:
    """What follows a number may be a unit; a second number, a power of ten or another mark is refused by name."""
    if _POWER_OF_TEN.match(rest):
        raise NotANumber("number-exponent", shown)
    if rest.lstrip(" ")[:1] in (".", ","):
        raise NotANumber("number-two-points", shown)
    if _SECOND_NUMBER.search(rest):
        raise NotANumber("number-two", shown)
