"""A piece laid on its drawing: where it fits best, or from a datum on the piece itself.

The best fit is that of least squares. It is found by turning the piece as if turns were small, a few times over: of the
turns that errors of a hand make nothing is left after four; those that go on
for longer are far from the drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.fitup.chain import Place, Walk, across
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.spots import Spot
from bentwork.fitup.walking import laid

__all__ = ["Aligned"]

_TURNS = 8
_STILL = 1e-8  # radians: a metre of bar is turned by no more than 0.01 micrometres


@dataclass(frozen=True, slots=True, eq=False)
class Aligned:
    """Points of a drawing on which a piece is laid.

    Args:
        drawn: where the spots are drawn, mm, shape (s, 3): from their middle, or in the frame of the datum.
        solves: the small shift and turn of least squares from the misses, shape (6, 3 s); None with a datum.
        full: whether the points tell all turns; those in a line do not tell one about it, and none is taken then.
        datum: the place that all are measured from, None for the best fit.
        nominal: the piece as drawn.
    """

    drawn: Floats
    solves: Floats | None
    full: bool
    datum: Spot | None
    nominal: Bar

    @classmethod
    def on(cls, points: Floats, nominal: Bar, walks: Walk, datum: Spot | None) -> Aligned:
        """Return the drawing of points, mm, shape (s, 3)."""
        if datum is not None:
            there = datum.place(walks, nominal)
            frame = _frame(there)[..., 0]
            return cls((points - there.point[:, 0]) @ frame, None, True, datum, nominal)
        drawn = points - points.mean(axis=0)
        rigid = _rigid(drawn[:, :, np.newaxis])[..., 0]
        full = int(np.linalg.matrix_rank(rigid, tol=1e-6 * float(np.abs(drawn).max() + 1.0))) == 6
        return cls(drawn, np.asarray(np.linalg.pinv(rigid, rcond=1e-9), dtype=np.float64), full, None, nominal)

    def laid(self, points: Floats, moves: Floats | None, there: Place | None = None) -> tuple[Floats, Floats | None]:
        """Return by how much the spots of bars are out, mm, shape (3 s, m), and the slopes, shape (3 s, 5, n, m).

        Args:
            points: where the spots lie, mm, shape (s, 3, m).
            moves: their slopes, shape (s, 3, 5, n, m); None if those are not asked for.
            there: where the datum lies, if there is one.
        """
        return self._best(points, moves) if there is None else self._from(points, moves, there)

    def _from(self, points: Floats, moves: Floats | None, there: Place) -> tuple[Floats, Floats | None]:
        frame = _frame(there)
        points = points - there.point
        out = np.einsum("skm,kjm->sjm", points, frame) - self.drawn[:, :, np.newaxis]
        out = out.reshape(-1, out.shape[-1])
        if moves is None or there.moves is None or there.turns is None:
            return out, None
        turns = there.turns[:, np.newaxis]
        swing = np.radians(across(turns, np.swapaxes(points, 0, 1)[:, :, np.newaxis, np.newaxis]))
        moves = moves - there.moves - np.swapaxes(swing, 0, 1)
        found = np.einsum("skabm,kjm->sjabm", moves, frame)
        return out, found.reshape(-1, *moves.shape[2:])

    def _best(self, points: Floats, moves: Floats | None) -> tuple[Floats, Floats | None]:
        if self.solves is None:
            raise ValueError("a piece with a datum is measured from it")
        count, _, size = points.shape
        at, whole = laid(points - points.mean(axis=0), self.drawn, self.solves, _TURNS, _STILL)
        out = (at - self.drawn[:, :, np.newaxis]).reshape(3 * count, size)
        if moves is None:
            return out, None
        turned = whole.transpose(2, 0, 1) @ moves.reshape(count, 3, -1, size).transpose(3, 0, 1, 2).swapaxes(0, 1)
        turned = turned.transpose(0, 2, 3, 1).reshape(3 * count, -1, size)
        # What moves is laid on the drawing again: by the shift and turn, from where it lies, that undo the misses.
        from_here = _rigid(at)
        undone = np.einsum("ij,jkm->mik", self.solves, from_here)
        wants = np.einsum("ij,jpm->mip", self.solves, turned)
        small = np.linalg.solve(undone, wants) if self.full else np.linalg.pinv(undone, rcond=1e-9) @ wants
        turned = turned - (from_here.transpose(2, 0, 1) @ small).transpose(1, 2, 0)
        return out, turned.reshape(3 * count, *moves.shape[2:])


def _rigid(points: Floats) -> Floats:
    """Return how points of shape (s, 3, m) move by small shifts and turns, shape (3 s, 6, m)."""
    count, _, size = points.shape
    found = np.zeros((count, 3, 6, size))
    x, y, z = points[:, 0], points[:, 1], points[:, 2]
    found[:, 0, 0] = found[:, 1, 1] = found[:, 2, 2] = 1.0
    found[:, 1, 3], found[:, 2, 3] = -z, y
    found[:, 0, 4], found[:, 2, 4] = z, -x
    found[:, 0, 5], found[:, 1, 5] = -y, x
    return found.reshape(3 * count, 6, size)


def _frame(place: Place) -> Floats:
    """Columns: along the bar, beside the scribed line, along it; shape (3, 3, m)."""
    return np.stack((place.tangent, across(place.line, place.tangent), place.line), axis=1)
