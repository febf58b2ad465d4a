"""What is drawn out straight from an outline that is none of ours: angle, channel and hexagon, plates cut to shape."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.space import Vec, cross, dot, perpendicular
from bentwork.takeoff.shape import Face, Shape

__all__ = ["drawn_out"]

SAME_WAY = 1e-6
"""Directions that differ by less are the same, as a sine."""
LONG = 2.0
"""What is longer than so many times its outline is a bar."""
FLAT = 0.3
"""What is thinner than this share of its outline is a plate."""
LEVEL = 1e-3
"""Planes of one end lie in one to within this, mm."""
MOST_WAYS = 12
"""Directions tried."""


def drawn_out(shape: Shape, faces: Sequence[Face]) -> str | None:
    """Return what a solid is whose faces, but for two plane ends, all run one way; None for others.

    Args:
        shape: the solid.
        faces: of it.
    """
    way = _way(faces)
    if way is None:
        return None
    points = np.concatenate(shape.samples(faces))
    walls = (face.axis for face in faces if face.kind == "plane" and abs(dot(face.axis, way)) < SAME_WAY)
    beside = next(walls, perpendicular(way))
    sizes = np.ptp(points @ np.array([way, beside, cross(way, beside)]).T, axis=0)
    length, (small, large) = float(sizes[0]), sorted(sizes[1:].tolist())
    over_all = f"{large:.4g} × {small:.4g} mm over all"
    if length > LONG * large:
        return f"a straight bar, {length:.4g} mm long, of another section: {over_all}"
    return f"a plate cut to shape, {length:.4g} mm thick, {over_all}" if length < FLAT * large else None


def _way(faces: Sequence[Face]) -> Vec | None:
    """Return the direction that all faces run along but for plane ones square to it."""
    tried: list[Vec] = []
    for face in faces:
        if face.kind != "plane":
            continue
        if any(abs(dot(face.axis, one)) > 1.0 - SAME_WAY for one in tried):
            continue
        tried.append(face.axis)
        ends = [dot(other.origin, face.axis) for other in faces if abs(dot(other.axis, face.axis)) > 1.0 - SAME_WAY]
        high, low = max(ends), min(ends)
        if all(_runs_along(other, face.axis) for other in faces) and all(
            min(high - end, end - low) < LEVEL for end in ends
        ):
            return face.axis
        if len(tried) >= MOST_WAYS:
            break
    return None


def _runs_along(face: Face, way: Vec) -> bool:
    lean = abs(dot(face.axis, way))
    if face.kind == "plane":
        return lean < SAME_WAY or lean > 1.0 - SAME_WAY
    return face.kind == "cylinder" and lean > 1.0 - SAME_WAY
