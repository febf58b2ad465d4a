"""A bar as triangles with its ends as they are made: slid along the bar on to the cut, or pressed into a flat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.models.cuts import Pressed, Sawn
from bentwork.models.mesh import Indices
from bentwork.models.sawn_line import heights, smallest_round
from bentwork.models.skin import Skin

__all__ = ["Loop", "Shape", "Walk", "ended_walks", "fineness", "placed"]

Array = NDArray[np.float64]

Shape = Sawn | Pressed | float
"""How an end is made: cut off, pressed flat, or square and so much longer than it is drawn, mm."""

_FINEST = 64
_LEAST_STEP = 0.2  # mm
_PRESSED_RINGS = 8  # from round to flat: its faces are ruled from the one to the other


@dataclass(frozen=True, slots=True)
class Loop:
    """An outline of the section somewhere along the bar.

    Args:
        points: (n, 3), mm.
        same: which of the points each is the same as, (n,).
        fine: how many of its points stand for one of an ordinary outline.
    """

    points: Array
    same: Indices
    fine: int = 1


@dataclass(frozen=True, slots=True)
class Walk:
    """The outlines of one side of the wall from end A to end B, and those that fill its end faces.

    Args:
        loops: from end A to end B; of the inside they end where a flat begins.
        filling: of end A and end B: outlines between the outside and the inside or the middle, from the outside on.
        reaches: whether it goes on to end A and to end B.
    """

    loops: tuple[Loop, ...]
    filling: tuple[tuple[Loop, ...], tuple[Loop, ...]] = ((), ())
    reaches: tuple[bool, bool] = (True, True)


def fineness(ends: tuple[Shape, Shape], outer: Skin, chords: int, chord_error: float) -> int:
    """Return into how many an edge of the outline is divided at an end, so that a cope follows the other bar.

    Args:
        ends: of the bar.
        outer: outside of the section.
        chords: of a quarter of it.
        chord_error: how far a triangle may lie from the true surface, mm.
    """
    rounds = [one for end in ends if isinstance(end, Sawn) and (one := smallest_round(end)) is not None]
    if not rounds:
        return 1
    edges = np.linalg.norm(np.diff(outer.polygon(chords), axis=0), axis=1)
    step = math.sqrt(8.0 * chord_error * min(rounds)) / 2.0  # a chord so long lies a quarter of the error off
    return min(_FINEST, max(2, math.ceil(float(edges.max()) / step)))


def ended_walks(
    rings: Array, skins: Sequence[Skin], chords: int, ends: tuple[Shape, Shape], fine: int
) -> tuple[Walk, ...]:
    """Return the outlines of the outside, and of a tube those of its inside.

    Args:
        rings: origin, wide and high of every ring from end to end, (s, 3, 3).
        skins: outside and inside.
        chords: of a quarter of an outline.
        ends: of the bar.
        fine: into how many an edge is divided at an end that is cut round.
    """
    places = [_Place(rings[k], sign * np.cross(rings[k, 1], rings[k, 2])) for k, sign in ((0, -1.0), (-1, 1.0))]
    divided = [_divided(skin, chords, fine) for skin in skins]
    walks = []
    for inside, skin in enumerate(skins):
        middle = placed(rings[1:-1], skin.polygon(chords))
        loops = []
        for place, end in zip(places, ends, strict=True):
            if isinstance(end, Pressed):
                loops.append(_pressed(place, skins, chords, end, inside))
            elif isinstance(end, Sawn):
                loops.append([_slid(place.outline(divided[inside], fine), place.out, end)])
            else:
                square = place.outline(skin.polygon(chords))
                loops.append([Loop(square.points + end * place.out, square.same)])
        filling = [() if inside else _filling(place, end, divided) for place, end in zip(places, ends, strict=True)]
        one, other = (not (inside and isinstance(end, Pressed)) for end in ends)
        walks.append(Walk((*loops[0][::-1], *middle, *loops[1]), (filling[0], filling[1]), (one, other)))
    return tuple(walks)


def placed(rings: Array, polygon: Array, fine: int = 1) -> tuple[Loop, ...]:
    """Return an outline at every ring, (s, 3, 3)."""
    origin, wide, high = rings[:, 0, None], rings[:, 1, None], rings[:, 2, None]
    points = origin + polygon[None, :, :1] * wide + polygon[None, :, 1:] * high
    _, first, inverse = np.unique(polygon + 0.0, axis=0, return_index=True, return_inverse=True)
    same = first[inverse.ravel()].astype(np.int64)
    return tuple(Loop(one, same, fine) for one in points)


@dataclass(frozen=True, slots=True)
class _Place:
    """An end as it is drawn: its ring, and the way out of the bar."""

    ring: Array
    out: Array

    def outline(self, polygon: Array, fine: int = 1) -> Loop:
        """Return an outline there."""
        return placed(self.ring[None], polygon, fine)[0]


def _divided(skin: Skin, chords: int, fine: int) -> Array:
    """The outline with every edge divided; rounds stay round."""
    rounds = skin.polygon(chords * fine).reshape(4, chords * fine + 1, 2)
    share = np.arange(fine)[:, None] / fine
    found = []
    for quarter in range(4):
        here, after = rounds[quarter], rounds[(quarter + 1) % 4]
        found += [here[:-1], here[-1] + share * (after[0] - here[-1])]
    divided: Array = np.concatenate(found)
    return divided


def _slid(loop: Loop, out: Array, cut: Sawn) -> Loop:
    """An outline slid along the bar until it lies on the cut."""
    _, across, up = np.array(cut.ways)
    away = loop.points - np.array(cut.origin)
    by = (heights(cut, away @ across) - away @ up) / float(out @ up)
    return Loop(loop.points + by[:, None] * out, loop.same, loop.fine)


def _filling(place: _Place, end: Shape, divided: Sequence[Array]) -> tuple[Loop, ...]:
    """Outlines between the outside and the inside or the middle of an end that is cut round."""
    if not isinstance(end, Sawn) or smallest_round(end) is None:
        return ()
    outer, solid = divided[0], len(divided) == 1
    inner = np.zeros_like(outer) if solid else divided[1]
    step = float(np.linalg.norm(np.diff(outer, axis=0), axis=1).max())
    count = max(1, math.ceil(float(np.linalg.norm(outer - inner, axis=1).max()) / max(step, _LEAST_STEP)))
    # The inside has its own outline; in the middle of solid bar there is none, and all points are one.
    shares = [k / count for k in range(1, count + solid)]
    return tuple(_slid(place.outline(outer + share * (inner - outer)), place.out, end) for share in shares)


def _pressed(place: _Place, skins: Sequence[Skin], chords: int, end: Pressed, inside: int) -> list[Loop]:
    """The outlines of a pressed end, from the bar outwards: stadiums that keep the metal of the tube."""
    origin, wide, high = place.ring
    across = np.array(end.across)
    up = np.cross(np.cross(wide, high), across)
    quarters, rest = divmod(math.degrees(math.atan2(float(across @ high), float(across @ wide))) / 90.0, 1.0)
    shift = int(quarters) * (chords + 1) + round(rest * chords)
    half = math.pi * skins[1].radius / 2.0  # half round the bore, laid flat
    folded = 0.0 if inside else skins[0].radius - skins[1].radius
    found = []
    for k in range(_PRESSED_RINGS + 1):
        share = k / _PRESSED_RINGS
        apart, radius = share * half, (1.0 - share) * skins[inside].radius + share * folded
        flat = Skin(2.0 * (apart + radius), 2.0 * radius, radius).polygon(chords)
        found.append((end.length + (1.0 - share) * end.runs_out, np.roll(flat, shift, axis=0)))
    if not inside:
        found.append((0.0, found[-1][1]))
    loops = [placed(np.array([(origin - back * place.out, across, up)]), flat) for back, flat in found]
    return [loop for (loop,) in loops]
