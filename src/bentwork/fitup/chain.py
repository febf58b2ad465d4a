"""How errors of the bends travel to every later place on the bar: poses and exact slopes, for many bars at once.

Poses are products of turns and shifts along the bar (any book on robots: forward kinematics); the slope of a later pose
over an unknown is the twist which that unknown gives to all that lies behind it. A bend that is opened by an angle da
with its start held turns all behind it about its own end, since the bar rolls on the die. Everything is taken
in a frame at end A: origin there, x along the bar, z the axis of a bend of direction 0.

Arrays run over the bars last: a vector is of shape (3, m) for m bars.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, STRETCH, Floats
from bentwork.fitup.walking import moves_of, ways_of

__all__ = ["Place", "Walk", "across", "walk"]

_DEG = math.pi / 180.0


def across(a: Floats, b: Floats) -> Floats:
    """Return the vector products of vectors of shape (3, ...)."""
    return np.stack((a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]))


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """Where a place of the bar lies, and how that follows from the unknowns.

    Args:
        point: mm, shape (3, m).
        tangent: direction of the bar from A to B, shape (3, m).
        line: direction to which a line scribed along the bar looks, the same as z at end A, shape (3, m).
        moves: slopes of the point over the unknowns, mm for each degree or mm, shape (3, 5, n, m); None if not asked.
        turns: turning of the bar there over the unknowns, degrees for each degree or mm, shape (3, 5, n, m).
    """

    point: Floats
    tangent: Floats
    line: Floats
    moves: Floats | None = None
    turns: Floats | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """Bars walked along from end A to end B: n bends, m bars.

    Args:
        values: unknowns, shape (5, n, m).
        shares: how far into each bend its place lies, shape (n,).
        begins: where each bend starts on the straight bar, mm, shape (n, m).
        finishes: where it ends, mm, shape (n, m).
        first: its tangent point at the start, mm, shape (n, 3, m).
        last: its tangent point at the end, mm, shape (n, 3, m).
        before: direction of the bar before it, shape (n, 3, m).
        after: direction of the bar after it, shape (n, 3, m).
        inward: direction at its start to its centre, shape (n, 3, m).
        axis: its axis, shape (n, 3, m).
        lie: the six before this in one, shape (6, n, 3, m).
    """

    values: Floats
    shares: Floats
    begins: Floats
    finishes: Floats
    first: Floats
    last: Floats
    before: Floats
    after: Floats
    inward: Floats
    axis: Floats
    lie: Floats

    def station(self, at: float | Floats, *, slopes: bool = False, past: int | None = None) -> Place:
        """Return the place that lies ``at`` mm from end A on the straight bar.

        Args:
            at: mm; for all bars, or for each, shape (m,), together with ``past``.
            slopes: whether the slopes are wanted as well.
            past: how many bends lie before it, in all bars; None: as in the first bar, where it may lie in a bend.
        """
        if past is None:
            past = int(np.sum(self.finishes[:, 0] <= at))
            if past < self.begins.shape[0] and self.begins[past, 0] < at:
                return self.in_bend(past, float(at), slopes=slopes)
        size = self.values.shape[2]
        if past == 0:
            ends = np.zeros((3, size)), _all((1.0, 0.0, 0.0), size), _all((0.0, 0.0, 1.0), size)
            point, tangent, line = ends
            reach = np.broadcast_to(at, size)
        else:
            point, tangent, line = self.last[past - 1], self.after[past - 1], self.line(past)
            reach = at - self.finishes[past - 1]
        point = point + reach * tangent
        if not slopes:
            return Place(point, tangent, line)
        return Place(point, tangent, line, self.moved(point[np.newaxis], [past])[0], self._turned(past))

    def corners(self, bends: Sequence[int], *, slopes: bool = False) -> tuple[Floats, Floats | None]:
        """Return where the straights beside bends would meet, mm, shape (s, 3, m), and the slopes, (s, 3, 5, n, m).

        Args:
            bends: numbers from 0, of bends below 180 degrees.
            slopes: whether the slopes are wanted as well.
        """
        chosen = list(bends)
        half = np.tan(self.values[ANGLE, chosen] * (_DEG / 2.0))
        points = self.first[chosen] + (self.values[RADIUS, chosen] * half)[:, np.newaxis] * self.before[chosen]
        if not slopes:
            return points, None
        moves = self.moved(points, chosen)
        self.set_corners(moves, range(len(chosen)), chosen)
        return points, moves

    def set_corners(self, moves: Floats, spots: Sequence[int], bends: Sequence[int]) -> None:
        """Put the slopes of corner points over the unknowns of their own bends into ``moves``, (s, 3, 5, n, m).

        Args:
            moves: of spots, those before the bends already in it.
            spots: which of them are corners.
            bends: of which bends, from 0.
        """
        rows, chosen = list(spots), list(bends)
        angle, radius, before = self.values[ANGLE, chosen], self.values[RADIUS, chosen], self.before[chosen]
        half, share = np.tan(angle * (_DEG / 2.0)), self.shares[chosen, np.newaxis]
        by_angle = radius * (_DEG * 0.5) * (1.0 + half**2) - share * radius * _DEG
        by_radius = half - share * angle * _DEG
        moves[rows, :, ANGLE, chosen] = before * by_angle[:, np.newaxis]
        moves[rows, :, PLACE, chosen] = before
        moves[rows, :, RADIUS, chosen] = before * by_radius[:, np.newaxis]
        moves[rows, :, STRETCH, chosen] = before * share[:, np.newaxis]

    def line(self, past: int) -> Floats:
        """Return where a line scribed along the bar looks behind so many bends, shape (3, m)."""
        if past == 0:
            return _all((0.0, 0.0, 1.0), self.values.shape[2])
        axis, towards = self.axis[past - 1], self.values[DIRECTION, past - 1] * _DEG
        return np.asarray(np.cos(towards) * axis + np.sin(towards) * across(axis, self.after[past - 1]))

    def in_bend(self, bend: int, at: float | Floats, *, slopes: bool = False) -> Place:
        """Return the place in a bend (from 0) that lies ``at`` mm from end A on the straight bar; one, or one a bar."""
        angle, radius = self.values[ANGLE, bend], self.values[RADIUS, bend]
        used, into = self.finishes[bend] - self.begins[bend], at - self.begins[bend]
        phi = into / used * angle * _DEG
        c, s = np.cos(phi), np.sin(phi)
        t, n, axis, start = self.before[bend], self.inward[bend], self.axis[bend], self.first[bend]
        point = start + radius * (s * t + (1.0 - c) * n)
        tangent = c * t + s * n
        line = _turned(self.line(bend), axis, phi)
        if not slopes:
            return Place(point, tangent, line)
        moves, turns = self.moved(point[np.newaxis], [bend])[0], self._turned(bend)
        turn, share = angle * _DEG, self.shares[bend]
        by_used = -into * turn / used**2
        zero = np.zeros_like(phi)
        # What the bend takes, where it starts, how far the place has been turned: each over each unknown.
        used_by = {ANGLE: radius * _DEG, PLACE: zero, RADIUS: turn, STRETCH: zero - 1.0}
        for kind, takes in used_by.items():
            starts = -share * takes + (1.0 if kind == PLACE else 0.0)
            phi_by = by_used * takes - starts * turn / used + (into / used * _DEG if kind == ANGLE else 0.0)
            moves[:, kind, bend] = starts * t + radius * phi_by * tangent
            turns[:, kind, bend] = axis * (phi_by / _DEG)
        moves[:, RADIUS, bend] += s * t + (1.0 - c) * n
        turns[:, DIRECTION, bend] = t - tangent
        moves[:, DIRECTION, bend] = across(t, point - start) * _DEG
        return Place(point, tangent, line, moves, turns)

    def moved(self, points: Floats, past: Sequence[int]) -> Floats:
        """Return the slopes of points of the bar over the unknowns of the bends before them, shape (s, 3, 5, n, m).

        Args:
            points: mm, shape (s, 3, m).
            past: how many bends lie before each point.
        """
        there = np.ascontiguousarray(points)
        return moves_of(there, np.array(past, dtype=np.int64), self.values, self.shares, self.lie)

    def _turned(self, past: int) -> Floats:
        """Turning of the bar behind so many bends over the unknowns, shape (3, 5, n, m)."""
        turns = np.zeros((3, *self.values.shape))
        turns[:, ANGLE, :past] = np.swapaxes(self.axis[:past], 0, 1)
        turns[:, DIRECTION, :past] = np.swapaxes(self.before[:past] - self.after[:past], 0, 1)
        return turns


def walk(values: Floats, shares: Floats) -> Walk:
    """Walk along bars.

    Args:
        values: unknowns of every bend and bar, shape (5, n, m), see ``made.Bar``.
        shares: how far into each bend its place lies, shape (n,).
    """
    values = np.ascontiguousarray(values)
    along, lie = ways_of(values, shares)
    first, last, before, after, inward, axis = lie
    return Walk(values, shares, along[0], along[1], first, last, before, after, inward, axis, lie)


def _all(direction: tuple[float, float, float], size: int) -> Floats:
    """The same direction for so many bars."""
    return np.repeat(np.array(direction)[:, np.newaxis], size, axis=1)


def _turned(vector: Floats, axis: Floats, angle: Floats) -> Floats:
    """Turn vectors about unit axes, shapes (3, m), by angles in radians, shape (m,) (Rodrigues' formula)."""
    c, s = np.cos(angle), np.sin(angle)
    return np.asarray(c * vector + s * across(axis, vector) + (1.0 - c) * np.sum(axis * vector, axis=0) * axis)
