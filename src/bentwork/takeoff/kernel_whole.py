"""A solid of plain faces in one go: the CAD kernel writes it out in its own binary form, and that is read.

Asked one by one, faces, edges and where they meet cost a thousand calls and more. The form is that of OCCT's
``BinTools`` (version 4): curves, surfaces and shapes in tables, every record as long as its first byte says. What has
splines, other curves or parts moved within the solid is left to be asked one by one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from struct import Struct
from typing import TypeAlias

import numpy as np
from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.edges import Edges, sampled_arcs
from bentwork.takeoff.shape import Edge, Face, FaceKind, Floats, crossed

__all__ = ["Written", "written"]

_VERSION = BinTools_FormatVersion.BinTools_FormatVersion_VERSION_4

# Two reals are where a curve is trimmed: whoever uses it says that again.
# A spline of two poles is a line as well: poles, then a parameter and 2 for each.
_SPLINE_LINE = rb"\x07\x00\x00\x01\x00\x02\x00\x00\x00\x02\x00\x00\x00"
_CURVE_2D = rb"(?:\x08.{16})?+(?:\x01.{32}|\x02.{56}|" + _SPLINE_LINE + rb".{56})"
_CURVE = rb"(?:\x08.{16})?+(?:\x01.{48}|\x02.{104})"
_SURFACE = rb"(?:\x0a.{32})?+(?:\x01.{96}|[\x02\x04].{104}|[\x03\x05].{112})"
_WITHIN = rb"((?:[\x00\x01].{8})*+)\*"
_ON_FACES = rb"((?:\x02.{28}|\x03.{33}|\x04.{17})*+)"
_SHAPE = (
    rb"\x07.{32}\x00.{7}\*|"
    rb"\x06.{10}(.)" + _ON_FACES + rb"(?:\x01(.{24}))?+" + _ON_FACES + rb"\x00.{7}(?:[\x00-\x03].{8})*+\*|"
    rb"\x05.{7}" + _WITHIN + rb"|"
    rb"\x04.{9}(.{4}).{4}\x00.{7}" + _WITHIN + rb"|"
    rb"([\x02\x03]).{7}" + _WITHIN
)
_WHOLE = re.compile(
    rb"\nOpen CASCADE Topology V4, [^\n]*\nLocations 0\nCurve2ds \d+\n(?P<lines>(?:" + _CURVE_2D + rb")*+)"
    rb"Curves \d+\n(?P<curves>(?:" + _CURVE + rb")*+)Polygon3D 0\nPolygonOnTriangulations 0\n"
    rb"Surfaces \d+\n(?P<surfaces>(?:"
    + _SURFACE
    + rb")*+)Triangulations 0\n\nTShapes \d+\n(?P<shapes>(?:"
    + _SHAPE
    + rb")*+)"
    rb"(?P<way>[\x00\x01])(?P<root>.{4}).{4}",
    re.DOTALL,
)
_CURVES_2D = re.compile(
    rb"(?:\x08.{16})?+(?:\x01(.{32})|\x02.{56}|" + _SPLINE_LINE + rb"(.{40}).{4}(.{8}).{4})", re.DOTALL
)
_CURVES = re.compile(rb"(?:\x08.{16})?+(?:\x01(.{48})|\x02(.{104}))", re.DOTALL)
_SURFACES = re.compile(rb"(?:\x0a.{32})?+(\x01.{96}|[\x02\x04].{104}|[\x03\x05].{112})", re.DOTALL)
_SHAPES = re.compile(_SHAPE, re.DOTALL)
# What an edge holds of the faces it lies on; a zero begins the next edge.
_PLACES = re.compile(rb"(\x00)|\x02(.{28})|\x03(.{4})(.{4}).(.{24})|\x04.{17}", re.DOTALL)

_KINDS: tuple[FaceKind, ...] = ("free", "plane", "cylinder", "cone", "sphere", "torus")
_REALS = tuple(Struct(f"<x{size}d") for size in (0, 12, 13, 14, 13, 14))
_NUMBER, _PART = Struct("<i"), Struct("<Bii")
_PLACE = np.dtype([("curve", "<i4"), ("surface", "<i4"), ("moved", "<i4"), ("ends", "<f8", (2,))])
_MISSING = (-1,)
_NO_LINE = b"\xff" * 32

_Record: TypeAlias = tuple[bytes, ...]
"""A shape: of an edge whether it is a point, places, curve, places; parts of a wire; surface and parts of a
face; kind and parts of a shell or solid."""
_Bounds: TypeAlias = tuple[float, float, float, float]


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
class _Side:
    """A face: number of its surface, whether it is turned over, its edges, 1 for the first, minus where backwards."""

    surface: int
    flipped: bool
    rim: list[int]


def written(solid: TopoDS_Shape) -> Written | None:
    """Return a solid that is made of nothing but planes, cylinders, cones, spheres and tori, lines and circles.

    Returns:
        None when there is anything else in it: it must be asked face by face.
    """
    stream = BytesIO()
    BinTools.Write_s(solid, stream, False, False, _VERSION)
    data = stream.getvalue()
    whole = _WHOLE.fullmatch(data)
    if whole is None:
        return None
    records = _SHAPES.findall(data, *whole.span("shapes"))
    found = _sides(records, int.from_bytes(whole["root"], "little"), whole["way"] != b"\x00")
    if found is None:
        return None
    sides, refs = found
    own = [records[-ref] for ref in refs]
    edges = _edges(own, _CURVES.findall(data, *whole.span("curves")))
    kinds = _SURFACES.findall(data, *whole.span("surfaces"))
    used = [kinds[side.surface - 1] for side in sides]
    bounds = _bounds(own, _CURVES_2D.findall(data, *whole.span("lines")), used, sides)
    if edges is None or bounds is None:
        return None
    uses = [0] * len(own)
    for side in sides:
        for number in side.rim:
            uses[abs(number) - 1] += 1
    closed = all(n == 2 or k in edges.others for k, n in enumerate(uses))
    return Written(_faces(used, sides, bounds), [side.rim for side in sides], edges, closed)


def _sides(records: Sequence[_Record], root: int, turned: bool) -> tuple[list[_Side], list[int]] | None:
    """Return the faces and the places of their edges among the records, counted from the end."""
    sides: list[_Side] = []
    numbers: dict[int, int] = {}
    known: set[int] = set()
    left = [(root, turned)]
    while left:
        ref, turned = left.pop()
        record = records[-ref]
        if record[7]:
            left += [(part, turned != bool(way)) for way, part, _ in _PART.iter_unpack(record[8])][::-1]
            continue
        if not record[5]:
            return None
        if ref in known:
            continue
        known.add(ref)
        rim = []
        for way, part, _ in _PART.iter_unpack(record[6]):
            wire = records[-part]
            if not wire[4]:
                return None
            against = turned != bool(way)
            for back, edge, _ in _PART.iter_unpack(wire[4]):
                number = numbers.setdefault(edge, len(numbers) + 1)
                rim.append(-number if against != bool(back) else number)
        sides.append(_Side(int.from_bytes(record[5], "little"), turned, rim))
    return sides, list(numbers)


def _edges(own: Sequence[_Record], curves: Sequence[tuple[bytes, bytes]]) -> Edges | None:
    lines: list[int] = []
    circles: list[int] = []
    points: dict[int, Edge] = {}
    rows: list[bytes] = []
    rings: list[bytes] = []
    for k, (point, _, curve, *_) in enumerate(own):
        if not curve:
            if point != b"\x01":
                return None
            points[k] = Edge("free", np.zeros((0, 3)))  # the pole of a ball or the tip of a cone
            continue
        line, circle = curves[_NUMBER.unpack_from(curve)[0] - 1]
        if line:
            lines.append(k)
            rows += (line, curve[8:])
        else:
            circles.append(k)
            rings += (circle, curve[8:])
    table = np.frombuffer(b"".join(rows)).reshape(-1, 8)
    ends = table[:, None, :3] + table[:, 6:, None] * table[:, None, 3:6]
    arcs = np.frombuffer(b"".join(rings)).reshape(-1, 15)
    return Edges(len(own), lines, ends, circles, arcs, *sampled_arcs(arcs), points)


def _bounds(
    own: Sequence[_Record], lines: Sequence[tuple[bytes, ...]], used: Sequence[bytes], sides: Sequence[_Side]
) -> list[_Bounds] | None:
    """Return the parameters between which each face lies; of planes nothing."""
    rows: list[bytes] = []
    places: dict[tuple[int, bytes], tuple[int, ...]] = {}
    edge = 1
    for next_one, once, first, second, rest in _PLACES.findall(b"\x00".join([r[1] + r[3] for r in own])):
        if once:
            places[edge, once[4:8]] = (len(rows),)
            rows.append(once)
        elif next_one:
            edge += 1
        elif rest:
            # Of a seam, where the face meets itself, the two lie on opposite sides of it.
            places[edge, rest[:4]] = (len(rows), len(rows) + 1)
            rows += [first + rest, second + rest]
    chosen: list[int] = []
    starts: list[int] = []
    for side, kind in zip(sides, used, strict=True):
        if kind[0] != 1:
            surface = _NUMBER.pack(side.surface)
            starts.append(len(chosen))
            for number in side.rim:
                chosen += places.get((abs(number), surface), _MISSING)
            if len(chosen) == starts[-1] or chosen[-1] < 0:
                return None
    nothing = (0.0, 0.0, 0.0, 0.0)
    if not chosen:
        return [nothing] * len(sides)
    if min(chosen) < 0:
        return None
    table = np.frombuffer(b"".join(rows), _PLACE)
    curves = _lines(lines)[table["curve"] - 1]
    ends = (curves[:, :, :2] + table["ends"][:, :, None] * curves[:, :, 2:])[chosen]
    low = np.minimum.reduceat(np.minimum(ends[:, 0], ends[:, 1]), starts)
    high = np.maximum.reduceat(np.maximum(ends[:, 0], ends[:, 1]), starts)
    found = np.stack((low, high), axis=2).reshape(-1, 4)
    if not np.isfinite(found).all():
        return None
    curved = iter(map(tuple, found.tolist()))
    return [nothing if kind[0] == 1 else next(curved) for kind in used]


def _lines(lines: Sequence[tuple[bytes, ...]]) -> Floats:
    """Return point and direction of lines among the parameters of faces, (n, 1, 4); what is none is not a number."""
    rows = np.frombuffer(b"".join([line or _NO_LINE for line, _, _ in lines])).reshape(-1, 4).copy()
    between = [k for k, row in enumerate(lines) if row[2]]
    if between:
        table = np.frombuffer(b"".join([lines[k][1] + lines[k][2] for k in between])).reshape(-1, 6)
        ways = (table[:, 2:4] - table[:, :2]) / (table[:, 5:] - table[:, 4:5])
        rows[between] = np.hstack((table[:, :2] - table[:, 4:5] * ways, ways))
    return rows[:, None]


def _faces(used: Sequence[bytes], sides: Sequence[_Side], bounds: Sequence[_Bounds]) -> tuple[Face, ...]:
    frames = np.frombuffer(b"".join([kind[1:97] for kind in used])).reshape(-1, 4, 3)
    direct = (np.einsum("ij,ij->i", crossed(frames[:, 2], frames[:, 3]), frames[:, 1]) > 0.0).tolist()
    found = []
    for number, (kind, side, right, bound) in enumerate(zip(used, sides, direct, bounds, strict=True), 1):
        edges = tuple([abs(n) - 1 for n in side.rim])
        if len(set(edges)) < len(edges):
            edges = tuple(dict.fromkeys(edges))
        ox, oy, oz, nx, ny, nz, a, b, c, d, e, f, *sizes = _REALS[kind[0]].unpack(kind)
        origin, axis = (ox, oy, oz), (nx, ny, nz)
        if not sizes:
            axis = (-nx, -ny, -nz) if side.flipped == right else axis
            found.append(Face("plane", origin, axis, edges=edges, part_of=number))
            continue
        radius, minor = sizes if len(sizes) > 1 else (sizes[0], 0.0)
        name, outward, u, v = _KINDS[kind[0]], side.flipped != right, bound[:2], bound[2:]
        x, y = (a, b, c), (d, e, f)
        found.append(Face(name, origin, axis, x, y, radius, minor, outward, u, v, None, edges, number))
    return tuple(found)
