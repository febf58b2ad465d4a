"""Square, rectangular and flat section along free curves: springs and sweeps, from the edges that run all along them.

The middle is where a plane at right angles to all of the long edges has the middle of the points that they go through
it at; the section is what those points make up, and it must be the same all along.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Flat, SquareTube
from bentwork.takeoff.bar import Bar, End, WayBent
from bentwork.takeoff.bars import SPLINE_VOLUME, UNTWISTED, Doubt, Swept, Tried, rests_of, try_bar
from bentwork.takeoff.free import part_of, sampled
from bentwork.takeoff.near_arcs import nearest_arcs, straights_and_arcs
from bentwork.takeoff.no_bars import WIDEST_FLAT, no_bar
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.rectangular import LongEdges, across_a_corner
from bentwork.takeoff.runs import Part, Path, chained, key_of
from bentwork.takeoff.shape import Face, Floats, Shape, crossed
from bentwork.takeoff.sides import ends_of

__all__ = ["swept_bars"]

LONG = 0.6
"""Edges that run all along are longer than this share of the longest one."""
MOST_EDGES = 16
"""A tube with rounded corners has as many long edges."""
STEADY = 0.05
"""The section keeps its shape to within this, mm: sweeps are approximated to 1e-3 or so."""
STRAIGHT = 1e-4
"""From sample to sample of a straight its direction changes by less, rad."""
ACROSS = 1e-6
"""Points that a plane across goes through the long edges at lie in it to within this, mm."""
SQUARE_WITHIN = 0.1
"""An end of a sweep that leans by less is square, degrees."""
LEAST_SAMPLES, MOST_SAMPLES = 400, 1200
"""Along the middle: arcs are fitted to these."""
FEW = 60
"""Places along the middle at which it is first asked which of the corners lie beside one another."""
ALONG_A_SIDE = 0.9
"""Cosine of the angle between a bend's plane and a side, above which it is bent that way; below it, aslant."""


def swept_bars(shape: Shape, along: LongEdges, volume: float, *, free: bool) -> Iterator[Tried | Swept | Doubt]:
    """Try the one bar of a solid whose long edges are free curves.

    Args:
        shape: the solid.
        along: its long edges.
        volume: mm3.
        free: try where some of them are; else where all are lines and circles.
    """
    if all(face.patch is None for face in shape.faces):
        return  # the sides that follow a free curve have no formula
    parts = [(number, part) for number, edge in along.formal.each() if (part := part_of(edge)) is not None]
    chains = chained([part for _, part in parts])
    for closed in (False, True):
        long = _longest([chain for chain, closes in chains if closes == closed])
        if 4 <= len(long) <= MOST_EDGES and any(isinstance(part, Path) for row in long for part in row) == free:
            rows, keys = _long_rows(long, closed), {key_of(part) for row in long for part in row}
            numbers = {number for number, part in parts if key_of(part) in keys}
            yield from _along_rows(shape, along, rows, numbers, closed, volume)


def _along_rows(
    shape: Shape, along: LongEdges, rows: Sequence[_Row], numbers: Set[int], closed: bool, volume: float
) -> Iterator[Tried | Swept | Doubt]:
    """Try the bar along rows of edges with these numbers."""
    seen = _section(*_corners(rows))
    if seen is None:
        return
    if seen.scatter > STEADY:
        yield Doubt(f"its section changes along it, by {seen.scatter:.2g} mm", 0.5)
        return
    sides = {face.part_of for face in shape.faces if len(numbers & set(face.edges)) >= 2}
    made = straights_and_arcs(seen.points, closed)
    if made is not None and made[0].table.bends and abs(seen.twist) < UNTWISTED:
        line, off = made
        rests = rests_of(shape, along.faces, sides)
        outline, way = _in_first_bend(line, seen), _way(line, seen)
        askew = _askew(line, seen)
        if askew > UNTWISTED:
            yield across_a_corner(askew)
            return
        found: Tried | Swept | Doubt = try_bar(
            line, [outline], rests, volume, splined=True, way=way, deviation=max(off, 1e-9)
        )
    else:
        found = _along_curve(shape, along, seen, sides, made or nearest_arcs(seen.points, seen.ways, closed), volume)
    why = None if isinstance(found, Doubt) else no_bar(found.bar)
    if why is None and seen.outline.largest > WIDEST_FLAT:
        why = f"{seen.outline.largest:.4g} mm wide: a bent plate, no flat bar"
    yield Doubt(why, 2.0) if why else found


