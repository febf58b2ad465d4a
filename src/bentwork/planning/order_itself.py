"""Where the bar hits itself in one step of an order, and so in which others. Compiled.

Whether two places of the bar meet depends only on the bends between them. So of all pairs of places that meet the one
with the fewest bends between is told: the fewer these are, the more sets of bends are ruled out with it.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled
from bentwork.clearance.distances import between_lines
from bentwork.clearance.kinds import case_table
from bentwork.clearance.motion import SWINGS, opening_apart, placed, step_until
from bentwork.clearance.side_lines import FROM, GROWS, HOLDS, LAST, TO, TURNING, Lines, line_of, lines_of_side
from bentwork.clearance.sweep import arm_of, clears_bar, grown, turned
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.tolerances import CLEARANCE_CHORD
from bentwork.tooling.bender import Bender

__all__ = ["BarItself"]

Row = NDArray[np.float64]
Flags = NDArray[np.int64]
_ENDS: tuple[End, End] = ("A", "B")


class BarItself:
    """The bar against itself, step by step.

    Args:
        piece: the bar.
        bender: it is bent on.
        clearance: least gap, mm.
    """

    def __init__(self, piece: Workpiece, bender: Bender, clearance: float) -> None:
        self._steps = [
            (*piece.side(bend, "A"), *piece.side(bend, "B"), piece.settings(bend, bender))
            for bend in range(piece.bends)
        ]
        self._bar = np.array(piece.rows), piece.thick, CLEARANCE_CHORD, case_table(bender.kind)[1], clearance
        self._closed = piece.closed

    def hits(self, bend: int, made: int, end: End) -> list[tuple[End, int, int]]:
        """Return which ends the bar hits itself with if held there: that end, bends outward on its free and held side.

        The other end is looked at only where the bar hits itself with ``end`` held, and no further than that.

        Args:
            bend: number of the bend, from 0.
            made: bends made before, as bits.
            end: the end held.
        """
        rows = _hits(*self._steps[bend], bend, made, _ENDS.index(end), *self._bar, self._closed)
        return [(_ENDS[row[0]], row[1], row[2]) for row in rows.tolist()]


@compiled
def _hits(
    a_first: float, a_bends: Row, b_first: float, b_bends: Row, settings: Row, bend: int, made: int, end: int,
    rows: Row, thick: float, error: float, cases: Flags, clearance: float, closed: bool,
) -> Flags:  # fmt: skip
    """Return rows of: end held, bends outward on the free and on the held side; none, one, or one for each end."""
    a_made = np.array([(made >> (bend - 1 - i)) & 1 for i in range(len(a_bends))], dtype=np.int64)
    b_made = np.array([(made >> (bend + 1 + i)) & 1 for i in range(len(b_bends))], dtype=np.int64)
    a = lines_of_side(a_first, a_bends, a_made, rows, thick, error)
    b = lines_of_side(b_first, b_bends, b_made, rows, thick, error)
    found = np.empty((2, 3), dtype=np.int64)
    a_most, b_most = len(a_bends), len(b_bends)
    for i in range(2):
        held = end if i == 0 else 1 - end
        if held == 0:
            b_most, a_most = _nearest_hit(b, a, b_most, a_most, cases, settings, clearance, closed)
            free_most, held_most = b_most, a_most
        else:
            a_most, b_most = _nearest_hit(a, b, a_most, b_most, cases, settings, clearance, closed)
            free_most, held_most = a_most, b_most
        if free_most < 0:
            return found[:i]
        found[i, 0], found[i, 1], found[i, 2] = held, free_most, held_most
    return found


@compiled
def _glance(side: Lines, case: int, settings: Row) -> Row:
    """Return where the stretches of a side are halfway up, and how far they reach from what they turn about, (n, 7)."""
    wide, t = side[4], 0.5 * settings[2]
    pose = placed(case, t, settings)
    found = np.empty((len(wide), 7))
    for k in range(len(wide)):
        grows = wide[k, GROWS] != 0.0
        x = turned(grown(line_of(wide, k), grows, case, t, settings), pose)
        found[k, 0], found[k, 1], found[k, 2], found[k, 3], found[k, 4], found[k, 5] = x
        found[k, 6] = arm_of(x, pose) + (settings[0] if grows else 0.0)
    return found


@compiled
def _nearest_hit(
    free: Lines, held: Lines, free_most: int, held_most: int, cases: Flags, settings: Row, clearance: float,
    ends_meet: bool,
) -> tuple[int, int]:  # fmt: skip
    """Return how many bends outward on the free and the held side it takes for a hit, the fewest; -1, -1 for none.

    Places further outward than the most are not looked at. Pairs are looked at only from the angle on at which they can
    meet, see ``step_gaps``.
    """
    pull, best, one, two = settings[2], free_most + held_most + 1, -1, -1
    case, other_case = cases[1, 0], cases[0, 0]
    x, y, half = _glance(free, case, settings), _glance(held, other_case, settings), 0.5 * pull
    shift = opening_apart(case == SWINGS, settings)
    if other_case == SWINGS:
        shift *= 2.0
    wide, other_wide = free[4], held[4]
    for k in range(len(wide)):
        k_out = free[3][int(wide[k, FROM])]
        if k_out > free_most:
            continue
        for h in range(len(other_wide)):
            h_out = held[3][int(other_wide[h, FROM])]
            if h_out > held_most or k_out + h_out >= best:
                continue
            if math.pi - 1e-9 - wide[k, TURNING] - other_wide[h, TURNING] > pull or (
                ends_meet and wide[k, LAST] != 0.0 and other_wide[h, LAST] != 0.0
            ):
                continue
            gap = between_lines(
                x[k, 0], x[k, 1], x[k, 2], x[k, 3], x[k, 4], x[k, 5],
                -y[h, 0], y[h, 1], -y[h, 2], -y[h, 3], y[h, 4], -y[h, 5],
            ) - (clearance + wide[k, HOLDS] + other_wide[h, HOLDS] + shift)  # fmt: skip
            if step_until(case, x[k, 6], gap, other_case, y[h, 6], settings) >= half:
                continue
            if not _clear(free, k, held, h, cases, settings, clearance):
                best, one, two = k_out + h_out, k_out, h_out
    return one, two


@compiled
def _clear(free: Lines, k: int, held: Lines, h: int, cases: Flags, settings: Row, clearance: float) -> bool:
    """Tell whether two stretches stay apart, on the way up and springing back."""
    wide, other_wide, pull = free[4][k], held[4][h], settings[2]
    grows, other_grows = wide[GROWS] != 0.0, other_wide[GROWS] != 0.0
    several = wide[TO] - wide[FROM] > 1.0 or other_wide[TO] - other_wide[FROM] > 1.0
    for phase in range(2):
        case, other_case = cases[1, phase], cases[0, phase]
        first = 0.0 if phase == 0 else settings[3]
        if several and clears_bar(
            line_of(free[4], k), grows, line_of(held[4], h), other_grows, clearance + wide[HOLDS] + other_wide[HOLDS],
            case, other_case, max(first, math.pi - 1e-9 - wide[TURNING] - other_wide[TURNING]), pull, settings,
        ):  # fmt: skip
            continue
        for i in range(int(wide[FROM]), int(wide[TO])):
            for j in range(int(other_wide[FROM]), int(other_wide[TO])):
                start = max(first, math.pi - 1e-9 - free[2][i] - held[2][j])
                if start <= pull and not clears_bar(
                    line_of(free[0], i), grows, line_of(held[0], j), other_grows, clearance + free[1][i] + held[1][j],
                    case, other_case, start, pull, settings,
                ):  # fmt: skip
                    return False
    return True
