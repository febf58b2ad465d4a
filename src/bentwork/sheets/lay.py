"""How a piece lies on the paper: which way up, and where its points fall. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.centreline import Centreline, Run
from bentwork.sheets.drawing import Point
from bentwork.space import Vec, add, cross, dot, norm, perpendicular, scale, sub, unit

__all__ = ["FLAT", "Lay", "lay_down", "most_positive"]

FLAT = 0.5
"""What is no higher than this lies on the paper."""

_PARALLEL = math.cos(math.radians(0.1))


@dataclass(frozen=True, slots=True)
class Lay:
    """A piece on the paper, seen from above.

    Args:
        origin: end A, in space.
        along: unit vector of the first axis on the paper.
        across: unit vector of the second, a quarter turn to the left of it.
        floor: height of the lowest part of the centreline over end A; below 0 unless end A is the lowest.
    """

    origin: Vec
    along: Vec
    across: Vec
    floor: float = 0.0

    @property
    def up(self) -> Vec:
        """Unit vector from the paper towards the eye."""
        return cross(self.along, self.across)

    def place(self, point: Vec) -> Point:
        """Return where a point falls, along and across from end A."""
        away = sub(point, self.origin)
        return (dot(away, self.along), dot(away, self.across))

    def height(self, point: Vec) -> float:
        """Return how much higher a point of the centreline is than the part that lies on the paper."""
        return dot(sub(point, self.origin), self.up) - self.floor

    def turned(self) -> Lay:
        """Return the piece turned a quarter on the paper."""
        return Lay(self.origin, self.across, scale(self.along, -1.0), self.floor)

    def is_flat(self, line: Centreline) -> bool:
        """Tell whether all of the piece lies on the paper."""
        return all(self.height(point) <= FLAT for point in _samples(line))


def lay_down(line: Centreline) -> Lay:
    """Return how a piece is best laid on the paper: as much of it as possible touches, nothing reaches below.

    A piece in one plane lies in its own plane. Otherwise every plane that two straights or a bend span is tried, and
    the plane of the two largest principal extents of the centreline; of those that touch alike, the flattest. The first
    axis runs along the straight that looks longest from above.
    """
    runs = [run for run in line.runs if run.length > 1e-6]
    if not runs:
        raise ValueError("a piece without length lies nowhere")
    samples = np.array(_samples(line)) - np.array(line.start.origin)
    middles = [_stations(run, line.start.origin) for run in runs]
    lengths = np.array([run.length for run in runs])
    best: tuple[tuple[float, float, float], Vec, float] | None = None
    for normal in _normals(runs, samples):
        for up in (normal, scale(normal, -1.0)):
            heights = samples @ np.array(up)
            floor = float(heights.min())
            touching = [bool(np.all(places @ np.array(up) - floor <= FLAT)) for places in middles]
            flatness = -float(np.mean((heights - floor) ** 2))
            key = (round(float(lengths[touching].sum())), round(flatness, 1), _usual(up))
            if best is None or key > best[0]:
                best = (key, up, floor)
    assert best is not None  # every piece with length has a normal to try
    _, up, floor = best
    along = _first_axis(runs, up)
    return most_positive(Lay(line.start.origin, along, cross(up, along), floor), line)


def most_positive(lay: Lay, line: Centreline) -> Lay:
    """Return the piece turned half round on the paper if that makes more of its coordinates positive."""
    places = [lay.place(point) for point in _samples(line)]
    middle = sum(max(place[k] for place in places) + min(place[k] for place in places) for k in (0, 1))
    return lay if middle >= -1e-6 else lay.turned().turned()


def _stations(run: Run, origin: Vec) -> NDArray[np.float64]:
    """Ends and quarters of a run, from end A."""
    return np.array([sub(run.pose(run.length * part).origin, origin) for part in (0.0, 0.25, 0.5, 0.75, 1.0)])


def _samples(line: Centreline) -> list[Vec]:
    """Points evenly along the bar: about two hundred, with all tangent points."""
    step = max(line.table.length / 200.0, 1e-3)
    points = []
    for run in line.runs:
        count = max(1, math.ceil(run.length / step))
        points += [run.pose(run.length * k / count).origin for k in range(count + 1)]
    return points


def _normals(runs: list[Run], samples: NDArray[np.float64]) -> list[Vec]:
    """Unit normals of the planes that are worth trying, without repeats."""
    cloud = samples - np.mean(samples, axis=0)
    principal = np.linalg.svd(cloud, full_matrices=False)[2][2]
    ways = [run.start.tangent for run in runs if run.bend == 0 and run.length > 1.0]
    tried = [run.start.axis for run in runs if run.bend]
    tried += [unit(normal) for i, a in enumerate(ways) for b in ways[:i] if norm(normal := cross(a, b)) > 0.02]
    if not tried:  # a straight bar: any plane that it lies in
        tried = [(0.0, 0.0, 1.0), (0.0, 1.0, 0.0)]
        tried = [n for n in tried if abs(dot(n, ways[0])) < 1e-9] or [perpendicular(ways[0])]
    else:
        tried.append((float(principal[0]), float(principal[1]), float(principal[2])))
    kept: list[Vec] = []
    for normal in tried:
        if all(abs(dot(normal, other)) < _PARALLEL for other in kept):
            kept.append(normal)
    return kept


def _usual(up: Vec) -> float:
    """Prefer to look at a piece from above, from in front (against y), or from the right."""
    sizes = [abs(part) for part in up]
    axis = sizes.index(max(sizes))
    return (1.0 if up[axis] > 0.0 else -1.0) * (-1.0 if axis == 1 else 1.0)


def _first_axis(runs: list[Run], up: Vec) -> Vec:
    """Direction of the straight that looks longest from above, pointing to the positive side of its main axis."""
    best = (0.0, _way(runs[0], up))
    for run in runs:
        if run.bend == 0:
            way = _way(run, up)
            if run.length * norm(way) > best[0] + 1e-6:
                best = (run.length * norm(way), way)
    way = best[1] if norm(best[1]) > 1e-6 else perpendicular(up)
    way = unit(way)
    sizes = [abs(part) for part in way]
    return way if way[sizes.index(max(sizes))] > 0.0 else scale(way, -1.0)


def _way(run: Run, up: Vec) -> Vec:
    """Direction in which a run begins, as it looks from above."""
    tangent = run.start.tangent
    return add(tangent, scale(up, -dot(tangent, up)))
