"""Bars that go on behind others of their solid: what is seen of one on both sides is one bar, if metal lies between.

A rung through a solid rail is told as one bar; posts on both sides of a hollow one are two, unless it is seen inside.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline, Run
from bentwork.space import Pose, Vec, along, cross, distance, dot, scale
from bentwork.stock.section import SquareTube, Tube
from bentwork.takeoff.bar import WayBent
from bentwork.takeoff.ends import frame_at
from bentwork.takeoff.long_edges import alike
from bentwork.takeoff.outline import ALIKE, Outline
from bentwork.takeoff.runs import ASTRAY, MEETS, Arc, Part, Straight, centreline_of
from bentwork.takeoff.shape import Floats
from bentwork.takeoff.unbend import unbent

__all__ = ["Line", "put_together", "taken_apart"]

PLACES = 9
"""In so many places along it is looked whether metal hides the middle of a bar."""
OVERLAP = 0.5
"""Of its largest size so much may be seen of a bar past where it is seen on the other side."""
IN_LINE = 1.0 - 1e-6
"""Ends look at one another when the cosine between their directions is above this."""
LEVEL = 1.0 - 1e-4
"""Sections stand alike when the cosine between their wide sides is above this."""
_Gap: TypeAlias = tuple[float, float]
_Place: TypeAlias = tuple[int, int]
"""A line's number, and 0 for its beginning or 1 for its end."""


class Line(NamedTuple):
    """A middle with its section, which way it is bent, and the numbers of the faces along it."""

    middle: Centreline
    outline: Outline
    way: WayBent | None
    own: set[int]


class Edges(Protocol):
    """What is known of the edges that run along bars that are not round."""

    def is_broken(self, line: Centreline) -> bool:
        """Tell whether none of a straight bar's edges is seen somewhere along it."""

    def unseen(self, pose: Pose, outline: Outline, length: float) -> Sequence[_Gap]:
        """Return from where to where straight on from a place no edge of a bar is seen, mm."""

    def sides(self, line: Centreline, outline: Outline) -> set[int]:
        """Return the numbers of the faces along a bar."""


def taken_apart(lines: Sequence[Line], edges: Edges) -> list[Line]:
    """Return lines that nothing is seen of for a while, and no metal is there either, as several.

    Args:
        lines: of a solid.
        edges: of it.
    """
    broken = [k for k, line in enumerate(lines) if edges.is_broken(line.middle)]
    poses = {k: lines[k].middle.start for k in broken}
    wanted = [
        (k, gap) for k in broken for gap in edges.unseen(poses[k], lines[k].outline, lines[k].middle.table.length)
    ]
    spots = [_between(poses[k], gap) for k, gap in wanted]
    empty: dict[int, list[_Gap]] = {}
    for (k, gap), hidden in zip(wanted, _hidden(spots, [{k} for k, _ in wanted], lines), strict=True):
        if not hidden:
            empty.setdefault(k, []).append(gap)
    found: list[Line] = []
    for k, line in enumerate(lines):
        if k not in empty:
            found.append(line)
            continue
        bounds = [0.0, *(at for gap in empty[k] for at in gap), line.middle.table.length]
        for begin, end in zip(bounds[::2], bounds[1::2], strict=True):
            if end - begin < MEETS:
                continue
            start = Pose(along(poses[k].origin, poses[k].tangent, begin), poses[k].tangent, poses[k].axis)
            middle = Centreline(BendTable((end - begin,)), start)
            found.append(line._replace(middle=middle, own=edges.sides(middle, line.outline)))
    return found


