"""Views of a piece: straight from above, the front and the right, and from the corner to see all three at once."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.space import Vec, cross, unit

__all__ = ["ABOVE", "CORNER", "FRONT", "RIGHT", "View", "fit_scale"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class View:
    """A way of looking: parallel rays, so that sizes across them are true.

    Args:
        name: in the maker's words.
        right: direction in space that runs to the right on paper, unit vector.
        up: direction that runs up the paper, unit vector.
    """

    name: str
    right: Vec
    up: Vec

    @property
    def towards(self) -> Vec:
        """Direction from the piece towards the eye."""
        return cross(self.right, self.up)

    def flat(self, points: Array) -> Array:
        """Return points (n, 3) as seen: (n, 3) with x to the right, y DOWN the paper, and height towards the eye."""
        axes = np.array([self.right, tuple(-c for c in self.up), self.towards])
        seen: Array = points @ axes.T
        return seen


def _corner() -> View:
    towards = unit((0.48, -0.72, 0.55))
    right = unit(cross((0.0, 0.0, 1.0), towards))
    return View("from the corner", right, cross(towards, right))


ABOVE = View("from above", (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
FRONT = View("from the front", (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
RIGHT = View("from the right", (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
CORNER = _corner()


def fit_scale(width: float, height: float, room: tuple[float, float]) -> float:
    """Return the largest usual drawing scale with which a picture fits into a room of (width, height), mm.

    The scales of ISO 5455 (1:1, 1:2, 1:5, 1:10 ...) with whole ones between them, so that paper is not wasted.
    """
    for down in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100, 200, 500, 1000):
        if width / down <= room[0] and height / down <= room[1]:
            return 1.0 / down
    return min(room[0] / max(width, 1e-9), room[1] / max(height, 1e-9), 1.0 / 1000.0 if math.isfinite(width) else 1.0)
