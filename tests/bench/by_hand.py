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
}