def _along_curve(
    shape: Shape,
    along: LongEdges,
    seen: _Section,
    sides: Set[int],
    made: tuple[Centreline, float] | None,
    volume: float,
) -> Swept | Doubt:
    """Return a bar along a free curve with two cut ends, or closed, and nothing else done to it."""
    planes = {face.part_of: face for face in along.faces if face.kind == "plane"}
    caps = [planes.get(face.part_of, face) for face in shape.faces if face.part_of not in sides]
    points, ways = seen.points, seen.ways
    if made is None:
        return Doubt("a free curve that no straights and arcs come near", 0.5)
    line, off = made
    ends: list[End | None] = [End("seam")] * 2
    if not line.table.closed:
        ends = [_end(shape, caps, points[k], ways[k] * sign, seen.outline) for k, sign in ((0, -1.0), (-1, 1.0))]
    if len(caps) != ends_of(line) or None in ends:
        return Doubt("a free curve of rectangular section with more than its sides and two cut ends", 0.5)
    length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    missing = 1.0 - volume / (seen.outline.area * length)
    if abs(missing) > SPLINE_VOLUME:
        return Doubt(f"its volume differs by {100 * abs(missing):.2g} % from a section carried along its edges", 0.5)
    a, b = (end for end in ends if end is not None)
    return Swept(Bar(line, seen.outline.section, _way(line, seen), (a, b), (), max(off, 1e-9)), seen.twist)


def _askew(line: Centreline, seen: _Section) -> float:
    """Return how far the section is turned to a bend across its corners at most, degrees."""
    most = 0.0
    for run in line.runs:
        if run.bend:
            pose = run.pose(run.length / 2.0)
            k = int(np.argmin(np.linalg.norm(seen.points - pose.origin, axis=1)))
            turned = math.degrees(math.atan2(float(seen.x[k] @ np.array(pose.axis)), float(seen.x[k] @ pose.inward)))
            most = max(most, abs((turned + 45.0) % 90.0 - 45.0))
    return most


def _in_first_bend(line: Centreline, seen: _Section) -> Outline:
    """Return the section as the first bend of a centreline sees it."""
    run = next(run for run in line.runs if run.bend)
    pose = run.pose(run.length / 2.0)
    k = int(np.argmin(np.linalg.norm(seen.points - pose.origin, axis=1)))
    sizes = np.array((seen.x[k], np.cross(seen.ways[k], seen.x[k])))
    # The mean section all along, turned by quarters: what one place has of it is less exact.
    turned = np.rint(sizes @ np.array((pose.inward, pose.axis)).T)
    return rectangle_from((seen.places @ turned).tolist()) or seen.outline


class _Row(NamedTuple):
    """A long edge: points, unit directions, and how far along it they are."""

    points: Floats
    ways: Floats
    at: Floats


