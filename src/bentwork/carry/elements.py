"""Straight and circular elements along the bars, with the points that their flexibility is integrated at.

The section forces that end loads and own weight cause in a straight element are polynomials, whose work two points of
Gauss's rule integrate exactly; in an arc of up to 22.5 degrees they are sines and cosines, for which six points leave
an error below the last digit. So a straight and an arc are both exact: no chords stand for the arc.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.carried import Stretch
from bentwork.space import Vec

__all__ = ["MOST_TURN", "Elements", "Part", "elements_of", "parts_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_TURN = math.radians(22.5)
"""Largest turn of one arc element: its six points then integrate its flexibility to the last digit."""


def _gauss(count: int) -> tuple[Floats, Floats]:
    """Points and weights of Gauss's rule on 0 to 1."""
    at, weight = np.polynomial.legendre.leggauss(count)
    return (at + 1.0) / 2.0, weight / 2.0


_STRAIGHT, _ARC = _gauss(2), _gauss(6)


@dataclass(frozen=True, slots=True)
class Part:
    """One element as it is cut from a bar.

    Args:
        origin: where it starts, mm.
        tangent: unit vector along the bar there.
        inward: unit vector to the centre of its arc; any at right angles for a straight.
        wide: unit vector along the section's width there.
        high: unit vector along its height.
        curvature: 1/radius, 1/mm; 0 for a straight.
        length: mm.
        station: distance of its start from end A of the bar, mm.
        bend: number of the bend, 0 for a straight.
        bar: number of the bar.
    """

    origin: Vec
    tangent: Vec
    inward: Vec
    wide: Vec
    high: Vec
    curvature: float
    length: float
    station: float
    bend: int = 0
    bar: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Elements:
    """Elements in order along their chains, and their integration points.

    Args:
        bar: (E,) number of the bar.
        bend: (E,) number of the bend, 0 for a straight.
        length: (E,) mm.
        curvature: (E,) 1/mm.
        station: (E, 2) distances of both ends from end A of the bar, mm.
        ends: (E, 2, 3) places of both ends, mm.
        end_axes: (E, 2, 3, 3) directions at both ends, in rows: along the bar, along the width, along the height.
        first_moment: (E, 3) integral of the place over the length, mm2.
        owner: (P,) element of every point.
        first: (E,) first point of every element.
        place: (P, 3) mm.
        axes: (P, 3, 3) directions, as ``end_axes``.
        weight: (P,) share of the length, mm.
        rest: (P,) length from the point to the end of its element, mm.
        rest_moment: (P, 3) integral of the place over that length, mm2.
    """

    bar: Ints
    bend: Ints
    length: Floats
    curvature: Floats
    station: Floats
    ends: Floats
    end_axes: Floats
    first_moment: Floats
    owner: Ints
    first: Ints
    place: Floats
    axes: Floats
    weight: Floats
    rest: Floats
    rest_moment: Floats

    def __len__(self) -> int:
        return len(self.length)


def parts_of(
    stretch: Stretch, bar: int, start: float, end: float, longest: float, turn: float = MOST_TURN
) -> list[Part]:
    """Cut a straight or arc between two distances into it (mm) into elements of a longest length and turn (radians)."""
    length = end - start
    if length <= 0.0:
        return []
    run = stretch.run
    curvature = 1.0 / run.radius if run.bend else 0.0
    count = max(1, math.ceil(length / longest - 1e-9), math.ceil(length * curvature / turn - 1e-9))
    found = []
    for number in range(count):
        at = start + length * number / count
        here = stretch.at(at)
        pose = here.run.start
        found.append(
            Part(
                pose.origin,
                pose.tangent,
                pose.inward,
                here.wide,
                here.high,
                curvature,
                length / count,
                run.station + at,
                run.bend,
                bar,
            )
        )
    return found


def elements_of(parts: Sequence[Part]) -> Elements:
    """Return the elements with their integration points, in the order given."""
    # One flat list of numbers and one call: an array for every vector of every part takes ten times as long.
    flat = np.array(
        [(*p.origin, *p.tangent, *p.inward, *p.wide, *p.high, p.curvature, p.length, p.station) for p in parts]
    )
    return elements_from(
        flat[:, 0:3],
        flat[:, 3:15].reshape(-1, 4, 3),
        flat[:, 15],
        flat[:, 16],
        flat[:, 17],
        np.array([p.bend for p in parts], dtype=np.int64),
        np.array([p.bar for p in parts], dtype=np.int64),
    )


