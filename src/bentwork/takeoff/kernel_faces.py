"""Faces, edges and volume of a body of the CAD kernel as plain data; with ``kernel`` the only file that knows it."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import ceil, pi

import numpy as np
import OCP.collections as stores
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_CurveType as Curves
from OCP.GeomAbs import GeomAbs_SurfaceType as Surfaces
from OCP.gp import gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from bentwork.space import Vec
from bentwork.takeoff.shape import Edge, Face, FaceKind, Floats, Patch, Shape, crossed

__all__ = ["shape_of"]

MOST_SPANS = 160
"""Knot spans sampled across a face or along an edge; above that neighbours are taken together."""
SAMPLES = 4
"""Samples in a knot span: a circle through three, and one to check it by."""
VOLUME_EPS = 1e-5
"""Relative error asked of the volume of faces without formula; the kernel's own choice is 1-2 % wrong there."""

_FACE, _EDGE = TopAbs_ShapeEnum.TopAbs_FACE, TopAbs_ShapeEnum.TopAbs_EDGE
_Map = stores.IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher


def shape_of(solid: TopoDS_Shape) -> Shape:
    """Return a body as plain faces and edges, where it was drawn."""
    edge_map, face_map = _Map(), _Map()
    TopExp.MapShapes_s(solid, _EDGE, edge_map)
    TopExp.MapShapes_s(solid, _FACE, face_map)
    faces = []
    uses = [0] * (edge_map.Extent() + 1)
    for number in range(1, face_map.Extent() + 1):
        face = TopoDS.Face(face_map.FindKey(number))
        edges = []
        explorer = TopExp_Explorer(face, _EDGE)
        while explorer.More():
            index = edge_map.FindIndex(explorer.Current())
            uses[index] += 1
            edges.append(index - 1)
            explorer.Next()
        faces.append(_face(face, tuple(dict.fromkeys(edges)), number))
    seen = [TopoDS.Edge(edge_map.FindKey(k)) for k in range(1, edge_map.Extent() + 1)]
    closed = all(uses[k + 1] == 2 or BRep_Tool.Degenerated_s(seen[k]) or uses[k + 1] == 0 for k in range(len(seen)))
    free = any(face.kind == "free" for face in faces)

    @cache
    def read_edge(number: int) -> Edge:
        return _edge(seen[number])

    def read_volume() -> float:
        props = GProp_GProps()
        if free:
            BRepGProp.VolumeProperties_s(solid, props, VOLUME_EPS)
        else:
            BRepGProp.VolumeProperties_s(solid, props)
        return float(props.Mass())

    return Shape(tuple(faces), read_edge, len(seen), read_volume, closed)


def _face(face: TopoDS_Face, edges: tuple[int, ...], number: int) -> Face:
    surface = BRepAdaptor_Surface(face, False)
    kind = surface.GetType()
    flipped = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    if kind == Surfaces.GeomAbs_Plane:
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
    if kind == Surfaces.GeomAbs_Cylinder:
        name, found = "cylinder", surface.Cylinder()
        radius = found.Radius()
    elif kind == Surfaces.GeomAbs_Torus:
        name, found = "torus", surface.Torus()
        radius, minor = found.MajorRadius(), found.MinorRadius()
    elif kind == Surfaces.GeomAbs_Cone:
        name, found = "cone", surface.Cone()
        radius, minor = found.RefRadius(), found.SemiAngle()
    elif kind == Surfaces.GeomAbs_Sphere:
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


def _stations(first: float, last: float, knots: list[float], samples: int = SAMPLES) -> tuple[list[float], list[int]]:
    """Return parameters with every knot among them, and the places of the knots."""
    inner = [k for k in knots if first + 1e-9 * (last - first) < k < last - 1e-9 * (last - first)]
    ends = [first, *inner, last]
    if len(ends) - 1 > MOST_SPANS:
        step = ceil((len(ends) - 1) / MOST_SPANS)
        ends = [*ends[:-1:step], last]
    values, places = [ends[0]], [0]
    for a, b in pairwise(ends):
        values += [a + (b - a) * i / samples for i in range(1, samples)] + [b]
        places.append(len(values) - 1)
    return values, places


