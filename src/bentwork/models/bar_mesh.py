"""A bent bar as triangles: rings of its section along the centreline, joined, and closed by its two ends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.models.carried import Stretch, carried, seam_turn
from bentwork.models.ended_mesh import Loop, Shape, Walk, ended_walks, fineness, placed
from bentwork.models.mesh import Flags, Indices, Mesh
from bentwork.models.skin import Skin, skins
from bentwork.piece.centreline import Centreline, chords_for
from bentwork.stock.section import Section, Way
from bentwork.tolerances import CLOSES_GAP

__all__ = ["CHORD_ERROR", "bar_mesh", "is_ring", "rings_along"]

Array = NDArray[np.float64]
CHORD_ERROR = 0.05
"""How far a triangle may lie from the true surface, mm: a third of the finest layer that a printer lays in plastic."""

_SAME_TURN = 0.01
"""Degrees by which a section with corners may be turned at the seam and still be joined to itself."""


def bar_mesh(
    line: Centreline,
    section: Section,
    way: Way = "easy",
    chord_error: float = CHORD_ERROR,
    ends: tuple[Shape, Shape] = (0.0, 0.0),
) -> Mesh:
    """Return a bent bar as closed triangles, its points on the true surface.

    Args:
        line: the piece in space; every bend leaves room inside (see ``carried.room_inside``).
        section: of its bar.
        way: of its first bend.
        chord_error: how far a triangle may lie from the true surface, mm.
        ends: how end A and end B are made, each within its straight; of a closed piece they are not looked at.

    Raises:
        ValueError: the piece has no length.
    """
    stretches = carried(line, way)
    if not stretches:
        raise ValueError("a piece without length is no body")
    loops = skins(section)
    ring = is_ring(line, section, way)
    # Where a round ring meets itself, its last facets lean by up to half a facet, and lie 2.25 times as deep.
    share = 0.2 if ring and stretches[-1].run.bend else 0.4
    chords = max(loop.chords(chord_error * share) for loop in loops)
    rings = rings_along(stretches, loops[0], chord_error / 2.0)
    if ring:
        shift = _shift(seam_turn(stretches), loops[0], 4 * (chords + 1), chords)
        return _joined([Walk(placed(rings[:-1], loop.polygon(chords))) for loop in loops], shift)
    fine = fineness(ends, loops[0], chords, chord_error)
    return _joined(ended_walks(rings, loops, chords, ends, fine), None)


def is_ring(line: Centreline, section: Section, way: Way = "easy") -> bool:
    """Tell whether a closed piece is one ring of metal: the section comes back to the seam as it left.

    A bar with corners that is bent in space may come back turned; then its ends meet as two faces.
    """
    stretches = carried(line, way)
    if not (line.table.closed and stretches and line.gap.distance <= CLOSES_GAP):
        return False
    outer = skins(section)[0]
    return outer.is_round or abs(_off_step(seam_turn(stretches), outer)) <= _SAME_TURN


def _step(outer: Skin) -> float:
    """Degrees after which a section with corners looks the same."""
    return 90.0 if outer.width == outer.height else 180.0


def _off_step(turn: float, outer: Skin) -> float:
    return turn - _step(outer) * round(turn / _step(outer))


def _shift(turn: float, outer: Skin, count: int, chords: int) -> int:
    """Return by how many points the last ring has run ahead of the first when it meets it."""
    if outer.is_round:
        quarters, rest = divmod(turn / 90.0, 1.0)
        return (int(quarters) * (chords + 1) + round(rest * chords)) % count
    return round(turn / 90.0) * (count // 4) % count


def rings_along(stretches: Sequence[Stretch], outer: Skin, error: float) -> Array:
    """Return origin, wide and high (s, 3, 3) of every ring from end to end.

    Args:
        stretches: of the bar, the section carried along.
        outer: outside of the section.
        error: how far the skin between two rings may lie from the true one, mm.
    """
    found = []
    for number, stretch in enumerate(stretches):
        run = stretch.run
        steps = 1
        if run.bend:
            reach = math.hypot(outer.width, outer.height) / 2.0 if not outer.is_round else outer.radius
            steps = chords_for(run.radius + reach, run.length / run.radius, error)
        for k in range(1 if number else 0, steps + 1):
            here = stretch.at(run.length * k / steps)
            found.append((here.run.start.origin, here.wide, here.high))
    return np.array(found)


def _joined(walks: Sequence[Walk], seam: int | None) -> Mesh:
    """Join the rings of each outline, turn the inner one outside in, and close the ends unless they meet."""
    points: list[Array] = []
    triangles: list[Indices] = []
    inside: list[bool] = []
    count = 0

    def numbered(loops: Sequence[Loop]) -> list[Indices]:
        nonlocal count
        found = []
        for loop in loops:
            points.append(loop.points)
            found.append(count + loop.same)
            count += len(loop.points)
        return found

    tips: list[list[Indices]] = [[], []]
    for inner, walk in enumerate(walks):
        index = numbered(walk.loops)
        sides = _sides(index, [loop.fine for loop in walk.loops])
        if seam is not None:
            sides = np.concatenate((sides, _between(index[-1], np.roll(index[0], -seam))))
        triangles.append(sides[:, ::-1] if inner else sides)
        inside.append(inner > 0)
        for k, filling in enumerate(walk.filling):
            if not inner:
                tips[k] = [index[-k], *numbered(filling)]
            elif walk.reaches[k]:
                tips[k].append(index[-k])
    if seam is None:
        triangles += [_end(tips[0])[:, ::-1], _end(tips[1])]
        inside += [False, False]
    return _clean(
        np.concatenate(points), np.concatenate(triangles), np.repeat(inside, [len(some) for some in triangles])
    )


def _sides(index: Sequence[Indices], fine: Sequence[int]) -> Indices:
    """Triangles from every outline to the next; those of the same fineness are taken together."""
    found, first = [], 0
    for k in range(1, len(index)):
        if fine[k] != fine[k - 1]:
            found += [_many(index[first:k]), _collar(index[k - 1], index[k], fine[k - 1], fine[k])]
            first = k
    joined: Indices = np.concatenate([*found, _many(index[first:])])
    return joined


def _many(index: Sequence[Indices]) -> Indices:
    if len(index) < 2:
        return np.empty((0, 3), np.int64)
    return _between(np.stack(index[:-1]), np.stack(index[1:]))


def _between(behind: Indices, ahead: Indices) -> Indices:
    return _quads(behind, np.roll(behind, -1, -1), np.roll(ahead, -1, -1), ahead)


def _collar(behind: Indices, ahead: Indices, fine_behind: int, fine_ahead: int) -> Indices:
    """Triangles between an outline and a finer one: every edge of the one is a fan to the other's."""
    forward = fine_ahead > fine_behind
    coarse, finer, times = (behind, ahead, fine_ahead) if forward else (ahead, behind, fine_behind)
    after = np.roll(coarse, -1)
    steps = finer.reshape(-1, times)
    chain = np.concatenate((steps, np.roll(steps[:, :1], -1, 0)), axis=1)  # to the point at the end of the edge
    hub = np.repeat(coarse, times)
    fans = np.stack((hub, chain[:, 1:].ravel(), chain[:, :-1].ravel()), -1)
    rest = np.stack((coarse, after, chain[:, -1]), -1)
    found = np.concatenate((fans, rest))
    return found if forward else found[:, ::-1]


def _quads(a: Indices, b: Indices, c: Indices, d: Indices) -> Indices:
    one, two = np.stack((a, b, c), -1).reshape(-1, 3), np.stack((a, c, d), -1).reshape(-1, 3)
    found: Indices = np.concatenate((one, two))
    return found


def _end(outlines: Sequence[Indices]) -> Indices:
    """Triangles of an end face, seen from ahead of the bar: a fan, or rings from the outside inwards."""
    if len(outlines) > 1:
        return np.concatenate([_between(outer, inner) for outer, inner in pairwise(outlines)])
    outer = outlines[0]
    _, first = np.unique(outer, return_index=True)
    round_it = outer[np.sort(first)]
    middle = round_it[1:-1]
    found: Indices = np.stack((np.full(len(middle), round_it[0]), middle, round_it[2:]), -1)
    return found


def _clean(points: Array, triangles: Indices, inside: Flags) -> Mesh:
    """Drop triangles without area and points that none uses."""
    a, b, c = triangles.T
    kept = (a != b) & (b != c) & (c != a)
    used, index = np.unique(triangles[kept], return_inverse=True)
    return Mesh(points[used], index.reshape(-1, 3).astype(np.int64), inside[kept])