def elements_from(
    origin: Floats, directions: Floats, curvature: Floats, length: Floats, station: Floats, bend: Ints, bar: Ints
) -> Elements:
    """Return the elements with their integration points, from arrays.

    Args:
        origin: (E, 3) starts, mm.
        directions: (E, 4, 3) along the bar, inward, along the width, along the height, at the start.
        curvature: (E,) 1/mm, 0 for a straight.
        length: (E,) mm.
        station: (E,) distance of the start from end A, mm.
        bend: (E,) number of the bend.
        bar: (E,) number of the bar.
    """
    curved = curvature > 0.0
    straight_at, straight_weight = _STRAIGHT
    arc_at, arc_weight = _ARC
    count = np.where(curved, len(arc_at), len(straight_at))
    owner = np.repeat(np.arange(len(length)), count)
    first = np.concatenate(([0], np.cumsum(count)[:-1]))
    within = np.arange(len(owner)) - first[owner]
    bent = curved[owner]
    share = np.where(bent, arc_at[within], straight_at[np.minimum(within, len(straight_at) - 1)])
    weight = np.where(bent, arc_weight[within], straight_weight[np.minimum(within, len(straight_at) - 1)])
    # Places and directions at the points and, behind them, at the ends of the elements.
    every = np.concatenate((owner, np.arange(len(length))))
    along = np.concatenate((share, np.ones(len(length)))) * length[every]
    place, axes = _carried(origin, directions, curvature, every, along)
    points = len(owner)
    end, end_axes = place[points:], axes[points:]
    start_axes = directions[:, [0, 2, 3], :]
    place, axes = place[:points], axes[:points]
    rest = (1.0 - share) * length[owner]
    return Elements(
        bar,
        bend,
        length,
        curvature,
        np.stack((station, station + length), axis=1),
        np.stack((origin, end), axis=1),
        np.stack((start_axes, end_axes), axis=1),
        _first_moment(origin, directions[:, 1], curvature, origin, end, directions[:, 0], end_axes[:, 0], length),
        owner,
        first,
        place,
        axes,
        weight * length[owner],
        rest,
        _first_moment(
            origin[owner],
            directions[owner, 1],
            curvature[owner],
            place,
            end[owner],
            axes[:, 0],
            end_axes[owner, 0],
            rest,
        ),
    )


def _carried(origin: Floats, directions: Floats, curvature: Floats, of: Ints, along: Floats) -> tuple[Floats, Floats]:
    """Place and section directions at distances along elements ``of``: turned about the axis of the arc."""
    bent = np.abs(curvature[of])
    turn = bent * along
    sine, cosine = np.sin(turn), np.cos(turn)
    safe = np.where(bent > 0.0, bent, 1.0)
    ahead = np.where(bent > 0.0, sine / safe, along)[:, None]
    aside = np.where(bent > 0.0, (1.0 - cosine) / safe, 0.0)[:, None]
    tangent, inward, wide, high = (directions[of, k] for k in range(4))
    place = origin[of] + ahead * tangent + aside * inward
    c, s = cosine[:, None], sine[:, None]
    new_tangent = c * tangent + s * inward
    moved = c * inward - s * tangent - inward  # what the turn adds to a direction that points inward
    axes = np.empty((len(of), 3, 3))
    axes[:, 0] = new_tangent
    axes[:, 1] = wide + np.einsum("pi,pi->p", wide, inward)[:, None] * moved
    axes[:, 2] = high + np.einsum("pi,pi->p", high, inward)[:, None] * moved
    return place, axes


def _first_moment(
    origin: Floats,
    inward: Floats,
    curvature: Floats,
    place: Floats,
    end: Floats,
    tangent: Floats,
    end_tangent: Floats,
    length: Floats,
) -> Floats:
    """Integral of the place from ``place`` to ``end``: of an arc, length times centre plus R^2 (t - t_end)."""
    middle = 0.5 * length[:, None] * (place + end)
    if not curvature.any():
        return middle
    radius = 1.0 / np.where(curvature > 0.0, curvature, 1.0)[:, None]
    arc = length[:, None] * (origin + radius * inward) + radius**2 * (tangent - end_tangent)
    return np.where(curvature[:, None] > 0.0, arc, middle)
