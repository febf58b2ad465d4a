"""A solid of plain faces in one go: the CAD kernel writes it out in its own binary form, and that is read.

Asked one by one, faces, edges and where they meet cost a thousand calls and more. Only faces whose extent splines alone
tell, and splines with weights, are still asked for. What has faces without formula or parts moved within the solid is
left to be asked one by one.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import pairwise
from math import isfinite
from struct import Struct

import numpy as np
import OCP.collections as stores
from numpy.typing import NDArray
from OCP.BRepTools import BRepTools
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.takeoff.edges import Edge, Edges, sampled_arcs
from bentwork.takeoff.kernel_edges import SAMPLES, elliptic, sampled_splines, spline_edge
from bentwork.takeoff.kernel_form import Record, Records, records_of, splines_of
from bentwork.takeoff.shape import Face, FaceKind, Floats, crossed

__all__ = ["Written", "written"]

_KINDS: tuple[FaceKind, ...] = ("free", "plane", "cylinder", "cone", "sphere", "torus")
_REALS = tuple(Struct(f"<x{size}d") for size in (0, 12, 13, 14, 13, 14))
_PLANE = 1
_PART_OF = Struct("<?ii")
_PART = np.dtype([("back", "?"), ("number", "<i4"), ("moved", "<i4")])
_PLACE = np.dtype([("curve", "<i4"), ("surface", "<i4"), ("moved", "<i4"), ("ends", "<f8", (2,))])
_NUMBER = Struct("<i")
_PLACES = re.compile(rb"(?:\x04.{17})*+(?:\x02(.{28})|\x03(.{4})(.{4}).(.{24})|\Z)", re.DOTALL)
"""What an edge holds of the faces it lies on; how smoothly two of them meet is passed over."""
_NO_LINE = b"\xff" * 32
_NOTHING = (0.0, 0.0, 0.0, 0.0)
_NO_PLACES = (_NOTHING, 0)
_Map = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher

Ints = NDArray[np.intp]
_Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Written:
    """A solid as the kernel wrote it.

    Args:
        faces: all of them.
        rims: of each the edges round it, as ``volume.volume_of`` wants them.
        edges: all of them.
        closed: two faces meet in every edge, or one with itself.
    """

    faces: tuple[Face, ...]
    rims: list[list[int]]
    edges: Edges
    closed: bool


@dataclass(frozen=True, slots=True)
class _Sides:
    """The faces, in the order of the kernel.

    Args:
        surfaces: numbers of them, from 1.
        flipped: faces turned over.
        rims: the edges round one face after the other, from 0, as they are first come to.
        back: which of these the face runs against.
        starts: where the rim of each face begins, and where the last one ends.
        edges: the records of the edges.
    """

    surfaces: Sequence[int]
    flipped: Sequence[bool]
    rims: Ints
    back: NDArray[np.bool_]
    starts: Ints
    edges: Sequence[Record]


def written(solid: TopoDS_Shape) -> Written | None:
    """Return a solid whose faces are nothing but planes, cylinders, cones, spheres and tori.

    Returns:
        None when there is anything else in it: it must be asked face by face.
    """
    records = records_of(solid)
    sides = _sides(records) if records else None
    if records is None or sides is None:
        return None
    kinds = [records.surfaces[number - 1] for number in sides.surfaces]
    edges = _edges(solid, sides.edges, records.curves)
    bounds = _bounds(solid, sides, kinds, records.lines)
    if edges is None or bounds is None:
        return None
    uses = np.bincount(sides.rims, minlength=len(sides.edges))
    closed = all(number in edges.others for number in (uses != 2).nonzero()[0].tolist())
    spans = list(pairwise(sides.starts.tolist()))
    numbers, signed = sides.rims.tolist(), np.where(sides.back, -1 - sides.rims, sides.rims + 1).tolist()
    faces = _faces(kinds, sides.flipped, [numbers[a:b] for a, b in spans], bounds)
    return Written(faces, [signed[a:b] for a, b in spans], edges, closed)


def _sides(records: Records) -> _Sides | None:
    faces: dict[int, bool] = {}
    left = [(records.root, records.turned)]
    while left:
        ref, turned = left.pop()
        record = records.shapes[-ref]
        if record[7]:
            left += [(part, turned != way) for way, part, _ in _PART_OF.iter_unpack(record[8])][::-1]
        elif not record[5]:
            return None
        else:
            faces.setdefault(ref, turned)
    own = [records.shapes[-ref] for ref in faces]
    wires, of_face = _parts([record[6] for record in own])
    rows = [records.shapes[-ref][4] for ref in wires["number"].tolist()]
    if not rows or not all(rows):
        return None
    edges, of_wire = _parts(rows)
    against = (np.array(list(faces.values()))[of_face] != wires["back"])[of_wire] != edges["back"]
    refs = edges["number"].tolist()
    order = {ref: number for number, ref in enumerate(dict.fromkeys(refs))}
    surfaces = [_NUMBER.unpack(record[5])[0] for record in own]
    starts = np.searchsorted(of_face[of_wire], np.arange(len(own) + 1))
    rims = np.array([order[ref] for ref in refs])
    records_of_edges = [records.shapes[-ref] for ref in order]
    return _Sides(surfaces, list(faces.values()), rims, against, starts, records_of_edges)


def _parts(rows: Sequence[bytes]) -> tuple[NDArray[np.void], Ints]:
    """Return the parts of several shapes, and which shape each is of."""
    table = np.frombuffer(b"".join(rows), _PART)
    return table, np.repeat(np.arange(len(rows)), [len(row) // _PART.itemsize for row in rows])


def _edges(solid: TopoDS_Shape, own: Sequence[Record], curves: Sequence[Record]) -> Edges | None:
    numbers: tuple[list[int], list[int], list[int], list[int]] = ([], [], [], [])
    rows: tuple[list[bytes], list[bytes], list[bytes]] = ([], [], [])
    free: list[tuple[bytes, bytes]] = []
    others: dict[int, Edge] = {}
    for number, (point, _, use, *_) in enumerate(own):
        if not use:
            if point != b"\x01":
                return None
            others[number] = Edge("free", np.zeros((0, 3)))  # the pole of a ball or the tip of a cone
            continue
        line, circle, ellipse, spline = curves[_NUMBER.unpack_from(use)[0] - 1]
        if spline:
            numbers[3].append(number)
            free.append((spline, use[8:]))
            continue
        kind = 0 if line else 1 if circle else 2
        numbers[kind].append(number)
        rows[kind].append((line or circle or ellipse) + use[8:])
    lines, arcs, ellipses = (
        np.frombuffer(b"".join(some)).reshape(-1, size) for some, size in zip(rows, (8, 15, 16), strict=True)
    )
    ends = lines[:, None, :3] + lines[:, 6:, None] * lines[:, None, 3:6]
    others |= zip(numbers[2], elliptic(ellipses), strict=True)
    if free:
        others |= _splines(solid, numbers[3], free)
    return Edges(len(own), numbers[0], ends, numbers[1], arcs, *sampled_arcs(arcs), others)


def _splines(solid: TopoDS_Shape, numbers: Sequence[int], own: Sequence[tuple[bytes, bytes]]) -> dict[int, Edge]:
    """Return edges that are splines by their numbers; the kernel is asked for what it did not write, and for more.

    Args:
        solid: whose they are.
        numbers: of the edges.
        own: of each the record of its curve, and the first and last parameter.
    """

    @cache
    def known() -> Callable[[int], TopoDS_Shape]:
        edges = _Map()
        TopExp.MapShapes_s(solid, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
        return lambda number: edges.FindKey(number + 1)

    def asked(number: int) -> Edge:
        return spline_edge(TopoDS.Edge(known()(number)))

    def finer(number: int, count: int) -> tuple[Floats, Floats]:
        dense = asked(number).finer
        assert dense is not None
        return dense(count)

    ends = np.frombuffer(b"".join([use for _, use in own])).reshape(-1, 2)
    told, splines = splines_of([curve for curve, _ in own], ends.tolist())
    found = {
        numbers[k]: Edge("free", points, tuple(range(0, len(points), SAMPLES)), finer=partial(finer, numbers[k]))
        for k, points in zip(told, sampled_splines(splines, ends[told]), strict=True)
    }
    return {number: found.get(number) or asked(number) for number in numbers}


def _bounds(
    solid: TopoDS_Shape, sides: _Sides, kinds: Sequence[bytes], lines: Sequence[Record]
) -> Sequence[_Bounds] | None:
    """Return the parameters between which each face lies; of planes nothing."""
    found = [_NOTHING] * len(kinds)
    curved = [number for number, kind in enumerate(kinds) if kind[0] != _PLANE]
    if not curved:
        return found
    rows: list[bytes] = []
    for once, first, second, rest in _PLACES.findall(b"".join([edge[1] + edge[3] for edge in sides.edges])):
        if once:
            rows.append(once)
        elif rest:  # of a seam, where the face meets itself, the two lie on opposite sides of it
            rows += (first + rest, second + rest)
    if not rows:
        return None
    places = np.frombuffer(b"".join(rows), _PLACE)
    order = places["surface"].argsort()
    places = places[order]
    own = _lines(lines)[places["curve"] - 1]
    ends = own[:, None, :2] + places["ends"][:, :, None] * own[:, None, 2:]
    starts = np.concatenate(((0,), np.diff(places["surface"]).nonzero()[0] + 1))
    table = np.concatenate(
        (np.minimum.reduceat(ends.min(axis=1), starts), np.maximum.reduceat(ends.max(axis=1), starts)), axis=1
    )
    counts = np.diff(starts, append=len(places)).tolist()
    by_surface = dict(zip(places["surface"][starts].tolist(), zip(table.tolist(), counts, strict=True), strict=True))
    sizes, alike = np.diff(sides.starts).tolist(), Counter(sides.surfaces)
    faces = None
    for number in curved:
        surface = sides.surfaces[number]
        (u0, v0, u1, v1), count = by_surface.get(surface, _NO_PLACES)
        if count == sizes[number] and alike[surface] == 1 and isfinite(u0 + v0 + u1 + v1):
            found[number] = (u0, u1, v0, v1)
            continue
        # Lines do not tell, or more than one face lies on the surface.
        if count < sizes[number]:
            return None
        if faces is None:
            faces = _Map()
            TopExp.MapShapes_s(solid, TopAbs_ShapeEnum.TopAbs_FACE, faces)
        found[number] = BRepTools.UVBounds_s(TopoDS.Face(faces.FindKey(number + 1)))
    return found


def _lines(lines: Sequence[Record]) -> Floats:
    """Return point and direction of lines among the parameters of faces, (n, 4); what is none is not a number."""
    rows = np.frombuffer(b"".join([line[0] or _NO_LINE for line in lines])).reshape(-1, 4)
    between = [k for k, line in enumerate(lines) if line[2]]
    if between:
        rows = rows.copy()
        table = np.frombuffer(b"".join([lines[k][1] + lines[k][2] for k in between])).reshape(-1, 6)
        ways = (table[:, 2:4] - table[:, :2]) / (table[:, 5:] - table[:, 4:5])
        rows[between] = np.hstack((table[:, :2] - table[:, 4:5] * ways, ways))
    return rows


def _faces(
    kinds: Sequence[bytes], flipped: Sequence[bool], rims: Sequence[Sequence[int]], bounds: Sequence[_Bounds]
) -> tuple[Face, ...]:
    frames = np.frombuffer(b"".join([kind[1:97] for kind in kinds])).reshape(-1, 4, 3)
    direct = (np.einsum("ij,ij->i", crossed(frames[:, 2], frames[:, 3]), frames[:, 1]) > 0.0).tolist()
    found = []
    rows = zip(kinds, flipped, direct, rims, bounds, strict=True)
    for number, (kind, over, right, rim, (u0, u1, v0, v1)) in enumerate(rows, 1):
        edges = tuple(rim)
        if len(set(edges)) < len(edges):
            edges = tuple(dict.fromkeys(edges))
        ox, oy, oz, nx, ny, nz, a, b, c, d, e, f, *sizes = _REALS[kind[0]].unpack(kind)
        origin, axis = (ox, oy, oz), (nx, ny, nz)
        if not sizes:
            axis = (-nx, -ny, -nz) if over == right else axis
            found.append(Face("plane", origin, axis, edges=edges, part_of=number))
            continue
        radius, minor = sizes if len(sizes) > 1 else (sizes[0], 0.0)
        x, y, outward = (a, b, c), (d, e, f), over != right
        name, u, v = _KINDS[kind[0]], (u0, u1), (v0, v1)
        found.append(Face(name, origin, axis, x, y, radius, minor, outward, u, v, None, edges, number))
    return tuple(found)
