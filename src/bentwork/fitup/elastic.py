"""A bar as a chain of elastic bar: how it answers moments, and where on it moments are taken.

In bending both ways and in torsion (Castigliano's theorem; stretch and shear of the bar are left out, as is usual for
slender bars).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.fitup.chain import Walk, across, walk
from bentwork.fitup.made import Bar, Floats
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way

__all__ = ["Elastic", "Stiffness", "crossing", "elastic_of", "flex_of", "stiffness_of", "stressed"]

_POINTS = 6  # Gauss points of each straight, and of each half bend: exact for straights


@dataclass(frozen=True, slots=True)
class Stiffness:
    """How a bar answers moments.

    Args:
        bend: flexural rigidity E I in the plane of its bends, N mm2.
        across: flexural rigidity at right angles to that, N mm2.
        twist: torsional rigidity G J, N mm2.
        bend_modulus: section modulus in the plane of its bends, mm3.
        across_modulus: the other, mm3.
        twist_modulus: of torsion, mm3: moment over it is the largest shear stress.
        modulus: of elasticity, MPa.
        yields_at: proof stress, MPa.
    """

    bend: float
    across: float
    twist: float
    bend_modulus: float
    across_modulus: float
    twist_modulus: float
    modulus: float
    yields_at: float


def stiffness_of(section: Section, material: Material, way: Way = "easy") -> Stiffness:
    """Return how a bar answers moments; its shear stress in torsion is taken as that of a round bar as thick."""
    other: Way = "hard" if way == "easy" else "easy"
    one, two = section.bending(way), section.bending(other)
    e = material.elastic_modulus.value
    thick = max(section.depth(way), section.depth(other))
    return Stiffness(
        bend=e * one.second_moment,
        across=e * two.second_moment,
        twist=material.shear_modulus * section.torsion_constant,
        bend_modulus=one.section_modulus,
        across_modulus=two.section_modulus,
        twist_modulus=section.torsion_constant / (thick / 2.0),
        modulus=e,
        yields_at=material.proof_stress.value,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Elastic:
    """Points of a bar at which moments are taken: place, frame (tangent, beside, line), length of bar, station."""

    points: Floats
    frames: Floats
    lengths: Floats
    stations: Floats


def elastic_of(bar: Bar, walks: Walk) -> Elastic:
    """Return the points of a bar at which moments are taken; ``walks`` is the walk along it."""
    nodes, weights = np.polynomial.legendre.leggauss(_POINTS)
    starts, ends = bar.starts, bar.starts + bar.used
    many = walk(np.repeat(walks.values[:, :, :1], _POINTS, axis=2), bar.shares)
    parts: list[tuple[float, float, int, bool]] = []
    before = 0.0
    for k, (start, end) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True)):
        middle = (start + end) / 2.0
        parts += [(before, start, k, False), (start, middle, k, True), (middle, end, k, True)]
        before = end
    parts.append((before, bar.length, bar.bends, False))
    points, frames, lengths, stations = [], [], [], []
    for low, high, bend, bent in parts:
        at = (low + high) / 2.0 + nodes * (high - low) / 2.0
        place = many.in_bend(bend, at) if bent else many.station(at, past=bend)
        points.append(place.point.T)
        frames.append(np.stack((place.tangent, across(place.line, place.tangent), place.line)).transpose(2, 0, 1))
        lengths.append(weights * max(0.0, high - low) / 2.0)
        stations.append(at)
    return Elastic(np.concatenate(points), np.concatenate(frames), np.concatenate(lengths), np.concatenate(stations))


def crossing(arms: Floats) -> Floats:
    """Matrices that turn forces into moments about points from which they have these arms, shapes (g, 3), (g, 3, 3)."""
    x, y, z = arms.T
    zero = np.zeros_like(x)
    return np.stack((np.stack((zero, -z, y), 1), np.stack((z, zero, -x), 1), np.stack((-y, x, zero), 1)), 1)


def _compliance(stiff: Stiffness) -> Floats:
    # About the scribed line the bar bends in the plane of its bends.
    return np.array([1.0 / stiff.twist, 1.0 / stiff.across, 1.0 / stiff.bend])


def flex_of(loads: Floats, elastic: Elastic, stiff: Stiffness) -> Floats:
    """Return how a bar gives under pulls, from the moments that unit pulls make, shapes (g, 3, k) and (k, k)."""
    return np.asarray(np.einsum("g,gia,i,gib->ab", elastic.lengths, loads, _compliance(stiff), loads))


def stressed(loads: Floats, pulls: Floats, stiff: Stiffness) -> Floats:
    """Return the largest stress at every point by von Mises, over the proof stress.

    Args:
        loads: moments in the bar's own frame under unit pulls, shape (g, 3, k).
        pulls: shape (k,), or (k, m) for m bars.
        stiff: how the bar answers.

    Returns:
        Shape (g,) or (g, m).
    """
    twist, across_bar, bend = np.moveaxis(np.asarray(loads @ pulls), 1, 0)
    bent = np.hypot(across_bar / stiff.across_modulus, bend / stiff.bend_modulus)
    return np.asarray(np.sqrt(bent**2 + 3.0 * (twist / stiff.twist_modulus) ** 2) / stiff.yields_at)
