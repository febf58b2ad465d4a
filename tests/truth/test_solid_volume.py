"""Length against the volume of the solid, computed by an independent geometry kernel: volume / area = length (Pappus).

The solid is put together from the kernel's own cylinders and tori. Their faces are analytic, so the volume is the
kernel's integral over them and owes nothing to our formulas.
"""

from __future__ import annotations

import itertools
import math

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.shapes import SHAPES
from bentwork.space import Vec, along, distance

DIAMETER = 12.0


def _volume(shape: TopoDS_Shape) -> float:
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, 1e-12)
    return float(props.Mass())


def _solid_volume(points: tuple[Vec, ...], radius: float, line: Centreline) -> float:
    """Volume of cylinders along the sides and torus pieces round the corners, from the points alone."""
    total = 0.0
    r = DIAMETER / 2
    setbacks = [0.0]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        a = [(c - b) / distance(before, corner) for b, c in zip(before, corner, strict=True)]
        b = [(c - d) / distance(corner, after) for d, c in zip(corner, after, strict=True)]
        turn = math.acos(max(-1.0, min(1.0, sum(x * y for x, y in zip(a, b, strict=True)))))
        setbacks.append(radius * math.tan(turn / 2))
        origin = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
        total += _volume(BRepPrimAPI_MakeTorus(origin, radius, r, turn).Shape())
    setbacks.append(0.0)
    for k, (start, end) in enumerate(itertools.pairwise(points)):
        direction = tuple((e - s) / distance(start, end) for s, e in zip(start, end, strict=True))
        at = along(start, (direction[0], direction[1], direction[2]), setbacks[k])
        height = distance(start, end) - setbacks[k] - setbacks[k + 1]
        axis = gp_Ax2(gp_Pnt(*at), gp_Dir(*direction))
        total += _volume(BRepPrimAPI_MakeCylinder(axis, r, height).Shape())
    return total


PATHS: list[tuple[tuple[Vec, ...], float]] = [
    (((0, 0, 0), (200, 0, 0), (200, 150, 0), (200, 150, 100)), 40.0),
    (((0, 0, 0), (200, 0, 0), (200, 150, 0), (300, 150, 100), (300, 250, 100)), 40.0),
    (((0, 0, 0), (300, 20, -5), (350, 220, 60), (100, 300, 200), (90, 20, 300), (-200, 10, 310)), 36.0),
    (SHAPES["arched-rail"].build({"length": 600, "rise": 70, "foot": 80, "bends": 3}, 12)[0].points, 30.0),
]


@pytest.mark.parametrize(("points", "radius"), PATHS)
def test_volume_over_area_is_the_length(points: tuple[Vec, ...], radius: float) -> None:
    line = Corners(points, (radius,) * (len(points) - 2)).centreline()
    area = math.pi * DIAMETER**2 / 4
    assert _solid_volume(points, radius, line) / area == pytest.approx(line.table.length, rel=1e-9)
