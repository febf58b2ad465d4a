"""Dimension lines: extension lines, a line with arrowheads, the length on it."""

from __future__ import annotations

from bentwork.sheets.drawing import FINE, Item, Label, Point, Stroke

__all__ = ["across", "arrowhead", "upright"]

_GAP, _PAST, _HEAD = 1.5, 1.5, 2.4


def across(left: float, right: float, below: float, at: float, words: str, size: float = 9.0) -> tuple[Item, ...]:
    """Return a dimension from left to right, its line at y = ``at``, under a picture that ends at y = ``below``, mm."""
    items: list[Item] = [Stroke(((x, below + _GAP), (x, at + _PAST)), FINE) for x in (left, right)]
    items.append(Stroke(((left, at), (right, at)), FINE))
    inside = right - left > 3 * _HEAD
    for x, way in ((left, -1.0), (right, 1.0)):
        items.append(arrowhead((x, at), (way if inside else -way, 0.0)))
    items.append(Label(((left + right) / 2, at - 0.9), words, size, ("centre", "bottom"), halo=True))
    return tuple(items)


def upright(top: float, bottom: float, beside: float, at: float, words: str, size: float = 9.0) -> tuple[Item, ...]:
    """Return a dimension from top to bottom, its line at x = ``at``, right of a picture that ends at x = ``beside``."""
    items: list[Item] = [Stroke(((beside + _GAP, y), (at + _PAST, y)), FINE) for y in (top, bottom)]
    items.append(Stroke(((at, top), (at, bottom)), FINE))
    inside = bottom - top > 3 * _HEAD
    for y, way in ((top, -1.0), (bottom, 1.0)):
        items.append(arrowhead((at, y), (0.0, way if inside else -way)))
    items.append(Label((at + 1.0, (top + bottom) / 2), words, size, ("left", "middle"), halo=True))
    return tuple(items)


def arrowhead(tip: Point, way: Point, size: float = _HEAD) -> Stroke:
    """Return a filled arrowhead with its tip here, pointing the way of a unit vector."""
    back = (tip[0] - way[0] * size, tip[1] - way[1] * size)
    side = (-way[1] * size / 6, way[0] * size / 6)
    return Stroke(
        (tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1])),
        0.0,
        "none",
        "black",
        closed=True,
    )