def _patch(surface: BRepAdaptor_Surface, flipped: bool, bounds: tuple[float, float, float, float]) -> Patch:
    u0, u1, v0, v1 = bounds
    u_knots, v_knots = _knots(surface)
    us, u_places = _stations(u0, u1, u_knots)
    vs, v_places = _stations(v0, v1, v_knots)
    points, normals = _grid(surface, us, vs, flipped)

    def finer(along_u: bool, samples: int) -> tuple[Floats, Floats]:
        if along_u:
            many, few = _stations(u0, u1, u_knots, samples)[0], _few(v0, v1)
            p, n = _grid(surface, many, few, flipped)
            return p.transpose(1, 0, 2), n.transpose(1, 0, 2)
        many, few = _stations(v0, v1, v_knots, samples)[0], _few(u0, u1)
        return _grid(surface, few, many, flipped)

    return Patch(points, normals, tuple(u_places), tuple(v_places), finer)


def _few(first: float, last: float) -> list[float]:
    """Return parameters across a pipe: nine will do."""
    return [first + (last - first) * i / 8.0 for i in range(9)]


def _grid(surface: BRepAdaptor_Surface, us: list[float], vs: list[float], flipped: bool) -> tuple[Floats, Floats]:
    """Return points and unit normals, (n, m, 3) each."""
    point, du, dv = gp_Pnt(), gp_Vec(), gp_Vec()
    rows = []
    for u in us:
        for v in vs:
            surface.D1(u, v, point, du, dv)
            rows.append((*point.Coord(), *du.Coord(), *dv.Coord()))
    table = np.array(rows).reshape(len(us), len(vs), 9)
    normals = crossed(table[:, :, 3:6], table[:, :, 6:9])
    sizes = np.sqrt((normals * normals).sum(axis=2, keepdims=True))
    normals /= np.maximum(sizes, 1e-30)
    return table[:, :, :3].copy(), -normals if flipped else normals


def _knots(surface: BRepAdaptor_Surface) -> tuple[list[float], list[float]]:
    """Return the knots of a surface; where it has none, as many even parts as a smooth one needs."""
    if surface.GetType() == Surfaces.GeomAbs_BSplineSurface:
        spline = surface.BSpline()
        u = [float(spline.UKnot(k)) for k in range(1, spline.NbUKnots() + 1)]
        v = [float(spline.VKnot(k)) for k in range(1, spline.NbVKnots() + 1)]
        return u, v
    u0, u1 = surface.FirstUParameter(), surface.LastUParameter()
    v0, v1 = surface.FirstVParameter(), surface.LastVParameter()
    if max(abs(u0), abs(u1), abs(v0), abs(v1)) > 1e50:
        return [], []
    even = [i / 8.0 for i in range(1, 8)]
    return [u0 + (u1 - u0) * f for f in even], [v0 + (v1 - v0) * f for f in even]


def _edge(edge: TopoDS_Shape) -> Edge:
    if BRep_Tool.Degenerated_s(edge):
        return Edge("free", np.zeros((0, 3)))
    curve = BRepAdaptor_Curve(edge)
    kind = curve.GetType()
    first, last = float(curve.FirstParameter()), float(curve.LastParameter())
    if kind == Curves.GeomAbs_Line:
        return Edge("line", np.array([curve.Value(first).Coord(), curve.Value(last).Coord()]))
    if kind == Curves.GeomAbs_Circle:
        circle = curve.Circle()
        frame = circle.Position()
        centre, radius = frame.Location().Coord(), float(circle.Radius())
        count = max(2, ceil((last - first) / (pi / 8.0)) + 1)
        angles = first + (last - first) / (count - 1) * np.arange(count)
        out = np.empty((count, 2))
        out[:, 0], out[:, 1] = np.cos(angles), np.sin(angles)
        points = radius * out @ np.array((frame.XDirection().Coord(), frame.YDirection().Coord())) + centre
        axis = frame.Direction().Coord()
        return Edge("circle", points, (), centre, axis, radius, last - first)
    values, places = _stations(first, last, _curve_knots(curve, first, last))
    return Edge("free", _values(curve, values), tuple(places))


def _curve_knots(curve: BRepAdaptor_Curve, first: float, last: float) -> list[float]:
    if curve.GetType() == Curves.GeomAbs_BSplineCurve:
        spline = curve.BSpline()
        knots = [float(spline.Knot(k)) for k in range(1, spline.NbKnots() + 1)]
        if len(knots) >= 6:
            return knots
        # A short spline may still wind a good deal: its ends are looked for among the samples.
        return [a + (b - a) * i / 4.0 for a, b in pairwise(knots) for i in range(4)]
    return [first + (last - first) * i / 12.0 for i in range(1, 12)]


def _values(curve: BRepAdaptor_Curve, parameters: list[float]) -> Floats:
    return np.array([curve.Value(u).Coord() for u in parameters])
