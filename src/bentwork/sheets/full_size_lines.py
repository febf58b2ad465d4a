"""The lines of a full-size layout: the bar seen from above, with all that is measured from. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bentwork.piece.centreline import Centreline, Run, chords_for
from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Point, Stroke
from bentwork.sheets.lay import FLAT, Lay
from bentwork.sheets.page_parts import arrow, cross, number_ring, ring
from bentwork.sheets.placing import Box, words
from bentwork.sheets.subject import Subject
from bentwork.space import Vec, along, dot
from bentwork.space import cross as vector_product
from bentwork.tolerances import CHORD_ERROR
from bentwork.units import Ruler

__all__ = ["Layout", "Note", "TangentPoint", "bend_corner", "layout_of", "tangent_points"]


_STEP = 5.0  # so that a page carries no more of the bar than it shows


@dataclass(frozen=True, slots=True)
class Note:
    """Words that belong to a place on the drawing; each page puts them where it has room.

    Args:
        at: the place.
        tag: the words.
        towards: the side they are wanted on: degrees, clockwise on paper, 0 to the right.
        clear: least distance from the place to the words.
    """

    at: Point
    tag: Drawing
    towards: float
    clear: float


@dataclass(frozen=True, slots=True)
class TangentPoint:
    """Where a straight and a bend meet.

    Args:
        name: S and the number of the bend for its start, E for its end.
        place: along and across from end A.
        height: above the part that lies on the paper.
    """

    name: str
    place: Point
    height: float


@dataclass(frozen=True, slots=True)
class Layout:
    """A piece drawn at 1:1 from above; x to the right, y down, end A at 0, 0.

    Args:
        lay: how it lies.
        width: of the bar, as it is seen.
        path: the middle of the bar, closely.
        strokes: all lines.
        notes: all words.
    """

    lay: Lay
    width: float
    path: tuple[Point, ...]
    strokes: tuple[Item, ...]
    notes: tuple[Note, ...]

    @property
    def extent(self) -> Box:
        """Everything that the bar covers."""
        half = self.width / 2.0
        xs, ys = [x for x, _ in self.path], [y for _, y in self.path]
        return Box(min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half)

    def places(self, step: float) -> tuple[Point, ...]:
        """Return points along the middle of the bar, about ``step`` apart."""
        points = [self.path[0]]
        for (x0, y0), (x1, y1) in pairwise(self.path):
            count = math.ceil(math.hypot(x1 - x0, y1 - y0) / step)
            for k in range(1, count + 1):
                point = (x0 + (x1 - x0) * k / count, y0 + (y1 - y0) * k / count)
                if math.dist(point, points[-1]) >= 0.6 * step:
                    points.append(point)
        return (*points, self.path[-1])


def tangent_points(line: Centreline, lay: Lay) -> tuple[TangentPoint, ...]:
    """Return start and end of every bend, in order from end A."""
    points = []
    for run in line.runs:
        if run.bend:
            for letter, at in (("S", 0.0), ("E", run.length)):
                point = run.pose(at).origin
                points.append(TangentPoint(f"{letter}{run.bend}", lay.place(point), lay.height(point)))
    return tuple(points)


def bend_corner(run: Run) -> Vec | None:
    """Return where the straights on both sides of a bend would meet; None for a bend that turns too far for that."""
    if run.angle > 165.0:
        return None
    setback = run.radius * math.tan(run.length / run.radius / 2.0)
    return along(run.start.origin, run.start.tangent, setback)


def layout_of(subject: Subject, lay: Lay) -> Layout:
    """Return the lines and words of a piece that lies like this."""
    line = subject.line
    runs = [run for run in line.runs if run.length > 1e-9]
    width = subject.stock.section.depth(subject.way)
    path = _path(runs, lay)
    strokes: list[Item] = [*_bar(path, width), *_steep_ends(line, lay, width)]
    notes: list[Note] = []
    for run in runs:
        if run.bend:
            strokes += _bend_lines(run, lay, width)
            notes += _bend_notes(run, lay, width, subject.ruler)
        else:
            strokes += _arrows(run, lay, width)
    end_strokes, end_notes = _ends(subject, lay, width)
    return Layout(lay, width, path, (*strokes, *end_strokes), (*end_notes, *notes))


def _xy(lay: Lay, point: Vec) -> Point:
    x, y = lay.place(point)
    return (x, -y)


def _path(runs: Sequence[Run], lay: Lay) -> tuple[Point, ...]:
    points = [_xy(lay, runs[0].start.origin)]
    for run in runs:
        chords = 1 if run.bend == 0 else chords_for(run.radius, run.length / run.radius, CHORD_ERROR)
        count = max(chords, math.ceil(run.length / _STEP))
        points += [_xy(lay, run.pose(run.length * k / count).origin) for k in range(1, count + 1)]
    return tuple(points)


def _bar(path: tuple[Point, ...], width: float) -> list[Item]:
    """Both edges and the middle: a black line as wide as the bar, and a white one on it that leaves its edges."""
    return [
        Stroke(path, width + THIN, cap="butt"),
        Stroke(path, width - THIN, "white", cap="butt"),
        Stroke(path, FINE, dash="chain", cap="butt"),
    ]


def _flat_way(lay: Lay, tangent: Vec) -> tuple[Point, float]:
    """Direction on paper (y down), and how much of a unit length is seen from above."""
    x, y = dot(tangent, lay.along), -dot(tangent, lay.across)
    seen = math.hypot(x, y)
    return ((x / seen, y / seen) if seen > 1e-9 else (1.0, 0.0)), seen


def _steep_ends(line: Centreline, lay: Lay, width: float) -> list[Item]:
    """An end that stands up from the paper is seen as a circle."""
    return [
        ring(_xy(lay, pose.origin), width / 2.0, THIN)
        for pose in (line.start, line.end)
        if _flat_way(lay, pose.tangent)[1] < 0.5
    ]


def _tick(lay: Lay, point: Vec, tangent: Vec, reach: float, weight: float) -> Item:
    """A line across the bar; a ring where the bar stands up from the paper."""
    at = _xy(lay, point)
    (x, y), seen = _flat_way(lay, tangent)
    if seen < 0.1:
        return ring(at, 2.0, weight, white=False)
    return Stroke(((at[0] + y * reach, at[1] - x * reach), (at[0] - y * reach, at[1] + x * reach)), weight, cap="butt")


def _bend_lines(run: Run, lay: Lay, width: float) -> list[Item]:
    items: list[Item] = []
    for at in (0.0, run.length):
        pose = run.pose(at)
        items.append(_tick(lay, pose.origin, pose.tangent, width / 2.0 + 3.0, THIN))
    corner = bend_corner(run)
    if corner is not None:
        at_corner = _xy(lay, corner)
        for distance in (0.0, run.length):
            items.append(Stroke((_xy(lay, run.pose(distance).origin), at_corner), FINE, dash="dash", cap="butt"))
        x, y = at_corner
        items += [
            Stroke(((x - 1.4, y - 1.4), (x + 1.4, y + 1.4)), THIN, cap="butt"),
            Stroke(((x - 1.4, y + 1.4), (x + 1.4, y - 1.4)), THIN, cap="butt"),
        ]
    if abs(dot(run.start.axis, lay.up)) > 0.98:
        items += cross(_xy(lay, along(run.start.origin, run.start.inward, run.radius)), 4.0)
    return items


def _bend_notes(run: Run, lay: Lay, width: float, ruler: Ruler) -> list[Note]:
    middle = run.pose(run.length / 2.0)
    way, seen = _flat_way(lay, middle.inward)
    if seen < 0.2:  # the bend stands up: its number goes beside it
        tangent, _ = _flat_way(lay, middle.tangent)
        way = (-tangent[1], tangent[0])
    circle, radius = number_ring((0.0, 0.0), run.bend)
    tag = Drawing(2.0 * radius, 2.0 * radius, Drawing(0.0, 0.0, circle).moved(radius, radius))
    notes = [Note(_xy(lay, middle.origin), tag, math.degrees(math.atan2(way[1], way[0])), width / 2.0 + 1.5)]
    for name, at in (("S", 0.0), ("E", run.length)):
        pose = run.pose(at)
        height = lay.height(pose.origin)
        side = vector_product(run.start.axis, pose.tangent)
        way, _ = _flat_way(lay, (-side[0], -side[1], -side[2]))
        angle = math.degrees(math.atan2(way[1], way[0]))
        said = words((f"{name}{run.bend}",), 9.0, True)
        if height > FLAT:
            said = words((f"{name}{run.bend} {_up(height, ruler)}",), 14.0, True)
        notes.append(Note(_xy(lay, pose.origin), said, angle, width / 2.0 + 3.5))
    return notes


def _up(height: float, ruler: Ruler) -> str:
    """Height above the paper: ``+112``; a hair over or under says nothing here."""
    return "+" + ruler.tape(height).rstrip("+−")


def _arrows(run: Run, lay: Lay, width: float) -> list[Item]:
    """Arrow heads along a straight, from end A to end B."""
    way, seen = _flat_way(lay, run.start.tangent)
    long = run.length * seen
    if long < 12.0:
        return []
    count = max(1, round(long / 120.0))
    turn = math.degrees(math.atan2(way[1], way[0]))
    size = min(5.0, max(2.6, width * 0.7))
    return [
        stroke
        for k in range(count)
        for stroke in arrow(_xy(lay, run.pose(run.length * (k + 0.5) / count).origin), turn, size)
    ]


def _ends(subject: Subject, lay: Lay, width: float) -> tuple[list[Item], list[Note]]:
    """Lines and names of both ends, or of the seam where they meet."""
    line = subject.line
    strokes: list[Item] = []
    notes = []
    for name, pose, sign in (("END A", line.start, -1.0), ("END B", line.end, 1.0)):
        closed = line.table.closed
        reach = width / 2.0 + (8.0 if closed else 0.125)
        strokes.append(_tick(lay, pose.origin, pose.tangent, reach, BOLD))
        (x, y), _ = _flat_way(lay, pose.tangent)
        turn = math.degrees(math.atan2(sign * y, sign * x))
        if not closed:
            text = name if lay.height(pose.origin) <= FLAT else f"{name} {_up(lay.height(pose.origin), subject.ruler)}"
            notes.append(Note(_xy(lay, pose.origin), words((text,), 16.0, True), turn, max(3.0, width / 2.0 + 2.0)))
        elif name == "END A":
            tag = words(("seam: end A", "meets end B"), 14.0, True)
            notes.append(Note(_xy(lay, pose.origin), tag, turn + 90.0, width / 2.0 + 3.0))
    return strokes, notes
