"""Saddles: blocks with a groove that a straight of the bar lies in, to check a piece in or to hold it for welding."""

from __future__ import annotations

import math

from bentwork.models.mesh import Mesh
from bentwork.models.slab import Point, slab
from bentwork.piece.centreline import chords_for
from bentwork.stock.section import Round, Section, Tube, Way

__all__ = ["CLEARANCE", "saddle", "saddle_outline"]

CLEARANCE = 0.2
"""How much wider the groove is than the bar on either side, mm: for printed plastic. Common practice, no source."""

_LEAST_FLOOR = 6.0
_LEAST_LENGTH = 30.0


def saddle_outline(section: Section, way: Way = "easy", chord_error: float = 0.025) -> tuple[Point, ...]:
    """Return the outline of a saddle, anticlockwise, its foot on y = 0 and the middle of the bar at x = 0, mm.

    The groove is half as deep as the bar, so that the bar can be lifted out and is seen; floor and cheeks are half a
    bar thick, 6 mm at least.

    Args:
        section: of the bar.
        way: a section with corners lies with the depth of this way upright.
        chord_error: how far the groove's chords may lie from its round, mm.
    """
    high, wide = section.depth(way), section.breadth(way)
    floor, cheek = max(_LEAST_FLOOR, high / 2.0), max(_LEAST_FLOOR, wide / 2.0)
    half = wide / 2.0 + CLEARANCE
    top = floor + CLEARANCE + high / 2.0
    if isinstance(section, Round | Tube):
        count = max(8, chords_for(half, math.pi, chord_error))
        groove = [
            (half * math.cos(math.pi * k / count), top - half * math.sin(math.pi * k / count)) for k in range(count + 1)
        ]
    else:
        groove = [(half, top), (half, floor), (-half, floor), (-half, top)]
    outside = half + cheek
    return ((-outside, 0.0), (outside, 0.0), (outside, top), *groove, (-outside, top))


def saddle(section: Section, way: Way = "easy") -> Mesh:
    """Return a saddle, the bar along z; it is two and a half bars long, 30 mm at least."""
    length = max(_LEAST_LENGTH, 2.5 * max(section.depth(way), section.breadth(way)))
    return slab(saddle_outline(section, way), length)
