"""Outlines of bar whose corners are not alike, or whose narrow edges are round, and bars made of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross
from bentwork.stock.section import Flat, Section, Square, SquareTube
from tests.takeoff_models import solids
from tests.takeoff_models.truth import Truth

Point: TypeAlias = tuple[float, float]
Oblong: TypeAlias = Flat | Square | SquareTube
Corner: TypeAlias = tuple[str, float]
"""Broken (chamfered) or rounded, and by how much, mm."""

SHARP: Corner = ("broken", 0.0)
QUARTER = math.sqrt(0.5)


def outline(width: float, height: float, corners: Sequence[Corner]) -> list[tuple[Point, ...]]:
    """Sides and corners of a rectangle one after the other, two points for a line and three for an arc.

    Corners are those at right above, left above, left below, right below; arcs that end where the next one begins and
    lie on one circle with it are one.
    """
    found: list[tuple[Point, ...]] = []
    last: Point | None = None
    for (sx, sy), (kind, size) in zip(((1, 1), (-1, 1), (-1, -1), (1, -1)), corners, strict=True):
        x, y = sx * width / 2.0, sy * height / 2.0
        beside, below = (x - sx * size, y), (x, y - sy * size)
        first, second = (below, beside) if sx * sy > 0 else (beside, below)
        if last is not None:
            found.append((last, first))
        if size:
            back = size * (1.0 - QUARTER)
            middle = (x - sx * back, y - sy * back)
            found.append((first, middle, second) if kind == "rounded" else (first, second))
        last = second
    assert last is not None
    found.append((last, found[0][0]))
    return _whole([step for step in found if math.dist(step[0], step[-1]) > 1e-9])


def _whole(steps: list[tuple[Point, ...]]) -> list[tuple[Point, ...]]:
    """Make one arc of two quarters that make a half round."""
    turn = next(k for k, step in enumerate(steps) if len(step) == 2)
    found: list[tuple[Point, ...]] = []
    for step in steps[turn:] + steps[:turn]:
        if len(step) == 3 and found and len(found[-1]) == 3:
            found[-1] = (found[-1][0], step[0], step[2])
        else:
            found.append(step)
    return found


def face_of(
    pose: Pose, x: Vec, y: Vec, steps: Sequence[tuple[Point, ...]], hole: Sequence[tuple[Point, ...]] = ()
) -> TopoDS_Face:
    """Face of an outline at a pose, less a hole."""
    made = BRepBuilderAPI_MakeFace(_wire(pose, x, y, steps), True)
    if hole:
        made.Add(TopoDS.Wire(_wire(pose, x, y, hole).Reversed()))
    return made.Face()


def _wire(pose: Pose, x: Vec, y: Vec, steps: Sequence[tuple[Point, ...]]) -> TopoDS_Wire:
    made = BRepBuilderAPI_MakeWire()
    for step in steps:
        at = [gp_Pnt(*along(along(pose.origin, x, a), y, b)) for a, b in step]
        made.Add(BRepBuilderAPI_MakeEdge(*at if len(at) == 2 else (GC_MakeArcOfCircle(*at).Value(),)).Edge())
    return made.Wire()


class Cornered:
    """A profile for ``solids.built``: a section with its four corners as told; the hole of a tube stays sharp."""

    def __init__(self, *corners: Corner) -> None:
        self.corners = corners if len(corners) == 4 else corners * 4

    def __call__(self, section: Section, pose: Pose, thick: Vec) -> TopoDS_Face:
        assert isinstance(section, Oblong)
        hole: Sequence[tuple[Point, ...]] = ()
        if isinstance(section, SquareTube):
            hole = outline(section.width - 2.0 * section.wall, section.height - 2.0 * section.wall, (SHARP,) * 4)
        steps = outline(section.width, section.height, self.corners)
        return face_of(pose, cross(pose.tangent, thick), thick, steps, hole)


def rounded_by(size: float) -> Corner:
    """A corner with a fillet."""
    return ("rounded", size)


def broken_by(size: float) -> Corner:
    """A corner with a chamfer of 45 degrees."""
    return ("broken", size)


STRAIGHT = BendTable((340.0,))
HOOK = BendTable((120.0, 90.0), (Bend(45.0, 100.0),))
STEPPED = BendTable((90.0, 60.0, 90.0), (Bend(40.0, 45.0), Bend(40.0, 45.0, 180.0)))
LEFT = BendTable((100.0, 70.0, 80.0), (Bend(40.0, 120.0), Bend(35.0, 150.0, 90.0)))
RIGHT = BendTable((100.0, 70.0, 80.0), (Bend(40.0, 120.0), Bend(35.0, 150.0, -90.0)))
TABLES = {"straight": STRAIGHT, "hook": HOOK, "stepped": STEPPED, "left": LEFT, "right": RIGHT}
FLAT, OBLONG, BAR = Flat(30.0, 6.0), SquareTube(40.0, 20.0, 3.0), Square(12.0, 12.0)
R, C = rounded_by, broken_by
OUTLINES: dict[str, tuple[Oblong, Cornered]] = {
    "round edges": (FLAT, Cornered(R(3.0))),
    "one round edge": (FLAT, Cornered(R(3.0), SHARP, SHARP, R(3.0))),
    "rounded all": (FLAT, Cornered(R(2.0))),
    "one side rounded": (FLAT, Cornered(R(2.5), R(2.5), SHARP, SHARP)),
    "one side broken": (FLAT, Cornered(C(1.2), C(1.2), SHARP, SHARP)),
    "one edge broken": (FLAT, Cornered(C(1.5), SHARP, SHARP, C(1.5))),
    "opposite ones rounded": (FLAT, Cornered(R(2.0), SHARP, R(2.0), SHARP)),
    "unlike rounds": (FLAT, Cornered(R(2.0), R(1.0), SHARP, R(3.0))),
    "square, one broken": (BAR, Cornered(C(2.4), SHARP, SHARP, SHARP)),
    "square, three broken": (BAR, Cornered(SHARP, C(1.5), C(1.5), C(1.5))),
    "square, one rounded": (BAR, Cornered(SHARP, R(5.0), SHARP, SHARP)),
    "square, three rounded": (BAR, Cornered(R(2.0), R(2.0), SHARP, R(2.0))),
    "square tube, one rounded": (SquareTube(30.0, 30.0, 3.0), Cornered(R(3.0), SHARP, SHARP, SHARP)),
    "square tube, two broken": (SquareTube(30.0, 30.0, 3.0), Cornered(SHARP, C(1.5), C(1.5), SHARP)),
    "oblong tube, two rounded": (OBLONG, Cornered(R(3.0), R(3.0), SHARP, SHARP)),
    "oblong tube, one broken": (OBLONG, Cornered(SHARP, SHARP, C(2.0), SHARP)),
}
"""Sections with what was done to their corners."""


def cornered_cases(start: Pose) -> Iterator[tuple[str, TopoDS_Shape, Truth]]:
    """Every outline straight and bent, the easy and the hard way, with the faces merged and not."""
    for name, (section, corners) in OUTLINES.items():
        for shape, table in TABLES.items():
            line = Centreline(table, start)
            for way in ("easy", "hard") if table.bends else ("easy",):
                bent = None if section.width == section.height or not table.bends else way
                bent = "both" if bent and shape in ("left", "right") else bent
                merged = shape in ("stepped", "right")
                made = solids.built(line, section, way, profile=corners, merged=merged)
                yield f"{name}, {shape}, {way}", made, Truth(line, section, bent)


FOLDED = {
    "fold": ((110.0, 60.0), ((90.0, 0.0),)),
    "sharp fold": ((110.0, 60.0), ((150.0, 0.0),)),
    "channel": ((50.0, 80.0, 70.0), ((90.0, 0.0), (90.0, 0.0))),
    "step": ((50.0, 80.0, 70.0), ((90.0, 0.0), (60.0, 180.0))),
}
"""Straights of strips that are folded, and angles and rotations of their bends."""


def folded_cases(start: Pose) -> Iterator[tuple[str, TopoDS_Shape, Truth]]:
    """Bends without an inside radius, alone and beside one that has one."""
    for section in (Flat(30.0, 3.0), Flat(25.0, 6.0), BAR):
        sharp = section.height / 2.0
        tables = {
            name: BendTable(straights, tuple(Bend(sharp, *bend) for bend in bends))
            for name, (straights, bends) in FOLDED.items()
        }
        tables["fold and bend"] = BendTable((80.0, 60.0, 90.0), (Bend(sharp, 90.0), Bend(25.0, 70.0, 180.0)))
        for name, table in tables.items():
            for merged in (False, True):
                line = Centreline(table, start)
                way = None if section.width == section.height else "easy"
                what = f"{section.width:g} x {section.height:g} {name}{' merged' if merged else ''}"
                yield what, solids.built(line, section, merged=merged), Truth(line, section, way)
