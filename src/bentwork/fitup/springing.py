"""Will it go on without forcing: the force that springs a piece into place, and how near it comes to bending anew.

The piece is a chain of elastic bar, in bending both ways and in torsion (Castigliano's theorem; stretch and shear of
the bar are left out, as is usual for slender bars). A closed piece is held at end A and pulled to it by end B: six
loads, six misses, one 6 by 6 matrix. A piece that goes onto fixings is in balance under the forces at them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.chain import Walk, across, walk
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.spots import Spot, points_of
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way

__all__ = ["Slack", "Sprung", "Stiffness", "flexibility", "spring_onto", "spring_together", "stiffness_of"]

_POINTS = 6  # Gauss points of each straight, and of each half bend: exact for straights
_PARTS = ("gap", "sideways", "upwards", "turn about the bar", "twist upwards", "twist sideways")


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


@dataclass(frozen=True, slots=True)
class Slack:
    """What leaving one direction free would save: a slot, a late hole, a trim.

    Args:
        where: what is left free.
        strain: largest strain that is left, over that at yield.
    """

    where: str
    strain: float


@dataclass(frozen=True, slots=True)
class Sprung:
    """What it takes to spring a piece into place.

    Args:
        force: the largest force at any one place, N.
        moment: the largest moment at any one place, N m; 0 at fixings, which only push and pull.
        yield_share: largest stress over the proof stress, by von Mises; from 1 on the piece stays bent.
        strain: the same stress over the modulus: how far the metal is stretched, a fraction.
        at: where on the bar that is, mm from end A.
        energy: that the sprung piece holds, J; it lets go of it when a fixing is undone.
        slacks: what each direction left free would leave of the strain, the best first.
    """

    force: float
    moment: float
    yield_share: float
    strain: float
    at: float
    energy: float
    slacks: tuple[Slack, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Elastic:
    """Points of a bar at which moments are taken: place, frame (tangent, beside, line), length of bar, station."""

    points: Floats
    frames: Floats
    lengths: Floats
    stations: Floats


def _elastic(bar: Bar, walks: Walk) -> _Elastic:
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
    return _Elastic(np.concatenate(points), np.concatenate(frames), np.concatenate(lengths), np.concatenate(stations))


def _crossing(arms: Floats) -> Floats:
    """Matrices that turn forces into moments about points from which they have these arms, shapes (g, 3), (g, 3, 3)."""
    x, y, z = arms.T
    zero = np.zeros_like(x)
    return np.stack((np.stack((zero, -z, y), 1), np.stack((z, zero, -x), 1), np.stack((-y, x, zero), 1)), 1)


def _compliance(stiff: Stiffness) -> Floats:
    # About the scribed line the bar bends in the plane of its bends.
    return np.array([1.0 / stiff.twist, 1.0 / stiff.across, 1.0 / stiff.bend])


def flexibility(bar: Bar, stiff: Stiffness) -> Floats:
    """Return how end B moves and turns under forces and moments on it, end A held, shape (6, 6), mm, rad, N, N mm."""
    walks = walk(bar.values[:, :, np.newaxis], bar.shares)
    elastic = _elastic(bar, walks)
    loads = _seam_loads(bar, walks, elastic)
    return _flex(loads, elastic, stiff)


def _seam_loads(bar: Bar, walks: Walk, elastic: _Elastic) -> Floats:
    """Moments in the bar's own frame at each point under unit loads on end B, shape (g, 3, 6)."""
    end = walks.station(bar.length, past=bar.bends).point[:, 0]
    by_force = _crossing(end - elastic.points)
    by_moment = np.repeat(np.eye(3)[np.newaxis], len(elastic.points), axis=0)
    return np.asarray(elastic.frames @ np.concatenate((by_force, by_moment), axis=2))


def _flex(loads: Floats, elastic: _Elastic, stiff: Stiffness) -> Floats:
    return np.asarray(np.einsum("g,gia,i,gib->ab", elastic.lengths, loads, _compliance(stiff), loads))


def _stressed(loads: Floats, pulls: Floats, elastic: _Elastic, stiff: Stiffness) -> tuple[float, float]:
    """Largest stress by von Mises over the proof stress, and where."""
    moments = loads @ pulls
    bent = np.hypot(moments[:, 1] / stiff.across_modulus, moments[:, 2] / stiff.bend_modulus)
    shear = moments[:, 0] / stiff.twist_modulus
    share = np.sqrt(bent**2 + 3.0 * shear**2) / stiff.yields_at
    worst = int(np.argmax(share))
    return float(share[worst]), float(elastic.stations[worst])


