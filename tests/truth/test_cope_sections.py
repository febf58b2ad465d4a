"""Copes against the CAD kernel: its own section of two solids (OpenCASCADE, BRepAlgoAPI_Section), and its own cut.

The kernel intersects the surfaces numerically and knows nothing of our formulas. Pairs of sections, angles, offsets and
turns are drawn by chance, from a fixed seed; a few plain ones stand beside them.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Section
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from bentwork.parts.cope import Cope, round_cope
from bentwork.parts.outline import Outline, bore_of, outline_of
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube

Triple = tuple[float, float, float]

_SECTIONS: tuple[Section, ...] = (
    Round(12.0), Tube(25.0, 2.0), Tube(16.0, 1.5), Square(16.0, 16.0), SquareTube(30.0, 20.0, 2.0, 4.0),
    SquareTube(25.0, 25.0, 2.0, 3.0), SquareTube(20.0, 20.0, 1.5), Flat(30.0, 5.0), Flat(20.0, 3.0),
)  # fmt: skip
_ON_AXIS = (0.0, 45.0, 90.0)


def _drawn_by_chance(count: int) -> list[Cope]:
    chance = np.random.default_rng(20311)
    found: list[Cope] = []
    while len(found) < count:
        bar, onto = (_SECTIONS[k] for k in chance.integers(len(_SECTIONS), size=2))
        turns = [float(chance.choice(_ON_AXIS)) if chance.random() < 0.6 else chance.uniform(0, 180) for _ in "ab"]
        angle = float(chance.choice([90.0, chance.uniform(4.0, 15.0), chance.uniform(15.0, 89.0)], p=[0.2, 0.2, 0.6]))
        plain = Cope(outline_of(bar), bore_of(bar), outline_of(onto), angle, 0.0, *turns)
        most = plain.half_beside + plain.crown.edge
        offset = 0.0 if chance.random() < 0.3 else float(chance.uniform(-0.9, 0.9)) * most
        found.append(Cope(outline_of(bar), bore_of(bar), outline_of(onto), angle, offset, *turns))
    return found


# equal and unequal diameters, square and slanting, on and beside the middle line, tube and solid, wider than the other
_ROUND = [
    round_cope(25.0, 21.0, 25.0, 90.0),
    round_cope(25.0, 21.0, 25.0, 45.0),
    round_cope(20.0, 17.0, 30.0, 60.0, 3.0),
    round_cope(16.0, 12.0, 33.7, 37.5, -6.5),
    round_cope(12.0, 0.0, 12.0, 90.0),
    round_cope(22.0, 18.0, 20.0, 70.0),
    round_cope(20.0, 16.0, 25.0, 6.0, 4.0),
]
CASES = [*_ROUND, *_drawn_by_chance(60)]


def _named(one: Cope) -> str:
    sizes = [f"{o.wide * 2:g}x{o.high * 2:g}r{o.corner:g}" for o in (one.bar, one.onto)]
    return f"{sizes[0]}-on-{sizes[1]}-{one.angle:.1f}-{one.offset:.1f}-{one.bar_turn:.0f}-{one.onto_turn:.0f}"


def _out(cope: Cope) -> Triple:
    theta = math.radians(cope.angle)
    return (math.cos(theta), 0.0, math.sin(theta))


def _prism(outline: Outline, turn: float, axes: tuple[Triple, Triple], start: Triple, along: Triple) -> TopoDS_Shape:
    """The solid of an outline, its width turned from the first axis to the second, from a place a way along."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def put(x: float, y: float) -> gp_Pnt:
        a, b = x * c - y * s, x * s + y * c
        return gp_Pnt(*(start[k] + a * axes[0][k] + b * axes[1][k] for k in range(3)))

    w, h, r = outline.wide, outline.high, outline.corner
    wire = BRepBuilderAPI_MakeWire()
    if outline.is_round:
        wire.Add(BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(put(0.0, 0.0), gp_Dir(*along)), r)).Edge())
    else:
        d = r * math.sqrt(0.5)
        for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
            mid = (x * (w - r), y * (h - r))
            one, other = (mid[0] + x * r, mid[1]), (mid[0], mid[1] + y * r)
            if x * y < 0:
                one, other = other, one
            if r > 0.0:
                arc = GC_MakeArcOfCircle(put(*one), put(mid[0] + x * d, mid[1] + y * d), put(*other)).Value()
                wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
            nx, ny = -y, x  # the next corner, anticlockwise
            after = (nx * (w - r) + (nx * r if nx * ny > 0 else 0), ny * (h - r) + (ny * r if nx * ny < 0 else 0))
            wire.Add(BRepBuilderAPI_MakeEdge(put(*other), put(*after)).Edge())
    face = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    return BRepPrimAPI_MakePrism(face, gp_Vec(*along)).Shape()


