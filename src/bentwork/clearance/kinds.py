"""Which motion each side of the bar makes past which station, for each kind of bender."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance import motion
from bentwork.tooling.bender import Kind

__all__ = ["ROLES", "Cases", "Side", "case_table", "cases_for", "way_table", "ways_off"]

Side = str
ROLES: tuple[Side, Side] = ("held", "free")
_DIE = {
    ("held", "bending"): (motion.STILL, motion.TURNS),
    ("free", "bending"): (motion.ROLLS, motion.SLIDES),
    ("held", "opening"): (-1, -1),  # where it is then it was before, on the way up
    ("free", "opening"): (motion.OPENS, motion.OPENS_SLIDING),
}
_PUSHED = {"bending": (motion.SWINGS, motion.PUSHED), "opening": (motion.OPENS_SWINGING, motion.OPENS_PUSHED)}


@dataclass(frozen=True, slots=True)
class Cases:
    """Cases of motion of one side, see ``motion``; arrays (2,) by station.

    Args:
        bending: while the bend is pulled.
        opening: while it springs back; -1 where nothing new can happen.
        let_go: where the side is afterwards.
        in_bar: of the other two, against the other side of the bar: bending, opening.
    """

    bending: NDArray[np.int64]
    opening: NDArray[np.int64]
    let_go: NDArray[np.int64]
    in_bar: tuple[int, int]


def cases_for(kind: Kind, side: Side) -> Cases:
    """Return the cases of the held or the free side."""
    if kind in ("ram", "vee"):
        bending, opening = _PUSHED["bending"], _PUSHED["opening"]
        return Cases(_array(bending), _array(opening), _array(opening), (bending[0], opening[0]))
    bending, opening = _DIE[side, "bending"], _DIE[side, "opening"]
    let_go = bending if side == "held" else opening
    return Cases(_array(bending), _array(opening), _array(let_go), (bending[0], let_go[0]))


def _array(pair: tuple[int, int]) -> NDArray[np.int64]:
    return np.array(pair, dtype=np.int64)


def case_table(kind: Kind) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the cases of both sides as the kernels read them.

    The first by role (held, free); bending, opening, let go; station: (2, 3, 2). The second, against the other side of
    the bar, by role; bending, opening: (2, 2).
    """
    cases = [cases_for(kind, role) for role in ROLES]
    table = np.array([[case.bending, case.opening, case.let_go] for case in cases], dtype=np.int64)
    return table, np.array([case.in_bar for case in cases], dtype=np.int64)


def way_table(kind: Kind, wanted: float) -> tuple[NDArray[np.float64], tuple[str, ...]]:
    """Return the ways in which the bar is put on and lifted off as the kernels read them, and their names.

    By role (held, free); put on, lifted off; way; station: (2, 2, ways, 2, 3). ``wanted`` is the angle of the bend,
    radians. See ``ways_off``.
    """
    names = tuple(ways_off(kind, "free", 0.0))
    table = [
        [[found[name] for name in names] for found in (ways_off(kind, role, turned) for turned in (0.0, wanted))]
        for role in ROLES
    ]
    return np.array(table), names


def ways_off(kind: Kind, side: Side, turned: float) -> dict[str, NDArray[np.float64]]:
    """Return the ways in which the bar can be put on and lifted off, as bodies of station 0 and 1 see them, (2, 3).

    Up is along the die's axis; aside is square out of the die's open side. A former between rollers lets nothing out
    sideways. The held side sees up and left and right the other way round.

    Args:
        kind: of the bender.
        side: ``held`` or ``free``.
        turned: angle that a turning die has turned by, radians.
    """
    sign = -1.0 if side == "held" else 1.0
    ways = {"up": np.array([(0.0, 0.0, sign), (0.0, 0.0, sign)])}
    if kind == "wrap":
        ways["aside"] = np.array([(0.0, -1.0, 0.0), (0.0, -1.0, 0.0)])
    elif kind == "draw":  # square to the die in the room; the die itself has turned under it
        ways["aside"] = np.array([(sign * math.sin(turned), -math.cos(turned), 0.0), (0.0, -1.0, 0.0)])
    return ways
