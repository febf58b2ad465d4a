"""The edges that run all along a bar, all of them at once: where planes across go through them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bentwork.takeoff.free import sampled
from bentwork.takeoff.runs import Part
from bentwork.takeoff.shape import Floats

__all__ = ["Row", "corners_across", "long_rows"]

STRAIGHT = 1e-4
"""From sample to sample of a straight its direction changes by less, rad."""
ACROSS = 1e-6
"""Points that a plane across goes through the long edges at lie in it to within this, mm."""
ALMOST = 1e-3
"""Those that lie in it to within this have been found, mm."""
MOST_TRIES, MOST_TURNS = 4, 3
LEAST_SAMPLES, MOST_SAMPLES = 400, 1200
"""Along the middle: arcs are fitted to these."""
FEW = 60
"""Places along the middle that are looked at first."""


class Row(NamedTuple):
    """A long edge: points, unit directions, and how far along it they are."""

    points: Floats
    ways: Floats
    at: Floats


class _Rows:
    """All long edges, asked at once."""

    def __init__(self, rows: Sequence[Row]) -> None:
        points, ways, at = (np.concatenate([row[k] for row in rows]) for k in range(3))
        sizes = np.array([len(row.at) for row in rows])
        self._lasts = (sizes.cumsum() - 1)[:, None]
        self._firsts = self._lasts + 1 - sizes[:, None]
        self.lengths = at.take(self._lasts)
        # The edges in one row, each beyond the one before: between which points each place lies.
        self._shifts = (self.lengths + 1.0).cumsum()[:, None] - self.lengths
        self._row = at + self._shifts.ravel().repeat(sizes)
        self._at, self._steps = at[:-1], at[1:] - at[:-1]
        # Cubics between points that run as they do there (Hermite), by powers; and directions between theirs.
        chords, steps = points[1:] - points[:-1], self._steps[:, None]
        begin, end = steps * ways[:-1], steps * ways[1:]
        cubes, squares = begin + end - 2.0 * chords, 3.0 * chords - 2.0 * begin - end
        self._spans = np.concatenate((cubes, squares, begin, points[:-1], ways[1:] - ways[:-1], ways[:-1]), axis=1)

    def on(self, s: Floats) -> tuple[Floats, Floats]:
        """Return points and directions between those that are known, (k, n, 3), and beyond them.

        Args:
            s: how far along each edge, (k, n).
        """
        inside = np.minimum(np.maximum(s, 0.0), self.lengths)
        k = self._row.searchsorted(inside + self._shifts) - 1
        k = np.minimum(np.maximum(k, self._firsts), self._lasts - 1)
        t = ((inside - self._at.take(k)) / self._steps.take(k))[..., None]
        spans = self._spans.take(k, axis=0)
        cubes, squares, slopes, points, bends, ways = (spans[..., j : j + 3] for j in range(0, 18, 3))
        way = t * bends + ways
        here = ((cubes * t + squares) * t + slopes) * t + points
        # Beyond its ends it goes on as it is bent there.
        beyond = (s - inside)[..., None]
        curved = bends / self._steps.take(k)[..., None]
        curved[np.abs(bends).max(axis=-1) < STRAIGHT] = 0.0
        return here + beyond * (way + 0.5 * beyond * curved), way + beyond * curved


def long_rows(long: Sequence[Sequence[Part]], closed: bool) -> list[Row]:
    """Return the rows of edges that run all along, all the same way."""
    rows: list[Row] = []
    for points, ways in map(sampled, long):
        if closed:
            points, ways = _begun(points, ways, rows[0] if rows else None)
        elif rows:
            first = rows[0].points
            same = np.linalg.norm(points[0] - first[0]) + np.linalg.norm(points[-1] - first[-1])
            if same > np.linalg.norm(points[-1] - first[0]) + np.linalg.norm(points[0] - first[-1]):
                points, ways = points[::-1], -ways[::-1]
        steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
        turns = np.diff(ways, axis=0)
        steps *= 1.0 + np.einsum("ij,ij->i", turns, turns) / 24.0  # along the arc, not the chord
        rows.append(Row(points, ways, np.concatenate(([0.0], np.cumsum(steps)))))
    return rows


def _begun(points: Floats, ways: Floats, first: Row | None) -> tuple[Floats, Floats]:
    """Return a closed row that begins beside the first one, and that in the middle of its longest straight.

    Args:
        points: the last is the first again, (n, 3).
        ways: (n, 3).
        first: the first row; None when it is this.
    """
    points, ways = points[:-1], ways[:-1]
    if first is None:
        steps = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)
        bent = np.linalg.norm(np.roll(ways, -1, axis=0) - ways, axis=1) > STRAIGHT
        turn = int(bent.argmax()) + 1 if bent.any() else 0  # no straight goes over the seam then
        gone = np.cumsum(np.roll(steps, -turn))
        ends = np.roll(bent, -turn).nonzero()[0]
        begins = np.concatenate(((0.0,), gone[ends]))
        lasts = np.concatenate((gone[np.maximum(ends - 1, 0)], gone[-1:]))
        k = int((lasts - begins).argmax())
        place = (turn + int(gone.searchsorted((begins[k] + lasts[k]) / 2.0)) + 1) % len(points)
    else:
        place = int(np.linalg.norm(points - first.points[0], axis=1).argmin())
        if float(ways[place] @ first.ways[0]) < 0.0:
            points, ways, place = points[::-1], -ways[::-1], len(points) - 1 - place
    order = np.append(np.roll(np.arange(len(points)), -place), place)
    return points[order], ways[order]


def corners_across(rows: Sequence[Row]) -> tuple[Floats, Floats, Floats]:
    """Return the middle (n, 3), its directions, and where the rows go through the planes across it, (k, n, 3)."""
    together = _Rows(rows)
    # Where a straight of the middle meets an arc every row has a sample: the planes go through those of one row.
    k = max(range(len(rows)), key=lambda k: len(rows[k].at))
    # A cut aslant ends some rows earlier than others, by no more than the section is large; the middle ends half way.
    over = max(float(np.linalg.norm(row.points[0] - rows[0].points[0])) for row in rows)
    first, last = (
        rows[k].at[end] + float(np.mean([row.points[end] - rows[k].points[end] for row in rows], axis=0) @ way)
        for end, way in ((0, rows[k].ways[0]), (-1, rows[k].ways[-1]))
    )
    rough = np.linspace(0.0, 1.0, FEW) * together.lengths
    rough[k] = np.linspace(first, last, FEW)
    _, _, rough = _settled(together, rough, over, k)
    own = rows[k].at[(rows[k].at > first) & (rows[k].at < last)]
    count = min(MOST_SAMPLES, max(LEAST_SAMPLES, len(own)))
    own = np.union1d(np.linspace(first, last, count), own)
    places = np.array([np.interp(own, rough[k], row) for row in rough])
    corners, way, _ = _settled(together, places, over, k)
    return corners.mean(axis=0), way, corners


def _settled(together: _Rows, places: Floats, over: float, fixed: int) -> tuple[Floats, Floats, Floats]:
    """Return points on rows in one plane across each, (k, n, 3), how the rows run there, (n, 3), and the places.

    Args:
        together: the rows.
        places: where on them the points are about, (k, n).
        over: how far beyond their ends they may be, mm.
        fixed: the row whose places are kept.
    """
    for _ in range(MOST_TRIES):
        places, corners, ways, ahead = _stepped(together, places, over, fixed)
        spread = np.linalg.norm(corners - corners[fixed], axis=2).max(axis=0)
        good = (np.abs(ahead).max(axis=0) < ALMOST) & (spread < 2.0 * np.median(spread))
        if good.all() or not good.any():
            break
        # What ran off, to another leg perhaps, begins again between those beside it.
        kept = good.nonzero()[0]
        places = np.array([np.interp(np.arange(len(good)), kept, row[kept]) for row in places])
    for _ in range(MOST_TURNS):
        # Where the section turns about the bar the edges run askew to it, and all of them together do not.
        way = _mean(ways)
        if float(np.abs(np.einsum("kij,ij->ki", corners - corners[fixed], way)).max()) < ALMOST:
            break
        places, corners, ways, _ = _stepped(together, places, over, fixed, way)
    return corners, _mean(ways), places


def _mean(ways: Floats) -> Floats:
    way = ways.mean(axis=0)
    found: Floats = way / np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-12)
    return found


def _stepped(
    together: _Rows, places: Floats, over: float, fixed: int, across: Floats | None = None
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return places by Newton's method, points and directions there, (k, n, 3), and how far these lie ahead, (k, n).

    Args:
        together: the rows.
        places: where on them the points are about, (k, n).
        over: how far beyond their ends they may be, mm.
        fixed: the row whose places are kept.
        across: normals of the planes, (n, 3); None for how that row runs.
    """
    for _ in range(8):
        corners, ways = together.on(places)
        # Not across their mean: in a tight bend this turns by more than a step is long.
        way = _mean(ways[[fixed]]) if across is None else across
        ahead = np.einsum("kij,ij->ki", corners - corners[fixed], way)
        if float(np.abs(ahead).max()) < ACROSS:
            break
        step = ahead / np.maximum(np.einsum("kij,ij->ki", ways, way), 0.2)
        places = np.clip(places - np.clip(step, -over, over), -over, together.lengths + over)
    return places, corners, ways, ahead
