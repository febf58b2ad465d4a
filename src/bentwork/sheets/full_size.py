"""The full-size layout: the piece at 1:1 to lay the bar on, on as many pages as it takes, and a list to chalk it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bentwork.sheets.drawing import Drawing, Item
from bentwork.sheets.floor_list import ROW, FloorPoint, diagonals, floor_points, floor_table
from bentwork.sheets.full_size_lines import Layout, layout_of
from bentwork.sheets.full_size_tile import tile_page, window_of
from bentwork.sheets.lay import Lay, lay_down, most_positive
from bentwork.sheets.lettering import cap_height, paragraph
from bentwork.sheets.overview import overview
from bentwork.sheets.page_parts import HEAD_HEIGHT, MARGIN, check_bars_across, check_bars_down, head
from bentwork.sheets.placing import words
from bentwork.sheets.subject import Paper, Subject
from bentwork.sheets.tiling import Grid, grid_for

__all__ = ["MOST_TILES", "full_size", "laid_on"]

MOST_TILES = 24
"""What takes more pages than this is chalked on the floor: nobody tapes so many together true."""

_SIDE = {"mm": 10.0, "in": 15.0}
_FOOT = {"mm": 9.0, "in": 14.0}
_LEAST_VIEW, _TALLEST_VIEW = 90.0, 160.0  # height of the overview, mm
_COLUMNS = 2
_AIR = 9.0  # round the bar, for words that want to stand outside it
_GAP = 8.0

_Line = tuple[str, float, bool]


def full_size(subject: Subject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of the layout, edge to edge at 1:1: overview and floor list, then the tiles.

    Args:
        subject: the piece.
        paper: upright.
    """
    layout, grid = laid_on(subject, paper)
    tiles = grid.tiles if len(grid.tiles) <= MOST_TILES else ()
    points = floor_points(subject, layout)
    says = _says(subject, layout, grid, points, paper)
    said = math.fsum(cap_height(size) * 1.85 for _, size, _ in says) + 2.0
    bottom = paper.height - MARGIN - _FOOT[subject.ruler.units] - 6.0
    list_top = MARGIN + HEAD_HEIGHT + 3.0
    short = ROW * math.ceil(len(points) / 2.0) + 5.3
    view = min(_TALLEST_VIEW, max(_LEAST_VIEW, bottom - list_top - said - 6.0 - short))
    first_top = list_top + view + said + 6.0
    parts = _parts(points, bottom - first_top, bottom - list_top)
    count = len(parts) + len(tiles)
    pages = []
    for number, columns in enumerate(parts, 1):
        page = (number, count)
        items = _list_items(subject, layout, paper, columns, first_top if number == 1 else list_top)
        if number == 1:
            items += _first_items(subject, layout, grid if tiles else None, says, paper, view)
        pages.append(Drawing(paper.width, paper.height, (*_frame(subject, paper, page), *items)))
    pages += [
        tile_page(subject, layout, grid, tile, paper, (len(parts) + number, count))
        for number, tile in enumerate(tiles, 1)
    ]
    return tuple(pages)


def laid_on(subject: Subject, paper: Paper) -> tuple[Layout, Grid]:
    """Return the layout and its pages: turned a quarter where that saves pages."""
    lay = lay_down(subject.line)
    turned = most_positive(lay.turned(), subject.line)
    return min((_laid(subject, either, paper) for either in (lay, turned)), key=lambda laid: len(laid[1].tiles))


def _laid(subject: Subject, lay: Lay, paper: Paper) -> tuple[Layout, Grid]:
    layout = layout_of(subject, lay)
    window = window_of(paper, subject.ruler)
    reach = layout.width / 2.0 + 0.5
    return layout, grid_for(layout.extent.grown(_AIR), window, layout.places(3.0), reach)


def _parts(
    points: Sequence[FloorPoint], first_room: float, later_room: float
) -> tuple[tuple[tuple[FloorPoint, ...], ...], ...]:
    """Cut the list into pages, and each page's part into its columns; room for them in mm."""
    rest = list(points)
    pages: list[tuple[tuple[FloorPoint, ...], ...]] = []
    while rest:
        fits = max(1, int(((later_room if pages else first_room) - 5.3) / ROW))
        taken, rest = rest[: fits * _COLUMNS], rest[fits * _COLUMNS :]
        each = max(1, math.ceil(len(taken) / _COLUMNS)) if not rest else fits
        pages.append(tuple(tuple(taken[k : k + each]) for k in range(0, len(taken), each)))
    return tuple(pages)


def _frame(subject: Subject, paper: Paper, page: tuple[int, int]) -> tuple[Item, ...]:
    sheet = "full size" if page[0] == 1 else "floor list"
    return (
        *head(subject, sheet, page, (MARGIN, MARGIN, paper.width - MARGIN)),
        *check_bars_across(MARGIN, paper.height - MARGIN, subject.ruler),
        *check_bars_down(paper.width - MARGIN, MARGIN + HEAD_HEIGHT + 14.0, subject.ruler),
    )


def _room(subject: Subject, paper: Paper) -> float:
    """Width that is left beside the check bar, mm."""
    return paper.width - 2.0 * MARGIN - _SIDE[subject.ruler.units]


def _list_items(
    subject: Subject, layout: Layout, paper: Paper, columns: Sequence[Sequence[FloorPoint]], top: float
) -> tuple[Item, ...]:
    wide = (_room(subject, paper) - _GAP) / _COLUMNS
    heights = not layout.lay.is_flat(subject.line)
    items: list[Item] = []
    for k, column in enumerate(columns):
        items += floor_table(column, subject.ruler, wide, heights).moved(MARGIN + k * (wide + _GAP), top)
    return tuple(items)


def _first_items(
    subject: Subject, layout: Layout, grid: Grid | None, says: Sequence[_Line], paper: Paper, view: float
) -> tuple[Item, ...]:
    """Overview of the piece, and what is said under it."""
    top = MARGIN + HEAD_HEIGHT + 2.0
    items = [*overview(subject, layout, grid, _room(subject, paper) - 3.0, view).moved(MARGIN, top)]
    y = top + view + 4.0
    for line, size, bold in says:
        if bold:
            y += 2.0
        items += words((line,), size, bold, halo=False).moved(MARGIN, y)
        y += cap_height(size) * 1.85
    return tuple(items)


def _says(
    subject: Subject, layout: Layout, grid: Grid, points: Sequence[FloorPoint], paper: Paper
) -> tuple[_Line, ...]:
    """What is said under the overview: text, size of type, heavy or not."""
    room, ruler = _room(subject, paper), subject.ruler
    count = len(grid.tiles)
    if count > MOST_TILES:
        how = f"At full size this takes {count} pages, more than {MOST_TILES}: chalk it on the floor from this list."
    else:
        how = "1 page at full size follows" if count == 1 else f"{count} pages at full size follow"
        how += f"; left out, because they would be empty: {', '.join(grid.empty)}." if grid.empty else "."
    where = "All points are measured from end A, along and across, to the middle of the bar. S start, E end of a bend."
    heights = " Heights are above the part that lies on the floor." if not layout.lay.is_flat(subject.line) else ""
    checks = diagonals(points)
    taped = " · ".join(f"{check.start} to {check.stop} {ruler.length(check.length)}" for check in checks)
    lines = [(line, 9.5, False) for line in paragraph(f"{how} {where}{heights}", 9.5, room)]
    if taped:
        lines.append((f"Check with a tape: {taped}", 14.0, True))
    return tuple(lines)
