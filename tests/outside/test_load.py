"""Load and feet: weights, volumes, shares, torso and soles, against a study, sums by hand and a general library."""

from __future__ import annotations

from functools import cache

import numpy as np
import pint
import pytest

from hangtag.answers import work_backwards
from hangtag.book import Book
from hangtag.problems import ProblemError

from .checks import Check, judge, refused, result

PINT = "pint 0.25"
STUDY = "Legg and Mahanty 1986, Ergonomics 29:433, DOI 10.1080/00140138608968276, abstract: 0.96 % for 100 g, ratio 6.4"
PACK_OF_STUDY = "the same abstract: a pack of 35 % of body weight"
BOOTS_SHOES = "boots of 1776 g against shoes of 616 g a pair, a study of 1984 read in a summary: 5.9 % or more"
SAYING = "common practice, no source: a pound on the feet is five on the back"
KIT = "a kit list added up by hand: base 6180 g, consumables 5000 g, worn 1450 g, poles 480 g"
TRIO = "shoes of a randomised trial of drops of 10, 6 and 0 mm (Malisoux and others 2016, read in a review's table)"
SUBTRACTION = "differences of two lengths, by hand"

# ------------------------------------------------------------------------------------------------------------- feet


def shoes(first: int, other: int, **choices: str) -> dict[str, str]:
    """Two weights in grams, of a pair unless said otherwise."""
    return {"first": f"{first} g", "other": f"{other} g", "stated": "pair", **choices}


MEASURED = {"study": "five_men", "times": "measured"}
SUMMARY = {"study": "boots_shoes", "times": "saying"}
OF_SHOES = (
    Check("boots-to-back", shoes(1200, 700, **MEASURED), "oxygen", "4.80 percent", "published", STUDY),
    Check("boots-to-back", shoes(1200, 700, **MEASURED), "off_the_back", "3200 g", "published", STUDY),
    Check("boots-to-back", shoes(1100, 1000, **MEASURED), "oxygen", "0.96 percent", "published", STUDY),
    Check("boots-to-back", shoes(1776, 616, **SUMMARY), "off_the_feet", "1160 g", "reported", BOOTS_SHOES),
    Check("boots-to-back", shoes(1776, 616, **SUMMARY), "oxygen", "5.9 percent", "reported", BOOTS_SHOES),
)


def sole(heel: str, ball: str, heel_lugs: str, ball_lugs: str) -> dict[str, str]:
    """A sole with lugs."""
    return {"heel_stack": heel, "forefoot_stack": ball, "heel_lugs": heel_lugs, "forefoot_lugs": ball_lugs}


OF_SOLES = (
    *(
        Check("stack-less-lugs", sole(f"{heel} mm", f"{ball} mm", "0 mm", "0 mm"), "drop_with", drop, "reported", TRIO)
        for heel, ball, drop in ((24, 14, "10 mm"), (21, 15, "6 mm"), (21, 21, "0 mm"))
    ),
    Check("stack-less-lugs", sole("30 mm", "22 mm", "4 mm", "4 mm"), "ball_less", "18 mm", "derived", SUBTRACTION),
    Check("stack-less-lugs", sole("28 mm", "22 mm", "2 mm", "4 mm"), "drop_less", "8 mm", "derived", SUBTRACTION),
    Check("stack-less-lugs", sole("1.25 in", "1 in", "0.25 in", "0.25 in"), "heel_less", "25.4 mm", "library", PINT),
)

# ------------------------------------------------------------------------------------------------------------- packs


def pack(main: str, extension: str = "0 L") -> dict[str, str]:
    """A pack's two volumes."""
    return {"main": main, "extension": extension}


OF_VOLUMES = (
    Check("volume-units", pack("55 L", "10 L"), "closed", "3356.306 in^3", "library", PINT),
    Check("volume-units", pack("55 L", "10 L"), "extended", "3966.543 in^3", "library", PINT),
    Check("volume-units", pack("20 L"), "closed", "1220.475 in^3", "library", PINT),
    Check("volume-units", pack("700 in^3"), "closed", "11.470945 L", "library", PINT),
    Check("volume-units", pack("1 L"), "closed", "61.0237441 in^3", "library", PINT),
)


def torso(length: str) -> dict[str, str]:
    """A torso against the size from 17 to 19 inches."""
    return {"torso": length, "shortest": "17 in", "longest": "19 in"}


OF_TORSOS = (
    Check("torso-fit", torso("46 cm"), "above_shortest", "2.82 cm", "library", PINT),
    Check("torso-fit", torso("46 cm"), "below_longest", "2.26 cm", "library", PINT),
    Check("torso-fit", torso("16 in"), "above_shortest", "-1 in", "derived", SUBTRACTION),
)


def share(carried: str, body: str) -> dict[str, str]:
    """What is carried, and by whom."""
    return {"carried": carried, "body": body}


OF_SHARES = (
    Check("load-share", share("24.5 kg", "70 kg"), "share", "35 percent", "published", PACK_OF_STUDY),
    Check("load-share", share("33 lb", "75 kg"), "share", "19.958 percent", "library", PINT),
    Check("load-share", share("35 lb", "79.378664750 kg"), "share", "20 percent", "library", PINT),
)

# --------------------------------------------------------------------------------------------------------------- kit


def kit(hands: str = "carried", total: str = "with_body") -> dict[str, str]:
    """The worked kit, four days of food, and the two readings that the trade disagrees on."""
    return {
        "kept": "6180 g",
        "food": "2800 g",
        "fuel": "200 g",
        "water": "2000 g",
        "worn": "1450 g",
        "in_hand": "480 g",
        "body": "70 kg",
        "hands_count": hands,
        "total_means": total,
    }


