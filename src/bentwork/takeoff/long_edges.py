"""Straights and arcs of square, rectangular and flat bar, from the edges that run along it.

Edges that go round one axis through one angle are the corners of a bend; where they stand from the axis and along it
is the section.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.space import Vec, along, cross, distance, dot, scale, sub, unit
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.runs import MEETS, Arc, Part, Straight
from bentwork.takeoff.shape import Edge, Floats

__all__ = ["SAME_WAY", "Strip", "bent_strips"]

SAME_WAY = 1e-4
"""Directions that differ by less are one, rad."""
MOST_LINES = 600
"""Straight edges looked at in one solid: a bar of 200 bends with rounded corners, hollow, has more than most frames."""


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


def bent_strips(edges: Sequence[Edge]) -> Iterator[Strip]:
    """Return what is bent, one strip for each section, the one with most metal in its bends first."""
    arcs = _arcs([edge for edge in edges if edge.kind == "circle"])
    if not arcs:
        return
    lines = _lines([edge for edge in edges if edge.kind == "line"])
    groups: list[list[tuple[Arc, Floats, Outline]]] = []
    for arc, corners, outline in arcs:
        for group in groups:
            if _alike(group[0][2], outline):
                group.append((arc, corners, outline))
                break
        else:
            groups.append([(arc, corners, outline)])
    # Rounded corners and ends look like short bends of thin flat, wide as the bar is long: they come last.
    groups.sort(key=lambda group: -sum(arc.length for arc, _, _ in group) * group[0][2].area)
    for group in groups:
        parts: list[Part] = [arc for arc, _, _ in group]
        for arc, corners, _ in group:
            for end in (0, 1):
                straight = _straight_from(arc, end, corners, lines)
                if straight is not None and not any(_same(straight, part) for part in parts):
                    parts.append(straight)
        yield Strip(group[0][2], tuple(parts), tuple((arc, outline) for arc, _, outline in group))


def _alike(a: Outline, b: Outline) -> bool:
    return (
        type(a.section) is type(b.section)
        and abs(a.area - b.area) < 0.002 * a.area
        and (abs(a.largest - b.largest) < 0.02)
    )


def _same(straight: Straight, part: Part) -> bool:
    if not isinstance(part, Straight):
        return False
    forth = max(distance(straight.a, part.a), distance(straight.b, part.b))
    back = max(distance(straight.a, part.b), distance(straight.b, part.a))
    return min(forth, back) < 3 * MEETS


def _arcs(circles: Sequence[Edge]) -> list[tuple[Arc, Floats, Outline]]:
    """Return bends with their corners, (n, 2): from the axis and along it, about the middle."""
    if not circles:
        return []
    ways = np.array([edge.axis for edge in circles])
    # An axis has no front: the first coordinate that is not 0 shall be positive.
    lead = np.where(np.abs(ways[:, 0]) > 1e-6, ways[:, 0], np.where(np.abs(ways[:, 1]) > 1e-6, ways[:, 1], ways[:, 2]))
    ways = ways * np.sign(lead)[:, None]
    centres = np.array([edge.centre for edge in circles])
    feet = centres - np.einsum("ij,ij->i", centres, ways)[:, None] * ways
    left = np.ones(len(circles), dtype=bool)
    found: list[tuple[Arc, Floats, Outline]] = []
    while left.any():
        k = int(np.argmax(left))
        # The feet of skew directions drift apart with the distance from the origin: both are asked for.
        same = left & (np.abs(ways - ways[k]).max(axis=1) < SAME_WAY)
        same &= np.abs(feet - feet[k]).max(axis=1) < 2 * MEETS + SAME_WAY * float(np.abs(centres[k]).max()) * 0.01
        same[k] = True
        left &= ~same
        group = np.flatnonzero(same)
        if len(group) >= 4:
            found += _about(_vec(ways[k]), _vec(feet[k]), [circles[int(n)] for n in group])
    return found


def _about(axis: Vec, place: Vec, edges: list[Edge]) -> list[tuple[Arc, Floats, Outline]]:
    """Return the bends about one axis."""
    first = sub(_vec(edges[0].points[0]), place)
    x = unit(along(first, axis, -dot(first, axis)))
    y = cross(axis, x)
    rings: list[tuple[float, float, list[tuple[float, float]]]] = []
    for edge in edges:
        rho, z = edge.radius, dot(sub(edge.centre, place), axis)
        begin = sub(_vec(edge.points[0 if dot(edge.axis, axis) > 0.0 else -1]), place)
        low = math.atan2(dot(begin, y), dot(begin, x))
        span = (low, low + edge.sweep)
        ring = next((r for r in rings if abs(r[0] - rho) < MEETS and abs(r[1] - z) < MEETS), None)
        if ring is None:
            rings.append((rho, z, [span]))
        else:
            ring[2].append(span)
    spans: list[tuple[float, float, list[tuple[float, float]]]] = []
    for rho, z, parts in rings:
        for low, high in _together(parts, 4 * MEETS / rho):
            slack = 4 * MEETS / rho + 1e-6
            for known in spans:
                turns = abs((low - known[0] + math.pi) % (2.0 * math.pi) - math.pi)
                if turns < slack and abs((high - low) - (known[1] - known[0])) < 2 * slack:
                    known[2].append((rho, z))
                    break
            else:
                spans.append((low, high, [(rho, z)]))
    found = []
    for low, high, corners in spans:
        if len(corners) < 4:
            continue
        table = np.array(corners)
        middle = (table.max(axis=0) + table.min(axis=0)) / 2.0
        # Towards the inside of the bend is towards the axis.
        about = np.column_stack((middle[0] - table[:, 0], table[:, 1] - middle[1]))
        outline = rectangle_from(about)
        if outline is None or middle[0] <= outline.inward * 0.999:
            continue
        out = along(scale(x, math.cos(low)), y, math.sin(low))
        arc = Arc(along(place, axis, float(middle[1])), axis, out, float(middle[0]), high - low)
        found.append((arc, about, outline))
    return found


def _together(spans: list[tuple[float, float]], gap: float) -> list[tuple[float, float]]:
    """Put angles together that touch; what goes all the way round begins where the first one does."""
    whole = 2.0 * math.pi
    if any(high - low > whole - 1e-9 for low, high in spans):
        return [(spans[0][0], spans[0][0] + whole)]
    best: list[tuple[float, float]] = []
    for begin in sorted(low for low, _ in spans):
        shifted = sorted(((low - begin + 1e-7) % whole - 1e-7 + begin, high - low) for low, high in spans)
        runs: list[list[float]] = []
        for low, width in shifted:
            if runs and low <= runs[-1][1] + gap:
                runs[-1][1] = max(runs[-1][1], low + width)
            else:
                runs.append([low, low + width])
        if not best or len(runs) < len(best):
            best = [(low, min(high, low + whole)) for low, high in runs]
    return best


def _lines(edges: Sequence[Edge]) -> _Lines:
    edges = sorted(edges, key=lambda e: -float(np.abs(e.points[1] - e.points[0]).max()))[:MOST_LINES]
    if not edges:
        return _Lines(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0), np.zeros(0))
    ends = np.array([edge.points for edge in edges])
    sizes = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    ends, sizes = ends[sizes > 1e-6], sizes[sizes > 1e-6]
    ways = (ends[:, 1] - ends[:, 0]) / sizes[:, None]
    rel = ends[None] - ends[:, None, :1]  # of all lines, from the first end of each
    at = np.einsum("ikej,ij->ike", rel, ways)
    rel -= at[..., None] * ways[:, None, None]
    beside = np.einsum("ikej,ikej->ike", rel, rel).max(axis=2) < MEETS**2
    lows, highs = at.min(axis=2), at.max(axis=2)
    left = np.ones(len(ends), dtype=bool)
    rows: list[tuple[Floats, Floats, float, float]] = []
    for k in range(len(ends)):
        if not left[k]:
            continue
        same = np.flatnonzero(left & beside[k])
        left[same] = left[k] = False
        spans = list(zip(lows[k, same].tolist(), highs[k, same].tolist(), strict=True))
        rows += [(ends[k, 0], ways[k], low, high) for low, high in _merged(spans)]
    columns = [np.array(column) for column in zip(*rows, strict=True)]
    return _Lines(columns[0], columns[1], columns[2], columns[3])


def _merged(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1] + MEETS:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def _straight_from(arc: Arc, end: int, corners: Floats, lines: _Lines) -> Straight | None:
    """Return the straight that runs on from an end of a bend, as far as the farthest of its edges."""
    if len(lines.lows) == 0:
        return None
    out = np.array(arc.out if end == 0 else arc.last_out)
    axis = np.array(arc.axis)
    way = np.array(arc.tangents[end]) * (-1.0 if end == 0 else 1.0)
    start = np.array(arc.a if end == 0 else arc.b)
    same = lines.ways @ way
    parallel = np.abs(same) > 1.0 - 1e-6
    if not parallel.any():
        return None
    origins, ways, lows, highs = (a[parallel] for a in (lines.origins, lines.ways, lines.lows, lines.highs))
    points = start - corners[:, :1] * out + corners[:, 1:] * axis
    rel = points[:, None, :] - origins
    at = np.einsum("cij,ij->ci", rel, ways)
    aside = np.linalg.norm(rel - at[:, :, None] * ways, axis=2)
    holds = (aside < 2 * MEETS) & (at > lows - 2 * MEETS) & (at < highs + 2 * MEETS)
    far = np.where(holds, np.where(same[parallel] > 0.0, highs - at, at - lows), -np.inf).max(axis=1)
    reaches = far[np.isfinite(far)]
    if len(reaches) < 2 or float(reaches.max()) < MEETS:
        return None
    # Between two bends all edges are as long as one another; towards a cut end they need not be.
    return Straight(_vec(start), _vec(start + float(reaches.max()) * way))


def _vec(a: Floats) -> Vec:
    x, y, z = a.tolist()
    return (x, y, z)