def spring_together(matters: Matters, values: Floats, stiff: Stiffness, *, longer: float = 0.0) -> Sprung:
    """Return what it takes to bring the ends of a closed piece together.

    Args:
        matters: what matters of the piece.
        values: the bar as it is, shape (5, n).
        stiff: how it answers.
        longer: by how much end B is longer than drawn, mm.

    Raises:
        ValueError: the piece is open.
    """
    if not matters.closed:
        raise ValueError("an open piece has no ends to bring together")
    bar = matters.nominal.with_values(values)
    walks = walk(values[:, :, np.newaxis], bar.shares)
    elastic = _elastic(bar, walks)
    loads = _seam_loads(bar, walks, elastic)
    out = matters.of(values[:, :, np.newaxis], longer=longer)[:6, 0]
    turn = math.radians(out[5]), -math.radians(out[4]), math.radians(out[3])
    # Back to a shift and a turn of end B: the tip leans sideways by a turn about the axis, upwards by one about y.
    wanted = -np.array([-out[0], out[1], out[2], *turn])
    flex = _flex(loads, elastic, stiff)

    def pulls(free: int | None) -> Floats:
        held = [k for k in range(6) if k != free]
        found = np.zeros(6)
        found[held] = np.linalg.solve(flex[np.ix_(held, held)], wanted[held])
        return found

    needed = pulls(None)
    share, at = _stressed(loads, needed, elastic, stiff)
    slacks = [Slack(_PARTS[k], _stressed(loads, pulls(k), elastic, stiff)[0]) for k in range(6)]
    return Sprung(
        force=float(np.linalg.norm(needed[:3])),
        moment=float(np.linalg.norm(needed[3:])) / 1000.0,
        yield_share=share,
        strain=share * stiff.yields_at / stiff.modulus,
        at=at,
        energy=float(0.5 * needed @ wanted) / 1000.0,
        slacks=tuple(sorted(slacks, key=lambda one: one.strain)),
    )


def spring_onto(nominal: Bar, values: Floats, fixings: Sequence[Spot], stiff: Stiffness) -> Sprung:
    """Return what it takes to bring the fixings of a piece to where they are drawn, laid on where it fits best.

    Args:
        nominal: the piece as drawn.
        values: the bar as it is, shape (5, n).
        fixings: places of the bar, two or more; they push and pull, and turn nothing.
        stiff: how the bar answers.

    Raises:
        ValueError: fewer than two fixings, or one is a corner point.
    """
    if len(fixings) < 2:
        raise ValueError("a piece is sprung onto two fixings at least")
    bar = nominal.with_values(values)
    walks = walk(values[:, :, np.newaxis], bar.shares)
    drawn = points_of(fixings, walk(nominal.values[:, :, np.newaxis], nominal.shares), nominal)[0][..., 0]
    points = np.stack([spot.place(walks, nominal).point[:, 0] for spot in fixings])
    elastic = _elastic(bar, walks)
    beyond = np.array([(elastic.stations < (spot.at or 0.0)) for spot in fixings]).T
    arms = [_crossing(point - elastic.points) * beyond[:, k, None, None] for k, point in enumerate(points)]
    loads = np.asarray(elastic.frames @ np.concatenate(arms, axis=2))
    flex = _flex(loads, elastic, stiff)
    middle = points - points.mean(axis=0)
    rigid = np.concatenate([np.hstack((np.eye(3), -_crossing(arm[np.newaxis])[0])) for arm in middle])
    turn = _best_turn(drawn - drawn.mean(axis=0), middle)
    wanted = ((drawn - drawn.mean(axis=0)) @ turn - middle).ravel()

    def pulls(free: int | None) -> Floats:
        held = [k for k in range(3 * len(fixings)) if k != free]
        size = len(held)
        # Forces in balance, and a shift and turn of the whole that costs nothing.
        system = np.zeros((size + 6, size + 6))
        scale = float(np.trace(flex)) / max(1, len(flex)) or 1.0
        system[:size, :size] = flex[np.ix_(held, held)] / scale
        system[:size, size:], system[size:, :size] = rigid[held], rigid[held].T
        answer = np.linalg.lstsq(system, np.append(wanted[held], np.zeros(6)), rcond=1e-12)[0]
        found = np.zeros(3 * len(fixings))
        found[held] = answer[:size] / scale
        return found

    needed = pulls(None)
    share, at = _stressed(loads, needed, elastic, stiff)
    slacks = []
    for k in range(3 * len(fixings)):
        name = f"{fixings[k // 3].name} along {'xyz'[k % 3]}"
        slacks.append(Slack(name, _stressed(loads, pulls(k), elastic, stiff)[0]))
    return Sprung(
        force=float(np.max(np.linalg.norm(needed.reshape(-1, 3), axis=1))),
        moment=0.0,
        yield_share=share,
        strain=share * stiff.yields_at / stiff.modulus,
        at=at,
        energy=float(0.5 * needed @ flex @ needed) / 1000.0,
        slacks=tuple(sorted(slacks, key=lambda one: one.strain)),
    )


def _best_turn(drawn: Floats, points: Floats) -> Floats:
    """The turn that lays points on drawn ones best (Kabsch): drawn @ it lies by the points."""
    u, _, vt = np.linalg.svd(drawn.T @ points)
    u[:, -1] *= np.sign(np.linalg.det(u @ vt))
    return np.asarray(u @ vt)
