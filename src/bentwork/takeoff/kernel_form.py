"""The CAD kernel's own binary form of a shape, read into records: that of OCCT's ``BinTools`` (version 4).

Curves, surfaces and shapes stand in tables, every record as long as its first byte says; splines are as long as they
say themselves.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from operator import itemgetter
from struct import Struct
from typing import NamedTuple, TypeAlias

import numpy as np
from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.spline_faces import SplineSurface
from bentwork.takeoff.splines import Splines

__all__ = ["Record", "Records", "line_of", "records_of", "splines_of", "surface_of"]

Record: TypeAlias = tuple[bytes, ...]

_VERSION = BinTools_FormatVersion.BinTools_FormatVersion_VERSION_4

# Two reals are where a curve is trimmed: whoever uses it says that again.
# A spline of two poles is a line as well: poles, then a parameter and 2 for each.
_SPLINE_LINE = rb"\x07\x00\x00\x01\x00\x02\x00\x00\x00\x02\x00\x00\x00"
_TRIMMED = rb"(?:\x08.{16})?+"
_CURVE_2D = _TRIMMED + rb"(?:\x01(.{32})|\x02.{56}|\x03.{64}|" + _SPLINE_LINE + rb"(.{40}).{4}(.{8}).{4})()"
_CURVE = _TRIMMED + rb"(?:\x01(.{48})|\x02(.{104})|\x03(.{112}))()"
_SURFACE = rb"(?:\x0a.{32})?+(\x01.{96}|[\x02\x04].{104}|[\x03\x05].{112})()"
_WITHIN = rb"((?:[\x00\x01].{8})*+)\*"
_ON_FACES = rb"((?:\x02.{28}|\x03.{33}|\x04.{17})*+)"
_SHAPE = (
    rb"\x07.{32}\x00.{7}\*|"
    rb"\x06.{10}(.)" + _ON_FACES + rb"(?:\x01(.{24}))?+" + _ON_FACES + rb"\x00.{7}(?:[\x00-\x03].{8})*+\*|"
    rb"\x05.{7}" + _WITHIN + rb"|"
    rb"\x04.{9}(.{4}).{4}\x00.{7}" + _WITHIN + rb"|"
    rb"([\x02\x03]).{7}" + _WITHIN
)
_TRIMMED_BYTES, _TRIMMED_SURFACE_BYTES = 17, 33
_SPLINE = Struct("<x??hii")
"""Rational, periodic, degree, poles, knots."""
_SPLINE_SURFACE = Struct("<x????hhiiii")
"""Rational and periodic in u and v, degrees, poles and knots in both."""
_SPLINE_LINE_3D = Struct("<x??hii6ddidi")
"""One of two poles in space: what comes first as above, the poles, their knots."""
_LINE = Struct("<6d")
_KNOT = Struct("<di")
"""Where it is, how often it counts."""
_KNOTS = np.dtype([("at", "<f8"), ("times", "<i4")])
_ROOT = Struct("<?ii")
"""What comes last: turned inside out, number, moved."""


class _Table(NamedTuple):
    """How a table begins, a row of its records, one of them, and what tells where a spline ends."""

    begins: re.Pattern[bytes]
    row: re.Pattern[bytes]
    each: re.Pattern[bytes]
    after_spline: _After


_After: TypeAlias = Callable[[bytes, int], int | None]
"""Returns where a spline ends that begins at a place; None where there is none."""


def _table(begins: bytes, each: bytes, after_spline: _After) -> _Table:
    first, row, one = (re.compile(some, re.DOTALL) for some in (begins + rb" (\d+)\n", rb"(?:" + each + rb")*+", each))
    return _Table(first, row, one, after_spline)


def _after_spline(data: bytes, at: int, reals: int) -> int | None:
    """Return where a curve ends whose poles have so many reals."""
    if data[at : at + 1] == b"\x08":
        at += _TRIMMED_BYTES
    if data[at : at + 1] != b"\x07":
        return None
    rational, _, _, poles, knots = _SPLINE.unpack_from(data, at)
    return int(at + _SPLINE.size + 8 * (reals + rational) * poles + _KNOT.size * knots)


def _after_surface(data: bytes, at: int) -> int | None:
    if data[at : at + 1] == b"\x0a":
        at += _TRIMMED_SURFACE_BYTES
    if data[at : at + 1] != b"\x09":
        return None
    u_rational, v_rational, _, _, _, _, *poles, u_knots, v_knots = _SPLINE_SURFACE.unpack_from(data, at)
    reals = 4 if u_rational or v_rational else 3
    return int(at + _SPLINE_SURFACE.size + 8 * reals * poles[0] * poles[1] + _KNOT.size * (u_knots + v_knots))


_HEAD = rb"\nOpen CASCADE Topology V4, [^\n]*\nLocations 0\nCurve2ds"
_LINES = _table(_HEAD, _CURVE_2D, partial(_after_spline, reals=2))
_CURVES = _table(rb"Curves", _CURVE, partial(_after_spline, reals=3))
_SURFACES = _table(rb"Polygon3D 0\nPolygonOnTriangulations 0\nSurfaces", _SURFACE, _after_surface)
# These reach to the end: what is none of them stands in the last group, byte by byte.
_SHAPES = _table(rb"Triangulations 0\n\nTShapes", _SHAPE + rb"|(.)", lambda _, __: None)


@dataclass(frozen=True, slots=True)
class Records:
    """A shape as it was written. What is not there is empty.

    Args:
        lines: curves among the parameters of faces: point and direction of a line; poles and parameters of a spline of
            two; a spline of more.
        curves: in space: of a line, a circle, an ellipse; a spline.
        surfaces: each begins with its kind, those that are splines as well.
        shapes: of an edge whether it is a point, places, curve, places; parts of a wire; surface and parts of a face;
            kind and parts of a shell or solid. They are counted from the end.
        root: number of the whole among the shapes.
        turned: it is turned inside out.
    """

    lines: Sequence[Record]
    curves: Sequence[Record]
    surfaces: Sequence[bytes]
    shapes: Sequence[Record]
    root: int
    turned: bool


def records_of(shape: TopoDS_Shape, *, splines: bool) -> Records | None:
    """Return a shape as the kernel writes it.

    Args:
        shape: to be read.
        splines: surfaces of it may be splines.

    Returns:
        None when parts are moved within the shape, or anything is of another kind.
    """
    stream = BytesIO()
    BinTools.Write_s(shape, stream, False, False, _VERSION)
    data = stream.getvalue()
    at = 0
    tables: list[Sequence[Record]] = []
    for table in (_LINES, _CURVES, _SURFACES):
        read = _read(data, at, table)
        if read is None:
            return None
        tables.append(read[0])
        at = read[1]
    begins = _SHAPES.begins.match(data, at)
    if begins is None:
        return None
    end = len(data) - _ROOT.size
    shapes = _SHAPES.each.findall(data, begins.end(), end)
    if len(shapes) != int(begins[1]) or any(map(itemgetter(-1), shapes)):
        return None
    turned, root, _ = _ROOT.unpack_from(data, end)
    lines, curves, surfaces = tables
    if not splines and any(map(itemgetter(-1), surfaces)):
        return None
    return Records(lines, curves, [plain or smooth for plain, *_, smooth in surfaces], shapes, root, turned)


def _read(data: bytes, at: int, table: _Table) -> tuple[list[Record], int] | None:
    """Return the records of a table, and where it ends."""
    begins = table.begins.match(data, at)
    if begins is None:
        return None
    count, at = int(begins[1]), begins.end()
    found: list[Record] = []
    while True:
        row = table.row.match(data, at)
        if row and row.end() > at:
            found += table.each.findall(data, at, row.end())
            at = row.end()
        if len(found) >= count:
            return (found, at) if len(found) == count else None
        after = table.after_spline(data, at)
        if after is None:
            return None
        found.append((b"", b"", b"", data[at:after]))
        at = after


def splines_of(records: Sequence[bytes], ends: Sequence[Sequence[float]]) -> tuple[list[int], Splines]:
    """Return splines in space: which of these records, and what.

    Args:
        records: of splines.
        ends: first and last parameter that is asked of each. Those that lie beyond the spline's own are left out, and
            so are splines that do not end at their poles.
    """
    own, rows, poles, knots = [], [], [], []
    for number, (record, (first, last)) in enumerate(zip(records, ends, strict=True)):
        start = _TRIMMED_BYTES if record[:1] == b"\x08" else 0
        rational, _, degree, count, many = _SPLINE.unpack_from(record, start)
        start += _SPLINE.size
        after = start + 8 * (3 + rational) * count
        (begin, one), (end, two) = (_KNOT.unpack_from(record, after + _KNOT.size * k) for k in (0, many - 1))
        if begin <= first and last <= end and min(one, two) >= degree:
            own.append(number)
            rows.append((degree, many, count))
            poles.append(np.frombuffer(record, count=(3 + rational) * count, offset=start).reshape(count, -1))
            knots.append(record[after:])
    table = np.frombuffer(b"".join(knots), _KNOTS)
    degrees, knot_counts, pole_counts = np.array(rows, dtype=np.intp).reshape(-1, 3).T
    if any(some.shape[1] > 3 for some in poles):
        points = np.concatenate(
            [np.hstack((some[:, :3], some[:, 3:] if some.shape[1] > 3 else np.ones((len(some), 1)))) for some in poles]
        )
        points[:, :3] *= points[:, 3:]
    else:
        points = np.concatenate(poles) if poles else np.zeros((0, 3))
    return own, Splines(degrees, table["at"], table["times"].astype(np.intp), knot_counts, points, pole_counts)


def line_of(record: bytes) -> bytes:
    """Return a spline of two poles as the record of a line; nothing where it is none, or has weights."""
    start = _TRIMMED_BYTES if record[:1] == b"\x08" else 0
    if record[start : start + 2] != b"\x07\x00" or len(record) != start + _SPLINE_LINE_3D.size:
        return b""
    *_, ax, ay, az, bx, by, bz, begin, _, end, _ = _SPLINE_LINE_3D.unpack_from(record, start)
    x, y, z = ((b - a) / (end - begin) for a, b in ((ax, bx), (ay, by), (az, bz)))
    return _LINE.pack(ax - begin * x, ay - begin * y, az - begin * z, x, y, z)


def surface_of(record: bytes) -> SplineSurface | None:
    """Return a surface that is a spline; None where it does not end at its poles."""
    start = _TRIMMED_SURFACE_BYTES if record[:1] == b"\x0a" else 0
    u_rational, v_rational, _, _, *degrees, rows, columns, u_many, _ = _SPLINE_SURFACE.unpack_from(record, start)
    start += _SPLINE_SURFACE.size
    reals = 4 if u_rational or v_rational else 3
    poles = np.frombuffer(record, count=reals * rows * columns, offset=start).reshape(rows, columns, reals)
    counted = list(_KNOT.iter_unpack(record[start + poles.nbytes :]))
    knots, flat = [], []
    for degree, count, own in zip(degrees, (rows, columns), (counted[:u_many], counted[u_many:]), strict=True):
        values, times = ([pair[k] for pair in own] for k in (0, 1))
        if min(times[0], times[-1]) < degree:
            return None
        times[0] = times[-1] = degree + 1
        knots.append(values)
        flat.append([value for value, many in zip(values, times, strict=True) for _ in range(many)])
        if len(flat[-1]) - degree - 1 - count not in (0, 1):
            return None
    return SplineSurface((degrees[0], degrees[1]), (knots[0], knots[1]), (flat[0], flat[1]), poles)
