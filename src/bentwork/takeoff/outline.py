"""The outline of a bar's section, from where its long edges run: sizes, wall and corners."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.shape import Floats

__all__ = ["Outline", "rectangle_from", "round_outline"]

ALIKE = 0.01
"""Sizes that differ by less are one, mm: what a take-off promises."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A section in the frame of the first bend.

    Args:
        section: as it is sold.
        area: of metal as drawn, mm2.
        inward: half of its size towards the inside of the first bend, mm.
        across: half of its size along the axis of the first bend, mm.
    """

    section: Section
    area: float
    inward: float
    across: float

    @property
    def is_round(self) -> bool:
        """Tell round bar and tube from the others."""
        return isinstance(self.section, Round | Tube)

    @property
    def half(self) -> float:
        """Half of the smaller size, mm."""
        return min(self.inward, self.across)

    @property
    def largest(self) -> float:
        """The larger size, mm."""
        return 2.0 * max(self.inward, self.across)

    def beyond(self, flat: Floats) -> Floats:
        """Return how far each point of the straightened bar (n, 3) stands out beyond the section, mm; (n,)."""
        if self.is_round:
            return np.hypot(flat[:, 1], flat[:, 2]) - self.inward
        return np.maximum(np.abs(flat[:, 1]) - self.inward, np.abs(flat[:, 2]) - self.across)

    def outside(self, flat: Floats) -> float:
        """Return how far points of the straightened bar (n, 3) stand out beyond the section at most, mm."""
        return float(self.beyond(flat).max(initial=0.0))


def round_outline(radius: float, bore: float = 0.0) -> Outline:
    """Return the outline of round bar or tube; sizes are rounded to a ten-thousandth of a millimetre."""
    diameter = _tidy(2.0 * radius)
    section: Section = Tube(diameter, _tidy(radius - bore)) if bore > 0.0 else Round(diameter)
    return Outline(section, math.pi * (radius**2 - bore**2), radius, radius)


def rectangle_from(points: Floats) -> Outline | None:
    """Return the outline whose corners are these, (n, 2) about its middle: towards the inside, and along the axis.

    Sharp corners give one point each, rounded ones two; a tube has the same again inside. None when they are the
    corners of something else.
    """
    half = np.abs(points).max(axis=0)
    if float(half.min()) < 10.0 * ALIKE:
        return None
    outer = np.any(np.abs(np.abs(points) - half) < ALIKE, axis=1)
    radius = _corner(points[outer], half)
    if radius is None:
        return None
    inner = points[~outer]
    h, w = 2.0 * float(half[0]), 2.0 * float(half[1])
    area = w * h - (4.0 - math.pi) * radius**2
    if len(inner) == 0:
        return Outline(_solid(w, h), area, h / 2.0, w / 2.0)
    inside = np.abs(inner).max(axis=0)
    walls = half - inside
    if abs(float(walls[0] - walls[1])) > 2.0 * ALIKE or float(walls.min()) <= 0.0:
        return None
    on_hole = np.any(np.abs(np.abs(inner) - inside) < ALIKE, axis=1)
    hole_radius = _corner(inner[on_hole], inside)
    if hole_radius is None or not bool(np.all(on_hole)):
        return None
    hole = 4.0 * float(inside[0] * inside[1]) - (4.0 - math.pi) * hole_radius**2
    wall = _tidy(float(walls.mean()))
    try:
        tube = SquareTube(_tidy(max(w, h)), _tidy(min(w, h)), wall, _tidy(radius))
    except ValueError:
        return None
    return Outline(tube, area - hole, h / 2.0, w / 2.0)


def _solid(w: float, h: float) -> Section:
    if abs(w - h) < ALIKE:
        return Square(_tidy(w), _tidy(h))
    return Flat(_tidy(max(w, h)), _tidy(min(w, h)))


def _corner(points: Floats, half: Floats) -> float | None:
    """Return the radius of the corners of a rectangle; None unless all four are there and alike."""
    size = np.abs(points)
    on_first = size[np.abs(size[:, 0] - half[0]) < ALIKE]
    on_second = size[np.abs(size[:, 1] - half[1]) < ALIKE]
    if len(on_first) == 0 or len(on_second) == 0:
        return None
    one = float(half[1] - on_first[:, 1].max())
    two = float(half[0] - on_second[:, 0].max())
    if abs(one - two) > 2.0 * ALIKE or one > float(half.min()) + ALIKE:
        return None
    radius = 0.0 if max(one, two) < ALIKE else (one + two) / 2.0
    h, w = float(half[0]), float(half[1])
    wanted = np.array([(h, w - radius), (h - radius, w)] if radius else [(h, w)])
    wanted = (wanted[:, None] * _QUARTERS).reshape(-1, 2)
    gaps = points[:, None] - wanted
    nearest = (gaps * gaps).sum(axis=2).min(axis=0)
    return radius if float(nearest.max()) <= (3.0 * ALIKE) ** 2 else None


_QUARTERS = np.array([(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)])


def _tidy(size: float) -> float:
    """Round to a ten-thousandth: below that is the noise of the file."""
    return round(size, 4)
