"""The skin of a bar at the bender: rings of its true section along either side, and how it lies in the bend between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.jobs.motion_keys import Key
from bentwork.jobs.scene import SIGHT_ERROR
from bentwork.models.bar_mesh import rings_along
from bentwork.models.carried import carried_from
from bentwork.models.skin import Skin, skins
from bentwork.planning.pulling import Pulling
from bentwork.space import Vec, cross, dot, scale
from bentwork.stock.section import Section, Way

__all__ = ["BarSkin", "bar_skin", "mirrored_keys", "outline"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class BarSkin:
    """Where to sweep the outline of a section along a bar.

    Args:
        held: origin, wide and high (n, 3, 3) of every ring of the held side, from the bend outward, in the frame of the
            first place of the bend between: x along the bar there, z the die's axis.
        free: the same of the free side, in the frame of the last place.
        wide: of the section between the two, in the frame of each place.
        high: likewise.
    """

    held: Array
    free: Array
    wide: Vec
    high: Vec


def outline(section: Section) -> tuple[Array, ...]:
    """Return points and outward normals (n, 4) round a section, in width and height; of a tube its inside too."""
    return tuple(_walked(skin) for skin in skins(section))


def bar_skin(pulling: Pulling, section: Section, way: Way, sign: float) -> BarSkin:
    """Return the skin of a bar.

    Args:
        pulling: the bend.
        section: of the bar.
        way: of its first bend.
        sign: -1 for a right-hand bender.
    """
    outer = skins(section)[0]
    rings = []
    for side in ("held", "free"):
        wide, high = _section_beside(pulling, side, way)
        found = rings_along(carried_from(pulling.side(side), wide, high), outer, SIGHT_ERROR / 2.0)
        if side == "held":
            found = found * np.array([-1.0, 1.0, -1.0])
        rings.append(found * np.array([1.0, sign, 1.0]) * np.array([1.0, 1.0, sign])[:, None])
    wide, high = _section_beside(pulling, "free", way)
    # A mirror image of a right-handed frame is left-handed: height is turned round, sections being symmetric.
    high = scale((high[0], sign * high[1], high[2]), sign)
    return BarSkin(rings[0], rings[1], (wide[0], sign * wide[1], wide[2]), high)


def mirrored_keys(keys: Sequence[Key], sign: float) -> tuple[Key, ...]:
    """Return keys as a bender of either hand has them."""
    if sign > 0.0:
        return tuple(keys)

    def image(place: tuple[float, float, float]) -> tuple[float, float, float]:
        return (place[0], -place[1], -place[2])

    flip = np.array([1.0, -1.0, -1.0])
    return tuple(
        replace(
            key,
            lift=(key.lift[0], -key.lift[1], key.lift[2]),
            die=image(key.die),
            arm=image(key.arm),
            bar=key.bar * flip,
        )
        for key in keys
    )


def _section_beside(pulling: Pulling, side: str, way: Way) -> tuple[Vec, Vec]:
    """Width and height of the section where a side begins, in that side's own frame; right-handed with outward."""
    inward = pulling.first_bend_turns_to(side)
    out = (1.0, 0.0, 0.0)
    axis = cross(out, inward)
    wide, high = (axis, inward) if way == "easy" else (inward, axis)
    return (wide, high) if dot(cross(wide, high), out) > 0.0 else (wide, scale(high, -1.0))


def _walked(skin: Skin) -> Array:
    chords = skin.chords(SIGHT_ERROR * 0.4)
    angles = np.array([(quarter + k / chords) * np.pi / 2.0 for quarter in range(4) for k in range(chords + 1)])
    return np.column_stack([skin.polygon(chords), np.cos(angles), np.sin(angles)])
