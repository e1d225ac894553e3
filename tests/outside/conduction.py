"""Heat through a quilted layer by finite elements: steady conduction in a slice from a seam to a chamber's middle.

The surfaces exchange heat through films (Robin boundaries: a flux of the temperature difference over the film's
resistance). Lengths in metres, conductivities in W/(m K), films in m2 K/W, results in W/(m2 K) of flat area.
Must not use any formula of the book: it is here to judge them. scikit-fem does the assembly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import skfem
from numpy.typing import NDArray
from scipy.optimize import brentq
from skfem.helpers import dot, grad

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Films:
    """The thermal resistance of the layers of air at the inner and at the outer surface."""

    inner: float
    outer: float


@dataclass(frozen=True)
class Arc:
    """A chamber whose two faces are arcs of circles that meet at the seams: half its angle, and its half thickness."""

    spacing: float
    angle: float

    @classmethod
    def holding(cls, mean_thickness: float, spacing: float) -> Arc:
        """The arc whose section is `mean_thickness * spacing`; the full circle where no arc holds as much."""

        def section(angle: float) -> float:
            return float((2 * angle - np.sin(2 * angle)) / (4 * np.sin(angle) ** 2) - mean_thickness / spacing)

        round_tube = np.pi / 2
        if section(round_tube) <= 0:
            return cls(spacing, round_tube)
        return cls(spacing, float(brentq(section, 1e-4, round_tube)))

    @property
    def mean_thickness(self) -> float:
        """Section over spacing."""
        return float(self.spacing * (2 * self.angle - np.sin(2 * self.angle)) / (4 * np.sin(self.angle) ** 2))

    @property
    def peak(self) -> float:
        """Thickness in the middle."""
        return float(self.spacing * np.tan(self.angle / 2))

    def half_thickness(self, x: Array) -> Array:
        """Half the thickness at x from the seam (0 to half the spacing)."""
        radius = self.spacing / (2 * np.sin(self.angle))
        from_middle = self.spacing / 2 - x
        half: Array = np.sqrt(np.maximum(radius**2 - from_middle**2, 0.0)) - radius * np.cos(self.angle)
        return half


def sewn(  # noqa: PLR0913  a physical case has this many parts
    half_thickness: Callable[[Array], Array],
    spacing: float,
    conductivity: float,
    films: Films,
    *,
    seam: float = 0.0005,
    cells: tuple[int, int] = (60, 10),
) -> float:
    """Loss through a sewn chamber. Films act on flat area (crevices are sheltered); the seam is `seam` metres thick."""
    along, across = cells
    x = spacing / 2 * np.linspace(0, 1, along + 1) ** 2  # closely spaced at the seam, where the flux concentrates
    mesh = skfem.MeshQuad.init_tensor(x, np.linspace(-1, 1, across + 1))
    lower = mesh.facets_satisfying(lambda p: np.isclose(p[1], -1.0))
    upper = mesh.facets_satisfying(lambda p: np.isclose(p[1], 1.0))
    half = np.maximum(half_thickness(mesh.p[0]), seam / 2)
    body = skfem.MeshQuad(np.vstack([mesh.p[0], mesh.p[1] * half]), mesh.t)
    return _loss(body, lambda p: np.full_like(p[0], conductivity), (lower, upper), films, spacing / 2)


def boxed(  # noqa: PLR0913
    thickness: float,
    spacing: float,
    conductivity: float,
    films: Films,
    wall_thickness: float,
    wall_conductivity: float,
    *,
    cells: tuple[int, int] = (40, 24),
) -> float:
    """Loss through a flat slab with one upright cloth wall in each `spacing`."""
    along, across = cells
    edge = wall_thickness / 2
    beyond = edge + (spacing / 2 - edge) * np.linspace(0, 1, along + 1) ** 3
    x = np.concatenate([np.linspace(0, edge, 3)[:-1], beyond])
    y = thickness * (1 - np.cos(np.linspace(0, np.pi, across + 1))) / 2
    mesh = skfem.MeshQuad.init_tensor(x, y)
    lower = mesh.facets_satisfying(lambda p: np.isclose(p[1], 0.0))
    upper = mesh.facets_satisfying(lambda p: np.isclose(p[1], thickness))

    def material(p: Array) -> Array:
        return np.where(p[0] < edge, wall_conductivity, conductivity)

    return _loss(mesh, material, (lower, upper), films, spacing / 2)


def _loss(
    mesh: skfem.MeshQuad,
    conductivity: Callable[[Array], Array],
    surfaces: tuple[Array, Array],
    films: Films,
    width: float,
) -> float:
    basis = skfem.Basis(mesh, skfem.ElementQuad2(), intorder=4)
    inner = basis.boundary(surfaces[0])
    outer = basis.boundary(surfaces[1])

    @skfem.BilinearForm
    def conduction(u, v, w):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202  scikit-fem's own calling form
        return conductivity(w.x) * dot(grad(u), grad(v))

    @skfem.BilinearForm
    def film(u, v, w):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202
        return np.abs(w.n[1]) / w.resistance * u * v  # |n_y| ds is the flat area of a piece of surface

    @skfem.LinearForm
    def warm(v, w):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202
        return np.abs(w.n[1]) / w.resistance * v

    matrix = conduction.assemble(basis)
    matrix = matrix + film.assemble(inner, resistance=films.inner) + film.assemble(outer, resistance=films.outer)
    temperature = skfem.solve(matrix, warm.assemble(inner, resistance=films.inner))  # 1 K inside, 0 K outside
    leaving = warm.assemble(outer, resistance=films.outer) @ temperature
    return float(leaving / width)
