"""Where a bar is cut into besides its ends and holes: notches, grooves, flats. They are told, not measured."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bentwork.space import dot
from bentwork.takeoff.bar import Hole
from bentwork.takeoff.ends import Cut
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.shape import Face

__all__ = ["cut_away"]

DEEP = 0.05
"""A face lies in the metal if it goes deeper below the section's outline than this, mm."""
BESIDE_HOLE = 2.5
"""As far from a hole as so many of its radii, faces belong to it: countersinks and counterbores."""
EASED = 0.25
"""Chamfers and rounds of an end go back less than this share of the bar's size."""
ODD_END = 1.5
"""Within so many times the bar's size of an end that is not square, faces belong to that."""
PRESSED_END = 6.0
"""The same of one that is pressed flat."""
WALL, SQUARE = 0.01, 0.99
"""A wall across the bar is no thicker, mm, and leans by a cosine of no less."""
APART = 1.0
"""Cuts that are nearer to one another along the bar are told as one, mm."""


def cut_away(cut: Cut, holes: Sequence[Hole], outline: Outline) -> tuple[tuple[float, float], ...]:
    """Return from where to where, along the centreline, a bar is cut into by what is neither end nor hole, mm.

    What goes over the seam of a closed piece ends beyond its length.

    Args:
        cut: the bar, cut to length.
        holes: that were found in it.
        outline: of its section.
    """
    length = cut.line.table.length
    found: list[tuple[float, float]] = []
    walls: list[tuple[float, bool]] = []
    for rest, samples in zip(cut.rests, cut.flats, strict=True):
        low, high = (min(max(float(one), 0.0), length) for one in (samples[:, 0].min(), samples[:, 0].max()))
        places = [hole.at for hole in holes]
        if cut.line.table.closed and high - low > length / 2.0:
            after = samples[:, 0] < length / 2.0
            low, high = float(samples[~after, 0].min()), float(samples[after, 0].max()) + length
            places = [at + length if at < length / 2.0 else at for at in places]
        lean = _faces(cut, rest.face, low) if high - low < WALL else 0.0
        wall = abs(lean) > SQUARE
        # What stands square across the bar is of a slot, but of no round hole.
        near = ((hole, at) for hole, at in zip(holes, places, strict=True) if hole.slot or not wall)
        own = (_of_hole(hole, at, low, high, outline.largest) for hole, at in near)
        if _of_end(cut, low, high, outline, wall=wall) or any(own):
            continue
        # Straight edges are told by their ends, which may all lie on the outside: the middle of a plane does not.
        flat = np.vstack((samples, samples.mean(axis=0))) if rest.face.kind == "plane" else samples
        # A piece of a side in which none of its edges is a long one is still a piece of a side.
        if float(outline.beyond(flat).min()) <= -DEEP and outline.off_sides(flat) > DEEP:
            found.append((low, high))
            walls += [(low, lean > 0.0)] if wall else []
    found += _between(walls, found, length)
    joined: list[tuple[float, float]] = []
    for low, high in sorted(found):
        if joined and low < joined[-1][1] + APART:
            joined[-1] = joined[-1][0], max(high, joined[-1][1])
        else:
            joined.append((low, high))
    return tuple(joined)


def _faces(cut: Cut, face: Face, station: float) -> float:
    """Return how far a plane looks along the bar, to end B: 1, to end A: -1."""
    if face.kind != "plane" or cut.line.table.closed:
        return 0.0
    return dot(face.axis, cut.line.pose(station).tangent)


def _between(
    walls: Sequence[tuple[float, bool]], seen: Sequence[tuple[float, float]], length: float
) -> list[tuple[float, float]]:
    """Return from where to where metal is missing between walls that stand across the bar, or from one to an end.

    The floor of a notch runs along the bar as its sides do, and is not looked at.

    Args:
        walls: where they are, and whether they look to end B.
        seen: from where to where there are other faces in the metal: a slot may end in a hole.
        length: of the bar, mm.
    """
    found: list[tuple[float, float]] = []
    begun: list[float] = []
    for at, ahead in sorted(walls):
        if ahead:
            begun.append(at)
        else:
            beside = [low for low, high in seen if high - low > WALL and abs(high - at) < WALL]
            found.append((begun.pop() if begun else min(beside, default=0.0), at))
    for at in begun:
        beside = [high for low, high in seen if high - low > WALL and abs(low - at) < WALL]
        found.append((at, max(beside, default=length)))
    return found


def _of_hole(hole: Hole, at: float, low: float, high: float, half: float) -> bool:
    # Aslant, it comes out further along the bar than it went in.
    reach = BESIDE_HOLE * hole.diameter / 2.0 + hole.slot / 2.0 + half * math.tan(math.radians(hole.slant))
    return abs(low - at) < reach and abs(high - at) < reach


def _of_end(cut: Cut, low: float, high: float, outline: Outline, *, wall: bool) -> bool:
    """Tell whether what lies between two stations belongs to an end; a wall across the bar only where that ends."""
    if cut.line.table.closed:
        return False
    length = cut.line.table.length
    at_b = low + high > length
    end = cut.ends[at_b]
    if wall and end.cut == "square":
        return min(low, length - high) < WALL
    share = EASED if end.cut == "square" else PRESSED_END if end.cut == "flattened" else ODD_END
    return (length - low if at_b else high) < share * outline.largest + 2.0 * end.beyond
