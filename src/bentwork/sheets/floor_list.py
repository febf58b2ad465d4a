"""The floor list: coordinates of a piece to chalk on the floor, and two diagonals to check it by. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.sheets.drawing import BOLD, FINE, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.full_size_lines import Layout, bend_corner, tangent_points
from bentwork.sheets.subject import Subject
from bentwork.units import Ruler

__all__ = ["Diagonal", "FloorPoint", "diagonals", "floor_points", "floor_table"]

ROW = 6.4
"""Height of a line of the list."""

_TYPE = 14.0


@dataclass(frozen=True, slots=True)
class FloorPoint:
    """A point to chalk.

    Args:
        name: END A, S1, corner 1, E1 ... END B.
        place: along and across from end A.
        height: above the part that lies on the floor; None where it does not matter.
    """

    name: str
    place: Point
    height: float | None


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A distance on the floor to check with a tape."""

    start: str
    stop: str
    length: float


def floor_points(subject: Subject, layout: Layout) -> tuple[FloorPoint, ...]:
    """Return all points to chalk, in order from end A."""
    lay, line = layout.lay, subject.line
    tangents = {point.name: point for point in tangent_points(line, lay)}
    points = [FloorPoint("END A", lay.place(line.start.origin), lay.height(line.start.origin))]
    for run in line.runs:
        if not run.bend:
            continue
        start, end = tangents[f"S{run.bend}"], tangents[f"E{run.bend}"]
        points.append(FloorPoint(start.name, start.place, start.height))
        corner = bend_corner(run)
        if corner is not None:
            points.append(FloorPoint(f"corner {run.bend}", lay.place(corner), None))
        points.append(FloorPoint(end.name, end.place, end.height))
    points.append(FloorPoint("END B", lay.place(line.end.origin), lay.height(line.end.origin)))
    return tuple(points)


def diagonals(points: Sequence[FloorPoint]) -> tuple[Diagonal, ...]:
    """Return the two longest distances between tangent points that have no point in common; ends count if need be."""
    chosen = [point for point in points if point.name[0] in "SE" and point.name[1].isdigit()]
    if len(chosen) < 4:
        chosen = [point for point in points if not point.name.startswith("corner")]
    pairs = [
        (math.dist(a.place, b.place), a, b)
        for index, a in enumerate(chosen)
        for b in chosen[index + 1 :]
        if math.dist(a.place, b.place) > 1.0
    ]
    pairs.sort(key=lambda pair: -round(pair[0], 3))
    found: list[tuple[float, FloorPoint, FloorPoint]] = []
    for pair in pairs:
        used = [point.place for _, a, b in found for point in (a, b)]
        if all(math.dist(point.place, place) > 1.0 for point in pair[1:] for place in used):
            found.append(pair)
        if len(found) == 2:
            break
    return tuple(Diagonal(a.name, b.name, length) for length, a, b in found)


def floor_table(points: Sequence[FloorPoint], ruler: Ruler, width: float, heights: bool) -> Drawing:
    """Return a part of the list as a drawing of this width, its heading included.

    Args:
        points: in the order of the list.
        ruler: how lengths are shown.
        width: of the table, mm.
        heights: with a column for how high the points lie.
    """
    names = ("along", "across", "height") if heights else ("along", "across")
    first = 23.0
    column = (width - first) / len(names)
    items: list[Item] = [Label((0.0, 4.0), "point", 9.0, ("left", "bottom"))]
    items += [Label((first + column * (k + 1), 4.0), name, 9.0, ("right", "bottom")) for k, name in enumerate(names)]
    items.append(Stroke(((0.0, 5.2), (width, 5.2)), BOLD, cap="butt"))
    y = 5.2
    for point in points:
        base = y + ROW / 2.0
        items.append(Label((0.0, base), point.name, 12.0, ("left", "middle"), point.name.startswith("END")))
        values = [ruler.tape(point.place[0]), ruler.tape(point.place[1])]
        if heights:
            values.append("" if point.height is None else ruler.tape(max(0.0, point.height)))
        for k, value in enumerate(values):
            if value:
                items.append(Label((first + column * (k + 1), base), value, _TYPE, ("right", "middle"), True))
        y += ROW
        items.append(Stroke(((0.0, y), (width, y)), FINE, cap="butt"))
    return Drawing(width, y, tuple(items))
