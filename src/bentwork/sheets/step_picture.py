"""One step as the person at the lever sees it: the bar at the end of the pull, die, follower, hook, vise."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bentwork.planning.pose import in_bender
from bentwork.planning.steps import Step
from bentwork.sheets.bar_view import bar_of, draw_bars
from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Stroke
from bentwork.sheets.projection import View
from bentwork.sheets.subject import Subject
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["step_picture"]

Array = NDArray[np.float64]
_DOWN = math.radians(38.0)
FROM_THE_LEVER = View("from where you stand", (1.0, 0.0, 0.0), (0.0, math.sin(_DOWN), math.cos(_DOWN)))
"""In front of the bench, looking down on the bender."""

_END = 130.0  # of the straight beyond the last bend that is shown, mm
_ROUND = 40
_VISE = 60.0  # of the vise's height is shown, mm
_LARGEST = 1.0 / 8.0


def step_picture(
    subject: Subject, step: Step, made: Sequence[int], mounting: Mounting | None, width: float, height: float
) -> Drawing:
    """Return the picture of a step, in a field of this size in mm; not to scale.

    Args:
        subject: the piece.
        step: of its plan.
        made: numbers of the bends made before.
        mounting: what stands round the bender; None for nothing.
        width: of the field.
        height: of the field.
    """
    bender = subject.bender
    if bender is None:
        return Drawing(width, height, ())
    place = in_bender(
        subject.line.table, step.bend, step.held, made, step.bend_to, bender, subject.trim, longest_end=_END
    )
    bar = bar_of(place.line, subject.stock.section, subject.way, 1.0)
    outlines = _tool(bender, subject.stock.section.depth(subject.way), step.bend_to)
    behind = _room(mounting)
    seen = [FROM_THE_LEVER.flat(points) for points in (bar.points, *outlines)]
    cloud = np.concatenate([*seen, *(FROM_THE_LEVER.flat(points) for points in behind)])
    low, high = cloud[:, :2].min(axis=0), cloud[:, :2].max(axis=0)
    span = np.maximum(high - low, 1.0)
    scale = min((width - 3.0) / span[0], (height - 3.0) / span[1], _LARGEST)
    middle = (low + high) / 2.0 * scale
    items: list[Item] = [_closed(points, scale, FINE) for points in behind]
    items += [_closed(points, scale, THIN) for points in outlines]
    items += draw_bars([bar], FROM_THE_LEVER, scale)
    placed = Drawing(width, height, tuple(items)).moved(width / 2.0 - middle[0], height / 2.0 - middle[1])
    return Drawing(width, height, tuple(placed))


def _closed(points: Array, scale: float, weight: float) -> Stroke:
    path = tuple((float(x) * scale, float(y) * scale) for x, y, _ in FROM_THE_LEVER.flat(points))
    return Stroke(path, weight, fill="white", closed=True)


def _tool(bender: Bender, depth: float, angle: float) -> list[Array]:
    """Outlines of die, hook and follower, back to front."""
    sign = -1.0 if bender.hand == "right" else 1.0
    thick = bender.die.thickness / 2.0 if bender.die else depth
    found = [_ring((0.0, 0.0), max(bender.radius - depth / 2.0, 1.0), thick)]
    turn = math.radians(angle)
    if bender.hook and bender.kind in ("wrap", "draw"):
        hook = bender.hook
        low, high = -bender.radius - depth / 2.0 - hook.width, -bender.radius - depth / 2.0
        x0, x1 = -hook.starts_behind - hook.length, -hook.starts_behind
        found.append(_box((x0, x1), (sign * low, sign * high), hook.height / 2.0))
    if bender.follower and bender.kind in ("wrap", "draw"):
        follower = bender.follower
        away = follower.radius or (follower.width or depth) / 2.0
        x, y = follower.ahead, -bender.radius - depth / 2.0 - away
        c, s = math.cos(turn), math.sin(turn)
        middle = (c * x - s * y, sign * (s * x + c * y))
        found.append(_ring(middle, away, follower.height / 2.0))
    return found


def _room(mounting: Mounting | None) -> list[Array]:
    """The vise; bench and walls would fill the picture and say nothing."""
    if mounting is None or mounting.vise is None:
        return []
    vise = mounting.vise
    return [_box(vise.x, vise.y, _VISE / 2.0, vise.top - _VISE / 2.0)]


def _ring(middle: tuple[float, float], radius: float, half: float) -> Array:
    """Outline of an upright cylinder as seen: the near half of its lower rim, the far half of its upper one."""
    turns = np.linspace(math.pi, 2.0 * math.pi, _ROUND)
    lower = np.column_stack([np.cos(turns) * radius, np.sin(turns) * radius, np.full(_ROUND, -half)])
    turns = np.linspace(0.0, math.pi, _ROUND)
    upper = np.column_stack([np.cos(turns) * radius, np.sin(turns) * radius, np.full(_ROUND, half)])
    outline: Array = np.concatenate([lower, upper]) + np.array([*middle, 0.0])
    return outline


def _box(x: tuple[float, float], y: tuple[float, float], half: float, at: float = 0.0) -> Array:
    """Outline of a box as seen: its front, then its top."""
    (x0, x1), (y0, y1) = sorted(x), sorted(y)
    return np.array(
        [
            (x0, y0, at - half),
            (x1, y0, at - half),
            (x1, y0, at + half),
            (x1, y1, at + half),
            (x0, y1, at + half),
            (x0, y0, at + half),
        ]
    )
