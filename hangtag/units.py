"""The book's own list of units: what each is, exactly, in SI, and how it is printed, typed and spoken.

pint supplies the factors, as exact fractions, for the words of an allow-list; nothing else an author wrote is handed to
it, and nothing of pint's is ever printed. What a reader typed is looked up in `typed.py`. Must not know calculators.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, cached_property
from typing import TYPE_CHECKING, Any

from hangtag.numbers import exact
from hangtag.problems import Label, Problems, Span, near_hint
from hangtag.shape import LINE, Fields, Key, many
from hangtag.yaml_source import Mapping as MappingNode
from hangtag.yaml_source import Node, Scalar

if TYPE_CHECKING:
    import pint

BASES = ("kg", "m", "s", "K", "A", "mol", "cd")
_PINT_BASES = {
    "kilogram": 0,
    "meter": 1,
    "second": 2,
    "kelvin": 3,
    "ampere": 4,
    "mole": 5,
    "candela": 6,
    "radian": None,
}

# The words `is` may use. Each is handed to pint alone and whole: pint's prefixes and abbreviations hold surprises
# (`D` is the debye, `cfm` the centifermi, `Nm` a yarn count).
# fmt: off
PINT_WORDS = frozenset({
    "meter", "kilometer", "centimeter", "millimeter", "micrometer", "nanometer", "inch", "foot", "yard", "mile",
    "nautical_mile", "kilogram", "gram", "milligram", "pound", "ounce", "grain", "stone", "tonne", "liter",
    "milliliter", "gallon", "quart", "pint", "cup", "fluid_ounce", "second", "minute", "hour", "day", "pascal",
    "hectopascal", "kilopascal", "megapascal", "kPa", "psi", "bar", "mbar", "millibar", "atmosphere", "mmHg",
    "mmH2O", "cmH2O", "inH2O", "newton", "kilonewton", "pound_force", "kilogram_force", "joule", "kilojoule",
    "megajoule", "calorie", "kilocalorie", "Btu_it", "watt", "kilowatt", "watt_hour", "ampere", "milliampere",
    "ampere_hour", "milliampere_hour", "volt", "kelvin", "degC", "degF", "delta_degC", "delta_degF", "radian",
    "degree", "denier", "tex", "dtex", "candela", "lumen", "lux", "mole", "percent", "hertz",
})
# fmt: on

UNIT_KEYS = {
    "is": Key("What the unit is: allow-listed words and numbers joined by * / ** and brackets.", LINE, required=True),
    "prints": Key("How it is printed.", LINE),
    "typed": Key("Other spellings a reader may type.", many(LINE)),
    "says": Key("How it is spoken, for screen readers.", LINE, required=True),
    "system": Key("The system it belongs to, where it belongs to one alone.", {"enum": ["us", "si"]}),
    "kind": Key("`temperature` for a scale with its own zero.", {"enum": ["temperature"]}),
}


@dataclass(frozen=True)
class Dimension:
    """Exponents over BASES; `absolute` tells a temperature from a difference of temperatures."""

    exponents: tuple[Fraction, ...] = (Fraction(0),) * len(BASES)
    absolute: bool = False

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a + b for a, b in zip(self.exponents, other.exponents, strict=True)))

    def __truediv__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a - b for a, b in zip(self.exponents, other.exponents, strict=True)))

    def __pow__(self, power: Fraction) -> Dimension:
        return Dimension(tuple(a * power for a in self.exponents))

    @property
    def is_plain(self) -> bool:
        """Whether this is a plain number (an angle counts as one)."""
        return not any(self.exponents)

    @property
    def in_bases(self) -> str:
        """The dimension as base units: `kg·m^-1·s^-2`."""
        parts = [
            base if power == 1 else f"{base}^{power}"
            for base, power in zip(BASES, self.exponents, strict=True)
            if power
        ]
        return "·".join(parts) or "1"


PLAIN = Dimension()
TEMPERATURE_DIFFERENCE = Dimension(tuple(Fraction(int(base == "K")) for base in BASES))
TEMPERATURE = Dimension(TEMPERATURE_DIFFERENCE.exponents, absolute=True)


@dataclass(frozen=True)
class Unit:
    """One unit. SI value = (number + offset) * factor, both exact; `scale` and `shift` are their nearest floats."""

    id: str
    is_: str
    prints: str
    typed: tuple[str, ...]
    says: str
    system: str | None
    dimension: Dimension
    factor: Fraction
    offset: Fraction = Fraction(0)
    span: Span | None = None
    path: str | None = None

    @cached_property
    def scale(self) -> float:
        """The float nearest to the exact factor: what both languages compute with."""
        return float(self.factor)

    @cached_property
    def shift(self) -> float:
        """The float nearest to the exact offset (273.15 for degrees Celsius, else 0)."""
        return float(self.offset)

    def to_si(self, number: float) -> float:
        """A number in this unit as its SI value; one sum where there is an offset, one product."""
        return (number + self.shift) * self.scale if self.offset else number * self.scale

    def from_si(self, value: float) -> float:
        """An SI value as a number in this unit."""
        return value / self.scale - self.shift if self.offset else value / self.scale

    def exact_si(self, number: Fraction) -> Fraction:
        """The exact SI value of an exact number in this unit."""
        return (number + self.offset) * self.factor


PLAIN_UNIT = "plain"  # every book has it: numbers without a unit


def _plain_unit() -> Unit:
    return Unit(PLAIN_UNIT, "1", "", (), "", None, PLAIN, Fraction(1))


@dataclass(frozen=True)
class UnitList:
    """All units of a book by id, and the names of dimensions."""

    units: Mapping[str, Unit] = field(default_factory=lambda: {PLAIN_UNIT: _plain_unit()})
    dimension_names: Mapping[Dimension, str] = field(default_factory=dict)

    def name_of(self, dimension: Dimension) -> str:
        """The dimension in words: its name in the book, else its base units."""
        if dimension == TEMPERATURE:
            return "temperature"
        if dimension == TEMPERATURE_DIFFERENCE:
            return "temperature difference"
        if dimension.is_plain:
            return "plain number"
        return self.dimension_names.get(dimension) or f"quantity in {dimension.in_bases}"

    def described(self, dimension: Dimension) -> str:
        """The dimension with its article: `a length`, `an area`."""
        name = self.name_of(dimension)
        return f"{'an' if name[0] in 'aeio' else 'a'} {name}"

    def of_dimension(self, dimension: Dimension) -> Iterable[Unit]:
        """The units of one dimension, in the order of the list."""
        return (unit for unit in self.units.values() if unit.dimension == dimension)


NO_UNITS = UnitList()  # of a book without a list: plain numbers alone


# ------------------------------------------------------------------------------------------------- reading the list


def read_units(node: MappingNode, path: str, problems: Problems, inherited: UnitList | None = None) -> UnitList:
    """The list in a `_units.yml`, over an inherited one where there is one (a unit of the same id is replaced)."""
    units = dict((inherited or NO_UNITS).units)
    names = dict(inherited.dimension_names) if inherited else {}
    own: dict[str, Unit] = {}
    for key, value in node.items:
        if key.text != "dimensions":
            unit = _read_unit(key, value, path, problems)
            if unit:
                own[unit.id] = unit
    units.update(own)
    _refuse_shared_spellings(own, path, problems)
    dimensions = node.get("dimensions")
    if isinstance(dimensions, MappingNode):
        for name, of in dimensions.items:
            if not isinstance(of, Scalar) or of.text not in units:
                word = of.text if isinstance(of, Scalar) else "?"
                problems.add("unknown-unit", path, of.span, unit=word, hint=near_hint(word, units))
            else:
                names[units[of.text].dimension] = name.text
    elif dimensions is not None:
        problems.add("not-a-mapping", path, dimensions.span, what="dimensions")
    return UnitList(units, names)


def _read_unit(key: Scalar, value: Node, path: str, problems: Problems) -> Unit | None:
    if not _is_unit_id(key.text):
        problems.add("bad-unit-id", path, key.span, unit=key.text)
        return None
    fields = Fields(value, UNIT_KEYS, path, problems, f"the unit {key.text}")
    is_ = fields.scalar("is")
    if is_ is None:
        return None
    temperature = fields.line("kind") == "temperature"
    try:
        factor, dimension = _Definition(is_.text).value()
    except _BadDefinition as error:
        start, end, word = error.args
        problems.add("bad-unit-definition", path, is_.place(start, end), word=word, hint=near_hint(word, PINT_WORDS))
        return None
    offset = Fraction(0)
    if temperature and (is_.text not in PINT_WORDS or dimension != _of_pint("degC")[1]):
        problems.add("bad-unit-definition", path, is_.span, word=is_.text, hint="Write degC, degF or kelvin.")
        return None
    if temperature:
        factor, offset, dimension = *_temperature_scale(is_.text), TEMPERATURE
    elif any(word in is_.text.split() for word in ("degC", "degF")):
        problems.add("bad-unit-definition", path, is_.span, word=is_.text)
        return None
    return Unit(
        id=key.text,
        is_=is_.text,
        prints=fields.line("prints") or key.text,
        typed=fields.lines("typed"),
        says=fields.line("says") or key.text,
        system=fields.line("system"),
        dimension=dimension,
        factor=factor,
        offset=offset,
        span=key.span,
        path=path,
    )


def _is_unit_id(text: str) -> bool:
    return (
        bool(text)
        and text.isascii()
        and (text[0].isalpha() or text == "%")
        and all(c.isalnum() or c in "^*/()_%" for c in text)
    )


def _refuse_shared_spellings(units: Mapping[str, Unit], path: str, problems: Problems) -> None:
    # `mm` may be a length and, in a field of water heads, a head: only units of one dimension must differ.
    seen: dict[tuple[Dimension, str], Unit] = {}
    for unit in units.values():
        for spelling in {unit.id, unit.prints, *unit.typed}:
            other = seen.setdefault((unit.dimension, spelling), unit)
            if other is not unit and other.span:
                problems.add(
                    "unit-spelling-shared",
                    path,
                    unit.span,
                    spelling=spelling,
                    unit=unit.id,
                    other=other.id,
                    labels=[Label(other.span, "also here")],
                )


class _BadDefinition(Exception):
    pass


class _Definition:
    """`0.155 * meter**2 * kelvin / watt` as an exact factor and a dimension.

    definition: factor (("*" | "/") factor)*
    factor: atom ("**" integer)?
    atom: number | word | "(" definition ")"
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0

    def value(self) -> tuple[Fraction, Dimension]:
        value = self._product()
        self._spaces()
        if self._at < len(self._text):
            raise _BadDefinition(self._at, len(self._text), self._text[self._at :])
        return value

    def _product(self) -> tuple[Fraction, Dimension]:
        factor, dimension = self._power()
        while True:
            self._spaces()
            if self._take("*"):
                other, its = self._power()
                factor, dimension = factor * other, dimension * its
            elif self._take("/"):
                other, its = self._power()
                factor, dimension = factor / other, dimension / its
            else:
                return factor, dimension

    def _power(self) -> tuple[Fraction, Dimension]:
        factor, dimension = self._atom()
        self._spaces()
        if self._text.startswith("**", self._at):
            self._at += 2
            self._spaces()
            start = self._at
            word = self._run(lambda c: c.isdigit() or c == "-")
            try:
                power = int(word)
            except ValueError:
                raise _BadDefinition(start, start + 1, word) from None
            return factor**power, dimension ** Fraction(power)
        return factor, dimension

    def _atom(self) -> tuple[Fraction, Dimension]:
        self._spaces()
        start = self._at
        if self._take("("):
            value = self._product()
            self._spaces()
            if not self._take(")"):
                raise _BadDefinition(start, start + 1, "( without its )")
            return value
        word = self._run(lambda c: c.isalnum() or c in "._")
        if word[:1].isdigit():
            try:
                number = exact(word)
            except ValueError:
                raise _BadDefinition(start, self._at, word) from None
            if not number:
                raise _BadDefinition(start, self._at, word)
            return number, PLAIN
        if word not in PINT_WORDS:
            raise _BadDefinition(start, max(self._at, start + 1), word or self._text[start : start + 1])
        return _of_pint(word)

    def _run(self, belongs: Callable[[str], bool]) -> str:
        start = self._at
        while self._at < len(self._text) and self._text[self._at].isascii() and belongs(self._text[self._at]):
            self._at += 1
        return self._text[start : self._at]

    def _spaces(self) -> None:
        while self._text.startswith(" ", self._at):
            self._at += 1

    def _take(self, mark: str) -> bool:
        if self._text.startswith(mark, self._at) and not (mark == "*" and self._text.startswith("**", self._at)):
            self._at += len(mark)
            return True
        return False


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The registry of pint with exact fractions, made once. Only this room and the witness of formulas use it."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def _of_pint(word: str) -> tuple[Fraction, Dimension]:
    name = {"degC": "delta_degC", "degF": "delta_degF"}.get(word, word)
    quantity = registry().Quantity(Fraction(1), name).to_base_units()
    exponents = [Fraction(0)] * len(BASES)
    for base, power in quantity._units.items():  # noqa: SLF001  its public form cannot be printed with fractions
        index = _PINT_BASES[base]
        if index is not None:
            exponents[index] += Fraction(str(power))
    return Fraction(str(quantity.magnitude)), Dimension(tuple(exponents))


def _temperature_scale(word: str) -> tuple[Fraction, Fraction]:
    # kelvin = (number + offset) * factor, from two exact points of the scale
    at = [Fraction(str(registry().Quantity(Fraction(n), word).to("kelvin").magnitude)) for n in (0, 1)]
    factor = at[1] - at[0]
    return factor, at[0] / factor