class _Rows:
    """All long edges, asked at once."""

    def __init__(self, rows: Sequence[_Row]) -> None:
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
        """Return points and directions between those that are known, (k, n, 3); straight on beyond the ends.

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
        return here + (s - inside)[..., None] * way, way


def _longest(chains: Sequence[Sequence[Part]]) -> list[Sequence[Part]]:
    lengths = [sum(part.length for part in chain) for chain in chains]
    least = LONG * max(lengths, default=0.0)
    return [chain for chain, length in zip(chains, lengths, strict=True) if length > least]


def _long_rows(long: Sequence[Sequence[Part]], closed: bool) -> list[_Row]:
    """Return the rows of edges that run all along, all the same way."""
    rows: list[_Row] = []
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
        rows.append(_Row(points, ways, np.concatenate(([0.0], np.cumsum(steps)))))
    return rows


def _begun(points: Floats, ways: Floats, first: _Row | None) -> tuple[Floats, Floats]:
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


def _corners(rows: Sequence[_Row]) -> tuple[Floats, Floats, Floats]:
    """Return the middle (n, 3), its directions, and where the rows go through the planes across it, (k, n, 3)."""
    together = _Rows(rows)
    # A cut aslant ends some rows earlier than others, by no more than the section is large.
    over = max(float(np.linalg.norm(row.points[0] - rows[0].points[0])) for row in rows)
    rough = np.linspace(0.0, 1.0, FEW) * together.lengths
    _, _, rough = _settled(together, rough, over, None)
    # Where a straight of the middle meets an arc every row has a sample: the planes go through those of one row.
    k = max(range(len(rows)), key=lambda k: len(rows[k].at))
    first, last = rough[k, 0], rough[k, -1]
    own = rows[k].at[(rows[k].at > first) & (rows[k].at < last)]
    count = min(MOST_SAMPLES, max(LEAST_SAMPLES, len(own)))
    own = np.union1d(np.linspace(first, last, count), own)
    places = np.array([np.interp(own, rough[k], row) for row in rough])
    corners, way, _ = _settled(together, places, over, k)
    return corners.mean(axis=0), way, corners


def _settled(together: _Rows, places: Floats, over: float, fixed: int | None) -> tuple[Floats, Floats, Floats]:
    """Return points on rows in one plane across each, (k, n, 3), how the rows run there, (n, 3), and the places.

    Args:
        together: the rows.
        places: where on them the points are about, (k, n).
        over: how far beyond their ends they may be, mm.
        fixed: the row whose places are kept; None when it is the middle of the points that is.
    """
    for _ in range(8):
        corners, ways = together.on(places)
        middle, way = corners.mean(axis=0) if fixed is None else corners[fixed], ways.mean(axis=0)
        way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-12)
        ahead = np.einsum("kij,ij->ki", corners - middle, way)
        if float(np.abs(ahead).max()) < ACROSS:
            break
        step = ahead / np.maximum(np.einsum("kij,ij->ki", ways, way), 0.2)
        places = np.clip(places - np.clip(step, -over, over), -over, together.lengths + over)
    return corners, way, places


@dataclass(frozen=True, slots=True)
class _Section:
    """A section carried along a curve.

    Args:
        outline: its first size runs along ``x``.
        points: of the curve, (n, 3).
        ways: unit, (n, 3).
        x: direction of the first size, (n, 3).
        places: where the edges that run all along are in the section in the mean, about its middle, (k, 2).
        scatter: how far corners move in the section, mm.
        twist: how far the section turns about the curve on the way, beyond what bends do, degrees.
    """

    outline: Outline
    points: Floats
    ways: Floats
    x: Floats
    places: Floats
    scatter: float
    twist: float


def _section(middle: Floats, ways: Floats, corners: Floats) -> _Section | None:
    """Return the section that corners, (k, n, 3), make up across a curve with its directions, (n, 3) each."""
    few = slice(None, None, max(1, len(middle) // FEW))
    seen, _, _ = _across(middle[few], ways[few], corners[:, few], corners[1:, few])
    best: tuple[float, int] | None = None
    for k, places in enumerate(_about_middle(seen.mean(axis=2))[0].tolist(), 1):
        outline = rectangle_from(places)
        # Seen from corner to corner a square looks like a larger one with round corners: the smallest is it.
        if outline is not None and (best is None or outline.box <= (1.0 - 1e-6) * best[0]):
            best = outline.box, k
    if best is None:
        return None
    (flat,), (x,), (y,) = _across(middle, ways, corners, corners[best[1] :][:1])
    mean = flat.mean(axis=1)
    places, ((along_x, along_y),) = _about_middle(mean)
    outline = rectangle_from(places.tolist())
    if outline is None:
        return None
    off = flat - mean[:, None]
    turn = np.einsum("ij,ij->i", np.diff(x, axis=0), (y[1:] + y[:-1]) / 2.0)
    scatter = float(np.linalg.norm(off, axis=2).max())
    points = middle + along_x * x + along_y * y
    return _Section(outline, points, ways, x, places, scatter, math.degrees(float(turn.sum())))


def _across(middle: Floats, ways: Floats, corners: Floats, others: Floats) -> tuple[Floats, Floats, Floats]:
    """Return corners (c, n, 3) as they are seen across a curve, and the directions of the two sizes.

    Args:
        middle: the curve, (n, 3).
        ways: its directions, (n, 3).
        corners: of the section.
        others: towards which of these the first size runs from the first corner, one after the other, (k, n, 3).

    Returns:
        (k, c, n, 2), and (k, n, 3) each.
    """
    x = others - corners[0]
    x -= np.einsum("kij,ij->ki", x, ways)[..., None] * ways
    x /= np.maximum(np.sqrt(np.einsum("kij,kij->ki", x, x)), 1e-12)[..., None]
    y = crossed(np.broadcast_to(ways, x.shape), x)
    return np.einsum("cij,skij->kcis", corners - middle, np.array((x, y))), x, y


def _about_middle(places: Floats) -> tuple[Floats, Floats]:
    """Return corners (..., c, 2) from the middle of the rectangle round them, and where that is, (..., 1, 2)."""
    centre = (places.max(axis=-2, keepdims=True) + places.min(axis=-2, keepdims=True)) / 2.0
    return places - centre, centre


def _end(shape: Shape, caps: Sequence[Face], point: Floats, outward: Floats, outline: Outline) -> End | None:
    """Return how an end is cut, by the face whose edges are all near it; None when no face is."""
    reach = 2.0 * math.hypot(outline.inward, outline.across)
    for face in caps:
        (rim,) = shape.samples([face])
        if len(rim) == 0 or float(np.linalg.norm(rim - point, axis=1).max()) > reach:
            continue
        lean = float(np.array(face.axis) @ outward)
        flat = (rim - rim.mean(axis=0)) @ np.array(face.axis)
        if face.kind not in ("plane", "free") or float(np.abs(flat).max()) > STEADY or lean < 0.05:
            return None
        angle = math.degrees(math.acos(min(1.0, lean)))
        if angle < SQUARE_WITHIN:
            return End("square")
        return End("mitred", angle, float(((rim - point) @ outward).max()))
    return None


def _way(line: Centreline, seen: _Section) -> WayBent | None:
    """Return which way a rectangular section is bent by the arcs: across its height, its width, or neither alone."""
    section = seen.outline.section
    if not isinstance(section, Flat | SquareTube) or abs(section.width - section.height) < 0.01:
        return None
    found = set()
    for run in line.runs:
        if run.bend:
            pose = run.pose(run.length / 2.0)
            nearest = int(np.argmin(np.linalg.norm(seen.points - pose.origin, axis=1)))
            share = abs(float(seen.x[nearest] @ np.array(pose.inward)))
            along_x = share > ALONG_A_SIDE
            if not along_x and share > math.sqrt(1.0 - ALONG_A_SIDE**2):
                return "both"
            found.add(along_x == (seen.outline.inward < seen.outline.across))
    if not found:
        return None
    return "both" if len(found) > 1 else "easy" if True in found else "hard"