def put_together(lines: Sequence[Line], edges: Edges) -> list[Line]:
    """Return lines of one section that look at one another through the metal of a third as one."""
    pairs = list(_looking_at_one_another(lines))
    spots, own, whose = [], [], []
    for at, (one, two, length) in enumerate(pairs):
        pose, outline = _ahead(lines[one[0]], one[1]), lines[one[0]].outline
        gaps = [(0.0, length)] if outline.is_round or length < MEETS else edges.unseen(pose, outline, length)
        spots += [_between(pose, gap) for gap in gaps]
        own += [{one[0], two[0]} for _ in gaps]
        whose += [at for _ in gaps]
    seen = {at for at, hidden in zip(whose, _hidden(spots, own, lines), strict=True) if not hidden}
    partner: dict[_Place, _Place] = {}
    for at, (one, two, _) in enumerate(pairs):
        if at not in seen:
            partner[one], partner[two] = two, one
    if not partner:
        return list(lines)
    found: list[Line] = []
    done: set[int] = set()
    for k in range(len(lines)):
        if k in done:
            continue
        number, side = _followed((k, 1), partner)[-1]
        chain = _followed((number, 1 - side), partner)
        done.update(number for number, _ in chain)
        together = _one([(lines[number], side == 1) for number, side in chain]) if len(chain) > 1 else None
        found += [together] if together is not None else [lines[number] for number, _ in chain]
    return found


def _looking_at_one_another(lines: Sequence[Line]) -> Iterator[tuple[_Place, _Place, float]]:
    """Yield pairs of ends, each the nearest that the other sees straight ahead, with how far that is, mm."""
    places: list[_Place] = []
    points: list[Vec] = []
    ways: list[Vec] = []
    for k, line in enumerate(lines):
        table = line.middle.table
        for side, pose in () if table.closed else ((0, line.middle.start), (1, line.middle.end)):
            if table.straights[-side] > MEETS:
                places.append((k, side))
                points.append(pose.origin)
                ways.append(pose.tangent if side else scale(pose.tangent, -1.0))
    if not places:
        return
    at, way = np.array(points), np.array(ways)
    rel = at[None] - at[:, None]
    ahead = np.einsum("ijk,ik->ij", rel, way)
    aside = np.einsum("ijk,ijk->ij", rel, rel) - ahead * ahead
    near = (2.0 * MEETS + ASTRAY * np.abs(ahead)) ** 2
    # Where another runs askew between them one side of each may go past a side of the other.
    past = np.array([OVERLAP * lines[k].outline.largest for k, _ in places])
    ahead[(way @ way.T > -IN_LINE) | (aside > near) | (ahead < -past[:, None])] = np.inf
    for i, j in zip(*np.isfinite(ahead).nonzero(), strict=True):
        (k, one), (n, two) = places[i], places[j]
        if k >= n or not _alike((lines[k], one), (lines[n], two)):
            ahead[i, j] = np.inf
    ahead = np.minimum(ahead, ahead.T)
    # Of a leg that is seen by itself too, the bar that has the bend is meant.
    ahead += [0.0 if lines[k].middle.table.bends else 2.0 * MEETS for k, _ in places]
    nearest = ahead.argmin(axis=1)
    for i, j in enumerate(nearest.tolist()):
        if i < j and nearest[j] == i and math.isfinite(ahead[i, j]):
            yield places[i], places[j], float(rel[i, j] @ way[i])


def _alike(one: tuple[Line, int], two: tuple[Line, int]) -> bool:
    """Tell whether two bars have one section, that stands alike at two of their ends."""
    first, second = one[0].outline, two[0].outline
    if first.is_round or not alike(first, second):
        return alike(first, second)
    level = abs(dot(_wide(*one), _wide(*two)))
    return level > LEVEL or (abs(first.inward - first.across) < ALIKE and level < 1.0 - LEVEL)


def _wide(line: Line, side: int) -> Vec:
    """Return the direction of the wide side of a section at an end."""
    tangent, inward = frame_at(line.middle, side)
    return inward if line.outline.inward > line.outline.across else cross(tangent, inward)


def _followed(place: _Place, partner: dict[_Place, _Place]) -> list[_Place]:
    """Return the lines from one on that are one bar, each by the end at which it is entered."""
    found, seen = [place], {place[0]}
    while True:
        number, side = found[-1]
        entered = partner.get((number, 1 - side))
        if entered is None or entered[0] in seen:
            return found
        found.append(entered)
        seen.add(entered[0])


