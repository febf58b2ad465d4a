"""A picture of what a bend angle is: how far the bar turns from straight, and what a protractor in the corner reads."""

from __future__ import annotations

import math

from bentwork.sheets.drawing import BOLD, THIN, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, text_width
from bentwork.sheets.page_parts import arrow
from bentwork.units import angle

__all__ = ["angle_picture"]

_LEG, _BAR, _ARC = 15.0, 1.4, 9.0


def angle_picture(turned: float) -> Drawing:
    """Return the picture for a bend angle in degrees: no scale, but the true angle.

    The bar comes from the left; a dashed line shows how it would run on, the arc how far it turns from there.
    """
    theta = math.radians(turned)
    corner = (0.0, 0.0)
    on = (_LEG, 0.0)
    tip = (_LEG * math.cos(theta), _LEG * math.sin(theta))
    parallel = abs(math.sin(theta)) < 0.26 and turned > 90.0  # the leg comes back beside the first: draw it as a hoop
    items: list[Item] = [Stroke((corner, on), THIN, dash="dash", cap="butt")]
    if parallel:
        radius = 4.0
        count = 24
        arc = [
            (radius * math.sin(theta * k / count), radius * (1.0 - math.cos(theta * k / count)))
            for k in range(count + 1)
        ]
        tip = (arc[-1][0] + _LEG * math.cos(theta), arc[-1][1] + _LEG * math.sin(theta))
        items.append(Stroke(((-_LEG, 0.0), *arc, tip), _BAR, cap="butt"))
    else:
        items.append(Stroke(((-_LEG, 0.0), corner, tip), _BAR, cap="butt"))
    items += _turn(turned, parallel)
    texts = [Label((_LEG + 1.5, 0.0), angle(turned), 10.0, ("left", "middle"), True)]
    inner = angle(180.0 - turned)
    if not parallel:
        bisector = math.radians(turned / 2.0 + 90.0)
        reach = 5.0 + 3.4 / max(0.35, math.sin(math.radians(180.0 - turned) / 2.0))
        reach = min(reach, 13.0)
        at = (reach * math.cos(bisector), reach * math.sin(bisector))
        texts.append(Label(at, inner, 8.5, halo=True))
    return _boxed([*items, *texts])


def _turn(turned: float, parallel: bool) -> list[Item]:
    """The arc from the line that runs on to the leg, with its arrow."""
    centre = (0.0, 4.0) if parallel else (0.0, 0.0)
    radius = _ARC
    start = -math.pi / 2.0 if parallel else 0.0
    stop = start + math.radians(turned)
    count = max(2, math.ceil((stop - start) / 0.1))
    points: list[Point] = [
        (
            centre[0] + radius * math.cos(start + (stop - start) * k / count),
            centre[1] + radius * math.sin(start + (stop - start) * k / count),
        )
        for k in range(count + 1)
    ]
    size = min(2.6, 0.6 * radius * (stop - start))
    way = math.degrees(stop) + 90.0 - math.degrees(size / radius) / 2.0
    return [Stroke(tuple(points), BOLD * 0.7, cap="butt"), *arrow(points[-1], way, size)]


def _boxed(items: list[Item]) -> Drawing:
    """Move the items so that they lie in a box that begins at 0, 0."""
    xs: list[float] = []
    ys: list[float] = []
    for item in items:
        if isinstance(item, Label):
            wide, high = text_width(item.text, item.size, item.bold), cap_height(item.size)
            left = item.at[0] - (0.0 if item.anchor[0] == "left" else wide / 2.0)
            xs += [left, left + wide]
            ys += [item.at[1] - high / 2.0, item.at[1] + high / 2.0]
        else:
            xs += [x + side * item.weight / 2.0 for x, _ in item.points for side in (-1, 1)]
            ys += [y + side * item.weight / 2.0 for _, y in item.points for side in (-1, 1)]
    moved = Drawing(0.0, 0.0, tuple(items)).moved(-min(xs), -min(ys))
    return Drawing(max(xs) - min(xs), max(ys) - min(ys), moved)
