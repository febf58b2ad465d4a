"""Bends that are pushed instead of pulled: a former between two rollers, and flat bar in a V-block.

Both are bars on two supports with a push in the middle. Geometry is that of the centreline: a roller or a shoulder of
radius r carries it at r plus half the bar's depth. Forces in N, lengths and strokes in mm, angles in degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bentwork.forming.die_bend import DieBend, short_of_the_die
from bentwork.stock.material import Material
from bentwork.stock.section import Flat

__all__ = ["V_FACTOR", "V_RADIUS", "RamBend", "UnsuitedError", "VBend", "VBlock", "ram_bend", "v_bend", "v_force"]

V_FACTOR = 1.33
"""Factor of the press force in a V-block whose opening is 8 times the thickness (tool engineers' handbooks, quoted on
public pages with a range from 0.75 to 2.5; 1.2 and 1.3 in textbooks, from memory)."""

V_RADIUS = 0.16
"""Inside radius that flat steel takes up in a V-block by itself, over the opening: 16 % (makers of press tools, seen);
soft aluminium a little less, stainless up to a quarter more (common practice). A blunter punch makes its own."""


class UnsuitedError(ValueError):
    """Rollers or a V-block with which a bend cannot be made: they stand too ``close`` together or too ``far`` apart."""

    def __init__(self, says: str, too: Literal["close", "far"]) -> None:
        super().__init__(says)
        self.too = too


_MOST_TURN = 0.8  # radians; a leg that bends further than 46 degrees is no longer bent by small angles


@dataclass(frozen=True, slots=True)
class RamBend:
    """A bar pushed between two rollers.

    Args:
        stroke: of the former, from where it touches the straight bar, mm.
        pushed_to: angle between the loaded ends beyond the rollers, degrees.
        push: on the former, N.
        roller: on each roller, N.
        leg: of bar between former and roller, mm.
    """

    stroke: float
    pushed_to: float
    push: float
    roller: float
    leg: float


def ram_bend(bend: DieBend, wanted: float, span: float, roller_radius: float, friction: float = 0.05) -> RamBend:
    """Return the stroke and the push that leave a wanted angle.

    The bar lies on the former over part of the angle; the rest is bent in the legs, whose moment fades evenly to the
    rollers. Where the wanted angle is so small that the legs alone keep it, the former touches at one point only.

    Args:
        bend: the bar on the former; its own arms do not count.
        wanted: angle that is to be left, degrees.
        span: between the centres of the rollers, mm.
        roller_radius: of the rollers, mm.
        friction: at the rollers.

    Raises:
        UnsuitedError: the rollers stand too close for former and angle or too far apart for
            the bar.
        ValueError: the bar springs straight.
    """
    half = span / 2.0
    depth = bend.bar.section.bending(bend.bar.way).half_depth
    reach = roller_radius + depth
    if not half > reach:
        raise UnsuitedError(f"rollers {span:g} mm apart leave no room for the bar between them", "close")
    if bend.ratio == 0.0:
        raise ValueError(f"the bar springs straight from a former of {bend.radius:g} mm")
    turn = math.radians(wanted)

    def kept_by_legs(state: DieBend) -> float:
        return 2.0 * state.kept_per_mm * _leg(state, 0.0, half, reach)

    if kept_by_legs(bend) > turn:
        state, side = short_of_the_die(bend, kept_by_legs, turn), 0.0
    else:
        state, side = bend, _half_wrapped(bend, turn, half, reach)
    leg = _leg(state, side, half, reach)
    if not leg > 0.0 or wanted > _left_of(state, side, leg) + 1e-6:
        says = f"rollers {span:g} mm apart stand too close for this former to leave {wanted:g} degrees"
        raise UnsuitedError(says, "close")
    if leg >= 2.0 * half or state.turn_per_mm * leg > _MOST_TURN:
        says = f"rollers {span:g} mm apart are so far apart for this bar that its legs bend out between them"
        raise UnsuitedError(says, "far")
    slope = side + state.turn_per_mm * leg
    along, sag = _spread(state, leg)
    drop = reach * (math.cos(slope) - 1.0) - along * math.sin(side) - sag * math.cos(side)
    roller = 1000.0 * state.moment / leg
    return RamBend(
        stroke=bend.radius * (1.0 - math.cos(side)) - drop,
        pushed_to=math.degrees(2.0 * slope),
        push=2.0 * roller * (math.cos(slope) + friction * math.sin(slope)),
        roller=roller,
        leg=leg,
    )


def _left_of(state: DieBend, side: float, leg: float) -> float:
    """Return the angle that former and legs keep, degrees."""
    return math.degrees(2.0 * (side * state.ratio + state.kept_per_mm * leg))


def _half_wrapped(bend: DieBend, turn: float, half: float, reach: float) -> float:
    """Find half the angle that lies on the former, radians, so that former and legs together keep ``turn``."""
    low, high = 0.0, min(turn / (2.0 * bend.ratio), math.pi / 2.0)
    for _ in range(60):
        middle = 0.5 * (low + high)
        leg = _leg(bend, middle, half, reach)
        too_far = leg <= 0.0 or math.radians(_left_of(bend, middle, leg)) >= turn
        low, high = (low, middle) if too_far else (middle, high)
    return low


def _spread(state: DieBend, leg: float) -> tuple[float, float]:
    """Return how far the end of a leg lies along its tangent at the former, and how far beside it, mm.

    A curve is shorter along than it is long by half the mean square of its slope: 1.25 times the square of the mean
    slope for a leg that bends alike all along (1.33) or less and less (1.2), within 6 %.
    """
    sag = state.sag_per_mm2 * leg**2
    return leg * (1.0 - 0.625 * (sag / leg) ** 2), sag


def _leg(state: DieBend, side: float, half: float, reach: float) -> float:
    """Find the length of bar from former to roller, mm, by Newton on where it crosses the roller.

    0 where former and roller leave no room; twice the half span, longer than any, where it bends out between them.
    """
    on_former, sine, cosine = state.radius * math.sin(side), math.sin(side), math.cos(side)
    if on_former + reach * sine >= half:
        return 0.0
    leg = (half - on_former - reach * sine) / cosine
    for _ in range(30):
        slope = side + state.turn_per_mm * leg
        along, sag = _spread(state, leg)
        across = on_former + along * cosine + reach * math.sin(slope) - sag * sine
        rate = (3.0 * along / leg - 2.0) * cosine - 2.0 * sag / leg * sine
        rate += reach * state.turn_per_mm * math.cos(slope)
        if rate <= 0.0:
            return 2.0 * half
        step = (across - half) / rate
        leg -= step
        if abs(step) <= 1e-13 * half:
            break
    return leg


@dataclass(frozen=True, slots=True)
class VBlock:
    """A V-block and its punch.

    Args:
        opening: of the V at its shoulders, mm.
        punch_radius: of the punch, mm; 0 for a sharp one.
        shoulder_radius: of the edges of the V, mm.

    Raises:
        ValueError: the opening is not above 0, or a radius is below it.
    """

    opening: float
    punch_radius: float
    shoulder_radius: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.opening) and self.opening > 0.0):
            raise ValueError(f"the opening of a V-block is above 0 mm, not {self.opening:g}")
        if not (self.punch_radius >= 0.0 and self.shoulder_radius >= 0.0):
            raise ValueError("the radii of punch and V-block are 0 mm or more")

    @property
    def inside_radius(self) -> float:
        """Inside radius of the bend in it, mm: the punch's, or what the opening makes, whichever is larger."""
        return max(self.punch_radius, V_RADIUS * self.opening)


