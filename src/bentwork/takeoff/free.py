"""Pipes along free curves: springs, sweeps, and what a program has approximated."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from bentwork.space import Vec, distance, dot
from bentwork.takeoff.bars import Doubt, Tried, rests_of, try_bar
from bentwork.takeoff.formal import COMES_BACK, FILLET, Spine, one_middle
from bentwork.takeoff.made_of import straights_and_arcs
from bentwork.takeoff.near_arcs import nearest_arcs
from bentwork.takeoff.outline import round_outline
from bentwork.takeoff.rods import Rod, middle_ends, tube_radius
from bentwork.takeoff.runs import TANGENT, Arc, Part, Path, Straight, chained
from bentwork.takeoff.shape import Edge, Face, Floats, Shape

__all__ = ["free_bars", "part_of", "sampled"]

SAME_RADIUS = 0.02
"""Approximated pipes whose radii differ by less are one, mm."""
EDGE_SAMPLES = 160
"""Samples along a free edge, each with its direction: a cubic between two is nearer than what files round to."""
SHOWN = 0.6 * 2.0 * math.pi
"""A pipe shows more of its round than this, rad."""


def free_bars(
    shape: Shape, faces: Sequence[Face], round_ones: Sequence[Rod], spines: Sequence[Spine], volume: float
) -> Iterator[Tried | Doubt]:
    """Try every chain of free pipes as the one bar of a solid."""
    outer = [spine for spine in spines if spine.outward]
    inner = [spine for spine in spines if not spine.outward]
    radii = list(_radii(outer)) if outer else [rod.radius for rod in round_ones if inner]
    for radius in radii:
        group = [s for s in outer if abs(s.radius - radius) < SAME_RADIUS]
        beside = [f for f in faces if f.outward and abs(tube_radius(f) - radius) < SAME_RADIUS]
        parts: list[Part] = []
        sides = {spine.part_of for spine in group}
        for middle, numbers in _whole(group, beside):
            parts.append(middle)
            sides |= numbers
        for rod in round_ones:
            if abs(rod.radius - radius) < SAME_RADIUS:
                parts += rod.parts
                sides |= {number for numbers in rod.faces for number in numbers}
        hollow = {spine.radius for spine in inner if spine.radius < radius} or _bores(faces, radius)
        sides |= {spine.part_of for spine in inner if spine.radius < radius}
        sides |= {f.part_of for f in faces if not f.outward and _hollow_like(f, hollow)}
        outlines = [round_outline(radius), *(round_outline(radius, bore) for bore in sorted(hollow))]
        for chain, meets in chained(parts):
            closed = meets or _comes_back(chain)
            if sum(part.length for part in chain) * outlines[0].area < 0.3 * volume:
                continue
            points, ways = sampled(chain)
            made = straights_and_arcs(points, closed) or nearest_arcs(points, ways, closed)
            if made is None:
                yield Doubt("a free curve that no straights and arcs come near", 0.5)
                continue
            line, off = made
            yield try_bar(line, outlines, rests_of(shape, faces, sides), volume, splined=True, deviation=max(off, 1e-9))


def _comes_back(chain: Sequence[Part]) -> bool:
    """Tell whether a chain ends where it begins, as nearly as a program brings a sweep round to itself."""
    ways = dot(chain[0].tangents[0], chain[-1].tangents[1])
    return ways > 1.0 - TANGENT**2 / 2.0 and distance(chain[0].a, chain[-1].b) < COMES_BACK


def _radii(outer: Sequence[Spine]) -> Iterator[float]:
    """Yield the radii of pipes, each the mean of those that are about as thick."""
    while outer:
        first = outer[0].radius
        yield float(np.mean([spine.radius for spine in outer if abs(spine.radius - first) < SAME_RADIUS]))
        outer = [spine for spine in outer if abs(spine.radius - first) >= SAME_RADIUS]


def _bores(faces: Sequence[Face], radius: float) -> set[float]:
    """Return radii of bores whose bends, other than those outside, are seen to be made of arcs: each once."""
    hollow = (face for face in faces if face.kind == "torus" and not face.outward and face.minor < radius)
    found = [face.minor for face in hollow if _around(face) > FILLET]
    return {size for k, size in enumerate(found) if all(abs(size - other) > SAME_RADIUS for other in found[:k])}


def _hollow_like(face: Face, hollow: set[float]) -> bool:
    size = face.radius if face.kind == "cylinder" else face.minor if face.kind == "torus" else -1.0
    return any(abs(size - radius) < SAME_RADIUS for radius in hollow)


def _whole(spines: Sequence[Spine], beside: Sequence[Face]) -> Iterator[tuple[Path, set[int]]]:
    """Yield each middle once, with the faces that go round it, if these go round far enough.

    Args:
        spines: of one radius.
        beside: cylinders and tori of this: where coordinates are rounded one half of a bend may look like an arc, and
            the other not.
    """
    groups: list[list[Spine]] = []
    for spine in spines:
        for group in groups:
            if one_middle(spine.ends, group[0].ends):
                group.append(spine)
                break
        else:
            groups.append([spine])
    known = [(np.array(middle_ends(face)), face) for face in beside]
    for group in groups:
        others = [face for ends, face in known if one_middle(ends, group[0].ends)]
        if sum(spine.around for spine in group) + sum(map(_around, others)) > SHOWN:
            seen = (spine.read() for spine in group)
            numbers = {*(one.part_of for one in group), *(face.part_of for face in others)}
            yield Path(*max(seen, key=lambda pair: len(pair[0]))), numbers


def _around(face: Face) -> float:
    first, last = face.u if face.kind == "cylinder" else face.v
    return last - first


def part_of(edge: Edge) -> Part | None:
    """Return an edge as a straight, an arc or a free curve; None for one without length."""
    if len(edge.points) < 2:
        return None
    first, last = edge.points[0], edge.points[-1]
    if edge.kind == "line":
        return Straight(_vec(first), _vec(last))
    if edge.kind == "circle":
        return Arc(edge.centre, edge.axis, _vec((first - np.array(edge.centre)) / edge.radius), edge.radius, edge.sweep)
    return Path(*edge.finer(EDGE_SAMPLES)) if edge.finer else None


def sampled(chain: Sequence[Part]) -> tuple[Floats, Floats]:
    """Return points and directions along a chain, (n, 3) each; where parts meet there is one point."""
    points: list[Floats] = []
    ways: list[Floats] = []
    for part in chain:
        if isinstance(part, Path):
            p, w = part.points, part.ways
        elif isinstance(part, Straight):
            p = np.linspace(part.a, part.b, 9)
            w = np.tile(np.array(part.tangents[0]), (9, 1))
        else:
            p, w = _round(part)
        first = 1 if points else 0
        points.append(p[first:])
        ways.append(w[first:])
    return np.vstack(points), np.vstack(ways)


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))


def _round(arc: Arc) -> tuple[Floats, Floats]:
    out, axis = np.array(arc.out), np.array(arc.axis)
    side = np.cross(axis, out)
    angles = np.linspace(0.0, arc.angle, max(9, math.ceil(arc.angle / 0.1)))[:, None]
    outs = np.cos(angles) * out + np.sin(angles) * side
    return np.array(arc.centre) + arc.radius * outs, np.cross(axis, outs)
