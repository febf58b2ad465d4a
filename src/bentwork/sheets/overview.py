"""The overview of a full-size layout: the piece at a reduced scale, with the pages that it takes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from itertools import pairwise

from bentwork.piece.centreline import Run
from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Point, Stroke
from bentwork.sheets.full_size_lines import Layout
from bentwork.sheets.page_parts import arrow, number_ring, outline
from bentwork.sheets.placing import Box, Room, spots_round, words
from bentwork.sheets.subject import Subject
from bentwork.sheets.tiling import OVERLAP, Grid, Tile
from bentwork.space import add

__all__ = ["key_map", "overview"]

_AXIS = 16.0
_AROUND = 12.0  # room for words round a piece without pages


def overview(subject: Subject, layout: Layout, grid: Grid | None, width: float, height: float) -> Drawing:
    """Return the piece as seen from above, scaled into a box of this size, mm.

    Args:
        subject: what the layout is of.
        layout: at 1:1.
        grid: its pages; None where they are not made.
        width: of the box.
        height: of the box.
    """
    at = _scaled(grid.box if grid else layout.extent, width, height, 0.5 if grid else _AROUND)
    room = Room(Box(0.0, 0.0, width, height))
    items: list[Item] = []
    tiles = grid.tiles if grid else ()
    parts = [Box(*at((t.box.left, t.box.top)), *at((t.box.right, t.box.bottom))) for t in tiles]
    items += [outline(part, FINE) for part in parts]
    factor = at((1.0, 0.0))[0] - at((0.0, 0.0))[0]
    path = tuple(at(point) for point in layout.path)
    bar = max(1.5, min(layout.width * factor, 6.0))
    items += [Stroke(path, bar + THIN, cap="butt"), Stroke(path, bar - THIN, "white", cap="butt")]
    _block_along(path, bar / 2.0 + 0.6, room)
    for tile, part in zip(tiles, parts, strict=True):
        items += room.put(words((tile.name,), 9.0), _corners(part, 1.2 + OVERLAP * factor, tile.name))
    items += _axes(at((0.0, 0.0)), room)
    items += _named(subject, layout, at, bar, room)
    return Drawing(width, height, tuple(items))


def key_map(layout: Layout, grid: Grid, tile: Tile, width: float, height: float) -> Drawing:
    """Return a small map of all pages in a box of this size, this page's filled."""
    at = _scaled(grid.box, width, height, 0.3)
    items: list[Item] = []
    for other in grid.tiles:
        (left, top), (right, bottom) = at((other.box.left, other.box.top)), at((other.box.right, other.box.bottom))
        corners = ((left, top), (right, top), (right, bottom), (left, bottom))
        items.append(Stroke(corners, THIN, fill="grey" if other == tile else "none", closed=True))
    items.append(Stroke(tuple(at(point) for point in layout.path), BOLD, cap="butt"))
    return Drawing(width, height, tuple(items))


def _scaled(box: Box, width: float, height: float, pad: float) -> Callable[[Point], Point]:
    """Return the function that puts a part of the drawing into the middle of a box, no larger than life."""
    factor = min(
        (width - 2.0 * pad) / (box.right - box.left),
        (height - 2.0 * pad) / (box.bottom - box.top),
        1.0,
    )
    dx = (width - factor * (box.left + box.right)) / 2.0
    dy = (height - factor * (box.top + box.bottom)) / 2.0
    return lambda point: (point[0] * factor + dx, point[1] * factor + dy)


def _block_along(path: Iterable[Point], reach: float, room: Room) -> None:
    for a, b in pairwise(path):
        count = max(1, math.ceil(math.dist(a, b) / max(1.0, reach)))
        for k in range(count + 1):
            x, y = a[0] + (b[0] - a[0]) * k / count, a[1] + (b[1] - a[1]) * k / count
            room.block(Box(x - reach, y - reach, x + reach, y + reach))


def _corners(part: Box, inset: float, name: str) -> list[Point]:
    """Spots for the name of a page, past what its neighbours show too: its corners, then along its left side."""
    tag = words((name,), 9.0)
    low, high = part.bottom - inset - tag.height, part.top + inset
    left, right = part.left + inset, part.right - inset - tag.width
    return [(left, low), (right, low), (left, high), (right, high), *((left, low - 3.0 * k) for k in range(1, 12))]


def _axes(origin: Point, room: Room) -> list[Item]:
    """The two directions in which the floor list counts, from end A."""
    x, y = origin
    right, up = min(_AXIS, room.bounds.right - x - 1.0), min(_AXIS, y - room.bounds.top - 1.0)
    axes = (("along", (x + right, y), 0.0, right), ("across", (x, y - up), -90.0, up))
    items: list[Item] = []
    for _, tip, turn, reach in axes:
        items += arrow(tip, turn, 2.6, max(0.0, reach - 2.6), BOLD)
        _block_along((origin, tip), 0.8, room)
    for name, tip, turn, _ in axes:
        tag = words((name,), 8.5)
        items += room.put(tag, spots_round(tip, tag, 1.2, turn))
    return items


def _named(subject: Subject, layout: Layout, at: Callable[[Point], Point], bar: float, room: Room) -> list[Item]:
    """Ends and numbers of the bends."""
    line, lay = subject.line, layout.lay
    ends = [("END A", line.start.origin), ("END B", line.end.origin)]
    if line.table.closed:
        ends = [("seam", line.start.origin)]
    items: list[Item] = []
    for name, point in ends:
        x, y = lay.place(point)
        tag = words((name,), 10.0, True)
        items += room.put(tag, spots_round(at((x, -y)), tag, bar / 2.0 + 1.4, 180.0 if name == "END A" else 0.0))
    for run in line.runs:
        if run.bend:
            x, y = lay.place(run.pose(run.length / 2.0).origin)
            circle, radius = number_ring((0.0, 0.0), run.bend, 9.0, THIN)
            tag = Drawing(2.0 * radius, 2.0 * radius, Drawing(0.0, 0.0, circle).moved(radius, radius))
            items += room.put(tag, spots_round(at((x, -y)), tag, bar / 2.0 + 1.0, _inward(layout, run)))
    return items


def _inward(layout: Layout, run: Run) -> float:
    """Direction on paper from the middle of a bend to its centre, degrees."""
    pose = run.pose(run.length / 2.0)
    x0, y0 = layout.lay.place(pose.origin)
    x1, y1 = layout.lay.place(add(pose.origin, pose.inward))
    return math.degrees(math.atan2(y0 - y1, x1 - x0))
