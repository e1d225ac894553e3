"""The tag reader beside a general extractor of quantities, on the same lines: `python -m tests.bench.tags`.

The other is quantulum3 (`pip install hangtag[bench]`), with its optional classifier where that is installed too. Both
read the lines of tests/compliance/tags in turns, timed by what one core spent, so that a busy machine slows both alike.
Right and wrong are counted by value and unit alone, since a general extractor knows no entries, and in its favour:
millimetres pass for millimetres of water, a number without a unit for one whose unit the tag leaves out, two pounds and
four ounces apart for one weight. Then the growth with the length of hostile lines, and with `--million` a million lines
through `hangtag read --file`. Prints, judges nothing.
"""

from __future__ import annotations

import argparse
import functools
import random
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from hangtag import tag_reader
from hangtag.checking import check_book
from hangtag.resources import reference_book
from tests.tag_reader.corpus import HALVES, Case, Reading, Score, cases, count, only_numbers, same_quantity

TURNS = 5
MILLION = 1_000_000
LENGTHS = (12_500, 25_000, 50_000, 100_000)
Extract = Callable[[Case], list[Reading]]

# What the other calls the units of the corpus; "" stands for a number without one, where a tag prints none.
OTHER_NAMES: dict[str, tuple[str, ...]] = {
    "mmH2O": ("millimetre",), "mH2O": ("metre",), "denier": ("denier",), "dtex": ("decitex",), "kg": ("kilogram",),
    "g": ("gram",), "lb": ("pound-mass",), "oz": ("ounce",), "mm": ("millimetre",), "cm": ("centimetre",),
    "m": ("metre",), "in": ("inch",), "ft": ("foot",), "ft^2": ("square foot",), "m^2": ("square metre",),
    "L": ("litre",), "in^3": ("cubic inch",), "degC": ("degree Celsius",), "degF": ("degree fahrenheit",),
    "percent": ("percentage", "dimensionless"), "plain": ("dimensionless",), "R": ("dimensionless",),
    "in^3/oz": ("dimensionless", "cubic inch", "cubic inch per ounce"), "threads/in": ("dimensionless",),
    "g/m^2": ("gram per square metre", "gram"), "oz/yd^2": ("ounce per square yard", "ounce"),
    "g/(m^2*day)": ("gram per square metre per day", "gram", "dimensionless"), "N": ("newton",),
    "m^2*Pa/W": ("dimensionless", "square metre pascal per watt"), "psi": ("pound per square inch",),
    "kPa": ("kilopascal",), "lbf": ("pound-force",), "deg": ("degree angle",), "clo": ("dimensionless", "clo"),
    "tog": ("dimensionless", "tog"), "ft^3/(min*ft^2)": ("cubic foot per minute", "dimensionless"),
    "L/(m^2*s)": ("litre per square metre per second",), "m^2*K/W": ("square metre kelvin per watt",),
}  # fmt: skip
SMALLER = {"lb": ("pound-mass", "ounce", 16), "ft": ("foot", "inch", 12)}