def three(pad: str) -> dict[str, str]:
    """Pack, shelter and bed of the worked kit; whether the pad counts."""
    return {
        "pack": "1200 g",
        "shelter": "1150 g",
        "bag": "1350 g",
        "pad": "450 g",
        "base": "6180 g",
        "pad_counts": pad,
    }


OF_KITS = (
    Check("pack-weights", kit(), "base", "13.6246 lb", "library", PINT),
    Check("pack-weights", kit(), "pack", "24.6477 lb", "library", PINT),
    Check("pack-weights", kit(), "skin_out", "28.9026 lb", "library", PINT),
    Check("pack-weights", kit(), "pack", "11180 g", "derived", KIT),
    Check("pack-weights", kit(), "skin_out", "13110 g", "derived", KIT),
    Check("pack-weights", kit("base"), "base", "6660 g", "derived", KIT),
    Check("pack-weights", kit("base"), "skin_out", "13110 g", "derived", KIT),
    Check("pack-weights", kit(total="with_body"), "total", "83110 g", "derived", KIT),
    Check("pack-weights", kit(total="skin_out"), "total", "13110 g", "derived", KIT),
    Check("pack-weights", kit(total="pack"), "total", "11180 g", "derived", KIT),
    Check("big-three-share", three("yes_it_does"), "share", "0.67152 plain", "derived", KIT),
    Check("big-three-share", three("no_it_does_not"), "share", "0.59871 plain", "derived", KIT),
    Check("big-three-share", three("yes_it_does"), "big_three", "4150 g", "derived", KIT),
)

ALL = (*OF_SHOES, *OF_SOLES, *OF_VOLUMES, *OF_TORSOS, *OF_SHARES, *OF_KITS)


@pytest.mark.parametrize("check", ALL, ids=lambda check: f"{check} {check.number} {check.mark}")
def test_value(book: Book, check: Check) -> None:
    judge(book, check)


# ------------------------------------------------------------------------------------ libraries, and between the pages


@cache
def plain_units() -> pint.UnitRegistry[float]:
    """pint as it comes."""
    return pint.UnitRegistry()


def test_the_ratio_is_that_of_the_studys_two_percentages(book: Book) -> None:
    feet, back = (
        result(book, "boots-to-back", shoes(900, 600, **MEASURED), its, "g") for its in ("off_the_feet", "off_the_back")
    )
    assert back / feet == pytest.approx(0.96 / 0.15), STUDY


def test_the_saying_is_five_for_one(book: Book) -> None:
    given = {"first": "3 lb", "other": "2 lb", "stated": "pair", "times": "saying"}
    assert result(book, "boots-to-back", given, "off_the_back", "lb") == pytest.approx(5), SAYING


def test_a_weight_for_one_shoe_counts_twice(book: Book) -> None:
    each = {"first": "600 g", "other": "350 g", "stated": "each", **MEASURED}
    for output, unit in (("oxygen", "percent"), ("off_the_back", "g")):
        of_pair = result(book, "boots-to-back", shoes(1200, 700, **MEASURED), output, unit)
        assert result(book, "boots-to-back", each, output, unit) == pytest.approx(of_pair)


@pytest.mark.parametrize("litres", [1.0, 34.5, 120.0])
def test_volumes_are_pints(book: Book, litres: float) -> None:
    quantity = plain_units().Quantity(litres, "liter")
    for unit, theirs in (("in^3", "inch**3"), ("ft^3", "foot**3")):
        found = result(book, "volume-units", pack(f"{litres} L"), "closed", unit)
        assert found == pytest.approx(quantity.to(theirs).magnitude, rel=1e-10), PINT


@pytest.mark.parametrize("inches", [14.5, 17.0, 18.25, 21.0])
def test_inside_the_range_means_both_ends_are_not_negative(book: Book, inches: float) -> None:
    given = torso(f"{plain_units().Quantity(inches, 'inch').to('cm').magnitude:.6f} cm")
    ends = [result(book, "torso-fit", given, output, "in") for output in ("above_shortest", "below_longest")]
    assert np.allclose(ends, [inches - 17, 19 - inches], atol=1e-6), SUBTRACTION
    assert (min(ends) >= -1e-6) == (17 <= inches <= 19)


def test_pack_weights_agrees_with_the_ladder_of_a_list(book: Book) -> None:
    used = "Food\t700\t4\tused\nGas\t200\t1\tused\nWater\t2000\t1\tused"
    rows = f"Kit\t6180\n{used}\nWorn\t1450\t1\tworn\nPoles\t480\t1\thand"
    for ours, theirs in (("base", "base_weight"), ("pack", "pack_weight"), ("skin_out", "skin_out_weight")):
        listed = result(book, "pack-ladder", {"kit": rows}, theirs, "g")
        assert result(book, "pack-weights", kit(), ours, "g") == pytest.approx(listed, rel=1e-12), KIT


def test_a_load_is_not_worked_out_backwards(book: Book) -> None:
    with pytest.raises(ProblemError):
        work_backwards(book, book.calculators["load-share"], {}, "share", "20 %", "carried")


def test_what_cannot_be_is_refused(book: Book) -> None:
    assert refused(book, "big-three-share", {**three("yes_it_does"), "base": "4 kg"})
    assert refused(book, "stack-less-lugs", sole("3 mm", "22 mm", "4 mm", "4 mm"))
    assert refused(book, "torso-fit", {"torso": "18 in", "shortest": "19 in", "longest": "17 in"})
