"""Faces, edges and volume of a body of the CAD kernel as plain data; ``kernel_edges`` has what edges are."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from functools import cache, partial

import numpy as np
import OCP.collections as stores
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_SurfaceType as Surfaces
from OCP.gp import gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from bentwork.space import Vec
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.face_table import faces_in_tables, faces_of
from bentwork.takeoff.kernel_edges import edges_of
from bentwork.takeoff.kernel_mend import mended
from bentwork.takeoff.kernel_whole import written
from bentwork.takeoff.shape import Face, FaceKind, Floats, Patch, Shape
from bentwork.takeoff.spline_faces import normals_of, patch_of, stations_of
from bentwork.takeoff.volume import volume_of
from bentwork.takeoff.written import Written

__all__ = ["asked", "shape_of"]

FEW_SPANS = 3
"""Knot spans of a face up to which the kernel's coarser integral will do."""
FEW_EPS, MANY_EPS = 1e-3, 1e-5
"""Relative error asked of the volume of each face without formula; the kernel's own choice is 1-2 % wrong there. What
comes out is better than what is asked: 1e-4 and 6e-5 at worst in the models of the tests."""

# Comparing the kernel's own constants takes longer than what they are compared for.
_PLANE, _CYLINDER, _CONE = (int(k) for k in (Surfaces.GeomAbs_Plane, Surfaces.GeomAbs_Cylinder, Surfaces.GeomAbs_Cone))
_SPHERE, _TORUS, _SPLINE = (
    int(k) for k in (Surfaces.GeomAbs_Sphere, Surfaces.GeomAbs_Torus, Surfaces.GeomAbs_BSplineSurface)
)
_FORWARD, _REVERSED = int(TopAbs_Orientation.TopAbs_FORWARD), int(TopAbs_Orientation.TopAbs_REVERSED)
_SIGN = {int(way): 0 for way in (TopAbs_Orientation.TopAbs_INTERNAL, TopAbs_Orientation.TopAbs_EXTERNAL)}
_SIGN |= {_FORWARD: 1, _REVERSED: -1}
_FACE, _EDGE = TopAbs_ShapeEnum.TopAbs_FACE, TopAbs_ShapeEnum.TopAbs_EDGE
_Map = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher


def shape_of(solid: TopoDS_Shape, known: Written | None = None) -> Shape:
    """Return a body as plain faces and edges, where it was drawn.

    Args:
        solid: the body.
        known: its faces and edges, where they have been read.
    """
    found = known or written(solid, splines=True)
    if found is None:
        return asked(solid)
    faces, edges = found.faces, found.edges

    patches = found.patches.values()

    @cache
    def exact() -> float | None:
        return volume_of(faces, edges, found.splines)

    @cache
    def read_volume() -> float:
        volume = exact()
        if volume is None:
            return _integrated(solid if known is None else mended(solid), _eps(patches) if patches else None)
        return volume

    def read_finely() -> float:
        if exact() is not None or _eps(patches) <= MANY_EPS:
            return read_volume()
        return _integrated(solid, MANY_EPS)

    finely = read_finely if patches else None
    return Shape(faces_of(faces, found.patches), lambda: edges, read_volume, found.closed, finely)


def asked(solid: TopoDS_Shape) -> Shape:
    """Return the same by asking the kernel for faces and edges one by one."""
    edge_map, face_map = _Map(), _Map()
    TopExp.MapShapes_s(solid, _EDGE, edge_map)
    TopExp.MapShapes_s(solid, _FACE, face_map)
    faces: list[Face] = []
    rims: list[list[int]] = []
    uses = [0] * (edge_map.Extent() + 1)
    seen: list[TopoDS_Shape | None] = [None] * edge_map.Extent()
    find = edge_map.FindIndex
    for number in range(1, face_map.Extent() + 1):
        face = TopoDS.Face(face_map.FindKey(number))
        surface = BRepAdaptor_Surface(face, False)
        kind = int(surface.GetType())
        rim, numbers = [], []
        explorer = TopExp_Explorer(face, _EDGE)
        while explorer.More():
            edge = explorer.Current()
            index = find(edge)
            if uses[index] == 0:
                seen[index - 1] = edge
            uses[index] += 1
            rim.append(index * _SIGN[int(edge.Orientation())])
            numbers.append(index - 1)
            explorer.Next()
        if len(set(numbers)) < len(numbers):
            numbers = list(dict.fromkeys(numbers))
        rims.append(rim)
        faces.append(_face(face, surface, kind, tuple(numbers), number))
    own = [TopoDS.Edge(edge or edge_map.FindKey(k)) for k, edge in enumerate(seen, 1)]
    closed = all(used == 2 or used == 0 or BRep_Tool.Degenerated_s(own[k]) for k, used in enumerate(uses[1:]))

    @cache
    def read_edges() -> Edges:
        return edges_of(own)

    def read_volume() -> float:
        patches = [face.patch for face in faces if face.patch is not None]
        if patches:
            return _integrated(solid, _eps(patches))
        exact = volume_of(faces_in_tables(faces, rims), read_edges())
        return _integrated(solid, None) if exact is None else exact

    finely = _finely(solid, [face.patch for face in faces if face.patch is not None])
    return Shape(tuple(faces), read_edges, read_volume, closed, finely)


