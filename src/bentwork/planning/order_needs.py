"""How much straight bar a bender needs beside a bend: a rule, no collision. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Set as AbstractSet

from bentwork.clearance.workpiece import End, Workpiece
from bentwork.forming.effort import Straights
from bentwork.tooling.bender import Bender

__all__ = ["Need", "enough_straight", "lacking", "needs_of", "straight_beside"]

Need = tuple[float, float, float, float]
"""Least straight to the next bend where the bar is held and where it is free; least length to the end, likewise."""


def needs_of(bender: Bender, piece: Workpiece, bend: int) -> Need:
    """Return what the bender needs: as its owner says, else so much that hook and follower find straight bar.

    A former's rollers stand ``ahead`` of its middle, so that half the bend lies between; while it pushes, the place
    where they touch the bar moves along it.

    Args:
        bender: the bender.
        piece: the bar.
        bend: number of the bend, from 0.
    """
    given = bender.needs
    free = 0.0
    if bender.kind in ("ram", "vee"):
        free = Straights.needed(0.0, 0.0, _rollers(bender, piece, bend)).free
    elif bender.follower:
        follower = bender.follower
        half = (follower.length or 0.0) / 2.0 if follower.kind == "shoe" else 0.0
        free = Straights.needed(0.0, 0.0, follower.ahead, half).free
    held = free if bender.kind in ("ram", "vee") else 0.0
    if bender.hook and held == 0.0:
        held = Straights.needed(bender.hook.starts_behind, bender.hook.length, 0.0).held
    straight_held, straight_free = given.straight_held or held, given.straight_free or free
    return straight_held, straight_free, given.end_held or straight_held, given.end_free or straight_free


def _rollers(bender: Bender, piece: Workpiece, bend: int) -> float:
    """From the end of a bend along the leg to where a former's roller touches, at its most."""
    settings = piece.settings(bend, bender)
    if settings[4] <= 0.0:
        return 0.0
    support, reach, half = float(settings[4]), float(settings[5]), piece.pulls[bend] / 2.0
    last = (support - reach * math.sin(half)) / math.cos(half) if half < math.pi / 2 else math.inf
    return max(0.0, support - piece.arcs[bend] / 2.0, last)


def straight_beside(piece: Workpiece, bend: int, end: End, made: AbstractSet[int]) -> tuple[float, bool]:
    """Return the straight bar beside a bend towards an end, mm, and whether it reaches to the end of the bar."""
    length, bends = piece.side(bend, end)
    others = range(bend - 1, -1, -1) if end == "A" else range(bend + 1, piece.bends)
    for other, row in zip(others, bends, strict=True):
        if other in made:
            return length, False
        length += float(row[0] + row[4])
    return length, True


def lacking(bender: Bender, piece: Workpiece, bend: int, held: End, made: AbstractSet[int]) -> tuple[float, str]:
    """Return how much straight bar is wanting at most, mm, and where: ``straight`` to a bend, or ``end``."""
    need = needs_of(bender, piece, bend)
    ends: tuple[End, End] = (held, "B" if held == "A" else "A")
    lacks = []
    for role, end in enumerate(ends):
        has, to_end = straight_beside(piece, bend, end, made)
        lacks.append((need[role + 2 * to_end] - has, "end" if to_end else "straight"))
    return max(lacks)


def enough_straight(bender: Bender, piece: Workpiece, bend: int, held: End, made: AbstractSet[int]) -> bool:
    """Tell whether hook and follower find straight bar."""
    return lacking(bender, piece, bend, held, made)[0] <= 1e-9
