"""One page of a full-size layout."""

from __future__ import annotations

import math

from bentwork.sheets.drawing import FINE, THIN, Drawing, Item, Label, Point, Stroke, clipped
from bentwork.sheets.full_size_lines import Layout
from bentwork.sheets.lettering import fitted, legible, text_width
from bentwork.sheets.overview import key_map
from bentwork.sheets.page_parts import MARGIN, check_bars_across, check_bars_down, cross, instructions, outline
from bentwork.sheets.placing import Box, Room, spots_round, words
from bentwork.sheets.subject import Paper, Subject
from bentwork.sheets.tiling import Grid, Tile
from bentwork.units import Ruler

__all__ = ["tile_page", "window_of"]

_SIDE = {"mm": 12.0, "in": 17.0}
_FOOT = {"mm": 30.0, "in": 35.0}
_MAP = (34.0, 27.0)
_CROSS = 4.0


def window_of(paper: Paper, ruler: Ruler) -> tuple[float, float]:
    """Return width and height of the part of the drawing that a page shows, mm."""
    return (
        paper.width - 2.0 * MARGIN - _SIDE[ruler.units],
        paper.height - 2.0 * MARGIN - _FOOT[ruler.units],
    )


def tile_page(subject: Subject, layout: Layout, grid: Grid, tile: Tile, paper: Paper, page: tuple[int, int]) -> Drawing:
    """Return one page: its part of the layout, register crosses, and a foot that is cut off.

    Args:
        subject: what the layout is of.
        layout: at 1:1.
        grid: all pages.
        tile: this one.
        paper: upright.
        page: number of the page, and how many there are.
    """
    box, dx, dy = tile.box, MARGIN - tile.box.left, MARGIN - tile.box.top
    seen = clipped(layout.strokes, (box.left, box.top, box.right, box.bottom))
    inner = (*seen, *_tile_notes(layout, grid, tile))
    window = Box(MARGIN, MARGIN, MARGIN + box.right - box.left, MARGIN + box.bottom - box.top)
    return Drawing(
        paper.width,
        paper.height,
        (
            *Drawing(0.0, 0.0, inner).moved(dx, dy),
            *_masks(window, paper),
            outline(window, FINE),
            *_foot(subject, layout, grid, tile, paper, page),
        ),
    )


def _masks(window: Box, paper: Paper) -> tuple[Item, ...]:
    """White over everything outside the window: lines run on there."""
    over = 3.0  # past the edge of the page, where a reader may round it up
    outside = (
        Box(-over, -over, paper.width + over, window.top),
        Box(-over, window.bottom, paper.width + over, paper.height + over),
        Box(-over, window.top, window.left, window.bottom),
        Box(window.right, window.top, paper.width + over, window.bottom),
    )
    return tuple(
        Stroke(
            ((b.left, b.top), (b.right, b.top), (b.right, b.bottom), (b.left, b.bottom)), 0.0, fill="white", closed=True
        )
        for b in outside
    )


def _tile_notes(layout: Layout, grid: Grid, tile: Tile) -> tuple[Item, ...]:
    """Register crosses, the page's name, and the words of the drawing, each where this page has room."""
    box = tile.box
    room = Room(box.grown(-1.0))
    items: list[Item] = []
    for name, (x, y) in grid.crosses(tile):
        items += [*cross((x, y), _CROSS, THIN), Label((x + 0.8, y - 0.8), name, 10.0, ("left", "bottom"), True)]
        room.block(Box(x - _CROSS, y - _CROSS, x + _CROSS + 2.0, y + _CROSS))
    half = layout.width / 2.0 + 0.8
    for x, y in layout.places(max(2.0, half)):
        if box.grown(half).holds(Box(x, y, x, y)):
            room.block(Box(x - half, y - half, x + half, y + half))
    for stroke in layout.strokes:
        part = _small(stroke)
        if part is not None:
            room.block(part)
    tag = words((tile.name,), 20.0, True)
    middle = ((box.left + box.right) / 2.0, (box.top + box.bottom) / 2.0)
    corners = [
        (x, y)
        for y in (box.bottom - 14.0 - tag.height, box.top + 14.0)
        for x in (box.left + 14.0, box.right - 14.0 - tag.width)
    ]
    items += room.put(tag, [*corners, *spots_round(middle, tag, 0.0)])
    for note in layout.notes:
        if not box.holds(Box(*note.at, *note.at)):
            continue
        spots = spots_round(note.at, note.tag, note.clear, note.towards)
        put = room.put(note.tag, spots)
        items += [*_leader(note.at, put, note.tag, note.clear), *put]
    return tuple(items)


def _small(item: Item) -> Box | None:
    """Box of a tick, a cross or another short line; None for what is long both ways."""
    if isinstance(item, Label):
        return None
    xs, ys = [x for x, _ in item.points], [y for _, y in item.points]
    box = Box(min(xs), min(ys), max(xs), max(ys))
    return box.grown(0.4) if min(box.right - box.left, box.bottom - box.top) < 8.0 else None


def _leader(at: Point, put: tuple[Item, ...], tag: Drawing, clear: float) -> tuple[Item, ...]:
    """A fine line from words that had to stand far off to their place."""
    boxes = [(item.at, item) for item in put if isinstance(item, Label)]
    if not boxes:
        return ()
    label = boxes[0][1]
    left = label.at[0] - (tag.width / 2.0 if label.anchor[0] == "centre" else 0.0)
    top = label.at[1] - (tag.height / 2.0 if label.anchor[1] == "middle" else 0.0)
    near = (min(max(at[0], left), left + tag.width), min(max(at[1], top), top + tag.height))
    if math.dist(at, near) < clear + 6.0:
        return ()
    return (Stroke((at, near), FINE),)


def _foot(
    subject: Subject, layout: Layout, grid: Grid, tile: Tile, paper: Paper, page: tuple[int, int]
) -> tuple[Item, ...]:
    bottom = paper.height - MARGIN
    top = bottom - _FOOT[subject.ruler.units] + 3.0
    right = paper.width - MARGIN
    room = right - MARGIN - _MAP[0] - 5.0
    counted = f"full size · {tile.name} · page {page[0]} of {page[1]}"
    hand = "" if subject.hand is None else " · as drawn" if subject.as_drawn else " · OPPOSITE HAND"
    title, size = fitted(legible(subject.title) + hand, 14.0, room - text_width(counted, 12.0, True) - 4.0, True, 9.0)
    version = legible(subject.version)
    facts = " · ".join(part for part in (f"version {version}" if version else "", legible(subject.date)) if part)
    job, job_size = fitted(legible(subject.job), 12.0, room - text_width(facts, 12.0, True) - 4.0)
    join = "Cut along the lower and right-hand frame. Lay the page on its neighbours, cross on cross, and tape it. "
    says = (join if len(grid.tiles) > 1 else "") + "Lay the bar between its two edges."
    return (
        Label((MARGIN, top), title, size, ("left", "top"), True),
        Label((MARGIN + room, top), counted, 12.0, ("right", "top"), True),
        Label((MARGIN, top + 5.5), job, job_size, ("left", "top")),
        Label((MARGIN + room, top + 5.5), facts, 12.0, ("right", "top"), True),
        *instructions(says, MARGIN, top + 16.5, room, 8.5),
        *check_bars_across(MARGIN, bottom, subject.ruler),
        *check_bars_down(right, MARGIN + 14.0, subject.ruler),
        *key_map(layout, grid, tile, *_MAP).moved(right - _MAP[0], bottom - _MAP[1]),
    )
