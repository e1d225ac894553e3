"""The formulas of some calculators as a programmer would write them in Python: named SI numbers to named SI numbers.

They take floats or pint quantities alike. Must not import anything of the engine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

Values = Mapping[str, Any]


def linear_density(v: Values) -> dict[str, Any]:
    """The same linear density four ways."""
    mu = v["linear_density"]
    return {"tex": mu, "dtex": mu, "denier": mu, "length_per_gram": 1 / mu}


def down_loft(v: Values) -> dict[str, Any]:
    """What down takes up."""
    specific_volume = v["fill_power"]
    volume = specific_volume * v["fill_weight"]
    return {"specific_volume": specific_volume, "volume": volume, "thickness": volume / v["area"]}


def equal_loft(v: Values) -> dict[str, Any]:
    """The weight of another down for the same loft."""
    other = v["fill_weight_have"] * v["fill_power_have"] / v["fill_power_other"]
    return {"fill_weight_other": other, "saving": v["fill_weight_have"] - other}


def ground_heat_loss(v: Values) -> dict[str, Any]:
    """Heat through a pad."""
    flux = (v["skin_temperature"] - v["ground_temperature"]) / v["r_value"]
    return {"heat_flux": flux, "heat_loss": flux * v["contact_area"]}


def fibre_diameter(v: Values) -> dict[str, Any]:
    """A filament's width."""
    each = v["linear_density"] / v["filaments"]
    return {"denier_per_filament": each, "diameter": (4 * each / (math.pi * v["fibre"])) ** 0.5}


def sewn_through_loss(v: Values) -> dict[str, Any]:
    """Losses of an even, a sewn and a boxed layer."""
    films = v["inner_film"] + v["outer_film"]
    even = 1 / (films + v["mean_thickness"] / v["conductivity"])
    peak = 1.5 * v["mean_thickness"] / v["conductivity"]
    sewn = math.atanh(plain((peak / (films + peak)) ** 0.5)) / (peak * (films + peak)) ** 0.5
    share = v["wall_thickness"] / v["spacing"]
    wall = 1 / (films + v["mean_thickness"] / v["wall_conductivity"])
    box = (1 - share) * even + share * wall
    losses = {"loss_even": even, "loss_sewn": sewn, "loss_boxed": box}
    return {**losses, "ratio_sewn": sewn / even, "ratio_boxed": box / even}


BACK, USED, WORN, HAND = 0.0, 1.0, 2.0, 3.0  # what a row holds for where it goes


def pack_ladder(v: Values) -> dict[str, Any]:
    """The weights of a kit, from a list of rows: what, weight, count, where it goes, two ticks."""
    rows = v["kit"]
    nothing = 0 * v["body_mass"]
    in_hands = sum((weight * count for _, weight, count, goes, _, _ in rows if goes == HAND), nothing)
    pad = sum((weight * count for _, weight, count, goes, _, is_pad in rows if goes == BACK and is_pad), nothing)
    own = [row for row in rows if row[3] == BACK and row[4] and not row[5]]
    three = sum((weight * count for _, weight, count, _, _, _ in own), nothing)
    base = sum((weight * count for _, weight, count, goes, _, _ in rows if goes == BACK), nothing)
    base = base + (in_hands if v["hands_CHOICE"] == 1 else nothing)
    pack = base + sum((weight * count for _, weight, count, goes, _, _ in rows if goes == USED), nothing)
    skin_out = pack + sum((weight * count for _, weight, count, goes, _, _ in rows if goes == WORN), nothing)
    skin_out = skin_out + (nothing if v["hands_CHOICE"] == 1 else in_hands)
    with_body = skin_out + v["body_mass"]
    big_three = three + (pad if v["pad_is_CHOICE"] == 0 else nothing)
    total = (with_body, skin_out, pack)[int(v["total_means_CHOICE"])]
    return {"base_weight": base, "pack_weight": pack, "skin_out_weight": skin_out, "with_body": with_body,
            "total_weight": total, "share": big_three / base}  # fmt: skip


def sag(v: Values) -> dict[str, Any]:
    """The sag of a line, its end slope by forty halvings."""
    span, growth, load = v["span"], plain(v["stretch"]), v["load"]

    def too_long(x: float) -> bool:
        root = (1 + x * x) ** 0.5
        return bool((root + math.log(x + root) / x) / 2 >= 1 + growth)

    low, high = 0.01, 3.0
    for _ in range(40):
        middle = (low + high) / 2
        if too_long(middle):
            high = middle
        else:
            low = middle
    slope = (low + high) / 2
    deep = span * slope / 4
    pull = load * span**2 / (8 * deep)
    short, point = span * (3 * growth / 2) ** 0.5 / 2, span * (growth * (2 + growth)) ** 0.5 / 2
    most = pull * (1 + slope**2) ** 0.5
    return {"sag": deep, "sag_small": short, "sag_point": point, "pull": pull, "pull_most": most}


def plain(x: Any) -> float:  # noqa: ANN401  a float or a pint quantity
    """The number of a dimensionless quantity."""
    return float(getattr(x, "magnitude", x))


FORMULAS: dict[str, Callable[[Values], dict[str, Any]]] = {
    "linear-density": linear_density,
    "fibre-diameter": fibre_diameter,
    "down-loft": down_loft,
    "equal-loft": equal_loft,
    "ground-heat-loss": ground_heat_loss,
    "sewn-through-loss": sewn_through_loss,
    "pack-ladder": pack_ladder,
    "sag": sag,
}
