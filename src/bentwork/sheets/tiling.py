"""A large drawing cut into pages that are laid over each other by their register crosses. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from bentwork.sheets.drawing import Point
from bentwork.sheets.placing import Box

__all__ = ["OVERLAP", "Grid", "Tile", "grid_for"]

OVERLAP = 10.0
"""What two neighbouring tiles have in common."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a large drawing.

    Args:
        row: from 0 at the top.
        column: from 0 at the left.
        box: the part of the drawing that it shows.
    """

    row: int
    column: int
    box: Box

    @property
    def name(self) -> str:
        """Letter of the row and number of the column: A1, A2, B1 ..."""
        times, letter = divmod(self.row, 26)
        return chr(ord("A") + letter) * (times + 1) + str(self.column + 1)


@dataclass(frozen=True, slots=True)
class Grid:
    """All pages of a large drawing.

    Args:
        rows: of pages.
        columns: of pages.
        tiles: those with something on them, row by row.
        empty: names of the others.
        box: all of the drawing that the pages cover.
    """

    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    empty: tuple[str, ...]
    box: Box

    def crosses(self, tile: Tile) -> tuple[tuple[str, Point], ...]:
        """Return name and place, in the drawing, of the register crosses that a tile shares with another."""
        half = OVERLAP / 2.0
        found = []
        for down, y in ((0, tile.box.top + half), (1, tile.box.bottom - half)):
            for right, x in ((0, tile.box.left + half), (1, tile.box.right - half)):
                row, column = tile.row + down, tile.column + right
                sharing = [t for t in self.tiles if t.row in (row - 1, row) and t.column in (column - 1, column)]
                if len(sharing) > 1:
                    found.append((_cross_name(row * (self.columns + 1) + column), (x, y)))
        return tuple(found)


def _cross_name(number: int) -> str:
    """Name of a register cross, from 0: a, b ... z, aa, bb ..."""
    times, letter = divmod(number, 26)
    return chr(ord("a") + letter) * (times + 1)


def grid_for(extent: Box, window: tuple[float, float], points: Iterable[Point], reach: float) -> Grid:
    """Return the pages for a drawing.

    Args:
        extent: of the drawing.
        window: width and height of what a page shows.
        points: closely along everything that is drawn.
        reach: how far from these points there is ink.
    """
    step = (window[0] - OVERLAP, window[1] - OVERLAP)
    wide, high = extent.right - extent.left, extent.bottom - extent.top
    columns = max(1, math.ceil((wide - OVERLAP) / step[0] - 1e-9))
    rows = max(1, math.ceil((high - OVERLAP) / step[1] - 1e-9))
    total = (columns * step[0] + OVERLAP, rows * step[1] + OVERLAP)
    left = (extent.left + extent.right - total[0]) / 2.0
    top = (extent.top + extent.bottom - total[1]) / 2.0
    used: set[tuple[int, int]] = set()
    for x, y in points:
        for row in _reached(y - top, reach, step[1], window[1], rows):
            used.update((row, column) for column in _reached(x - left, reach, step[0], window[0], columns))
    every = [
        Tile(
            row,
            column,
            Box(
                left + column * step[0],
                top + row * step[1],
                left + column * step[0] + window[0],
                top + row * step[1] + window[1],
            ),
        )
        for row in range(rows)
        for column in range(columns)
    ]
    return Grid(
        rows,
        columns,
        tuple(tile for tile in every if (tile.row, tile.column) in used),
        tuple(tile.name for tile in every if (tile.row, tile.column) not in used),
        Box(left, top, left + total[0], top + total[1]),
    )


def _reached(at: float, reach: float, step: float, window: float, count: int) -> range:
    """Rows or columns whose window comes within reach of a place."""
    first = math.ceil((at - reach - window) / step)
    last = math.floor((at + reach) / step)
    return range(max(0, first), min(count - 1, last) + 1)
