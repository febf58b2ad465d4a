"""Will its ends go together without forcing: the force for that, and how near the piece comes to bending anew.

It is held at end A and pulled to it by end B: six loads, six misses, one 6 by 6 matrix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.chain import Walk, walk
from bentwork.fitup.elastic import Elastic, Stiffness, crossing, elastic_of, flex_of, stressed
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.matters import Matters

__all__ = ["Slack", "Sprung", "flexibility", "spring_together"]

_PARTS = ("gap", "sideways", "upwards", "turn about the bar", "twist upwards", "twist sideways")


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


def flexibility(bar: Bar, stiff: Stiffness) -> Floats:
    """Return how end B moves and turns under forces and moments on it, end A held, shape (6, 6), mm, rad, N, N mm."""
    walks = walk(bar.values[:, :, np.newaxis], bar.shares)
    elastic = elastic_of(bar, walks)
    loads = _seam_loads(bar, walks, elastic)
    return flex_of(loads, elastic, stiff)


def _seam_loads(bar: Bar, walks: Walk, elastic: Elastic) -> Floats:
    """Moments in the bar's own frame at each point under unit loads on end B, shape (g, 3, 6)."""
    end = walks.station(bar.length, past=bar.bends).point[:, 0]
    by_force = crossing(end - elastic.points)
    by_moment = np.repeat(np.eye(3)[np.newaxis], len(elastic.points), axis=0)
    return np.asarray(elastic.frames @ np.concatenate((by_force, by_moment), axis=2))


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
    elastic = elastic_of(bar, walks)
    loads = _seam_loads(bar, walks, elastic)
    out = matters.of(values[:, :, np.newaxis], longer=longer)[:6, 0]
    turn = math.radians(out[5]), -math.radians(out[4]), math.radians(out[3])
    # Back to a shift and a turn of end B: the tip leans sideways by a turn about the axis, upwards by one about y.
    wanted = -np.array([-out[0], out[1], out[2], *turn])
    flex = flex_of(loads, elastic, stiff)

    def pulls(free: int | None) -> Floats:
        held = [k for k in range(6) if k != free]
        found = np.zeros(6)
        found[held] = np.linalg.solve(flex[np.ix_(held, held)], wanted[held])
        return found

    needed = pulls(None)
    shares = stressed(loads, needed, stiff)
    share = float(shares.max())
    slacks = [Slack(_PARTS[k], float(stressed(loads, pulls(k), stiff).max())) for k in range(6)]
    return Sprung(
        force=float(np.linalg.norm(needed[:3])),
        moment=float(np.linalg.norm(needed[3:])) / 1000.0,
        yield_share=share,
        strain=share * stiff.yields_at / stiff.modulus,
        at=float(elastic.stations[np.argmax(shares)]),
        energy=float(0.5 * needed @ wanted) / 1000.0,
        slacks=tuple(sorted(slacks, key=lambda one: one.strain)),
    )
