"""Places of a piece that somebody cares about: ends, corners, fixings, crossbars, holes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bentwork.fitup.chain import Place, Walk
from bentwork.fitup.made import ANGLE, Bar, Floats

__all__ = ["NO_CORNER", "Spot", "corners_and_ends", "points_of"]

NO_CORNER = 175.0
"""The straights beside a bend of so many degrees meet too far away to be of use."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of the bar, or a corner point.

    Args:
        name: as the maker calls it.
        at: on the straight bar from end A, mm, trim not included; None for a corner point.
        corner: number of the bend, from 1, at whose corner it is; None for a place of the bar.

    Raises:
        ValueError: it is both or neither.
    """

    name: str
    at: float | None = None
    corner: int | None = None

    def __post_init__(self) -> None:
        if (self.at is None) == (self.corner is None):
            raise ValueError(f"{self.name} lies either on the bar or at a corner")

    def place(self, walk: Walk, nominal: Bar, *, slopes: bool = False) -> Place:
        """Return where a place of the bar lies; which straight or bend it belongs to is as drawn.

        Raises:
            ValueError: it is a corner point, which is no place of the bar.
        """
        if self.at is None:
            raise ValueError(f"{self.name} is a corner point; a datum is a place of the bar")
        bend, past = self._lies(self.at, nominal)
        if bend is not None:
            return walk.in_bend(bend, self.at, slopes=slopes)
        return walk.station(self.at, slopes=slopes, past=past)

    @staticmethod
    def _lies(at: float, nominal: Bar) -> tuple[int | None, int]:
        """The bend (from 0) that a place lies in, if it does, and how many bends lie before it."""
        starts, used = nominal.starts, nominal.used
        inside = (starts < at - 1e-9) & (at < starts + used - 1e-9)
        return (int(np.argmax(inside)) if inside.any() else None), int(np.sum(starts + used <= at + 1e-9))

    def past(self, nominal: Bar) -> int | None:
        """Return how many bends lie before it; None where it lies in one."""
        if self.corner is not None:
            return self.corner - 1
        bend, past = self._lies(self.at or 0.0, nominal)
        return None if bend is not None else past


def corners_and_ends(bar: Bar, *, closed: bool = False) -> tuple[Spot, ...]:
    """Return the corners of a piece, and the ends of one that is not closed; of a return its middle."""
    found = [] if closed else [Spot("end A", at=0.0)]
    for k in range(bar.bends):
        if bar.values[ANGLE, k] < NO_CORNER:
            found.append(Spot(f"corner {k + 1}", corner=k + 1))
        else:
            found.append(Spot(f"middle of bend {k + 1}", at=float(bar.starts[k] + bar.used[k] / 2.0)))
    if not closed:
        found.append(Spot("end B", at=bar.length))
    return tuple(found)


def points_of(spots: Sequence[Spot], walk: Walk, nominal: Bar, *, slopes: bool = False) -> tuple[Floats, Floats | None]:
    """Return where spots lie, mm, shape (s, 3, m), and the slopes, shape (s, 3, 5, n, m) if they are asked for.

    Raises:
        ValueError: a corner point is that of a return, whose straights meet nowhere.
    """
    size = walk.values.shape[2]
    points = np.empty((len(spots), 3, size))
    pasts = _pasts(tuple(spots), nominal)
    cornered = [k for k, spot in enumerate(spots) if spot.corner is not None]
    bent = [spot.corner - 1 for spot in spots if spot.corner is not None]
    for bend in bent:
        if nominal.values[ANGLE, bend] >= NO_CORNER:
            raise ValueError(f"bend {bend + 1} is a return: the straights beside it meet nowhere")
    if cornered:
        points[cornered], _ = walk.corners(bent)
    for k, spot in enumerate(spots):
        if spot.corner is None:
            points[k] = spot.place(walk, nominal).point
    if not slopes:
        return points, None
    # All that lies on straights at once.
    moves = walk.moved(points, [0 if past is None else past for past in pasts])
    if cornered:
        walk.set_corners(moves, cornered, bent)
    for k, past in enumerate(pasts):
        if past is None:
            inside = spots[k].place(walk, nominal, slopes=True)
            moves[k] = 0.0 if inside.moves is None else inside.moves
    return points, moves


@lru_cache(maxsize=64)
def _pasts(spots: tuple[Spot, ...], nominal: Bar) -> tuple[int | None, ...]:
    """How many bends lie before each spot, see ``Spot.past``: the same for all bars that are drawn alike."""
    return tuple(spot.past(nominal) for spot in spots)
