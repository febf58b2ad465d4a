"""From where a part was drawn to where it stands: instances, turned, moved, mirrored or scaled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, unit
from bentwork.takeoff.shape import Floats

__all__ = ["Move", "moved"]


@dataclass(frozen=True, slots=True, eq=False)
class Move:
    """A similarity: p -> matrix p + shift.

    Args:
        matrix: (3, 3), a rotation times a scale; its determinant is negative for a mirror image.
        shift: (3,), mm.
    """

    matrix: Floats
    shift: Floats

    @property
    def scale(self) -> float:
        """How much larger the part stands than it was drawn."""
        return float(abs(np.linalg.det(self.matrix)) ** (1.0 / 3.0))

    @property
    def mirrors(self) -> bool:
        """Tell whether a left part becomes a right one."""
        return bool(np.linalg.det(self.matrix) < 0.0)

    @property
    def stands_still(self) -> bool:
        """Tell whether nothing moves."""
        return bool(np.array_equal(self.matrix, np.eye(3)) and not self.shift.any())

    def point(self, p: Vec) -> Vec:
        """Return where a point comes to stand."""
        x, y, z = (float(c) for c in self.matrix @ np.array(p) + self.shift)
        return (x, y, z)

    def direction(self, d: Vec) -> Vec:
        """Return where a direction comes to point."""
        x, y, z = (float(c) for c in self.matrix @ np.array(d))
        return unit((x, y, z))

    def line(self, line: Centreline) -> Centreline:
        """Return the centreline where it comes to stand; a mirror turns every rotation round."""
        table, size = line.table, self.scale
        sign = -1.0 if self.mirrors else 1.0
        bends = tuple(Bend(b.radius * size, b.angle, sign * b.rotation) for b in table.bends)
        straights = tuple(s * size for s in table.straights)
        axis = self.direction(line.start.axis)
        # An axis is no arrow of matter: a mirror turns it round, so that the bar still bends the way the metal goes.
        turned = (sign * axis[0], sign * axis[1], sign * axis[2])
        start = Pose(self.point(line.start.origin), self.direction(line.start.tangent), turned)
        return Centreline(BendTable(straights, bends, table.closed), start)


def moved(matrix: Sequence[Sequence[float]], shift: Sequence[float]) -> Move:
    """Return the move that its numbers tell of."""
    return Move(np.array(matrix), np.array(shift))
