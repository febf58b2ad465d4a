"""What a bar on a bender makes of a mark and a pull, and what all bends of one bar are out by together.

Where the springback of a bar is misjudged, every bend of it is out the same way: that is what closes no loop. So the
scatter of what the test bends leave open is carried over to each bend by its own slopes (``bending.bend_law``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.bending.handbook import OFFSET
from bentwork.bending.known import Known
from bentwork.bending.learnt import Fit
from bentwork.fitup.made import ANGLE, KINDS, PLACE, RADIUS, STRETCH, Bar, Floats, LinedUp

__all__ = ["ComesOut", "comes_out"]

_LINED_UP_SD = 3.0
"""Where a bend begins behind the mark before a tape said anything of it, one standard deviation, mm, for a maker who
lines the mark up with the edge of the die; common practice, no source. The handbook's 40 mm are for any edge at all."""

_HANDBOOK_OFFSET_SD = 40.0
_SAID_SD = 0.1
_LEAST_SAID_SD = 0.3
"""The job's own word for springback may be out by a tenth of it, and by 0.3 degrees; common practice, no source."""

_NOTHING_SD = 0.03  # of the angle, where nothing is known of springback; common practice, no source


@dataclass(frozen=True, slots=True, eq=False)
class ComesOut:
    """What comes out of marks and pulls, for n bends of one bar.

    Args:
        behind: place of each bend (of its lined up start, centre or end) less the mark it is set to, mm, shape (n,).
        radius: centreline radius that is left, mm, shape (n,).
        stretch: by how much the bar gets longer, mm, shape (n,).
        common: what one standard deviation of each thing that is not known does to all bends, shape (q, 5, n).
    """

    behind: Floats
    radius: Floats
    stretch: Floats
    common: Floats

    def bar(self, nominal: Bar, marks: Sequence[float]) -> Bar:
        """Return the bar that is expected when the bends of ``nominal`` are set to these marks.

        Args:
            nominal: the piece as drawn; its angles are what is left, its directions are kept.
            marks: what is lined up on the tool, mm from end A, trim not included.
        """
        values = nominal.values.copy()
        values[PLACE] = np.asarray(marks, dtype=np.float64) + self.behind
        values[RADIUS], values[STRETCH] = self.radius, self.stretch
        return nominal.with_values(values)

    def marks(self, bar: Bar) -> Floats:
        """Return the marks to set for the bends of a bar to come where they are, mm, shape (n,)."""
        return np.asarray(bar.values[PLACE] - self.behind)


def comes_out(what: Known, angles: Sequence[float], lined_up: Sequence[LinedUp], radii: Sequence[float]) -> ComesOut:
    """Return what comes out.

    Args:
        what: is known of the bar on the bender.
        angles: that are to be left, degrees.
        lined_up: what of each bend is set to the tool; ``end`` for a bar that is held by its end B.
        radii: as drawn, mm: where nothing is known of the bar, they stand.
    """
    count = len(angles)
    if not isinstance(what.fit, Fit):
        common = np.zeros((1, len(KINDS), count))
        common[0, ANGLE] = [_said_sd(what, angle) for angle in angles]
        return ComesOut(np.zeros(count), np.array(radii, dtype=np.float64), np.zeros(count), common)
    fit = what.fit
    law, at, root = fit.bends, fit.after.mean, fit.after.root
    behind, radius, stretch = np.zeros(count), np.zeros(count), np.zeros(count)
    slopes = np.zeros((at.size, len(KINDS), count))
    left, left_by = law.radius(at)
    opens = law.proportional(at)[0]
    for k, (angle, kind) in enumerate(zip(angles, lined_up, strict=True)):
        turn = math.radians(angle)
        (corner, _, arc, _), (corner_by, _, arc_by, _) = law.places(law.book.geometry(angle), at)
        setback = math.tan(turn / 2.0) if angle < 180.0 else 0.0
        start, start_by = corner - left * setback, corner_by - left_by * setback
        if kind == "centre":
            start, start_by = start + arc / 2.0, start_by + arc_by / 2.0
        side = -1.0 if kind == "end" else 1.0
        behind[k], radius[k], stretch[k] = side * start, left, left * turn - arc
        slopes[:, PLACE, k] = side * start_by
        slopes[:, RADIUS, k] = left_by
        slopes[:, STRETCH, k] = left_by * turn - arc_by
        slopes[:, ANGLE, k] = -law.springback(angle, at)[1] / (1.0 + opens)
    if not fit.taped:
        slopes[OFFSET] *= _LINED_UP_SD / _HANDBOOK_OFFSET_SD
    common = np.einsum("mq,mkn->qkn", root, slopes)
    if what.source == "job":
        common[:, ANGLE] = 0.0
        extra = np.zeros((1, len(KINDS), count))
        extra[0, ANGLE] = [_said_sd(what, angle) for angle in angles]
        common = np.concatenate((common, extra))
    return ComesOut(behind, radius, stretch, common)


def _said_sd(what: Known, angle: float) -> float:
    if what.set_up.bender.springback is None:
        return _NOTHING_SD * angle
    return max(_LEAST_SAID_SD, _SAID_SD * abs(what.bend_to(angle) - angle))
