"""What no reading says: where the thing stands as a whole and which way it is turned; held by a stated rule.

The rule: the first point stays where it is sketched, the second in the direction in which it is sketched from there,
the third on its side of the two. As much of it is used as the readings leave open, and no more, so that it bends
nothing: minimal constraints of a free network.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.parts.survey_equations import slopes
from bentwork.parts.survey_reading import Equation, Level, Spot

__all__ = ["Datum", "datum_for", "fixed_rows", "unseen_motions"]

Floats = NDArray[np.float64]

_SEEN = 1e-6  # of the largest: what readings see less of they do not see (accuracies differ by far less)
_JOG = 0.07  # of the thing's size: sketches may lie in a plane by chance, which hides or fakes what is seen


@dataclass(frozen=True, slots=True, eq=False)
class Datum:
    """What is held.

    Args:
        free: (3 n + 1, k) directions in which coordinates and ground may move; columns square to one another.
        held: what was held, in words.
        facing: first and second point, and the direction from one to the other that is kept; None when not needed.
    """

    free: Floats
    held: tuple[str, ...]
    facing: tuple[int, int, Floats] | None


def datum_for(
    spots: Sequence[Spot], places: Floats, equations: Sequence[Equation], level: Level, ground_known: bool
) -> Datum:
    """Return what is held.

    Args:
        spots: the points.
        places: (n, 3) where they are sketched, mm.
        equations: of the readings.
        level: up and forward.
        ground_known: whether the job says how high the ground is.
    """
    heights = any(-1 in one.points for one in equations)
    fixed = fixed_rows(spots, ground=ground_known or not heights)
    shape = np.linspace(0.3, 2.9, 3 * len(spots)).reshape(-1, 3)
    jogged = places + _JOG * max(float(np.ptp(places, axis=0).max()), 100.0) * np.sin(shape * 7.3)
    unseen = unseen_motions(np.vstack([slopes(equations, jogged, 0.0), fixed]), jogged, level, ground=heights)
    rows, held, facing = _chosen(spots, places, level, unseen)
    whole = np.vstack([fixed, rows])
    _, sizes, axes = np.linalg.svd(whole, full_matrices=True)
    rank = int((sizes > 1e-9).sum())
    return Datum(axes[rank:].T.copy(), held, facing)


def fixed_rows(spots: Sequence[Spot], *, ground: bool) -> Floats:
    """Return rows for coordinates that are given, and for a ground that is given or does not matter."""
    count = 3 * len(spots) + 1
    rows = [np.eye(count)[3 * k + axis] for k, spot in enumerate(spots) if spot.at is not None for axis in range(3)]
    if ground:
        rows.append(np.eye(count)[-1])
    return np.array(rows).reshape(len(rows), count)


def unseen_motions(seen: Floats, places: Floats, level: Level, *, ground: bool) -> Floats:
    """Return motions that change nothing of what is seen, (3 n + 1, d): shifts and turns of the whole, and the ground.

    Args:
        seen: (m, 3 n + 1) slopes of the readings, and of what is given.
        places: (n, 3) mm.
        level: up and forward.
        ground: whether the height of the ground matters.
    """
    lifts = np.array(level.up) * float(ground)
    motions = []
    for shift in np.eye(3):
        motions.append(np.append(np.tile(shift, len(places)), lifts @ shift))
    for axis in np.eye(3):
        motions.append(np.append(np.cross(axis, places - places.mean(axis=0)).ravel(), 0.0))
    if ground:
        motions.append(np.eye(len(motions[0]))[-1])
    basis = np.array(motions).T
    basis = basis / np.maximum(np.linalg.norm(basis, axis=0), 1e-12)
    scale = float(np.abs(seen).max()) if seen.size else 1.0
    _, sizes, axes = np.linalg.svd(seen @ basis / scale, full_matrices=True)
    rank = int((sizes > _SEEN).sum())
    found: Floats = basis @ axes[rank:].T
    return found


def _chosen(
    spots: Sequence[Spot], places: Floats, level: Level, unseen: Floats
) -> tuple[Floats, tuple[str, ...], tuple[int, int, Floats] | None]:
    count = len(unseen)
    rows: list[Floats] = []
    held: list[str] = []
    facing = None
    for row, words, pair in _candidates(spots, places, level, count):
        if len(rows) == unseen.shape[1]:
            break
        trial = np.array([*rows, row]) @ unseen
        if np.linalg.matrix_rank(trial, tol=1e-4) > len(rows):
            rows.append(row)
            held.append(words)
            facing = pair or facing
    return np.array(rows).reshape(len(rows), count), tuple(dict.fromkeys(held)), facing


def _candidates(
    spots: Sequence[Spot], places: Floats, level: Level, count: int
) -> list[tuple[Floats, str, tuple[int, int, Floats] | None]]:
    up, ahead, left = (np.array(one) for one in (level.up, level.forward, level.left))
    found: list[tuple[Floats, str, tuple[int, int, Floats] | None]] = []
    ground = np.zeros(count)
    ground[-1] = 1.0
    first = spots[0].name
    for axis in (ahead, left):
        found.append((_row(count, {0: axis}), f"{first} stays where it is sketched", None))
    found.append((ground, "the ground is height 0", None))
    found.append((_row(count, {0: up}), f"{first} stays where it is sketched", None))
    for other in range(1, len(spots)):
        way = places[other] - places[0]
        level_way = way - (up @ way) * up
        if np.linalg.norm(level_way) < 1e-6:
            continue
        aside = np.cross(up, level_way / np.linalg.norm(level_way))
        over = np.cross(way / np.linalg.norm(way), aside)
        words = f"{spots[other].name} stays in the direction in which it is sketched from {first}"
        pair = (0, other, way / np.linalg.norm(way))
        found.append((_row(count, {other: aside, 0: -aside}), words, pair))
        found.append((_row(count, {other: over, 0: -over}), words, pair))
        for third in range(1, len(spots)):
            out = np.cross(way, places[third] - places[0])
            if third == other or np.linalg.norm(out) < 1e-3 * np.linalg.norm(way) ** 2:
                continue
            out = out / np.linalg.norm(out)
            words = (
                f"{spots[third].name} stays in the plane in which it is sketched with {first} and {spots[other].name}"
            )
            found.append((_row(count, {third: out, 0: -out}), words, None))
    return found


def _row(count: int, parts: dict[int, Floats]) -> Floats:
    row = np.zeros(count)
    for point, way in parts.items():
        row[3 * point : 3 * point + 3] = way
    return row
