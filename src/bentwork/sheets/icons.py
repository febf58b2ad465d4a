"""Small pictures that stand beside a number, so that it cannot be read the wrong way round."""

from __future__ import annotations

import math

from bentwork.sheets.dimension_lines import arrowhead
from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Label, Point, Stroke

__all__ = ["angle_icon", "clock", "numbered"]


def angle_icon(angle: float, width: float = 17.0, height: float = 12.0) -> Drawing:
    """Return a picture of a bend angle: the bar as it would go on straight (dashed), and how far it is turned away."""
    theta = math.radians(min(angle, 350.0))
    radius, leg = 1.0, 4.2
    path: list[Point] = [(-leg, 0.0), (0.0, 0.0)]
    steps = max(2, math.ceil(angle / 8))
    path += [
        (radius * math.sin(theta * i / steps), radius * (1 - math.cos(theta * i / steps))) for i in range(1, steps + 1)
    ]
    end = path[-1]
    path.append((end[0] + leg * math.cos(theta), end[1] + leg * math.sin(theta)))
    on = (leg * 0.95, 0.0)
    arc_r = leg * 0.72
    sweep = [(arc_r * math.cos(theta * i / 24), arc_r * math.sin(theta * i / 24)) for i in range(25)]
    xs, ys = [p[0] for p in [*path, on, *sweep]], [p[1] for p in [*path, on, *sweep]]
    scale = min((width - 2.0) / (max(xs) - min(xs)), (height - 2.0) / max(max(ys) - min(ys), 0.1))
    mid = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)

    def place(p: Point) -> Point:
        return (width / 2 + (p[0] - mid[0]) * scale, height / 2 - (p[1] - mid[1]) * scale)

    heading = math.radians(angle + 90.0 - 8.0)
    items: list[Item] = [
        Stroke((place((0.0, 0.0)), place(on)), FINE, dash="dot"),
        Stroke(tuple(place(p) for p in path), 0.9, cap="butt"),
        Stroke(tuple(place(p) for p in sweep[:-1]), THIN),
    ]
    if angle > 25.0:
        items.append(arrowhead(place(sweep[-1]), (math.cos(heading), -math.sin(heading)), 1.7))
    return Drawing(width, height, tuple(items))


def clock(direction: float, size: float = 12.0) -> Drawing:
    """Return the bar's end as a clock face, seen from end A: scribed line at 12, the hand where the bend goes.

    Seen from end A the bar runs away from the eye, so positive directions (right-hand rule about A to B) run clockwise.
    """
    c, r = size / 2, size / 2 - 1.9
    ring = tuple((c + r * math.cos(math.radians(a)), c + r * math.sin(math.radians(a))) for a in range(0, 360, 6))
    theta = math.radians(direction)
    way = (math.sin(theta), -math.cos(theta))
    tip = (c + way[0] * (r - 0.3), c + way[1] * (r - 0.3))
    mark = ((c, c - r - 0.1), (c - 0.9, c - r - 1.8), (c + 0.9, c - r - 1.8))
    ticks = [
        Stroke(
            (
                (c + math.sin(a) * r, c - math.cos(a) * r),
                (c + math.sin(a) * (r - 0.8), c - math.cos(a) * (r - 0.8)),
            ),
            FINE,
        )
        for a in (math.radians(d) for d in range(0, 360, 30))
    ]
    return Drawing(
        size,
        size,
        (
            Stroke(ring, THIN, fill="white", closed=True),
            *ticks,
            Stroke(mark, 0.0, "none", "black", closed=True),
            Stroke(((c, c), (tip[0] - way[0], tip[1] - way[1])), 0.7, cap="butt"),
            arrowhead(tip, way, 2.2),
        ),
    )


def numbered(at: Point, words: str, radius: float = 2.9) -> tuple[Item, ...]:
    """Return a number in a circle: the sign of a bend on every paper."""
    ring = tuple(
        (at[0] + radius * math.cos(math.radians(a)), at[1] + radius * math.sin(math.radians(a)))
        for a in range(0, 360, 15)
    )
    size = radius * 3.9 if len(words) < 2 else radius * 3.1
    return (Stroke(ring, 0.3, fill="white", closed=True), Label(at, words, size, bold=True))
