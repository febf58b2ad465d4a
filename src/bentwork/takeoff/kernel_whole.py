"""A solid in one go: the CAD kernel writes it out in its own binary form, and that is read.

Asked one by one, faces, edges and where they meet cost a thousand calls and more. Only faces whose extent splines alone
tell are still asked for. What has faces that have no formula and are no splines, or parts moved within the solid, is
left to be asked one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from struct import Struct

import numpy as np
import OCP.collections as stores
from numpy.typing import NDArray
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.takeoff.edge_samples import elliptic, spline_edges
from bentwork.takeoff.edges import Edge, Edges, sampled_arcs
from bentwork.takeoff.face_table import FREE, Ints
from bentwork.takeoff.kernel_edges import spline_edge
from bentwork.takeoff.kernel_form import Record, Records, line_of, records_of, splines_of, surface_of
from bentwork.takeoff.kernel_surfaces import Sides, faces_on
from bentwork.takeoff.spline_faces import patches_of
from bentwork.takeoff.spline_fluxes import SplineFaces
from bentwork.takeoff.written import Written, is_closed

__all__ = ["written"]

_PART_OF = Struct("<?ii")
_PART = np.dtype([("back", "?"), ("number", "<i4"), ("moved", "<i4")])
_NUMBER = Struct("<i")
_Map = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher


def written(solid: TopoDS_Shape, *, splines: bool = False) -> Written | None:
    """Return a solid whose faces are nothing but planes, cylinders, cones, spheres and tori.

    Args:
        solid: to be read.
        splines: some of them may be splines.

    Returns:
        None when there is anything else in it: it must be asked face by face.
    """
    records = records_of(solid, splines=splines)
    sides = _sides(records) if records else None
    if records is None or sides is None:
        return None
    edges = _edges(solid, sides.edges, records.curves)
    if edges is None:
        return None
    found = faces_on(solid, records, sides, edges)
    if found is None:
        return None
    faces, told = found
    free = (faces.kinds == FREE).nonzero()[0]
    asked = [surface_of(records.surfaces[number - 1]) for number in sides.surfaces[free].tolist()]
    surfaces = [surface for surface in asked if surface is not None]
    if len(surfaces) < len(asked):
        return None
    smooth = SplineFaces(surfaces, faces.rows[free, 14:18], sides.flipped[free])
    patches = patches_of(surfaces, smooth.bounds, smooth.flipped)
    return Written(
        faces,
        edges,
        is_closed(sides.rims, edges),
        told,
        dict(zip(free.tolist(), patches, strict=True)),
        smooth if surfaces else None,
    )


def _sides(records: Records) -> Sides | None:
    faces: dict[int, bool] = {}
    if not _into(faces, records, records.shapes[-records.root][8], records.turned):
        return None
    own = [records.shapes[-ref] for ref in faces]
    if not own:
        return None
    wires, of_face = _parts([record[6] for record in own])
    rows = [records.shapes[-ref][4] for ref in wires["number"].tolist()]
    if not all(rows):
        return None
    edges, of_wire = _parts(rows)
    flipped = np.array(list(faces.values()))
    against = (flipped[of_face] != wires["back"])[of_wire] != edges["back"]
    surfaces = np.frombuffer(b"".join([record[5] for record in own]), "<i4").astype(np.intp)
    starts = np.zeros(len(own) + 1, dtype=np.intp)
    np.add.accumulate(np.bincount(of_face[of_wire], minlength=len(own)), out=starts[1:])
    refs = edges["number"].astype(np.intp)
    # Where each is come to first: of what is written to one place the last one stays.
    places = np.arange(len(refs))
    numbers = np.empty(len(records.shapes) + 1, dtype=np.intp)
    numbers[refs[::-1]] = places[::-1]
    order = refs[numbers.take(refs) == places]
    numbers[order] = places[: len(order)]
    return Sides(surfaces, flipped, numbers[refs], against, starts, [records.shapes[-ref] for ref in order.tolist()])


def _into(faces: dict[int, bool], records: Records, parts: bytes, turned: bool) -> bool:
    """Put the faces among the parts of a shape, in order, to those known; tell whether there was nothing else in it."""
    for way, ref, _ in _PART_OF.iter_unpack(parts):
        record = records.shapes[-ref]
        if record[5]:
            faces.setdefault(ref, turned != way)
        elif not record[7] or not _into(faces, records, record[8], turned != way):
            return False
    return True


def _parts(rows: Sequence[bytes]) -> tuple[NDArray[np.void], Ints]:
    """Return the parts of several shapes, and which shape each is of."""
    table = np.frombuffer(b"".join(rows), _PART)
    return table, np.arange(len(rows)).repeat(np.array(list(map(len, rows))) // _PART.itemsize)


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
        line = line or line_of(spline)
        if spline and not line:
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
    straight, bent = (np.array(some, dtype=np.intp) for some in numbers[:2])
    return Edges(len(own), straight, ends, bent, arcs, *sampled_arcs(arcs), others)


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

    ends = np.frombuffer(b"".join([use for _, use in own])).reshape(-1, 2)
    told, splines = splines_of([curve for curve, _ in own], ends.tolist())
    found = dict(zip((numbers[k] for k in told), spline_edges(splines, ends[told]), strict=True))
    return {number: found.get(number) or spline_edge(TopoDS.Edge(known()(number))) for number in numbers}
