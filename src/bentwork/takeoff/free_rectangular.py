"""Square, rectangular and flat section along free curves: springs and sweeps, from the edges that run all along them.

The middle is where a plane at right angles to all of the long edges has the middle of the points that they go through
it at; the section is what those points make up, and it must be the same all along.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Flat, SquareTube
from bentwork.takeoff.bar import Bar, End, WayBent
from bentwork.takeoff.bars import SPLINE_VOLUME, UNTWISTED, Doubt, Swept, Tried, rests_of, try_bar
from bentwork.takeoff.free import part_of
from bentwork.takeoff.made_of import straights_and_arcs
from bentwork.takeoff.near_arcs import nearest_arcs
from bentwork.takeoff.no_bars import WIDEST_FLAT, no_bar
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.rectangular import LongEdges, across_a_corner
from bentwork.takeoff.rows_across import Row, corners_across, long_rows
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
SQUARE_WITHIN = 0.1
"""An end of a sweep that leans by less is square, degrees."""
FEW_SEEN = 60
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
            rows, keys = long_rows(long, closed), {key_of(part) for row in long for part in row}
            numbers = {number for number, part in parts if key_of(part) in keys}
            yield from _along_rows(shape, along, rows, numbers, closed, volume)


def _along_rows(
    shape: Shape, along: LongEdges, rows: Sequence[Row], numbers: Set[int], closed: bool, volume: float
) -> Iterator[Tried | Swept | Doubt]:
    """Try the bar along rows of edges with these numbers."""
    seen = _section(*corners_across(rows))
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


def _longest(chains: Sequence[Sequence[Part]]) -> list[Sequence[Part]]:
    lengths = [sum(part.length for part in chain) for chain in chains]
    least = LONG * max(lengths, default=0.0)
    return [chain for chain, length in zip(chains, lengths, strict=True) if length > least]


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
    few = slice(None, None, max(1, len(middle) // FEW_SEEN))
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