def _bars(cope: Cope, outline: Outline, low: float, high: float) -> tuple[TopoDS_Shape, TopoDS_Shape]:
    """The bar that is sat on, and the coped one with this outline between two lengths."""
    out = _out(cope)
    far = 2.0 * max(abs(low), abs(high)) + 100.0
    onto = _prism(cope.onto, cope.onto_turn, ((0, 1, 0), (0, 0, 1)), (-far, 0.0, 0.0), (2.0 * far, 0.0, 0.0))
    start = (low * out[0], cope.offset, low * out[2])
    along = (out[0] * (high - low), 0.0, out[2] * (high - low))
    return onto, _prism(outline, cope.bar_turn, ((-out[2], 0.0, out[0]), (0.0, 1.0, 0.0)), start, along)


def _span(cope: Cope) -> tuple[float, float]:
    return cope.longest - 10.0, cope.throat + 10.0


def _section(cope: Cope, outline: Outline) -> list[tuple[float, float, float]]:
    """(u, v, length) of points of the kernel's own section on the upper side of the bar that is sat on."""
    low, high = _span(cope)
    onto, bar = _bars(cope, outline, low, high)
    edges = TopExp_Explorer(BRepAlgoAPI_Section(onto, bar).Shape(), TopAbs_EDGE)
    found, out = [], _out(cope)
    while edges.More():
        edge = TopoDS.Edge(edges.Current())
        if not BRep_Tool.Degenerated_s(edge):
            curve = BRepAdaptor_Curve(edge)
            first, last = curve.FirstParameter(), curve.LastParameter()
            for k in range(61):
                point = curve.Value(first + (last - first) * k / 60.0)
                x, y, z = point.X(), point.Y(), point.Z()
                length = x * out[0] + z * out[2]
                if low + 1e-6 < length < high - 1e-6 and _above(cope, y, z):
                    found.append((-x * out[2] + z * out[0], y - cope.offset, length))
        edges.Next()
    return found


def _above(cope: Cope, y: float, z: float) -> bool:
    """On the upper side, and not on the very edge, where a side of the bar may stand upright."""
    top, bottom = cope.crown.at(y), cope.crown.at(-y)
    return abs(y) < cope.crown.edge - 1e-3 and top is not None and bottom is not None and z > (top - bottom) / 2.0


@pytest.mark.parametrize("cope", CASES, ids=_named)
def test_outer_edge_lies_on_the_kernels_section(cope: Cope) -> None:
    points = _section(cope, cope.bar)
    found = []
    for u, v, length in points:
        place = cope.place_at(math.degrees(math.atan2(v, u)))
        assert math.dist(cope.spot(place), (u, v)) < 1e-3  # the place found again is the point on the outline
        found.append((place, length, cope.outer(place)))
    # The kernel's curve is approximated to about a micrometre; where the surfaces run level, that is a slope of many.
    flat = max(1.0, 1.0 / math.tan(math.radians(cope.angle)))
    assert max(abs(length - ours) for _, length, ours in found) < 0.02 * flat
    # A bar that reaches beyond the other's edge runs level with it along much of the curve.
    near = 1e-3 if cope.wider else 1e-4
    assert sum(abs(length - ours) < near * flat for _, length, ours in found) > 0.9 * len(found)
    # Nothing of the curve is left unlooked at: wherever it sits on the other bar there is a point of the section near.
    for k in range(48):
        place = cope.around * k / 48.0
        across = cope.offset + cope.spot(place)[1]
        if abs(across) < cope.crown.edge - 0.5:
            beside = min(
                abs((place - other + cope.around / 2.0) % cope.around - cope.around / 2.0) for other, _, _ in found
            )
            assert beside < cope.around / 20.0


