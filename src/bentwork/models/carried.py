"""The inside of the bends: what is left between the metal and the axis it is bent about."""

from __future__ import annotations

from bentwork.models.skin import skins
from bentwork.piece.carried import Stretch, carried, carried_from, seam_turn
from bentwork.piece.centreline import Centreline
from bentwork.space import cross, dot
from bentwork.stock.section import Section, Way

__all__ = ["LEAST_ROOM", "Stretch", "carried", "carried_from", "room_inside", "seam_turn"]

LEAST_ROOM = 1e-4
"""What must be left between the inside of a bend and its axis, mm: with less the inside is a crease, no surface."""


def room_inside(line: Centreline, section: Section, way: Way = "easy") -> tuple[tuple[int, float], ...]:
    """Return for every bend its number and what is left between its inside and its axis, mm; below 0 is impossible.

    Args:
        line: the piece in space.
        section: of its bar.
        way: of its first bend.
    """
    outer = skins(section)[0]
    found = []
    for stretch in carried(line, way):
        if stretch.run.bend:
            inward = cross(stretch.run.start.axis, stretch.run.start.tangent)
            reach = outer.reach(dot(inward, stretch.wide), dot(inward, stretch.high))
            found.append((stretch.run.bend, stretch.run.radius - reach))
    return tuple(found)
