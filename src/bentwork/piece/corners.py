"""Corner points and radii to a bend table, with everything that does not fit said at once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross, distance, dot, norm, perpendicular, scale, sub

__all__ = ["Corners", "Seam"]

Seam = tuple[int, float]
"""Side (from 1, the side after corner 1 is 1) and the fraction of its straight at which the ends meet."""


@dataclass(frozen=True, slots=True)
class Corners:
    """Corner points with a centreline radius for each corner.

    Args:
        points: corner points in order, mm; for an open piece the first and last are the ends.
        radii: one centreline radius for each corner (open: all points but the ends; closed: all points), mm.
        closed: the last point is joined to the first.

    Raises:
        ValueError: too few points, or not as many radii as corners.
    """

    points: tuple[Vec, ...]
    radii: tuple[float, ...]
    closed: bool = False

    def __post_init__(self) -> None:
        least = 3 if self.closed else 2
        if len(self.points) < least:
            raise ValueError(f"{'a closed' if self.closed else 'an open'} piece needs {least} points at least")
        wanted = len(self.points) if self.closed else len(self.points) - 2
        if len(self.radii) != wanted:
            raise ValueError(f"{wanted} corners need {wanted} radii, not {len(self.radii)}")

    @property
    def sides(self) -> int:
        """How many sides there are between the points."""
        return len(self.points) if self.closed else len(self.points) - 1

    def side(self, index: int) -> Vec:
        """Return the vector of the side after point ``index`` (from 0), mm."""
        return sub(self.points[(index + 1) % len(self.points)], self.points[index])

    def radius_at(self, point: int) -> float:
        """Return the radius at point ``point`` (from 0); 0 at the ends of an open piece."""
        if self.closed:
            return self.radii[point]
        return self.radii[point - 1] if 0 < point < len(self.points) - 1 else 0.0

    def is_corner(self, point: int) -> bool:
        """Tell whether the bar bends at this point (from 0)."""
        return self.closed or 0 < point < len(self.points) - 1

    def angle_at(self, point: int) -> float:
        """Return the bend angle at a point (from 0), degrees; 0 at the ends and beside a side of no length."""
        if not self.is_corner(point):
            return 0.0
        before, after = self.side((point - 1) % len(self.points)), self.side(point)
        return math.degrees(math.atan2(norm(cross(before, after)), dot(before, after)))

    def setback_at(self, point: int) -> float:
        """Return R tan(angle/2) at a point (from 0), mm."""
        return self.radius_at(point) * math.tan(math.radians(self.angle_at(point)) / 2.0)

    def slack(self, side: int) -> float:
        """Return what the setbacks leave of a side (from 0), mm: its straight; negative when they overlap."""
        follower = (side + 1) % len(self.points)
        return norm(self.side(side)) - self.setback_at(side) - self.setback_at(follower)

    def with_point(self, index: int, point: Vec) -> Corners:
        """Return the same corners with one point (from 0) put elsewhere."""
        return Corners((*self.points[:index], point, *self.points[index + 1 :]), self.radii, self.closed)

    def with_radii(self, radii: Sequence[float]) -> Corners:
        """Return the same points with other radii."""
        return Corners(self.points, tuple(radii), self.closed)

    def best_seam(self) -> Seam:
        """Return the middle of the longest straight; of equal ones the first."""
        slacks = [round(self.slack(side), 6) for side in range(self.sides)]
        return (slacks.index(max(slacks)) + 1, 0.5)

    def centreline(self, seam: Seam | None = None) -> Centreline:
        """Return the piece placed where the points are; call it only when ``misfits`` finds nothing.

        Args:
            seam: where the ends of a closed piece meet; None for the middle of its longest straight.

        Raises:
            ValueError: a straight comes out negative, or the seam names no side.
        """
        if not self.closed:
            return self._run(list(range(len(self.points))), 0.0)
        side, fraction = seam if seam is not None else self.best_seam()
        if not 1 <= side <= self.sides:
            raise ValueError(f"the seam lies in a side from 1 to {self.sides}, not {side}")
        return self._run(self._from_seam(side), fraction)

    def bent_at(self, seam: Seam | None = None) -> tuple[int, ...]:
        """Return the number of the point, from 1, at which each bend is made, in the order of the bends.

        Args:
            seam: as for ``centreline``.
        """
        if not self.closed:
            return tuple(range(2, len(self.points)))
        return tuple(point + 1 for point in self._from_seam((seam or self.best_seam())[0]))

    def _from_seam(self, side: int) -> list[int]:
        """The points (from 0) of a closed piece in the order in which they come after a side (from 1)."""
        return [(side + step) % len(self.points) for step in range(len(self.points))]

    def _run(self, order: list[int], fraction: float) -> Centreline:
        """Bend table and start pose along the points in this order; closed: they are the corners after the seam."""
        closed = self.closed
        corners = order if closed else order[1:-1]
        units = [scale(side, 1.0 / norm(side)) for side in (self.side(i) for i in range(self.sides))]
        setbacks = [self.setback_at(i) for i in range(len(self.points))]
        entering = [units[(i - 1) % len(units)] for i in corners]
        normals = [cross(before, units[i]) for before, i in zip(entering, corners, strict=True)]
        bends = []
        for k, i in enumerate(corners):
            rotation = 0.0
            if k:
                shared = entering[k]
                rotation = math.degrees(
                    math.atan2(dot(cross(normals[k - 1], normals[k]), shared), dot(normals[k - 1], normals[k]))
                )
            bends.append(Bend(self.radius_at(i), self.angle_at(i), rotation))
        if not closed:
            straights = [self._straight(i, setbacks) for i in range(self.sides)]
            tangent = units[0]
            origin = self.points[0]
        else:
            seam_side = (order[0] - 1) % len(self.points)
            seamed = self._straight(seam_side, setbacks)
            between = [self._straight(i, setbacks) for i in order[:-1]]
            straights = [seamed * (1.0 - fraction), *between, seamed * fraction]
            tangent = units[seam_side]
            origin = along(self.points[seam_side], tangent, setbacks[seam_side] + seamed * fraction)
        axis = scale(normals[0], 1.0 / norm(normals[0])) if normals else perpendicular(tangent)
        return Centreline(BendTable(tuple(straights), tuple(bends), closed), Pose(origin, tangent, axis))

    def _straight(self, side: int, setbacks: Sequence[float]) -> float:
        follower = (side + 1) % len(self.points)
        rest = distance(self.points[side], self.points[follower]) - setbacks[side] - setbacks[follower]
        return 0.0 if -1e-9 < rest < 0.0 else rest