def _one(chain: Sequence[tuple[Line, bool]]) -> Line | None:
    """Return lines as one; None where what they make up together is no bar."""
    bent = [(line, turned) for line, turned in chain if line.middle.table.bends]
    first = bent[0][0] if bent else chain[0][0]
    if bent and bent[0][1]:
        # A section is told as the first bend sees it: where all bends of a bar are made one way that is any of them.
        if bent[-1][1]:
            first, chain = bent[-1][0], [(line, not turned) for line, turned in reversed(chain)]
        elif first.way == "both":
            return None
    parts: list[Part] = []
    for line, turned in chain:
        own: list[Part] = [_part(run) for run in line.middle.runs if run.length > MEETS]
        own = [part.turned() for part in reversed(own)] if turned else own
        parts = [*parts[:-1], Straight(parts[-1].a, own[0].b), *own[1:]] if parts else own
    middle: Centreline | None
    if bent:
        middle = centreline_of(parts, False)
    else:
        pose = first.middle.start
        a, b = (parts[0].b, parts[0].a) if chain[0][1] else (parts[0].a, parts[0].b)
        middle = Centreline(BendTable((distance(a, b),)), Pose(a, pose.tangent, pose.axis))
    if middle is None:
        return None
    ways = {line.way for line, _ in bent}
    way: WayBent | None = "both" if len(ways) > 1 else first.way
    return first._replace(middle=middle, way=way, own=set().union(*(line.own for line, _ in chain)))


def _part(run: Run) -> Part:
    pose = run.start
    if not run.bend:
        return Straight(pose.origin, along(pose.origin, pose.tangent, run.length))
    centre = along(pose.origin, pose.inward, run.radius)
    return Arc(centre, pose.axis, scale(pose.inward, -1.0), run.radius, math.radians(run.angle))


def _ahead(line: Line, side: int) -> Pose:
    """Return a pose at an end of a bar, with its section, that looks ahead."""
    tangent, inward = frame_at(line.middle, side)
    axis = cross(tangent, inward)
    # Looking back, the axis too is turned round, so that the inside stays where it is.
    return (
        Pose(line.middle.end.origin, tangent, axis)
        if side
        else Pose(line.middle.start.origin, scale(tangent, -1.0), scale(axis, -1.0))
    )


def _between(pose: Pose, gap: _Gap) -> Floats:
    """Return places straight on from a pose, (n, 3)."""
    found: Floats = np.array(pose.origin) + np.linspace(*gap, PLACES)[:, None] * pose.tangent
    return found


def _hidden(spots: Sequence[Floats], own: Sequence[set[int]], lines: Sequence[Line]) -> list[bool]:
    """Tell of places whether there is metal at all of them.

    Args:
        spots: the places, (n, 3) each.
        own: numbers of the lines that are none of that metal.
        lines: bars.
    """
    if not spots:
        return []
    points = np.concatenate(spots)
    open_ = np.ones(len(points), dtype=bool)
    for number, line in enumerate(lines):
        if any(line.own < other.own for other in lines):
            continue  # the bore of a square tube looks like a square bar, and a leg is part of what has the bend
        its = np.repeat([number not in some for some in own], PLACES)
        flat = unbent(line.middle, points)
        over = np.maximum(-flat[:, 0], flat[:, 0] - line.middle.table.length)
        inside = np.maximum(over, line.outline.beyond(flat)) < ALIKE
        open_ &= ~(its & inside & ~_in_the_bore(flat, line.outline))
    return [not some.any() for some in np.split(open_, len(spots))]


def _in_the_bore(flat: Floats, outline: Outline) -> NDArray[np.bool_]:
    """Tell which points of a straightened bar, (n, 3), lie inside it and not in its metal."""
    section = outline.section
    wall = section.wall if isinstance(section, SquareTube | Tube) else 0.0
    if not wall:
        return np.zeros(len(flat), dtype=bool)
    found: NDArray[np.bool_] = outline.beyond(flat) < -wall - ALIKE
    return found