@dataclass(frozen=True, slots=True)
class VBend:
    """A flat bar pressed into a V-block, without being bottomed.

    Args:
        press: force, N.
        depth: of the punch, from where it touches the bar, mm.
        pressed_to: angle under the punch, degrees.
        inside_radius: under the punch, mm.
    """

    press: float
    depth: float
    pressed_to: float
    inside_radius: float


def v_force(flat: Flat, tensile_strength: float, opening: float, factor: float = V_FACTOR) -> float:
    """Return the greatest press force, N: factor times strength, MPa, times width thickness^2 over opening."""
    return factor * tensile_strength * flat.width * flat.height**2 / opening


def v_bend(flat: Flat, material: Material, block: VBlock, ratio: float, wanted: float, strength: float = 1.0) -> VBend:
    """Return force and punch depth that leave a wanted angle.

    Args:
        flat: the bar, bent the easy way.
        material: of the bar.
        block: V-block and punch.
        ratio: what is left of the angle, from a die bend of the block's inside radius plus half the thickness.
        wanted: angle that is to be left, degrees.
        strength: of the real bar over the material's tensile strength.

    Raises:
        ValueError: the ratio is not above 0 and up to 1.
        UnsuitedError: the opening is too narrow for bar and angle.
    """
    if not 0.0 < ratio <= 1.0:
        raise ValueError(f"the ratio of springback lies between 0 and 1, not {ratio:g}")
    pressed_to = wanted / ratio
    side = math.radians(pressed_to) / 2.0
    radius = block.inside_radius + flat.height / 2.0
    reach = block.shoulder_radius + flat.height / 2.0
    if not side < math.pi / 2.0:
        raise UnsuitedError(f"a V-block bends to less than 180 degrees, not {pressed_to:.1f}", "close")
    leg = (block.opening / 2.0 - (radius + reach) * math.sin(side)) / math.cos(side)
    if not leg > 0.0:
        raise UnsuitedError(f"an opening of {block.opening:g} mm is too narrow for this bar and angle", "close")
    return VBend(
        press=v_force(flat, strength * material.tensile_strength.value, block.opening),
        depth=(radius + reach) * (1.0 - math.cos(side)) + leg * math.sin(side),
        pressed_to=pressed_to,
        inside_radius=block.inside_radius,
    )
