"""Which circles are no bends: they go round the rounded corners of straight square, rectangular or flat bar."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.takeoff.bends_about import Axis
from bentwork.takeoff.outline import ALIKE, Outline

__all__ = ["not_at_corners"]

LONGER = 2.0
"""So many times as long as wide is a bar whose corners are rounded; what is shorter may be a wide flat, bent."""
PARALLEL = 1.0 - 1e-8
"""The cosine between an axis and a bar that it runs along is larger."""


def not_at_corners(axes: Sequence[Axis], straight: Sequence[tuple[Centreline, Outline]]) -> list[Axis]:
    """Return the axes that are not those of the rounded corners of straight bars.

    Of a corner no circle is wider than that is round, and none lies beyond the bar: a strap may be bent round a bar.

    Args:
        axes: with the circles about them.
        straight: bars with their sections.
    """
    bars = [
        (line, outline)
        for line, outline in straight
        if max(outline.corners, default=0.0) > ALIKE and line.table.length > LONGER * outline.largest
    ]
    if not bars or not axes:
        return list(axes)
    near = 2.0 * ALIKE
    starts, ahead, thick, across = np.array(
        [(line.start.origin, line.start.tangent, line.start.inward, line.start.axis) for line, _ in bars]
    ).transpose(1, 0, 2)
    corners = np.array([outline.corners for _, outline in bars])
    ways, feet = np.array([axis.way for axis in axes]), np.array([axis.foot for axis in axes])
    same = ways @ ahead.T
    rel = feet[:, None] - starts
    places = np.abs([np.einsum("ijk,jk->ij", rel, way) for way in (thick, across)])[..., None]
    halves = np.array([(outline.inward, outline.across) for _, outline in bars]).T[:, None, :, None]
    at_corner = (np.abs(places - (halves - corners)) < near).all(axis=0)
    at_corner &= np.array([axis.widest for axis in axes])[:, None, None] < corners + near
    reach = (
        np.einsum("ijk,jk->ij", rel, ahead)[..., None]
        + same[..., None] * np.array([axis.span for axis in axes])[:, None]
    )
    lengths = np.array([line.table.length for line, _ in bars])
    along = (np.abs(same) > PARALLEL) & (reach.min(axis=2) > -near) & (reach.max(axis=2) < lengths + near)
    known = (at_corner.any(axis=2) & along).any(axis=1)
    return [axis for axis, of_a_corner in zip(axes, known.tolist(), strict=True) if not of_a_corner]
