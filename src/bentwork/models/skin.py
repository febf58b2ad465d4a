"""The outlines of a section, outside and inside: each a rectangle with rounded corners, of which a circle is one."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.centreline import chords_for
from bentwork.stock.section import Round, Section, SquareTube, Tube

__all__ = ["Skin", "skins"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Skin:
    """An outline about the middle of the section, mm.

    Args:
        width: along the section's width.
        height: along its height.
        radius: of the corners; half the width of a circle, 0 for sharp ones.
    """

    width: float
    height: float
    radius: float

    @property
    def is_round(self) -> bool:
        """Tell whether it is a circle."""
        return self.radius > 0.0 and self.width == self.height == 2.0 * self.radius

    def reach(self, across: float, up: float) -> float:
        """Return how far it reaches from the middle along a unit direction given in width and height, mm."""
        w, h = self.width / 2.0 - self.radius, self.height / 2.0 - self.radius
        return w * abs(across) + h * abs(up) + self.radius

    def polygon(self, chords: int) -> Array:
        """Return 4 (chords + 1) points (n, 2) on it, anticlockwise from the right; those of sharp corners coincide.

        Args:
            chords: of every corner's quarter circle.
        """
        w, h, r = self.width / 2.0 - self.radius, self.height / 2.0 - self.radius, self.radius
        points = []
        for quarter, (across, up) in enumerate(((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0))):
            for k in range(chords + 1):
                angle = (quarter + k / chords) % 4.0 * math.pi / 2.0  # the same number where the round closes
                points.append((across * w + r * math.cos(angle), up * h + r * math.sin(angle)))
        return np.array(points)

    def chords(self, chord_error: float) -> int:
        """Return how many chords keep a corner within this error, mm; no fewer than two on a round one."""
        if self.radius == 0.0:
            return 1
        return max(2, chords_for(self.radius, math.pi / 2.0, chord_error))


def skins(section: Section) -> tuple[Skin, ...]:
    """Return the outside of a section, and of a tube its inside too."""
    if isinstance(section, Round | Tube):
        outer = Skin(section.diameter, section.diameter, section.diameter / 2.0)
        if isinstance(section, Tube):
            return outer, Skin(section.bore, section.bore, section.bore / 2.0)
        return (outer,)
    if isinstance(section, SquareTube):
        inset = 2.0 * section.wall
        inner = Skin(section.width - inset, section.height - inset, section.inside_radius)
        return Skin(section.width, section.height, section.corner_radius), inner
    return (Skin(section.width, section.height, 0.0),)
