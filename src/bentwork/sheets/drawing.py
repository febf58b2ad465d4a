"""A drawing: strokes and labels in mm, x to the right and y down the paper, from the top left corner."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

__all__ = ["BOLD", "FINE", "HEAVY", "THIN", "Dash", "Drawing", "Ink", "Item", "Label", "Point", "Stroke", "clipped"]

Point = tuple[float, float]
Dash = Literal["full", "dash", "chain", "dot"]
Ink = Literal["black", "grey", "white", "none"]

FINE, THIN, BOLD, HEAVY = 0.13, 0.25, 0.5, 1.0
"""Line weights, mm: half steps of the ISO 128 series, so that a photocopy keeps them apart."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points, or a filled outline.

    Args:
        points: (x, y) in mm, at least one.
        weight: width of the line, mm; 0 for none.
        ink: of the line.
        fill: of the area inside; ``none`` for an open line.
        dash: how the line is broken.
        closed: the last point is joined to the first.
        cap: ``butt`` ends square on the last point, ``round`` reaches past it by half the weight.
    """

    points: tuple[Point, ...]
    weight: float = THIN
    ink: Ink = "black"
    fill: Ink = "none"
    dash: Dash = "full"
    closed: bool = False
    cap: Literal["butt", "round"] = "round"


@dataclass(frozen=True, slots=True)
class Label:
    """A word or number.

    Args:
        at: the point it is anchored at, mm.
        text: what it says.
        size: height of the type, points.
        anchor: which part of the text stands on ``at``: horizontal, then vertical.
        bold: heavy type.
        angle: turn of the text, degrees, clockwise on paper.
        halo: white behind the text, so that lines under it do not spoil it.
    """

    at: Point
    text: str
    size: float = 9.0
    anchor: tuple[Literal["left", "centre", "right"], Literal["top", "middle", "bottom"]] = ("centre", "middle")
    bold: bool = False
    angle: float = 0.0
    halo: bool = False


Item = Stroke | Label


@dataclass(frozen=True, slots=True)
class Drawing:
    """Strokes and labels on a piece of paper of this size, mm. Later items lie over earlier ones."""

    width: float
    height: float
    items: tuple[Item, ...] = ()

    def moved(self, dx: float, dy: float) -> tuple[Item, ...]:
        """Return the items shifted by (dx, dy), to be put into a larger drawing."""
        return tuple(_moved(item, dx, dy) for item in self.items)


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Label):
        return replace(item, at=(item.at[0] + dx, item.at[1] + dy))
    return replace(item, points=tuple((x + dx, y + dy) for x, y in item.points))


def clipped(items: Iterable[Item], box: tuple[float, float, float, float]) -> tuple[Item, ...]:
    """Return what can be seen of the items in a box (left, top, right, bottom), mm.

    Open lines are cut to the runs of segments that come near the box, so that a page carries only its own part; the
    page itself cuts the rest. Filled outlines and labels are kept whole when they touch the box.
    """
    left, top, right, bottom = box
    kept: list[Item] = []
    for item in items:
        if isinstance(item, Label):
            if left <= item.at[0] <= right and top <= item.at[1] <= bottom:
                kept.append(item)
            continue
        if item.closed or item.fill != "none" or len(item.points) < 2:
            xs, ys = [p[0] for p in item.points], [p[1] for p in item.points]
            if max(xs) >= left and min(xs) <= right and max(ys) >= top and min(ys) <= bottom:
                kept.append(item)
            continue
        margin = item.weight
        kept += [
            replace(item, points=run)
            for run in _near(item.points, (left - margin, top - margin, right + margin, bottom + margin))
        ]
    return tuple(kept)


def _near(points: Sequence[Point], box: tuple[float, float, float, float]) -> list[tuple[Point, ...]]:
    left, top, right, bottom = box
    runs: list[list[Point]] = []
    open_run = False
    for a, b in itertools.pairwise(points):
        outside = max(a[0], b[0]) < left or min(a[0], b[0]) > right or max(a[1], b[1]) < top or min(a[1], b[1]) > bottom
        if outside:
            open_run = False
            continue
        if open_run:
            runs[-1].append(b)
        else:
            runs.append([a, b])
            open_run = True
    return [tuple(run) for run in runs]