def _finely(solid: TopoDS_Shape, patches: Collection[Patch]) -> Callable[[], float] | None:
    """Return what integrates a solid finely, where it is not done at once."""
    return partial(_integrated, solid, MANY_EPS) if patches and _eps(patches) > MANY_EPS else None


def _eps(patches: Iterable[Patch]) -> float:
    return FEW_EPS if all(patch.spans <= FEW_SPANS for patch in patches) else MANY_EPS


def _integrated(solid: TopoDS_Shape, eps: float | None) -> float:
    props = GProp_GProps()
    if eps is None:
        BRepGProp.VolumeProperties_s(solid, props)
    else:
        BRepGProp.VolumeProperties_s(solid, props, eps)
    return float(props.Mass())


def _face(face: TopoDS_Face, surface: BRepAdaptor_Surface, kind: int, edges: tuple[int, ...], number: int) -> Face:
    flipped = int(face.Orientation()) == _REVERSED
    if kind == _PLANE:
        plane = surface.Plane()
        frame = plane.Position()
        normal: Vec = frame.Direction().Coord()
        # Right-handed: the normal is dU x dV.
        back = flipped == frame.Direct()
        outward = (-normal[0], -normal[1], -normal[2]) if back else normal
        return Face("plane", frame.Location().Coord(), outward, edges=edges, part_of=number)
    name: FaceKind
    radius, minor = 0.0, 0.0
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    if kind == _CYLINDER:
        name, found = "cylinder", surface.Cylinder()
        radius = found.Radius()
    elif kind == _TORUS:
        name, found = "torus", surface.Torus()
        radius, minor = found.MajorRadius(), found.MinorRadius()
    elif kind == _CONE:
        name, found = "cone", surface.Cone()
        radius, minor = found.RefRadius(), found.SemiAngle()
    elif kind == _SPHERE:
        name, found = "sphere", surface.Sphere()
        radius = found.Radius()
    else:
        patch = _patch(surface, flipped, (u0, u1, v0, v1))
        return Face("free", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), patch=patch, edges=edges, part_of=number)
    frame = found.Position()
    return Face(
        name,
        frame.Location().Coord(),
        frame.Direction().Coord(),
        frame.XDirection().Coord(),
        frame.YDirection().Coord(),
        radius,
        minor,
        flipped != frame.Direct(),
        (u0, u1),
        (v0, v1),
        edges=edges,
        part_of=number,
    )


def _patch(surface: BRepAdaptor_Surface, flipped: bool, bounds: tuple[float, float, float, float]) -> Patch:
    knots = _knots(surface, bounds)
    spline = int(surface.GetType()) == _SPLINE
    at = stations_of(bounds, knots, (surface.UDegree(), surface.VDegree()) if spline else (2, 2))

    def look(us: Sequence[float], vs: Sequence[float]) -> tuple[Floats, Floats]:
        return _grid(surface, us, vs, flipped)

    return patch_of(at, look(at.us, at.vs), bounds, knots, look)


def _grid(
    surface: BRepAdaptor_Surface, us: Sequence[float], vs: Sequence[float], flipped: bool
) -> tuple[Floats, Floats]:
    """Return points and unit normals, (n, m, 3) each."""
    point, du, dv = gp_Pnt(), gp_Vec(), gp_Vec()
    rows = []
    for u in us:
        for v in vs:
            surface.D1(u, v, point, du, dv)
            rows.append((*point.Coord(), *du.Coord(), *dv.Coord()))
    table = np.array(rows).reshape(1, len(us), len(vs), 9)
    return table[0, :, :, :3].copy(), normals_of(table[..., 3:6], table[..., 6:], np.array([flipped]))[0]


def _knots(surface: BRepAdaptor_Surface, bounds: tuple[float, float, float, float]) -> tuple[list[float], list[float]]:
    """Return the knots of a surface; where it has none, as many even parts of the face as a smooth one needs."""
    if int(surface.GetType()) == _SPLINE:
        spline = surface.BSpline()
        u = [float(spline.UKnot(k)) for k in range(1, spline.NbUKnots() + 1)]
        v = [float(spline.VKnot(k)) for k in range(1, spline.NbVKnots() + 1)]
        return u, v
    ends = surface.FirstUParameter(), surface.LastUParameter(), surface.FirstVParameter(), surface.LastVParameter()
    if max(map(abs, ends)) > 1e50:
        return [], []
    u0, u1, v0, v1 = bounds
    even = [i / 8.0 for i in range(1, 8)]
    return [u0 + (u1 - u0) * f for f in even], [v0 + (v1 - v0) * f for f in even]
