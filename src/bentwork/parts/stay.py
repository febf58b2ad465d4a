"""Stays: from a point of the frame to a point that was measured. Lengths, ends, and how measuring errors move them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.fastening.holding import edge_distances
from bentwork.space import Vec, cross, distance, dot, norm, scale, sub, unit
from bentwork.stock.section import Section, Tube

__all__ = [
    "EndAsked",
    "EndKind",
    "FlatEnd",
    "Moved",
    "end_rooms",
    "flat_end",
    "flat_turn",
    "moved",
    "slot_length",
    "tongue_angle",
]

Floats = NDArray[np.float64]

EndKind = Literal["butted", "flattened", "drilled"]
"""Welded on as it is; a tube pressed flat with a hole in it; a bar with a hole through it."""

_BEHIND = 1.5  # of the hole: how far the flat reaches behind its middle, for the washer (common practice, no source)
_RUNS_OUT = 1.0  # of the diameter: how long a tube takes from flat to round (common practice, no source)


@dataclass(frozen=True, slots=True)
class EndAsked:
    """How an end is made.

    Args:
        kind: of the end.
        hole: diameter of its hole, mm; None where it has none.
        end: from the middle of the hole to the end of the bar, mm; None for twice the hole.
        axis: of the bolt through it; None where it does not matter.
        flat: how long it is pressed flat, from the end of the bar, mm; None for as long as its hole asks for.
    """

    kind: EndKind = "butted"
    hole: float | None = None
    end: float | None = None
    axis: Vec | None = None
    flat: float | None = None

    @property
    def beyond(self) -> float:
        """How far the bar reaches beyond the middle of its hole, mm; 0 without one."""
        if self.kind == "butted" or self.hole is None:
            return 0.0
        return self.end if self.end is not None else edge_distances(self.hole)[1]


@dataclass(frozen=True, slots=True)
class FlatEnd:
    """A tube pressed flat.

    Args:
        width: of the flat, mm.
        thickness: of both walls together, mm.
        length: from the end of the tube to where the flat ends, mm.
        runs_out: from there to where the tube is round again, mm.
        side: from the middle of the hole to the side of the flat, mm.
        least_side: that it should be at least, mm.
    """

    width: float
    thickness: float
    length: float
    runs_out: float
    side: float
    least_side: float

    @property
    def whole(self) -> float:
        """From the end of the tube to where it is round again, mm."""
        return self.length + self.runs_out


@dataclass(frozen=True, slots=True)
class Moved:
    """How measuring errors move a stay: standard deviations, mm; infinite where a point is not told.

    Args:
        length: from end to end.
        across: of one end square to the stay, in the worst direction.
    """

    length: float
    across: float


def flat_end(section: Section, asked: EndAsked) -> FlatEnd | None:
    """Return a flattened end; None for an end that is none.

    The bore lies flat on itself, so that its half circumference is the flat between the folds, and a wall is added at
    each: width = pi (D - 2 t) / 2 + 2 t. No wall is stretched; source: that sum itself.

    Args:
        section: of the bar.
        asked: how the end is made.
    """
    if asked.kind != "flattened" or not isinstance(section, Tube):
        return None
    hole = asked.hole or 0.0
    length = asked.flat or (asked.beyond + _BEHIND * hole)
    if length <= 0.0:
        return None
    width = math.pi * (section.diameter - 2.0 * section.wall) / 2.0 + 2.0 * section.wall
    return FlatEnd(
        width,
        2.0 * section.wall,
        length,
        _RUNS_OUT * section.diameter,
        width / 2.0,
        edge_distances(hole)[0] if hole else 0.0,
    )


def end_rooms(taken: Sequence[float], straights: Sequence[float]) -> tuple[float, float]:
    """Return how long the straight is that each end of a bar has to itself, mm: what the other end leaves of one alone.

    Args:
        taken: how much of the bar each of the two ends takes, mm; 0 for one that is left as it is.
        straights: of its bend table, mm.
    """
    if len(straights) > 1:
        return straights[0], straights[-1]
    return straights[0] - taken[1], straights[0] - taken[0]


def tongue_angle(line: Vec, axis: Vec) -> float:
    """Return how far the flat of an end is bent to lie square to its bolt, degrees, 0 to 90.

    Args:
        line: the way the stay runs there.
        axis: of the bolt.
    """
    return math.degrees(math.asin(min(1.0, abs(dot(unit(line), unit(axis))))))


def flat_turn(line: Vec, first: Vec, second: Vec) -> float | None:
    """Return how far the flat of the second end is turned against the first about a straight stay, degrees.

    Right-handed about the way from first to second end, from -90 to 90, since a flat has no upper side.

    Args:
        line: the way the stay runs.
        first: axis of the bolt through the first end.
        second: likewise of the second.
    """
    way = unit(line)
    one, other = (sub(axis, scale(way, dot(axis, way))) for axis in (first, second))
    if norm(one) < 1e-6 or norm(other) < 1e-6:
        return None
    turn = math.degrees(math.atan2(dot(way, cross(one, other)), dot(one, other)))
    return turn - 180.0 if turn > 90.0 else turn + 180.0 if turn <= -90.0 else turn


def moved(start: Vec, end: Vec, covariance: Floats) -> Moved:
    """Return how errors of both ends move a stay.

    Args:
        start: one end, mm.
        end: the other.
        covariance: (6, 6) of both ends, mm²; zeros for one that is given.

    Raises:
        ValueError: the ends are one point.
    """
    if distance(start, end) < 1e-9:
        raise ValueError("a stay runs between two different points")
    way = np.array(unit(sub(end, start)))
    towards = np.hstack([-np.eye(3), np.eye(3)])
    step = towards @ covariance @ towards.T
    aside = np.eye(3) - np.outer(way, way)
    length = math.sqrt(max(0.0, float(way @ step @ way)))
    across = math.sqrt(max(0.0, float(np.linalg.eigvalsh(aside @ step @ aside)[-1])))
    return Moved(length, across)


def slot_length(hole: float, error: float, sure: float) -> float:
    """Return how long a slot must be so that the bolt finds its place, mm: the hole, and the error either way.

    Args:
        hole: diameter of the hole, mm.
        error: standard deviation of the distance, mm.
        sure: how surely, such as 0.95, of normally distributed errors.
    """
    return hole + 2.0 * NormalDist().inv_cdf(0.5 + sure / 2.0) * error
