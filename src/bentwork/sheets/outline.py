"""Bars by themselves, seen from the corner, as large as their field allows."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.sheets.bar_view import Bar, bar_of, draw_bars
from bentwork.sheets.drawing import THIN, Drawing
from bentwork.sheets.projection import CORNER
from bentwork.stock.section import Section, Way

__all__ = ["bars_seen", "outline"]

_MARGIN = 1.0


def outline(line: Centreline, section: Section, way: Way, width: float, height: float) -> Drawing:
    """Return the picture of a bar in a field of this size, mm; not to scale."""
    return bars_seen([bar_of(line, section, way, 0.5)], width, height)


def bars_seen(bars: Sequence[Bar], width: float, height: float, weight: float = THIN) -> Drawing:
    """Return the picture of bars where they stand, in a field of this size, mm; not to scale, nothing without bars."""
    if not bars:
        return Drawing(width, height)
    flats = [
        (CORNER.flat(bar.points)[:, :2], bar.width / 2.0)
        if bar.across is None
        else (CORNER.flat(np.concatenate(bar.edges))[:, :2], 0.0)
        for bar in bars
    ]
    low = [min(float(flat[:, axis].min()) - reach for flat, reach in flats) for axis in (0, 1)]
    high = [max(float(flat[:, axis].max()) + reach for flat, reach in flats) for axis in (0, 1)]
    spans = [max(b - a, 1.0) for a, b in zip(low, high, strict=True)]
    scale = min((width - 2.0 * _MARGIN) / spans[0], (height - 2.0 * _MARGIN) / spans[1])
    middle = [(a + b) / 2.0 * scale for a, b in zip(low, high, strict=True)]
    lines = Drawing(width, height, tuple(draw_bars(bars, CORNER, scale, weight)))
    return Drawing(width, height, tuple(lines.moved(width / 2.0 - middle[0], height / 2.0 - middle[1])))
