"""One bent bar at random with what is no bar in the same solid: plates that it stands on, tabs on its straights."""

from __future__ import annotations

import math
import random

from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME, Vec, along, cross, rotate, scale
from bentwork.stock.section import Round, Tube
from tests.takeoff_models import solids as make
from tests.takeoff_models.bent_frames import RAILS, anywhere, bar, sizes
from tests.takeoff_models.fused import prism
from tests.takeoff_models.truth import Truth

FREE, COVERED = ("square", 0.0), ("joined", 0.0)
SUNK = 1.0
"""A tab begins this far under the crown of round bar, mm."""


def block(middle: Vec, ways: tuple[Vec, Vec, Vec], size: Vec) -> TopoDS_Shape:
    """A block from the middle of its lower face: its three directions, and how far it goes in the third."""
    a, b = scale(ways[0], size[0] / 2.0), scale(ways[1], size[1] / 2.0)
    corners = [along(along(middle, a, s), b, t) for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    return prism(corners, scale(ways[2], size[2]))


def bar_with_more(chance: random.Random) -> tuple[TopoDS_Shape, tuple[Truth, ...]]:
    """A bar of one to three bends with a plate at one end or both, square to it or leaning, drilled or not, and tabs.

    Where the plate leans the bar is as long as its metal goes.
    """
    rail = chance.choice((*RAILS, Tube(25.0, 2.0), Tube(20.0, 1.5)))
    is_round = isinstance(rail, Round | Tube)
    wide, thin = sizes(rail)
    way = chance.choice(("easy", "hard")) if wide != thin else None
    deep, tall = (wide, thin) if way == "hard" else (thin, wide)
    count = chance.randint(1, 3)
    turn = 170.0 / count
    bends = tuple(
        Bend(
            deep * chance.uniform(1.5, 3.0),
            chance.uniform(20.0, turn),
            0.0 if k == 0 else chance.uniform(-90.0, 90.0) if is_round else chance.choice((0.0, 180.0)),
        )
        for k in range(count)
    )
    table = BendTable(tuple(chance.uniform(140.0, 300.0) for _ in range(count + 1)), bends)
    line = Centreline(table, anywhere(chance) if chance.random() < 0.5 else HOME)
    body = bar(line, rail, way or "easy")
    plates, ends = [], [FREE, FREE]
    metal = rail.area * table.length
    feet = chance.choice(((), (0,), (1,), (0, 1)))
    for side in feet:
        pose = line.end if side else line.start
        ahead = pose.tangent if side else scale(pose.tangent, -1.0)
        lean = chance.choice((0.0, chance.uniform(5.0, 40.0)))
        up, aside = (rotate(way_there, pose.axis, lean) for way_there in (ahead, cross(pose.axis, ahead)))
        middle = along(pose.origin, ahead, -math.tan(math.radians(lean)) * deep / 2.0)
        if lean:
            body = make.without(body, make.block_beyond(middle, up, 4.0 * wide))
        long, broad = (wide * chance.uniform(1.5, 4.0) / math.cos(math.radians(lean)) for _ in range(2))
        thick = min(chance.uniform(3.0, 10.0), 0.35 * metal / (long * broad))
        plate = block(middle, (aside, pose.axis, up), (long, broad, thick))
        if chance.random() < 0.5 and min(long, broad) / 2.0 > wide / 2.0 + 10.0:
            hole = along(along(middle, aside, long / 2.0 - 4.0), pose.axis, broad / 2.0 - 4.0)
            plate = make.without(plate, make.cylinder(along(hole, up, -60.0), up, 2.0, 120.0))
        plates.append(plate)
        ends[side] = COVERED
    for _ in range(chance.randint(0 if feet else 1, 2)):
        k = chance.randrange(count + 1)
        run = [run for run in line.runs if not run.bend][k]
        pose = run.pose(chance.uniform(40.0, run.length - 40.0))
        out = chance.choice((1.0, -1.0))
        tab = (chance.uniform(10.0, 60.0), chance.uniform(3.0, 10.0), chance.uniform(15.0, 40.0))
        on = along(pose.origin, pose.axis, out * (tall / 2.0 - (SUNK if is_round else 0.0)))
        plates.append(block(on, (pose.tangent, cross(pose.axis, pose.tangent), scale(pose.axis, out)), tab))
    return make.fused([body, *plates]), (Truth(line, rail, way, (ends[0], ends[1])),)