def the_other() -> Extract:
    """quantulum3 as an extractor of readings. Raises ModuleNotFoundError where it is not installed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that its classifier is not installed
        from quantulum3 import parser

    def extract(case: Case) -> list[Reading]:
        try:
            found = parser.parse(case.text)
        except Exception as error:  # noqa: BLE001  whatever it fails with, it read nothing of this line
            print(f"  it fails on a line with {type(error).__name__}")
            return []
        return _joined([{"value": each.value, "unit": each.unit.name} for each in found])

    return extract


def _joined(found: list[Reading]) -> list[Reading]:
    """Pounds followed by ounces, and feet by inches, as one."""
    joined: list[Reading] = []
    for each in found:
        before = joined[-1] if joined else {"unit": None}
        for large, small, ratio in SMALLER.values():
            if before["unit"] == large and each["unit"] == small:
                joined[-1] = {"value": before["value"] + each["value"] / ratio, "unit": large}
                break
        else:
            joined.append(each)
    return joined


def same_to_the_other(read: Reading, expected: Reading) -> bool:
    """The same value in a unit that may pass for the expected one."""
    names = OTHER_NAMES.get(expected["unit"], ())
    return read["unit"] in names and same_quantity({**read, "unit": expected["unit"]}, expected)


def ours() -> Extract:
    """The tag reader as an extractor of readings."""
    loaded = check_book(reference_book())
    assert loaded.book is not None
    reader = tag_reader.compile_book(loaded.book)
    return lambda case: only_numbers(document(reader, case)["readings"])


def document(reader: tag_reader.Reader, case: Case) -> dict[str, Any]:
    """A line explained."""
    return tag_reader.read(reader, case.text, case.kind).as_json()


def scored(lines: Sequence[Case], extract: Extract, same: Callable[[Reading, Reading], bool]) -> Score:
    """The score by value and unit."""
    score = Score()
    for case in lines:
        numbers = Case(case.place, case.text, case.kind, case.guess, only_numbers(case.expect), only_numbers(case.may))
        count(score, numbers, extract(case), same)
    return score


def lines_per_second(lines: Sequence[Case], extracts: Sequence[Extract]) -> list[float]:
    """Lines for a second of one core: the median over turns, one after the other in each turn."""
    rates: list[list[float]] = [[] for _ in extracts]
    for _ in range(TURNS):
        for extract, its in zip(extracts, rates, strict=True):
            start = time.process_time()
            for case in lines:
                extract(case)
            its.append(len(lines) / (time.process_time() - start))
    return [statistics.median(its) for its in rates]


def side_by_side() -> None:
    """Both on the same lines: right, wrong and speed."""
    extract = ours()
    all_lines = {half: cases(half) for half in HALVES}
    try:
        other: Extract | None = the_other()
    except ModuleNotFoundError:
        other = None
        print('quantulum3 is not installed: pip install "hangtag[bench]"')
    for half, lines in all_lines.items():
        for what, chosen in (("all lines", lines), ("lines with claims", [case for case in lines if case.expect])):
            print(f"{half}, {what} ({len(chosen)}), numbers by value and unit")
            print(f"  hangtag     {scored(chosen, extract, same_quantity)}")
            if other:
                print(f"  quantulum3  {scored(chosen, other, same_to_the_other)}")
    lines = [case for half in all_lines.values() for case in half]
    rates = lines_per_second(lines, [extract, other] if other else [extract])
    print(f"lines per second and core, medians of {TURNS} turns on {len(lines)} lines")
    print(f"  hangtag     {rates[0]:8,.0f}   (whole explanation as a document)")
    if other:
        print(f"  quantulum3  {rates[1]:8,.0f}   (hangtag is {rates[0] / rates[1]:.0f} times as fast)")


# -------------------------------------------------------------------------------------------------- growth with length

HOSTILE = {
    "digits": "1",
    "numbers and units": "20D 1200mm ",
    "half a pattern": "HH HH R-value comfort limit ",
    "opened and never closed": "(10k/",
    "pairs of pairs": "10 x 10 / ",
    "no spaces": "20D1200mm",
    "letters with accents": "ÄÖ\u0301ß™",
}


def growth() -> None:
    """Seconds of one core for lines of growing length; doubling the length should double the time."""
    loaded = check_book(reference_book())
    assert loaded.book is not None
    reader = tag_reader.compile_book(loaded.book)
    print("seconds of one core by characters: " + ", ".join(f"{length:,}" for length in LENGTHS))
    for name, piece in HOSTILE.items():
        times = []
        for length in LENGTHS:
            text = (piece * (length // len(piece) + 1))[:length]
            start = time.process_time()
            tag_reader.read(reader, text, None).as_json()
            times.append(time.process_time() - start)
        print(f"  {name:<24}" + "  ".join(f"{each:7.3f}" for each in times))


# -------------------------------------------------------------------------------------------------------- many lines


def generated(number: int) -> Iterator[str]:
    """Lines of the corpus with other digits, the same ones in every run."""
    chance = random.Random(1)  # noqa: S311  test data
    texts = [case.text for half in HALVES for case in cases(half)]
    digit = functools.partial(re.compile(r"(?<=[0-9])[0-9]").sub, lambda _: str(chance.randrange(10)))
    for _ in range(number):
        yield digit(chance.choice(texts))


def million(number: int) -> None:
    """That many lines through the command, in a process of its own: seconds of one core and the most memory held."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "tags.txt"
        with file.open("w", encoding="utf-8") as out:
            out.writelines(f"{line}\n" for line in generated(number))
        size = file.stat().st_size
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-m", "hangtag", "read", "--file", str(file)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            check=True,
        )
        seconds = time.perf_counter() - start
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    core = used.ru_utime + used.ru_stime
    print(f"{number:,} lines, {size / 1e6:,.0f} MB: {seconds:,.0f} s on the clock, {core:,.0f} s of one core")
    print(f"  {number / core:,.0f} lines per second and core; at most {used.ru_maxrss / 1024:,.0f} MB of memory")
    print("  " + done.stderr.decode().replace("\n", "\n  ").rstrip())


def main() -> None:
    """Run what was asked for."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--million", action="store_true", help="a million lines through hangtag read --file, alone")
    asked.add_argument("--lines", type=int, default=MILLION, help="how many instead of a million")
    options: Any = asked.parse_args()
    if options.million:
        million(options.lines)
    else:
        side_by_side()
        growth()


if __name__ == "__main__":
    main()
