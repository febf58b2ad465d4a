"""The share of spline faces in a solid's volume: the flux of the position vector through the rectangle of parameters.

Along each parameter the integrand is a polynomial between knots, and Gauss and Legendre's rule with enough nodes is
exact there (a spline of degree p takes 3 p / 2); of splines with weights it is a smooth quotient, and ten nodes leave
less than 1e-9 of it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import ceil

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.shape import Floats, crossed
from bentwork.takeoff.spline_faces import SplineSurface, moves_on

__all__ = ["SplineFaces"]

WITH_WEIGHTS = 10
"""Nodes between two knots of a spline with weights."""
MOST_NODES = 400_000
"""More nodes than this on all faces are left to the CAD kernel."""


@dataclass(frozen=True, slots=True, eq=False)
class SplineFaces:
    """Faces that are splines.

    Args:
        surfaces: of them.
        bounds: of each, u and v from and to, (n, 4).
        flipped: those that are turned over, (n,).
    """

    surfaces: Sequence[SplineSurface]
    bounds: Floats
    flipped: NDArray[np.bool_]

    def fluxes(self) -> tuple[Floats, Floats, Floats] | None:
        """Return what goes through the rectangles that faces fill; None for too many of them.

        Returns:
            the flux of the position vector, mm3, (n,); the vector area, mm2, (n, 3); the area, mm2, (n,).
        """
        nodes = [
            (_nodes(one, 0, u0, u1), _nodes(one, 1, v0, v1))
            for one, (u0, u1, v0, v1) in zip(self.surfaces, self.bounds.tolist(), strict=True)
        ]
        if sum(len(u[0]) * len(v[0]) for u, v in nodes) > MOST_NODES:
            return None
        alike = defaultdict[tuple[object, ...], list[int]](list)
        for k, (one, (u, v)) in enumerate(zip(self.surfaces, nodes, strict=True)):
            alike[one.degrees, one.poles.shape, *map(len, one.flat), len(u[0]), len(v[0])].append(k)
        many = len(self.surfaces)
        flux, areas, sizes = np.empty(many), np.empty((many, 3)), np.empty(many)
        for those in alike.values():
            us, u_shares, vs, v_shares = (
                np.array([nodes[k][side][part] for k in those]) for side in (0, 1) for part in (0, 1)
            )
            points, du, dv = moves_on([self.surfaces[k] for k in those], us, vs)
            normals = crossed(du, dv)
            normals *= (u_shares[:, :, None] * v_shares[:, None, :])[..., None]
            normals[self.flipped[those]] *= -1.0
            flux[those] = np.einsum("kijc,kijc->k", points, normals)
            areas[those] = normals.sum(axis=(1, 2))
            sizes[those] = np.sqrt(np.einsum("kijc,kijc->kij", normals, normals)).sum(axis=(1, 2))
        return flux, areas, sizes


@cache
def _rule(degree: int, weighted: bool) -> tuple[Floats, Floats]:
    """Return nodes and shares between -1 and 1."""
    nodes, shares = np.polynomial.legendre.leggauss(max(ceil(1.5 * degree), WITH_WEIGHTS if weighted else 2))
    return nodes, shares


def _nodes(surface: SplineSurface, along: int, first: float, last: float) -> tuple[Floats, Floats]:
    """Return parameters and their shares, between every two knots as many; ``along`` is 0 for u and 1 for v."""
    nodes, shares = _rule(surface.degrees[along], surface.poles.shape[2] > 3)
    low, high = first + 1e-9 * (last - first), last - 1e-9 * (last - first)
    ends = np.array([first, *(knot for knot in surface.knots[along] if low < knot < high), last])
    half = (ends[1:] - ends[:-1])[:, None] / 2.0
    middles = (ends[1:] + ends[:-1])[:, None] / 2.0
    return (middles + half * nodes).ravel(), (half * shares).ravel()
