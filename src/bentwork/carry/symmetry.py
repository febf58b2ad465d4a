"""The plane that a frame is the same on both sides of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.structure import Structure
from bentwork.space import Vec, dot

__all__ = ["Plane", "mirror_plane"]

Floats = NDArray[np.float64]

_SAME = 1.0  # mm: bars of one drawing that are meant to stand opposite one another
_AXES: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane square to an axis: number of the axis (0, 1, 2 for x, y, z), and where on it, mm."""

    axis: int
    at: float

    def image(self, place: Vec) -> Vec:
        """Return the place on the other side."""
        x, y, z = (2.0 * self.at - c if k == self.axis else c for k, c in enumerate(place))
        return (x, y, z)


def mirror_plane(structure: Structure) -> Plane | None:
    """Return the plane that bars and fixings are mirrored in, the one between left and right first; None without one.

    Bars are compared by their open ends and their bends, with what they are made of; a seam may be anywhere.

    Args:
        structure: the frame.
    """
    groups = _telling(structure)
    if not groups:
        return None
    every = np.concatenate(groups)
    middle, size = (every.min(axis=0) + every.max(axis=0)) / 2.0, np.ptp(every, axis=0)
    directions = structure.directions
    # A flat frame lies in a plane of its own; that one has no other side.
    level = [axis for axis in range(3) if abs(dot(_AXES[axis], directions.up)) < 0.5 and size[axis] > 2.0 * _SAME]
    for axis in sorted(level, key=lambda axis: -abs(dot(_AXES[axis], directions.left))):
        plane = Plane(axis, float(middle[axis]))
        if all(_is_mirrored(group, plane) for group in groups):
            return plane
    return None


def _telling(structure: Structure) -> list[Floats]:
    """Places that tell where bars run, (n, 3) for each kind of bar; fixings last."""
    kinds: dict[object, list[Vec]] = {}
    for bar in structure.bars:
        mine = kinds.setdefault((bar.section, bar.material), [])
        if not bar.closed:
            mine += [bar.line.start.origin, bar.line.end.origin]
        for run in bar.line.runs:
            if run.bend:
                mine += [run.pose(share * run.length).origin for share in (0.0, 0.5, 1.0)]
    groups = [np.array(mine) for mine in kinds.values() if mine]
    held: Sequence[Vec] = [structure.bars[one.bar].line.pose(one.station).origin for one in structure.fixings]
    return [*groups, np.array(held)] if groups and held else groups


def _is_mirrored(places: Floats, plane: Plane) -> bool:
    image = places.copy()
    image[:, plane.axis] = 2.0 * plane.at - image[:, plane.axis]
    apart = np.linalg.norm(image[:, None] - places[None], axis=2).min(axis=1)
    return bool((apart <= _SAME).all())
