"""Changes to bender, mounting or piece that may give an order: the same problem, changed. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order_problem import OrderProblem
from bentwork.space import Vec
from bentwork.tooling.bender import Follower, Hook
from bentwork.tooling.shop import Body, Mounting

__all__ = ["halves", "raised", "turned_by_quarters", "with_follower", "with_hook", "with_radius", "with_trim"]

Range = tuple[float, float]


def raised(problem: OrderProblem, height: float) -> OrderProblem:
    """Put a riser under the die: plate, vise, bench and all else lie that much lower below the bar."""
    bender = problem.bender
    if bender.plate:
        plate = replace(bender.plate, gap_below_bar=bender.plate.gap_below_bar + height)
        bender = replace(bender, plate=plate)

    def lower(body: Body) -> Body:
        if body.shape == "box" and body.z:
            return replace(body, z=(body.z[0] - height, body.z[1] - height))
        return _points(body, lambda p: (p[0], p[1], p[2] - height))

    def sunk(mounting: Mounting) -> Mounting:
        vise, bench = mounting.vise, mounting.bench
        return replace(
            mounting,
            vise=replace(vise, top=vise.top - height, bottom=vise.bottom - height) if vise else None,
            bench=replace(bench, top=bench.top - height) if bench else None,
            floor=None if mounting.floor is None else mounting.floor - height,
            bodies=tuple(lower(body) for body in mounting.bodies),
        )

    return replace(problem, bender=bender, mountings=tuple(sunk(mounting) for mounting in problem.mountings))


def turned_by_quarters(problem: OrderProblem, quarters: int) -> OrderProblem:
    """Turn the bender on its mounting by quarter turns to the left: the room turns the other way round it."""

    def point(p: Vec) -> Vec:
        x, y = p[0], p[1]
        for _ in range(quarters % 4):
            x, y = y, -x
        return (x, y, p[2])

    def box(x: Range, y: Range) -> tuple[Range, Range]:
        a, b = point((x[0], y[0], 0.0)), point((x[1], y[1], 0.0))
        return (min(a[0], b[0]), max(a[0], b[0])), (min(a[1], b[1]), max(a[1], b[1]))

    def moved(body: Body) -> Body:
        if body.shape == "box" and body.x and body.y:
            x, y = box(body.x, body.y)
            return replace(body, x=x, y=y)
        return _points(body, point)

    def swung(mounting: Mounting) -> Mounting:
        vise, bench = mounting.vise, mounting.bench
        if vise:
            x, y = box(vise.x, vise.y)
            vise = replace(vise, x=x, y=y)
        if bench:
            x, y = box(bench.x, bench.y)
            bench = replace(bench, x=x, y=y)
        return replace(mounting, vise=vise, bench=bench, bodies=tuple(moved(body) for body in mounting.bodies))

    return replace(problem, mountings=tuple(swung(mounting) for mounting in problem.mountings))


def _points(body: Body, move: Callable[[Vec], Vec]) -> Body:
    if body.start is None or body.end is None:
        return body
    return replace(body, start=move(body.start), end=move(body.end))


def with_follower(problem: OrderProblem, follower: Follower) -> OrderProblem:
    """Fit another follower."""
    return replace(problem, bender=replace(problem.bender, follower=follower))


def with_hook(problem: OrderProblem, hook: Hook) -> OrderProblem:
    """Fit another hook; the bar that the bender needs on the held side is less by what the hook is shorter."""
    bender = problem.bender
    saved = bender.hook.length - hook.length if bender.hook else 0.0
    needs = replace(
        bender.needs,
        straight_held=max(0.0, bender.needs.straight_held - saved),
        end_held=max(0.0, bender.needs.end_held - saved),
    )
    return replace(problem, bender=replace(bender, hook=hook, needs=needs))


def with_trim(problem: OrderProblem, more: float) -> OrderProblem:
    """Leave more on each end."""
    return replace(problem, trim=problem.trim + more)


def with_radius(problem: OrderProblem, radius: float) -> OrderProblem | None:
    """Bend every bend to another radius, corner points kept; None where the corners are too close for it."""
    table = problem.table
    straights = list(table.straights)
    for number, bend in enumerate(table.bends):
        if bend.angle >= 180.0:
            return None
        more = (radius - bend.radius) * math.tan(math.radians(bend.angle) / 2.0)
        straights[number] -= more
        straights[number + 1] -= more
    if min(straights) < 0.0:
        return None
    bends = tuple(Bend(radius, bend.angle, bend.rotation) for bend in table.bends)
    wider = BendTable(tuple(straights), bends, table.closed)
    return replace(problem, table=wider, bender=replace(problem.bender, radius=radius))


def halves(problem: OrderProblem, straight: int) -> tuple[OrderProblem, OrderProblem] | None:
    """Cut the piece in the middle of a straight between two bends, numbered from 0 at A; None once bending began."""
    table = problem.table
    if problem.made or not 0 < straight < len(table.bends):
        return None
    half = table.straights[straight] / 2.0
    first = BendTable((*table.straights[:straight], half), table.bends[:straight])
    left = list(table.bends[straight:])
    left[0] = Bend(left[0].radius, left[0].angle)
    second = BendTable((half, *table.straights[straight + 1 :]), tuple(left))
    weights = problem.weights
    return (
        replace(problem, table=first, pulls=problem.pulls[:straight], weights=weights[:straight] if weights else None),
        replace(problem, table=second, pulls=problem.pulls[straight:], weights=weights[straight:] if weights else None),
    )
