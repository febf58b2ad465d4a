"""How long a plan takes: 1,000 random pieces of 1 to 16 bends in one process, and the same marks by scipy's rotations.

The peer does less: it takes the same corner points to straights, angles, rotations and marks with
``scipy.spatial.transform`` frames and numpy, without findings, masses or steps.

    python3 bootstrap.py bench planning
"""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable

import numpy as np
from scipy.spatial.transform import Rotation

from bentwork.files.catalogue import materials
from bentwork.jobs.job import Job, PieceSpec
from bentwork.jobs.work import work
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import misfits
from bentwork.space import Vec
from bentwork.stock.bar import Stock
from bentwork.stock.section import Round
from bentwork.tooling.bender import Bender

RADIUS = 30.0


def random_pieces(count: int, seed: int = 7) -> list[tuple[Vec, ...]]:
    """Corner points of pieces of 1 to 16 bends that fit."""
    rng = random.Random(seed)
    found: list[tuple[Vec, ...]] = []
    while len(found) < count:
        points: list[Vec] = [(0.0, 0.0, 0.0)]
        for _ in range(len(found) % 16 + 2):
            x, y, z = points[-1]
            points.append((x + rng.uniform(-300, 300), y + rng.uniform(-300, 300), z + rng.uniform(-300, 300)))
        if not misfits(Corners(tuple(points), (RADIUS,) * (len(points) - 2))):
            found.append(tuple(points))
    return found


def ours(pieces: list[tuple[Vec, ...]]) -> float:
    """Plan a job of all pieces; returns the sum of all marks."""
    stock = Stock("rod", Round(12.0), materials()["6082-T6"])
    specs = tuple(
        PieceSpec(f"p{i}", "rod", Corners(p, (RADIUS,) * (len(p) - 2)), "lever", trim=15.0)
        for i, p in enumerate(pieces)
    )
    bender = Bender("lever", "wrap", RADIUS, springback=1.04)
    result = work(Job("random", stocks={"rod": stock}, benders={"lever": bender}, pieces=specs))
    return sum(mark.start + mark.end for plan in result.pieces for mark in plan.marks)


def peer(pieces: list[tuple[Vec, ...]]) -> float:
    """The same marks with numpy arrays and scipy rotations."""
    total = 0.0
    for piece in pieces:
        points = np.array(piece)
        sides = np.diff(points, axis=0)
        lengths = np.linalg.norm(sides, axis=1)
        units = sides / lengths[:, None]
        normals = np.cross(units[:-1], units[1:])
        angles = np.arctan2(np.linalg.norm(normals, axis=1), np.einsum("ij,ij->i", units[:-1], units[1:]))
        normals /= np.linalg.norm(normals, axis=1)[:, None]
        frames = np.stack([units[:-1], normals, np.cross(units[:-1], normals)], axis=2)
        turned = [Rotation.from_matrix(frame) for frame in frames]
        _ = [(turned[i].inv() * turned[i + 1]).as_rotvec() for i in range(len(turned) - 1)]
        setbacks = RADIUS * np.tan(angles / 2)
        straights = lengths.copy()
        straights[:-1] -= setbacks
        straights[1:] -= setbacks
        arcs = RADIUS * angles
        ends = 15.0 + np.cumsum(straights[:-1] + arcs)
        total += float(np.sum(ends) + np.sum(ends - arcs))
    return total


def median(function: Callable[[list[tuple[Vec, ...]]], float], pieces: list[tuple[Vec, ...]]) -> tuple[float, float]:
    """Median of five runs, seconds, and the answer."""
    times, answer = [], 0.0
    for _ in range(5):
        start = time.perf_counter()
        answer = function(pieces)
        times.append(time.perf_counter() - start)
    return statistics.median(times), answer


def main() -> None:
    """Print the table."""
    pieces = random_pieces(1000)
    materials()
    (mine, a), (theirs, b) = median(ours, pieces), median(peer, pieces)
    if abs(a - b) > 1e-6 * abs(a):
        raise SystemExit(f"the two do not agree: {a} and {b}")
    print("| 1,000 random pieces of 1 to 16 bends | median of 5, s | ratio |")
    print("| --- | --- | --- |")
    print(f"| whole plan: table, marks, steps, findings | {mine:.3f} | 1 |")
    print(f"| marks alone, numpy and scipy rotations | {theirs:.3f} | {theirs / mine:.2f} |")


if __name__ == "__main__":
    main()
