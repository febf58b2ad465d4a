"""Straights and arcs of square, rectangular and flat bar, from the edges that run along it.

Edges that go round one axis through one angle are the corners of a bend; where they stand from the axis and along it
is the section.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.space import Vec, distance, scale
from bentwork.takeoff.bends_about import Bend, by_axis
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.runs import MEETS, Arc, Part, Straight
from bentwork.takeoff.shape import Floats

__all__ = ["Strip", "bent_strips"]

PARALLEL = 1e-6
"""Lines whose directions differ by less in the cosine run the same way."""
MOST_LINES = 600
"""Straight edges looked at in one solid: a bar of 200 bends with rounded corners, hollow, has more than most frames."""
MOST_PAIRS = 400_000
"""Corners of bends held against straight edges at a time."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Straights and arcs with one section, not yet chained.

    Args:
        outline: of one of its bends; of a straight bar, ``inward`` lies along ``thick``.
        parts: straights and arcs.
        bends: every arc with the outline as it stands in that bend.
        thick: of a straight bar, the direction that its smaller size runs in.
    """

    outline: Outline
    parts: tuple[Part, ...]
    bends: tuple[tuple[Arc, Outline], ...] = ()
    thick: Floats | None = None


@dataclass(frozen=True, slots=True)
class _Lines:
    """Straight edges put together where they run on: points, directions and how far they go, mm."""

    origins: Floats
    ways: Floats
    lows: Floats
    highs: Floats


def bent_strips(edges: Edges, *, in_haste: bool) -> Iterator[Strip]:
    """Return what is bent, one strip for each section, the one with most metal in its bends first.

    Args:
        edges: of the solid.
        in_haste: first look only at what bends are likely about, and at all of it when that was not it. Rounded
            corners and ends look like short bends of thin flat, wide as the bar is long: they take most of the time.
    """
    likely, others = by_axis(edges)
    straight = edges.ends
    arcs = [bend for one in likely for bend in one.bends()]
    if in_haste:
        yield from _strips(arcs, straight)
    more = [bend for one in others for bend in one.bends()]
    if more or not in_haste:
        # A section may have bends of both sorts: what was likely is asked for again together with the rest.
        yield from _strips([*arcs, *more], straight)


def _strips(arcs: Sequence[Bend], straight: Floats) -> Iterator[Strip]:
    groups: list[list[Bend]] = []
    for one in arcs:
        for group in groups:
            if _alike(group[0][2], one[2]):
                group.append(one)
                break
        else:
            groups.append([one])
    groups.sort(key=lambda group: -sum(arc.length for arc, _, _ in group) * group[0][2].area)
    for group in groups:
        lines = _lines(straight, np.array([way for arc, _, _ in group for way in arc.tangents]))
        straights: list[Straight] = []
        for found in _straights(group, lines):
            if not any(_same(found, one) for one in straights):
                straights.append(found)
        bends = tuple((arc, outline) for arc, _, outline in group)
        yield Strip(group[0][2], (*(arc for arc, _ in bends), *straights), bends)


def _alike(a: Outline, b: Outline) -> bool:
    return (
        type(a.section) is type(b.section)
        and abs(a.area - b.area) < 0.002 * a.area
        and (abs(a.largest - b.largest) < 0.02)
    )


def _same(one: Straight, two: Straight) -> bool:
    forth = distance(one.a, two.a) < 3 * MEETS and distance(one.b, two.b) < 3 * MEETS
    return forth or (distance(one.a, two.b) < 3 * MEETS and distance(one.b, two.a) < 3 * MEETS)


def _lines(ends: Floats, along: Floats) -> _Lines:
    """Return what straight edges run on in one line, of those that run along one of these directions, (n, 3)."""
    nothing = _Lines(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0), np.zeros(0))
    if len(ends) == 0:
        return nothing
    chords = ends[:, 1] - ends[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    fit = sizes > 1e-6
    fit &= np.abs(chords @ along.T).max(axis=1) > (1.0 - 2.0 * PARALLEL) * sizes
    chosen = fit.nonzero()[0]
    if len(chosen) == 0:
        return nothing
    chosen = chosen[np.argsort(-sizes[chosen], kind="stable")][:MOST_LINES]
    ends, ways = ends[chosen], chords[chosen] / sizes[chosen, None]
    middle = ends[0, 0]
    points = ends - middle
    # Of all lines, from the first end of each: how far along it both ends lie, and how far beside it.
    at = points @ ways.T - np.einsum("ij,ij->i", points[:, 0], ways)
    squares = np.einsum("iej,iej->ie", points, points)
    apart = squares[:, :, None] - 2.0 * points @ points[:, 0].T + squares[:, 0]
    apart -= at * at
    beside = np.maximum(apart[:, 0], apart[:, 1]) < MEETS**2
    lows, highs = np.minimum(at[:, 0], at[:, 1]).T, np.maximum(at[:, 0], at[:, 1]).T
    if np.count_nonzero(beside) <= len(ends):  # each runs on into itself alone
        return _Lines(ends[:, 0], ways, np.diagonal(lows), np.diagonal(highs))
    pairs = beside.T.nonzero()
    spans: dict[int, list[tuple[int, tuple[float, float]]]] = {}
    for k, other, low, high in zip(*(some.tolist() for some in (*pairs, lows[pairs], highs[pairs])), strict=True):
        spans.setdefault(k, []).append((other, (low, high)))
    rows: list[tuple[int, float, float]] = []
    gone: set[int] = set()
    for k, others in spans.items():
        if k not in gone:
            rows += [(k, *span) for span in _merged([span for other, span in others if other not in gone])]
            gone.update(other for other, _ in others)
    numbers = [k for k, _, _ in rows]
    far = np.array([row[1:] for row in rows])
    return _Lines(ends[numbers, 0], ways[numbers], far[:, 0], far[:, 1])


def _merged(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1] + MEETS:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def _straights(bends: Sequence[Bend], lines: _Lines) -> list[Straight]:
    """Return the straights that run on from both ends of bends, each as far as the farthest of its edges."""
    found: list[Straight] = []
    if len(lines.lows) == 0:
        return found
    middle = lines.origins[0]
    origins = lines.origins - middle
    heights, squares = np.einsum("ij,ij->i", origins, lines.ways), np.einsum("ij,ij->i", origins, origins)
    each = max(1, MOST_PAIRS // (len(origins) * max(len(corners) for _, corners, _ in bends)))
    ends = [(arc, end, corners) for arc, corners, _ in bends for end in (0, 1)]
    for some in (ends[k : k + each] for k in range(0, len(ends), each)):
        frames = np.array(
            [
                (arc.b, arc.last_out, arc.axis, arc.tangents[1])
                if end
                else (arc.a, arc.out, arc.axis, scale(arc.tangents[0], -1.0))
                for arc, end, _ in some
            ]
        )
        counts = [len(corners) for *_, corners in some]
        frame = np.repeat(frames, counts, axis=0)
        corners = np.concatenate([corners for *_, corners in some])
        points = frame[:, 0] - middle - corners[:, :1] * frame[:, 1] + corners[:, 1:] * frame[:, 2]
        same = frame[:, 3] @ lines.ways.T
        at = points @ lines.ways.T - heights
        apart = np.einsum("ij,ij->i", points, points)[:, None] - 2.0 * points @ origins.T + squares - at * at
        holds = (np.abs(same) > 1.0 - PARALLEL) & (apart < (2 * MEETS) ** 2)
        holds &= (at > lines.lows - 2 * MEETS) & (at < lines.highs + 2 * MEETS)
        far = np.where(holds, np.where(same > 0.0, lines.highs - at, at - lines.lows), -np.inf).max(axis=1)
        starts = np.cumsum([0, *counts[:-1]])
        reaches = np.maximum.reduceat(far, starts).tolist()
        edges = np.add.reduceat(np.isfinite(far), starts, dtype=int).tolist()
        for row, reach, count in zip(frames, reaches, edges, strict=True):
            # Between two bends all edges are as long as one another; towards a cut end they need not be.
            if count >= 2 and reach >= MEETS:
                found.append(Straight(_vec(row[0]), _vec(row[0] + reach * row[3])))
    return found


def _vec(a: Floats) -> Vec:
    x, y, z = a.tolist()
    return (x, y, z)
