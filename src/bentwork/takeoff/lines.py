"""Pieces out of lines alone: wires of a model, polylines of a drawing, corner points. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bentwork.piece.centreline import Centreline
from bentwork.space import add, along, cross, distance, dot, norm, scale, sub, unit
from bentwork.takeoff.bar import Bar, End
from bentwork.takeoff.formal import formal_edges
from bentwork.takeoff.free import part_of, sampled
from bentwork.takeoff.made_of import straights_and_arcs
from bentwork.takeoff.near_arcs import nearest_arcs
from bentwork.takeoff.recognise import Verdict, along_curve
from bentwork.takeoff.runs import ASKEW, Arc, Part, Path, Straight, centreline_of, chained, part_of_run
from bentwork.takeoff.shape import Shape
from bentwork.tolerances import LEAST_BEND

__all__ = ["CornerError", "bars_of_wire", "centrelines", "nearly_met"]

MEETS = 0.01
"""Ends of drawn lines closer than this meet, mm: drawings are snapped, but saved with few decimals."""


NEARLY = 1.0
"""Ends of pieces closer than this were perhaps meant to meet, mm."""
MOST_TOLD = 5


class CornerError(Exception):
    """Lines that cannot be bent as they are drawn; the text says where and why.

    Args:
        says: where and why.
        sharp: it is a corner without a radius.
    """

    def __init__(self, says: str, *, sharp: bool = False) -> None:
        super().__init__(says)
        self.sharp = sharp


def bars_of_wire(shape: Shape) -> Verdict:
    """Return the pieces of a wire of a model: a centreline without a section."""
    parts = [part_of(edge) for _, edge in formal_edges(shape.read_edges()).each()]
    known = [part for part in parts if isinstance(part, Straight | Arc)]
    if any(isinstance(part, Path) for part in parts):
        return _curved([part for part in parts if part])
    if not known:
        return Verdict("other", (), "a wire without length", 0.0)
    try:
        lines = centrelines(known, None)
    except CornerError as error:
        return Verdict("other", (), str(error), 0.0)
    bars = tuple(Bar(line, None, ends=_ends(line)) for line in lines)
    if len(bars) == 1:
        return Verdict("piece", bars, None, 0.0)
    return Verdict("joined", bars, f"{len(bars)} wires in one", 0.0)


def _curved(parts: Sequence[Part]) -> Verdict:
    """Return a wire with free curves in it as the nearest arcs, if it is one curve without a kink."""
    chains = chained(parts)
    if len(chains) != 1:
        return Verdict("other", (), f"a wire with free curves that is {len(chains)} curves, or one with kinks", 0.0)
    chain, closed = chains[0]
    points, ways = sampled(chain)
    made = straights_and_arcs(points, closed) or nearest_arcs(points, ways, closed)
    if made is None:
        return Verdict("other", (), "a free curve that no straights and arcs come near", 0.0)
    line, off = made
    return along_curve(Bar(line, None, ends=_ends(line), deviation=max(off, 1e-9)), 0.0)


def _ends(line: Centreline) -> tuple[End, End]:
    end = End("seam") if line.table.closed else End("square")
    return (end, end)


def part_alone(line: Centreline) -> Part | None:
    """Return the straight or the arc that a centreline is; None where it is more than one."""
    runs = [run for run in line.runs if run.length > MEETS]
    if len(runs) != 1 or line.table.closed:
        return None
    return part_of_run(runs[0])


def centrelines(parts: Sequence[Part], radius: float | None) -> list[Centreline]:
    """Return the pieces that straights and arcs make up where their ends meet.

    Args:
        parts: in any order, travelled either way.
        radius: centreline radius for corners between straights; None when the drawing must have arcs there.

    Raises:
        CornerError: three lines meet in a point, or a corner cannot be bent.
    """
    found = []
    for path, closed in _paths(parts):
        rounded = _rounded(path, closed, radius)
        chains = chained(rounded)
        if len(chains) != 1:
            raise CornerError(
                "a line meets an arc at an angle: a bend is an arc that runs on smoothly from its straights"
            )
        line = centreline_of(*chains[0])
        if line is None:
            raise CornerError("bends overlap: there is no straight between them")
        found.append(line)
    return found


def _paths(parts: Sequence[Part]) -> list[tuple[list[Part], bool]]:
    """Put parts together end to end, kinks or not."""
    left = [part for part in parts if part.length > MEETS]
    for k, part in enumerate(left):
        for point in (part.a, part.b):
            meeting = sum(
                distance(point, end) < MEETS for n, other in enumerate(left) if n != k for end in (other.a, other.b)
            )
            if meeting > 1:
                raise CornerError(f"three lines meet at {_told(point)}: a bar has no branches")
    found = []
    while left:
        path = [left.pop(0)]
        for _ in range(2):
            while True:
                k = next((n for n, p in enumerate(left) if min(_gaps(path[-1], p)) < MEETS), -1)
                if k < 0:
                    break
                part = left.pop(k)
                ahead, behind = _gaps(path[-1], part)
                path.append(part if ahead <= behind else part.turned())
            path = [part.turned() for part in reversed(path)]
        closed = len(path) > 1 and distance(path[0].a, path[-1].b) < MEETS
        found.append((path, closed))
    return found


def _gaps(before: Part, after: Part) -> tuple[float, float]:
    return distance(before.b, after.a), distance(before.b, after.b)


def nearly_met(lines: Sequence[Centreline]) -> list[tuple[str, float]]:
    """Return where ends of pieces almost meet, and how far they are apart, mm; the first few."""
    ends = [end for line in lines if not line.table.closed for end in (line.start.origin, line.end.origin)]
    ends.sort(key=lambda end: dot(end, ASKEW))
    found = []
    for k, end in enumerate(ends):
        for other in ends[k + 1 :]:
            if dot(other, ASKEW) - dot(end, ASKEW) > NEARLY:
                break
            gap = distance(end, other)
            if MEETS <= gap < NEARLY:
                found.append((_told(end), gap))
        if len(found) >= MOST_TOLD:
            break
    return found[:MOST_TOLD]


def _told(point: tuple[float, float, float]) -> str:
    return "[" + ", ".join(f"{c:.6g}" for c in point) + "]"


def _rounded(path: list[Part], closed: bool, radius: float | None) -> list[Part]:
    """Lay an arc into every kink between two straights."""
    parts = list(path)
    ways = [part.tangents for part in path]
    arcs: list[Arc] = []
    for k in range(0 if closed else 1, len(parts)):
        before, after = parts[k - 1], parts[k]
        if not (isinstance(before, Straight) and isinstance(after, Straight)):
            continue
        d, e = ways[k - 1][1], ways[k][0]
        turn = math.degrees(math.atan2(norm(cross(d, e)), dot(d, e)))
        if turn < LEAST_BEND:
            continue
        if radius is None:
            raise CornerError(f"a sharp corner at {_told(after.a)}: a bend has a radius", sharp=True)
        if turn > 180.0 - LEAST_BEND:
            raise CornerError(f"the line comes straight back on itself at {_told(after.a)}")
        back = radius * math.tan(math.radians(turn) / 2.0)
        if back > before.length + 1e-9 or back > after.length + 1e-9:
            raise CornerError(f"a corner at {_told(after.a)} is too close to the next for a radius of {radius:g} mm")
        axis = unit(cross(d, e))
        start = along(after.a, d, -back)
        out = scale(cross(axis, d), -1.0)
        centre = sub(start, scale(out, radius))
        arcs.append(Arc(centre, axis, out, radius, math.radians(turn)))
        parts[k - 1] = Straight(before.a, start)
        parts[k] = Straight(add(after.a, scale(e, back)), after.b)
    kept = [part for part in parts if not (isinstance(part, Straight) and distance(part.a, part.b) < 1e-9)]
    return [*kept, *arcs]
