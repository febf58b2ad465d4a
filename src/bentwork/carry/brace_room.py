"""Whether a straight bar finds room in a frame: clear of its bars but where it ends on them, and out of the payload."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import pose_at
from bentwork.carry.spots import Spot
from bentwork.carry.structure import Structure
from bentwork.space import Vec

__all__ = ["Room", "room_of"]

Floats = NDArray[np.float64]

_STEP = 4.0  # mm between the points that stand for the bars
_OPEN = 0.42  # sine of the flattest angle at which a bar may come in, see ``braces``
_SUNK = 1.0  # mm: so far into the drawn payload still counts as lying against it


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """What stands in the way.

    Args:
        places: (n, 3) points on the centrelines of the bars, mm.
        bar: (n,) number of the bar of each.
        half: (n,) half its larger size, mm.
        box: lower and upper corner of the payload, mm; None where its size is not known.
        bears: how high the bars that bear it reach, along ``up``; -inf when none do.
        up: unit vector.
    """

    places: Floats
    bar: NDArray[np.int64]
    half: Floats
    box: tuple[Floats, Floats] | None
    bears: float
    up: Floats

    def free(self, line: tuple[Vec, Vec], depth: float, ends: Sequence[Spot]) -> bool:
        """Tell whether a bar finds room.

        Args:
            line: its two ends, mm.
            depth: its larger size, mm: half of it from its line, and the whole of it is left between it and others.
            ends: what it ends on, in the same order.
        """
        start, end = (np.array(place) for place in line)
        along = end - start
        length = float(np.linalg.norm(along))
        share = np.clip((self.places - start) @ along / length**2, 0.0, 1.0)
        apart = np.linalg.norm(self.places - start - share[:, None] * along, axis=1)
        near = apart < self.half + 1.5 * depth
        for spot, away in zip(ends, (share * length, (1.0 - share) * length), strict=True):
            reach = (self.half + 1.5 * depth) / _OPEN + self.half
            own = np.isin(self.bar, spot.meets) & (away <= reach)
            near &= ~(own & (np.linalg.norm(self.places - np.array(spot.place), axis=1) <= reach))
        return not near.any() and not self._in_payload(start, along, depth / 2.0)

    def _in_payload(self, start: Floats, along: Floats, half: float) -> bool:
        if self.box is None:
            return False
        count = max(2, math.ceil(float(np.linalg.norm(along)) / _STEP))
        points = start + np.linspace(0.0, 1.0, count)[:, None] * along
        low, high = self.box
        inside = ((points > low - half + _SUNK) & (points < high + half - _SUNK)).all(axis=1)
        # A payload is drawn a little low as a rule; what stays below the top of the bars that bear it is under it.
        above = points @ self.up + half > self.bears + _SUNK
        return bool((inside & above).any())


def room_of(structure: Structure) -> Room:
    """Return what stands in the way of another bar."""
    places, number, half = [], [], []
    for k, bar in enumerate(structure.bars):
        count = max(2, math.ceil(bar.length / _STEP) + 1)
        places += [pose_at(bar, float(station)).origin for station in np.linspace(0.0, bar.length, count)]
        number += [k] * count
        half += [bar.half_depth] * count
    up = np.array(structure.directions.up)
    borne = structure.borne
    box, bears = None, -math.inf
    if borne is not None and borne.payload.size is not None:
        centre, size = np.array(borne.payload.centre), np.array(borne.payload.size)
        box = (centre - size / 2.0, centre + size / 2.0)
        standing = [at for at in borne.bearings if np.array(at.place) @ up < centre @ up]  # it may hang from others
        tops = [float(np.array(at.place) @ up) + structure.bars[at.bar].half_depth for at in standing]
        bears = max(tops, default=-math.inf)
    return Room(np.array(places), np.array(number), np.array(half), box, bears, up)