@pytest.mark.parametrize("cope", [one for one in CASES if not one.solid], ids=_named)
def test_inner_edge_lies_on_the_kernels_section(cope: Cope) -> None:
    assert cope.bore is not None
    points = _section(cope, cope.bore)
    flat = max(1.0, 1.0 / math.tan(math.radians(cope.angle)))
    assert points or cope.wider
    assert max((abs(cope.reach((u, v)) - length) for u, v, length in points), default=0.0) < 0.02 * flat
    for k in range(0, 360, 15):  # the inside of the wall at a place is on the bore, and no nearer than the wall
        u, v = cope.inner_spot(cope.around * k / 360.0)
        c, s = math.cos(math.radians(-cope.bar_turn)), math.sin(math.radians(-cope.bar_turn))
        own = (u * c - v * s, u * s + v * c)
        assert math.dist(cope.bore.point(cope.bore.towards(math.degrees(math.atan2(own[1], own[0])))), own) < 1e-6


def _volume(shape: TopoDS_Shape) -> float:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def _upper(shape: TopoDS_Shape, cope: Cope) -> TopoDS_Shape:
    """Of what a cut leaves, the part that is farthest out."""
    solids, found = TopExp_Explorer(shape, TopAbs_SOLID), []
    while solids.More():
        properties = GProp_GProps()
        BRepGProp.VolumeProperties_s(solids.Current(), properties)
        middle, out = properties.CentreOfMass(), _out(cope)
        found.append((middle.X() * out[0] + middle.Z() * out[2], solids.Current()))
        solids.Next()
    return max(found, key=lambda one: one[0])[1]


@pytest.mark.parametrize("cope", [one for one in CASES if not one.wider], ids=_named)
def test_the_metal_that_is_left_is_that_of_the_kernels_cut(cope: Cope) -> None:
    """A solid bar cut by the kernel: its volume, where it begins, where it is whole."""
    low, high = _span(cope)
    below = low - 2.0 * (cope.onto.wide + cope.onto.high + cope.bar.wide) / math.sin(math.radians(cope.angle))
    onto, bar = _bars(cope, cope.bar, below, high)
    left = _upper(BRepAlgoAPI_Cut(bar, onto).Shape(), cope)

    # the same by adding up lines of the bar, middle by middle of small squares
    step = min(cope.bar.wide, cope.bar.high) / 60.0
    across = np.arange(-cope.bar.wide + step / 2.0, cope.bar.wide, step)
    upright = np.arange(-cope.bar.high + step / 2.0, cope.bar.high, step)
    c, s = math.cos(math.radians(cope.bar_turn)), math.sin(math.radians(cope.bar_turn))
    spots = [(x, y) for x in across for y in upright if _inside(cope.bar, x, y)]
    ours = np.mean([high - cope.reach((x * c - y * s, x * s + y * c)) for x, y in spots])
    full = _volume(_bars(cope, cope.bar, 0.0, 1.0)[1])
    assert _volume(left) / full == pytest.approx(ours, rel=5e-3, abs=0.02)

    def metal(first: float, last: float) -> float:
        slab = _bars(cope, Outline(100.0, 100.0), first, last)[1]
        return _volume(BRepAlgoAPI_Common(left, slab).Shape())

    assert metal(cope.longest - 1.0, cope.longest - 0.01) < 1e-6
    assert metal(cope.longest, cope.longest + 0.5) > 1e-4
    assert metal(cope.throat, cope.throat + 1.0) == pytest.approx(full, rel=1e-6)
    if cope.depth > 1.0:
        assert metal(cope.throat - 0.5, cope.throat) < 0.5 * full - 1e-4


def _inside(outline: Outline, x: float, y: float) -> bool:
    a, b = outline.core
    return math.hypot(max(0.0, abs(x) - a), max(0.0, abs(y) - b)) <= outline.corner
