"""How much bar a bend takes, and how far the marks move because the bend that is left is wider than the die.

The bar is wrapped on the die with the die's centreline radius R, over more than the wanted angle. Let go, it keeps its
length and opens: the bend that is left has the radius R/ratio. A drawing that says R therefore promises a bend that
this die does not make. The legs still meet at the drawn corner point if the bend is started earlier; and since a wider
bend cuts the corner more, less bar is used from corner to corner and every later mark moves towards the held side too.

What bends beside the die is put at its middle: as good as the small angles there allow (``tests/truth`` adds up the
whole curve for comparison). Lengths in mm, angles in degrees.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from bentwork.forming.die_bend import DieBend

__all__ = ["ArcUsed", "arc_used"]


@dataclass(frozen=True, slots=True)
class ArcUsed:
    """Bar in one bend, against the bend that was drawn with the die's radius.

    Args:
        arc: bar between the tool's two tangent points when it is pulled: die radius times pull, mm.
        drawn_arc: the same of the drawn bend: die radius times wanted angle, mm.
        setback_held: from the mark at the die's tangent point to the corner point, along the held leg, mm.
        setback_free: from the end of the arc to the corner point, along the free leg, mm.
        drawn_setback: the same of the drawn bend, mm. All three are infinite for returns of 180 degrees and more.
    """

    arc: float
    drawn_arc: float
    setback_held: float
    setback_free: float
    drawn_setback: float

    @property
    def gain(self) -> float:
        """By how much bar from corner to corner is shorter than the two legs: setbacks less arc, mm."""
        return self.setback_held + self.setback_free - self.arc

    @property
    def drawn_gain(self) -> float:
        """The same of the drawn bend, mm."""
        return 2.0 * self.drawn_setback - self.drawn_arc

    @property
    def start_shift(self) -> float:
        """Where to put the mark on the held side of this bend, from where the drawing puts it, mm.

        Positive away from the held end, so that it is mostly negative: start earlier. 0 for returns, whose legs meet
        nowhere: their start stays, and they come out wider.
        """
        return self.drawn_setback - self.setback_held if math.isfinite(self.drawn_setback) else 0.0

    @property
    def centre_shift(self) -> float:
        """The same for a mark in the middle of the bend, as formers and punches are set to, mm."""
        return self.start_shift + (self.arc - self.drawn_arc) / 2.0

    @property
    def onward_shift(self) -> float:
        """How far all that comes after this bend moves along the bar, mm; negative towards the held end.

        For returns: what more bar is wrapped than was drawn.
        """
        if math.isfinite(self.drawn_setback):
            return self.drawn_gain - self.gain
        return self.arc - self.drawn_arc


def arc_used(bend: DieBend, wanted: float) -> ArcUsed:
    """Return the bar that a bend of the wanted angle takes on this die.

    Args:
        bend: the bar on the die.
        wanted: angle that is to be left, degrees, above 0.

    Raises:
        ValueError: the bar springs straight, or is never laid on the die for so small an angle.
    """
    pulled = bend.pull(wanted)
    if not math.isfinite(pulled) or wanted < bend.kept:
        raise ValueError(f"no arc of this bar is left on a die of {bend.radius:g} mm at {wanted:g} degrees")
    arc, drawn_arc = bend.radius * math.radians(pulled), bend.radius * math.radians(wanted)
    if wanted >= 180.0:
        return ArcUsed(arc, drawn_arc, math.inf, math.inf, math.inf)
    drawn_setback = bend.radius * math.tan(math.radians(wanted) / 2.0)
    turn = math.radians(wanted)
    first, on_die = math.radians(bend.held.kept), math.radians(wanted - bend.kept)
    # From the middle of what the held leg keeps to that of the free leg, the held leg lying along the real axis.
    across = bend.held.reach * cmath.exp(1j * first)
    across += bend.relaxed_radius * cmath.exp(1j * first) * complex(math.sin(on_die), 1.0 - math.cos(on_die))
    across += bend.free.reach * cmath.exp(1j * (first + on_die))
    to_corner, from_corner = across.real - across.imag / math.tan(turn), across.imag / math.sin(turn)
    held_lag, free_lag = (bend.radius * math.radians(leg.lag) for leg in (bend.held, bend.free))
    return ArcUsed(
        arc,
        drawn_arc,
        held_lag - bend.held.reach + to_corner,
        free_lag - bend.free.reach + from_corner,
        drawn_setback,
    )
