"""Where in a step the bar comes nearest to something: the place on the bar, the place on the body, and the way there.

``clearance.step`` says what comes nearest, at which angle and by how much at least; here that moment is laid out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import Solid
from bentwork.clearance.side_lines import lines_of_side
from bentwork.clearance.step import BAR, Near
from bentwork.planning.near_points import (
    Between,
    lines_apart,
    lines_to_solid,
    nearest_of,
    placed_solid,
    solids_apart,
)
from bentwork.planning.pulling import Moment, Pulling
from bentwork.tolerances import CLEARANCE_CHORD

__all__ = ["NearInStep"]

Array = NDArray[np.float64]
_HALF_TURN = 180.0 - 1e-6
_SIDES = ("held", "free")
_CARRIED = ("put on", "lifted off")
_FAR = 3000.0  # mm; so far the bar is carried away


@dataclass(frozen=True)
class SideLines:
    """One side of the bar as the lines that clearance measures, in the frame that the side hangs in.

    Args:
        lines: start and end (n, 2, 3).
        holds: radius round each line that holds the metal (n,).
        turning: how far the bar has turned from the bend up to the end of each line, degrees (n,); 0 beside the bend.
        last: whether it belongs to the straight at the end of the bar (n,).
    """

    lines: Array
    holds: Array
    turning: Array
    last: NDArray[np.bool_]


@dataclass(frozen=True)
class NearInStep:
    """A step to be looked at for what comes near.

    Args:
        pulling: the bend.
        solids: bodies of bender and mounting, in the frames of their stations.
    """

    pulling: Pulling
    solids: tuple[Solid, ...]

    @cached_property
    def sides(self) -> tuple[SideLines, SideLines]:
        """The held and the free side."""
        return self._lines("held"), self._lines("free")

    def between(self, near: Near) -> Between:
        """Return the nearest points at the moment that is told; on the bar its skin, or the lever's.

        Args:
            near: as ``clearance`` tells it.
        """
        moment = Moment(near.when, near.angle)
        if near.body == BAR:
            found = self._bar_at(moment)
            assert found is not None
            return found
        bodies = self._named(near.body)
        if near.by not in _SIDES:
            return min((self._apart(p, b, moment) for p in self._named(near.by) for b in bodies), key=_apart_of)
        way = np.array(self.pulling.way(near.way, near.when)) if near.when in _CARRIED else None
        return min((self._to_body(near.by, moment, body, way) for body in bodies), key=_apart_of)

    def gaps(self, near: Near, moments: Sequence[Moment]) -> Array:
        """Return the gap between the same two things at other moments, mm (m,); below 0 as deep as can be told.

        Infinite where one of them is taken away.
        """
        if near.body == BAR:
            found = [self._bar_at(moment) for moment in moments]
            return np.array([math.inf if one is None else one.apart for one in found])
        bodies = self._named(near.body)
        gaps = self._gaps(near, bodies, moments)
        if near.by not in _SIDES or all(body.let_go for body in bodies):
            gaps[[moment.when in _CARRIED for moment in moments]] = math.inf
        return gaps

    def _gaps(self, near: Near, bodies: Sequence[Solid], moments: Sequence[Moment]) -> Array:
        if near.by not in _SIDES:
            parts = self._named(near.by)
            return np.array([min(self._apart(p, b, m).apart for p in parts for b in bodies) for m in moments])
        least = np.full(len(moments), math.inf)
        for body in bodies:
            keep = self._measured(near.by, body)
            if keep.any():
                lines = [self._seen_from(body, self.in_room(near.by, moment)[keep], moment) for moment in moments]
                apart = lines_to_solid(np.stack(lines), body)[0] - self._side(near.by).holds[keep]
                least = np.minimum(least, apart.min(axis=1))
        return least

    def in_room(self, side: str, moment: Moment) -> Array:
        """Return the lines (n, 2, 3) of a side where they are."""
        at_held, at_free = self.pulling.at(moment, np.array([0.0, self.pulling.length]))
        x, y, turn = at_held if side == "held" else at_free
        lines = self._side(side).lines.copy()
        # The run beside the die begins where the bar leaves it.
        left = max(0.0, self.pulling.left(side, moment) - self.pulling.over(side))
        lines[: len(self.pulling.piece.rows), 0, 0] -= left if side == "free" else -left
        found: Array = _turned(lines, float(turn)) + np.array([x, y, 0.0]) + np.array(self.pulling.lift(moment))
        return found

    def _to_body(self, side: str, moment: Moment, body: Solid, way: Array | None) -> Between:
        keep = self._measured(side, body)
        if not keep.any():
            return Between(math.inf, np.zeros(3), np.zeros(3))
        return nearest_of(
            self.in_room(side, moment)[keep], self._placed(body, moment), self._side(side).holds[keep], way, _FAR
        )

    def _measured(self, side: str, body: Solid) -> NDArray[np.bool_]:
        """Which lines of a side count: not the run beside the die where it touches by design."""
        turning = self._side(side).turning
        return turning > 0.0 if body.by_design else np.ones(len(turning), dtype=bool)

    def _bar_at(self, moment: Moment) -> Between | None:
        held, free = self.sides
        turned = held.turning[None, :] + moment.angle + free.turning[:, None]
        allowed = turned >= _HALF_TURN
        if self.pulling.piece.closed:
            allowed &= ~(free.last[:, None] & held.last[None, :])
        holds = free.holds[:, None], held.holds[None, :]
        return lines_apart(self.in_room("free", moment), self.in_room("held", moment), holds, allowed)

    def _named(self, name: str) -> list[Solid]:
        return [solid for solid in self.solids if solid.name == name]

    def _side(self, side: str) -> SideLines:
        return self.sides[_SIDES.index(side)]

    def _apart(self, part: Solid, body: Solid, moment: Moment) -> Between:
        return solids_apart(self._placed(part, moment), self._placed(body, moment))

    def _placed(self, solid: Solid, moment: Moment) -> Solid:
        return placed_solid(solid, *self.pulling.tool(solid.station, moment))

    def _seen_from(self, solid: Solid, lines: Array, moment: Moment) -> Array:
        """Lines of the room in the frame of a body's station."""
        x, y, turn = self.pulling.tool(solid.station, moment)
        return _turned(lines - np.array([x, y, 0.0]), -turn)

    def _lines(self, side: str) -> SideLines:
        first, bends, made = self.pulling.beyond(side)
        piece = self.pulling.piece
        told, holds, turning, depth, _ = lines_of_side(
            first, bends, made, np.array(piece.rows), piece.thick, CLEARANCE_CHORD
        )
        lines = np.stack([told[:, :3], told[:, :3] + told[:, 3:]], axis=1)
        lines[:, :, 0] -= self.pulling.over(side)  # from where the side begins in the drawing to where it hangs
        if side == "held":
            lines = lines * np.array([-1.0, 1.0, -1.0])
        straight = holds == piece.thick
        return SideLines(lines, holds, np.degrees(turning), straight & (depth == len(made)))


def _apart_of(found: Between) -> float:
    return found.apart


def _turned(lines: Array, degrees: float) -> Array:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    found: Array = lines @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    return found
