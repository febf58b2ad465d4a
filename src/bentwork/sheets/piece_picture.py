"""The picture of a piece: three views with outside sizes, and one from the corner with ends and bends named."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.sheets.bar_view import Bar, bar_of, draw_bars
from bentwork.sheets.dimension_lines import across, upright
from bentwork.sheets.drawing import BOLD, FINE, Drawing, Item, Label, Stroke
from bentwork.sheets.icons import numbered
from bentwork.sheets.projection import ABOVE, CORNER, FRONT, RIGHT, View, fit_scale
from bentwork.sheets.subject import Subject

__all__ = ["Overall", "overall", "piece_picture"]

Array = NDArray[np.float64]
_ROOM = 15.0  # what a dimension and the name of a view take beside and under a view, mm


@dataclass(frozen=True, slots=True)
class Overall:
    """Size of a piece along one axis, mm: over the bar, to its middle, and within it (None when nothing is within)."""

    axis: str
    outside: float
    middle: float
    inside: float | None


def overall(subject: Subject) -> tuple[Overall, ...]:
    """Return the outside, middle and inside size of a piece along x, y and z."""
    bar = _fine(subject)
    sizes = []
    for axis, name in enumerate("xyz"):
        low, high = bar.extent(axis)
        middle = float(np.ptp(bar.points[:, axis]))
        inside = 2 * middle - (high - low)
        sizes.append(Overall(name, high - low, middle, inside if middle > 0.01 and inside > 0 else None))
    return tuple(sizes)


def _fine(subject: Subject) -> Bar:
    """The bar sampled closely enough that its sizes are true to a hundredth of a millimetre."""
    return bar_of(subject.line, subject.stock.section, subject.way, 0.005)


def piece_picture(subject: Subject, width: float, height: float) -> Drawing:
    """Return the picture of a piece in a field of this size, mm."""
    bar = _fine(subject)
    size = [high - low for low, high in (bar.extent(axis) for axis in range(3))]
    left, top, scale = _shares(size, width, height)
    items: list[Item] = []
    fields = (
        (FRONT, (0.0, 0.0, left, top), (size[0], size[2])),
        (RIGHT, (left, 0.0, width, top), (size[1], size[2])),
        (ABOVE, (0.0, top, left, height), (size[0], size[1])),
    )
    for view, field, sizes in fields:
        items += _view(subject, view, field, sizes, scale)
    items += _from_corner(subject, (left, top, width, height))
    items += [
        Stroke(((left, 2.0), (left, height - 2.0)), FINE, "grey"),
        Stroke(((2.0, top), (width - 2.0, top)), FINE, "grey"),
        Label((width - 1.0, 1.0), f"views 1:{1 / scale:g}", 8.0, ("right", "top")),
    ]
    return Drawing(width, height, tuple(items))


def _shares(size: list[float], width: float, height: float) -> tuple[float, float, float]:
    """Return where the field is divided, from the left and from the top, and the scale.

    The largest scale; of equal ones the division that leaves the most to the view from the corner.
    """
    best = (0.0, 0.0, 0.0, 0.0)
    for share in range(36, 68, 2):
        for down in range(30, 64, 2):
            left, top = width * share / 100, height * down / 100
            scale = min(
                fit_scale(size[0], size[2], (left - 2 * _ROOM, top - _ROOM)),
                fit_scale(size[1], size[2], (width - left - 2 * _ROOM, top - _ROOM)),
                fit_scale(size[0], size[1], (left - 2 * _ROOM, height - top - _ROOM)),
            )
            best = max(best, (scale, min(width - left, height - top), left, top))
    return best[2], best[3], best[0]


def _middle(bar: Bar, view: View, scale: float) -> tuple[float, float]:
    """Middle of what is seen of a bar along one of the axes, mm on paper."""
    centre = np.array([[sum(bar.extent(axis)) / 2 for axis in range(3)]])
    x, y, _ = view.flat(centre)[0] * scale
    return float(x), float(y)


def _placed(items: list[Item], dx: float, dy: float) -> tuple[Item, ...]:
    return Drawing(0.0, 0.0, tuple(items)).moved(dx, dy)


def _view(
    subject: Subject,
    view: View,
    field: tuple[float, float, float, float],
    sizes: tuple[float, float],
    scale: float,
) -> tuple[Item, ...]:
    """One straight view, its outside sizes beside and under it."""
    left, top, right, bottom = field
    bar = bar_of(subject.line, subject.stock.section, subject.way, 0.1 / scale)
    bars = draw_bars((bar,), view, scale)
    w, h = sizes[0] * scale, sizes[1] * scale
    mid = _middle(bar, view, scale)
    centre = ((left + right - _ROOM * 0.6) / 2, (top + bottom - _ROOM * 0.4) / 2)
    x0, x1, y0, y1 = centre[0] - w / 2, centre[0] + w / 2, centre[1] - h / 2, centre[1] + h / 2
    length = subject.ruler.tape
    items = list(_placed(bars, centre[0] - mid[0], centre[1] - mid[1]))
    items += across(x0, x1, y1, y1 + 6.5, length(sizes[0]))
    if h > 2.5:
        items += upright(y0, y1, x1, x1 + 5.0, length(sizes[1]))
    items.append(Label((left + 2.0, top + 1.0), view.name, 8.0, ("left", "top")))
    return tuple(items)


def _from_corner(subject: Subject, field: tuple[float, float, float, float]) -> tuple[Item, ...]:
    """The view from the corner, with the ends and the bends named."""
    left, top, right, bottom = field
    section = subject.stock.section
    probe = CORNER.flat(bar_of(subject.line, section, subject.way, 1.0).points)
    pad = section.breadth(subject.way)
    span = (float(np.ptp(probe[:, 0])) + pad, float(np.ptp(probe[:, 1])) + pad)
    room = (right - left - 24.0, bottom - top - 20.0)
    scale = min(room[0] / span[0], room[1] / span[1], 1.0)
    bar = bar_of(subject.line, section, subject.way, 0.1 / scale)
    seen = CORNER.flat(bar.points) * scale
    shift = (
        (left + right) / 2 - float(seen[:, 0].max() + seen[:, 0].min()) / 2,
        (top + bottom) / 2 - float(seen[:, 1].max() + seen[:, 1].min()) / 2,
    )
    items = list(_placed(draw_bars((bar,), CORNER, scale), *shift))
    centre = seen[:, :2].mean(axis=0) + np.array(shift)
    reach = bar.width * scale / 2 + 4.2
    for run in subject.line.runs:
        if run.bend == 0:
            continue
        pose = run.pose(run.length / 2)
        at = CORNER.flat(np.array([pose.origin]))[0, :2] * scale + np.array(shift)
        out = CORNER.flat(np.array([pose.inward]))[0, :2] * -1.0
        norm = float(np.linalg.norm(out))
        out = out / norm if norm > 0.3 else (at - centre) / (float(np.linalg.norm(at - centre)) or 1.0)
        spot = at + out * reach
        items += numbered((float(spot[0]), float(spot[1])), str(run.bend))
    items += _ends(subject, scale, shift, reach)
    items.append(Label((left + 2.0, top + 1.0), CORNER.name, 8.0, ("left", "top")))
    return tuple(items)


def _ends(subject: Subject, scale: float, shift: tuple[float, float], reach: float) -> list[Item]:
    """Names at the ends; on a closed piece one stroke across the bar and both names at the seam."""
    items: list[Item] = []
    for pose, name, way in ((subject.line.start, "A", 1.0), (subject.line.end, "B", -1.0)):
        at = CORNER.flat(np.array([pose.origin]))[0, :2] * scale + np.array(shift)
        direction = CORNER.flat(np.array([pose.tangent]))[0, :2] * way
        side = np.array([-direction[1], direction[0]])
        norm = float(np.linalg.norm(side)) or 1.0
        side = side / norm
        if subject.line.table.closed:
            if name == "A":
                h = side * (reach - 3.4)
                items.append(Stroke(_pair(at - h, at + h), BOLD))
                spot = at + side * (reach + 0.8) * (1.0 if side[1] > 0 else -1.0)
                items.append(Label((float(spot[0]), float(spot[1])), "seam: A | B", 9.0, bold=True, halo=True))
            continue
        spot = at - direction / (float(np.linalg.norm(direction)) or 1.0) * 4.5
        items.append(Label((float(spot[0]), float(spot[1])), name, 13.0, bold=True, halo=True))
    return items


def _pair(a: Array, b: Array) -> tuple[tuple[float, float], ...]:
    return ((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
