"""One step with an independent distance library (python-fcl), at instants: bar and bender as its own shapes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import fcl
import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend_table import BendTable
from bentwork.planning.order_problem import OrderProblem
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting
from tests.twins.clearance_twin import bar, pushed

__all__ = ["Scene", "measured", "smallest_gap"]

CHORD = 4.0  # mm of arc for one capsule: its middle lies 0.04 mm inside an arc of radius 30
Vector = NDArray[np.float64]


def _between(a: Vector, b: Vector) -> fcl.Transform:
    """Where a shape that lies along z, its middle at the origin, has to go to lie from a to b."""
    along = (b - a) / np.linalg.norm(b - a)
    aside = np.cross(along, [1.0, 0.0, 0.0] if abs(along[0]) < 0.9 else [0.0, 1.0, 0.0])
    aside /= np.linalg.norm(aside)
    return fcl.Transform(np.column_stack([aside, np.cross(along, aside), along]), (a + b) / 2)


def _box(x: Sequence[float], y: Sequence[float], z: Sequence[float]) -> fcl.CollisionObject:
    sizes, middle = zip(*((b - a, (a + b) / 2) for a, b in (x, y, z)), strict=True)
    return fcl.CollisionObject(fcl.Box(*sizes), fcl.Transform(np.array(middle)))


class Scene:
    """Everything that stands still in the frame of the die's axis, or in the room's: (name, moves with, object)."""

    def __init__(self, bender: Bender, mounting: Mounting, depth: float) -> None:
        side = 1.0 if bender.hand == "left" else -1.0
        skin = bender.radius + depth / 2
        self.bender, self.depth = bender, depth
        self.things: list[tuple[str, str, fcl.CollisionObject]] = []
        add = self.things.append
        if bender.die:
            cylinder = fcl.Cylinder(bender.radius - depth / 2 + bender.die.groove_depth, bender.die.thickness)
            add(("die", "die", fcl.CollisionObject(cylinder, fcl.Transform())))
        if bender.hook and bender.kind in ("wrap", "draw"):
            h = bender.hook
            y = sorted((-side * skin, -side * (skin + h.width)))
            add(
                ("hook", "die", _box((-h.starts_behind - h.length, -h.starts_behind), y, (-h.height / 2, h.height / 2)))
            )
        if bender.follower:
            f = bender.follower
            for sign in (1.0, -1.0) if bender.kind in ("ram", "vee") else (1.0,):
                if f.kind == "roller":
                    at = np.array([sign * f.ahead, -side * (skin + (f.radius or 0.0)), 0.0])
                    add(("follower", "arm", fcl.CollisionObject(fcl.Cylinder(f.radius, f.height), fcl.Transform(at))))
                else:
                    x = (sign * f.ahead - (f.length or 0.0) / 2, sign * f.ahead + (f.length or 0.0) / 2)
                    y = sorted((-side * skin, -side * (skin + (f.width or 0.0))))
                    add(("follower", "arm", _box(x, y, (-f.height / 2, f.height / 2))))
        if bender.plate:
            p = bender.plate
            add(("plate", "room", _box(p.x, p.y, (-p.gap_below_bar - p.thickness, -p.gap_below_bar))))
        if mounting.vise:
            v = mounting.vise
            add(("vise", "room", _box(v.x, v.y, (v.bottom, v.top))))
        if mounting.bench:
            b = mounting.bench
            add(("bench", "room", _box(b.x, b.y, (b.top - b.thickness, b.top))))
        for body in mounting.bodies:
            if body.x and body.y and body.z:
                add((body.name, "room", _box(body.x, body.y, body.z)))
            elif body.start and body.end and body.radius:
                a, b_ = np.array(body.start), np.array(body.end)
                kind = fcl.Cylinder if body.shape == "cylinder" else fcl.Capsule
                length = float(np.linalg.norm(b_ - a))
                add((body.name, "room", fcl.CollisionObject(kind(body.radius, length), _between(a, b_))))

    def pairs(
        self, table: BendTable, trim: float, bend: int, held: str, made: set[int], angle: float, pull: float
    ) -> Iterator[tuple[str, fcl.CollisionObject, fcl.CollisionObject]]:
        """What has to be measured at one instant on the way up: name of a thing, a stretch of the bar, the thing."""
        points, turning = bar(table, trim, self.bender, bend, held, made, angle, pull, False)
        own = np.isnan(turning)
        first, last = np.flatnonzero(own)[[0, -1]]
        beside = {turning[first - 1], turning[last + 1]}
        side = 1.0 if self.bender.hand == "left" else -1.0
        theta = -math.radians(angle) * side
        turn = np.array([[math.cos(theta), -math.sin(theta), 0], [math.sin(theta), math.cos(theta), 0], [0, 0, 1.0]])
        shift = np.array([0.0, side * pushed(self.bender, self.depth, angle), 0.0])
        for i, j in _runs(points, turning, own):
            a, b = points[i], points[j]
            if np.linalg.norm(b - a) < 1e-9:
                continue
            by_design = turning[i] in beside and turning[j] == turning[i]
            for name, moves, thing in self.things:
                if by_design and name in ("die", "hook", "follower", "plate"):
                    continue
                p, q = a, b
                if moves in {"wrap": ("arm",), "draw": ("arm", "room")}.get(self.bender.kind, ()):
                    p, q = turn @ a, turn @ b
                if self.bender.kind in ("ram", "vee") and moves in ("arm", "room"):
                    p, q = a - shift, b - shift
                capsule = fcl.CollisionObject(fcl.Capsule(self.depth / 2, float(np.linalg.norm(q - p))), _between(p, q))
                yield name, capsule, thing


def measured(capsule: fcl.CollisionObject, thing: fcl.CollisionObject) -> float:
    """The library's distance; -1 where the two touch."""
    gap: float = fcl.distance(capsule, thing, fcl.DistanceRequest(), fcl.DistanceResult())
    return gap


def _runs(points: Vector, turning: Vector, own: Vector) -> list[tuple[int, int]]:
    """Stretches of the bar that one capsule holds: whole straights, and short pieces of arc."""
    runs, start = [], None
    for i in range(len(points) - 1):
        if own[i] or own[i + 1]:
            start = None
            continue
        start = i if start is None else start
        straight = i + 2 < len(points) and not own[i + 2] and turning[i + 2] == turning[start]
        short = i + 2 < len(points) and not own[i + 2] and np.linalg.norm(points[i + 2] - points[start]) < CHORD
        in_arc = short and turning[i + 1] != turning[start] and turning[i + 2] != turning[i + 1]
        if straight or in_arc:
            continue
        runs.append((start, i + 1))
        start = None
    return runs


def smallest_gap(problem: OrderProblem, bend: int, held: str, made: set[int], instants: int) -> dict[str, float]:
    """Smallest gap to every thing at equally spaced instants on the way up."""
    assert problem.mountings
    scene = Scene(problem.bender, problem.mountings[0], problem.section.depth())
    found: dict[str, float] = {}
    pull = problem.pulls[bend]
    for i in range(instants + 1):
        angle = pull * i / instants
        for name, capsule, thing in scene.pairs(problem.table, problem.trim, bend, held, made, angle, pull):
            found[name] = min(found.get(name, math.inf), measured(capsule, thing))
    return found
