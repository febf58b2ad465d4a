"""The round ends of bars that are seen aslant or from the front: discs, foreshortened."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.sheets.drawing import Ink, Stroke

__all__ = ["Disc", "discs"]

Array = NDArray[np.float64]

SQUARE_ON = 0.02
"""An end whose bar rises less towards the eye is a straight line: sine."""
POINTS = 48
WITHIN = 1.05
"""An end whose middle lies nearer to another bar than so many of its half widths sits on it and is not seen."""


class Disc(NamedTuple):
    """An end that is seen aslant.

    Args:
        bar: which of the bars.
        end: 0 or -1, as of its points.
        middle: as seen, (3,).
        outward: the bar's direction out of the end, as seen, unit, (3,).
        radius: on paper, mm.
    """

    bar: int
    end: int
    middle: Array
    outward: Array
    radius: float

    @property
    def faces(self) -> bool:
        """Whether the end looks at the eye; else its far rim alone is seen past the bar."""
        return float(self.outward[2]) > 0.0

    def stroke(self, ink: Ink, less: float = 0.0) -> Stroke:
        """Return the disc filled, its radius less by so much, mm."""
        x, y, z = self.outward.tolist()
        flat = math.hypot(x, y)
        across = (-y / flat, x / flat) if flat > 1e-9 else (1.0, 0.0)
        up = (-across[1] * abs(z), across[0] * abs(z))
        turns = [2.0 * math.pi * k / POINTS for k in range(POINTS)]
        wide, deep = self.radius - less, max(self.radius - less / max(abs(z), 0.3), 0.0)
        path = tuple(
            (
                float(self.middle[0]) + wide * math.cos(t) * across[0] + deep * math.sin(t) * up[0],
                float(self.middle[1]) + wide * math.cos(t) * across[1] + deep * math.sin(t) * up[1],
            )
            for t in turns
        )
        return Stroke(path, 0.0, "none", ink, closed=True)


def discs(seen: Sequence[Array], ways: Sequence[Array], widths: Sequence[float], closed: Sequence[bool]) -> list[Disc]:
    """Return the ends of round bars that are seen aslant, and sit on no other bar.

    Args:
        seen: points of each bar as seen, mm of paper, (n, 3).
        ways: their directions as seen, (n, 3).
        widths: mm of paper.
        closed: those have no ends.
    """
    return [
        disc
        for k, bar_closed in enumerate(closed)
        if not bar_closed
        for disc in _of_bar(k, seen[k], ways[k], widths[k])
        if abs(float(disc.outward[2])) > SQUARE_ON and not _sits(disc, seen, widths)
    ]


def _of_bar(k: int, points: Array, ways: Array, width: float) -> Iterator[Disc]:
    for end, sign in ((0, -1.0), (-1, 1.0)):
        yield Disc(k, end, points[end], sign * ways[end], width / 2.0)


def _sits(disc: Disc, seen: Sequence[Array], widths: Sequence[float]) -> bool:
    for k, points in enumerate(seen):
        if k == disc.bar:
            continue
        starts, steps = points[:-1], np.diff(points, axis=0)
        squares = np.maximum(np.einsum("ij,ij->i", steps, steps), 1e-12)
        along = np.clip(np.einsum("ij,ij->i", disc.middle - starts, steps) / squares, 0.0, 1.0)
        near = np.linalg.norm(starts + along[:, None] * steps - disc.middle, axis=1)
        if float(near.min()) < WITHIN * widths[k] / 2.0:
            return True
    return False
