"""Faces out of what the CAD kernel wrote: surfaces, and the parameters between which faces lie on them, in tables."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

import numpy as np
import OCP.collections as stores
from numpy.typing import NDArray
from OCP.BRepTools import BRepTools
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.takeoff.edges import Edges, Floats
from bentwork.takeoff.face_bounds import rectangles
from bentwork.takeoff.face_table import FREE, KINDS, PLANE, FaceTable, Ints, right_ways, set_sides
from bentwork.takeoff.kernel_form import Record, Records

__all__ = ["Sides", "faces_on"]

_SURFACE = np.dtype([("kind", "u1"), ("reals", "<f8", (14,))])
_PLACE = np.dtype([("curve", "<i4"), ("surface", "<i4"), ("moved", "<i4"), ("ends", "<f8", (2,))])
_SEAM = np.dtype([("curve", "<i4"), ("other", "<i4"), ("smooth", "u1"), *_PLACE.descr[1:]])
_PLACES = re.compile(rb"(?:\x04.{17})*+(?:\x02(.{28})|\x03(.{33})|\Z)", re.DOTALL)
"""What an edge holds of the faces it lies on; how smoothly two of them meet is passed over."""
_Map = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """The faces, in the order of the kernel.

    Args:
        surfaces: numbers of them, from 1.
        flipped: faces turned over.
        rims: the edges round one face after the other, from 0, as they are first come to.
        back: which of these the face runs against.
        starts: where the rim of each face begins, and where the last one ends.
        edges: the records of the edges.
    """

    surfaces: Ints
    flipped: NDArray[np.bool_]
    rims: Ints
    back: NDArray[np.bool_]
    starts: Ints
    edges: Sequence[Record]


def faces_on(solid: TopoDS_Shape, records: Records, sides: Sides, edges: Edges) -> tuple[FaceTable, bool] | None:
    """Return the faces of a solid; None when what was written does not tell all of them.

    Args:
        solid: whose they are.
        records: of it.
        sides: its faces and the edges round them.
        edges: of it.

    Returns:
        The faces, and whether their edges in space were enough to tell how far they reach.
    """
    size = _SURFACE.itemsize
    own = [records.surfaces[number - 1][:size].ljust(size, b"\0") for number in sides.surfaces.tolist()]
    table = np.frombuffer(b"".join(own), _SURFACE)
    kinds = table["kind"].astype(np.intp)
    kinds[kinds >= len(KINDS)] = FREE
    planes = kinds == PLANE
    rows = np.zeros((len(own), 19))
    rows[:, :14] = np.where((kinds == FREE)[:, None], 0.0, table["reals"])
    ways = np.where(sides.back, -1, 1)
    rows[:, 14:18], areas = rectangles(kinds, rows, sides.rims, ways, sides.starts, edges)
    rows[planes, 14:18] = 0.0
    untold = np.isnan(rows[:, 14]).nonzero()[0]
    if len(untold):
        bounds = _bounds(solid, sides, untold, records)
        if bounds is None:
            return None
        rows[untold, 14:18] = bounds
    set_sides(kinds, rows, sides.flipped)
    ways = right_ways(ways, sides.starts, areas, sides.flipped)
    return FaceTable(kinds, rows, sides.rims, ways, sides.starts), len(untold) == 0


def _bounds(solid: TopoDS_Shape, sides: Sides, curved: Ints, records: Records) -> Floats | None:
    """Return the parameters between which curved faces lie: u and v from and to, (n, 4)."""
    found = _PLACES.findall(b"".join([edge[1] + edge[3] for edge in sides.edges]))
    once = np.frombuffer(b"".join(map(itemgetter(0), found)), _PLACE)
    # Of a seam, where the face meets itself, the two lie on opposite sides of it.
    seams = np.frombuffer(b"".join(map(itemgetter(1), found)), _SEAM)
    numbers = np.concatenate((once["surface"], seams["surface"], seams["surface"]))
    if len(numbers) == 0:
        return None
    curves = np.concatenate((once["curve"], seams["curve"], seams["other"])) - 1
    stretch = np.concatenate((once["ends"], seams["ends"], seams["ends"]))
    straight = np.array([bool(given or poles) for given, poles, _, _ in records.lines])
    many = len(records.surfaces) + 1
    counts, crooked = (np.bincount(some, minlength=many) for some in (numbers, numbers[~straight[curves]]))
    surfaces, sizes = sides.surfaces[curved], (sides.starts[1:] - sides.starts[:-1])[curved]
    count = counts[surfaces]
    # Lines do not tell, or more than one face lies on the surface.
    left = (count != sizes) | (np.bincount(sides.surfaces)[surfaces] != 1) | (crooked[surfaces] > 0)
    bounds = np.full((len(curved), 4), np.nan)
    if not left.all():
        bounds = _between_lines(records.lines, numbers, curves, stretch, many)[surfaces]
        left |= ~np.isfinite(bounds).all(axis=1)
    if not left.any():
        return bounds
    if (count < sizes).any():
        return None
    faces = _Map()
    TopExp.MapShapes_s(solid, TopAbs_ShapeEnum.TopAbs_FACE, faces)
    for k in left.nonzero()[0].tolist():
        bounds[k] = BRepTools.UVBounds_s(TopoDS.Face(faces.FindKey(int(curved[k]) + 1)))
    return bounds


def _between_lines(lines: Sequence[Record], numbers: Ints, curves: Ints, stretch: Floats, many: int) -> Floats:
    """Return between which parameters lines on each surface lie: u and v from and to, (many, 4).

    Args:
        lines: curves among the parameters of faces.
        numbers: of the surface that each edge of a face lies on, (n,).
        curves: places among the lines of that which it is there, (n,).
        stretch: where along that it begins and ends, (n, 2).
        many: more than any number of a surface.
    """
    order = numbers.argsort()
    numbers, stretch = numbers[order], stretch[order]
    own = _lines(lines).take(curves[order], axis=0)
    ends = own[:, None, :2] + stretch[:, :, None] * own[:, None, 2:]
    starts = np.concatenate(((0,), (numbers[1:] != numbers[:-1]).nonzero()[0] + 1))
    told = np.full((many, 4), np.nan)
    told[numbers[starts], 0::2] = np.minimum.reduceat(ends.min(axis=1), starts)
    told[numbers[starts], 1::2] = np.maximum.reduceat(ends.max(axis=1), starts)
    return told


def _lines(lines: Sequence[Record]) -> Floats:
    """Return point and direction of lines among the parameters of faces, (n, 4); what is none is not a number."""
    rows = np.full((len(lines), 4), np.nan)
    given, poles, lasts, _ = zip(*lines, strict=True)
    own, between = (np.fromiter(map(bool, some), dtype=bool, count=len(lines)) for some in (given, poles))
    rows[own] = np.frombuffer(b"".join(given)).reshape(-1, 4)
    if between.any():
        table, last = np.frombuffer(b"".join(poles)).reshape(-1, 5), np.frombuffer(b"".join(lasts))
        first = table[:, 4:]
        ways = (table[:, 2:4] - table[:, :2]) / (last[:, None] - first)
        rows[between] = np.hstack((table[:, :2] - first * ways, ways))
    return rows
