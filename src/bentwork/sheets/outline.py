"""A bar by itself, seen from the corner, as large as its field allows."""

from __future__ import annotations

from bentwork.piece.centreline import Centreline
from bentwork.sheets.bar_view import bar_of, draw_bars
from bentwork.sheets.drawing import Drawing
from bentwork.sheets.projection import CORNER
from bentwork.stock.section import Section, Way

__all__ = ["outline"]

_MARGIN = 1.0


def outline(line: Centreline, section: Section, way: Way, width: float, height: float) -> Drawing:
    """Return the picture of a bar in a field of this size, mm; not to scale."""
    bar = bar_of(line, section, way, 0.5)
    flat = CORNER.flat(bar.points)
    low, high = flat[:, :2].min(axis=0), flat[:, :2].max(axis=0)
    spans = [max(float(b - a) + bar.width, 1.0) for a, b in zip(low, high, strict=True)]
    scale = min((width - 2.0 * _MARGIN) / spans[0], (height - 2.0 * _MARGIN) / spans[1])
    middle = (low + high) / 2.0 * scale
    lines = Drawing(width, height, tuple(draw_bars([bar], CORNER, scale)))
    return Drawing(width, height, tuple(lines.moved(width / 2.0 - float(middle[0]), height / 2.0 - float(middle[1]))))
