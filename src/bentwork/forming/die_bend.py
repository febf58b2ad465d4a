"""One bar bent round one die: what it springs back, and how much of it bends beside the die. Angles in degrees, mm.

On the die the bar has the die's curvature k and carries the moment M; let go, it opens elastically to
k (1 - M/(E I k)), and angles on the die shrink by the same ratio (any textbook of plastic bending).

Between the die and whatever presses the bar (the follower on the free side, the hook on the held side) there is an arm
of straight bar. In it the moment falls evenly from M to nothing, so it bends as well: first it yields, then only
springs. The bar leaves the die before the arm's nominal tangent point, at an angle ``lag`` behind it, so that less is
wrapped than the lever shows; of what the arm itself bends, ``kept`` stays. With plane geometry of small angles in the
arm, m2 the mean square of the moment on the way to k over M squared, W the work to k, and a the nominal arm:

    bent length L = a/sqrt(m2),  lag = (L - a)/R,  kept = L (k - W/M - M/(2 E I))
    relaxed = (pulled - lags) ratio + kept

Derived here; it satisfies the balance of work exactly (lever torque = R W, see ``forces.py``). The lags and what is
kept do not depend on the angle: they are the fixed part of springback that shops know, the ratio is the part in
proportion. In soft metal a leg may keep more than it lags, and the bar has to be pulled less far than the angle that
is left: one maker of hand benders says not to bend copper and aluminium tube all the way to the mark. For pulls too
small to lay the bar on the die, the same holds with a smaller curvature.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.forming.moment import Bar, Floats, moments, works

__all__ = ["Arms", "DieBend", "Leg", "die_bends", "many_die_bends", "short_of_the_die"]

_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(12)
_ROUND_OFF = 1e-12  # relative; a bar bent just to first yield springs straight
_HALF, _HALF_WEIGHTS = 0.5 * (_POINTS + 1.0), 0.5 * _WEIGHTS


@dataclass(frozen=True, slots=True)
class Arms:
    """Straight bar between the die's tangent points and what holds and presses the bar there.

    Args:
        held: from the tangent point back to the middle of the hook, mm; 0 where the bar is clamped to the die itself.
        free: from the tangent point ahead to where the follower presses, mm; 0 to leave its bending out.

    Raises:
        ValueError: an arm is not a length of 0 or more.
    """

    held: float = 0.0
    free: float = 0.0

    def __post_init__(self) -> None:
        for name in ("held", "free"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value >= 0.0):
                raise ValueError(f"the {name} arm is a length of 0 mm or more, not {value:g}")


@dataclass(frozen=True, slots=True)
class Leg:
    """What one straight does while the bar lies on the die.

    Args:
        length: of bar bent in it, mm.
        lag: by how much less is wrapped because of it, degrees.
        kept: what stays bent in it, degrees.
        reach: from where the bar leaves the die to the middle of what is kept, mm.
    """

    length: float
    lag: float
    kept: float
    reach: float


@dataclass(frozen=True, slots=True)
class DieBend:
    """A bar on a die.

    Args:
        bar: section, law and way.
        radius: centreline radius of the die, mm.
        curvature: of the bar on the die, 1/mm: one over the radius, or less before it lies on the die.
        strength: how many times as strong as its law the bar is.
        moment: on the die, N m.
        work: of bending, N mm per mm of bar wrapped.
        mean_square: mean square of the moment on the way to the curvature, over the square of the moment.
        ratio: what is left of an angle wrapped on the die; 0 where the bar springs straight.
        arms: nominal lengths beside the die.
    """

    bar: Bar
    radius: float
    curvature: float
    strength: float
    moment: float
    work: float
    mean_square: float
    ratio: float
    arms: Arms

    @property
    def opened(self) -> float:
        """Curvature that the bar loses when it is let go, 1/mm."""
        return self.curvature * (1.0 - self.ratio)

    @property
    def relaxed_radius(self) -> float:
        """Centreline radius that is left, mm; infinite where the bar springs straight."""
        return 1.0 / (self.curvature * self.ratio) if self.ratio > 0.0 else math.inf

    @property
    def turn_per_mm(self) -> float:
        """What a leg bends for each mm of its length while it is loaded, radians."""
        return self.curvature - self.work / (1000.0 * self.moment)

    @property
    def kept_per_mm(self) -> float:
        """What a leg keeps of that, radians per mm."""
        return self.turn_per_mm - self.opened / 2.0 if self.ratio > 0.0 else 0.0

    @property
    def sag_per_mm2(self) -> float:
        """How far a loaded leg leaves its tangent, over the square of its length, 1/mm."""
        return self.curvature * (1.0 - self.mean_square) / 2.0

    @property
    def held(self) -> Leg:
        """What the held leg does."""
        return self._leg(self.arms.held)

    @property
    def free(self) -> Leg:
        """What the free leg does."""
        return self._leg(self.arms.free)

    @property
    def lag(self) -> float:
        """How far the lever goes before the bar lies on the die, degrees."""
        return math.degrees((self._stretch - 1.0) * (self.arms.held + self.arms.free) / self.radius)

    @property
    def kept(self) -> float:
        """What both legs keep, degrees."""
        return math.degrees(self.kept_per_mm * self._stretch * (self.arms.held + self.arms.free))

    def relaxed(self, pulled: float) -> float:
        """Return the angle that is left of a pull, degrees; nothing is left of a pull of 0 or less."""
        if pulled <= 0.0:
            return 0.0
        if pulled >= self.lag:
            return (pulled - self.lag) * self.ratio + self.kept
        return short_of_the_die(self, lambda bend: bend.lag, pulled).kept

    def pull(self, wanted: float) -> float:
        """Return the angle to pull to for the wanted one to be left, degrees; infinite where the bar stays elastic."""
        if wanted <= 0.0:
            return 0.0
        if wanted < self.kept:
            return short_of_the_die(self, lambda bend: bend.kept, wanted).lag
        return self.lag + (wanted - self.kept) / self.ratio if self.ratio > 0.0 else math.inf

    def energy(self, pulled: float) -> float:
        """Return the energy that the bar gives back when it is let go after a pull to an angle in degrees, J.

        Half of moment times elastic angle on the die; a third of that for each mm of leg, where the moment fades.
        """
        wrapped = self.radius * math.radians(max(0.0, pulled - self.lag))
        return 0.5 * self.moment * self.opened * (wrapped + (self.held.length + self.free.length) / 3.0)

    @property
    def _stretch(self) -> float:
        """Bent length of a leg over its nominal arm."""
        return 1.0 / math.sqrt(1.0 - self.radius * self.curvature * (1.0 - self.mean_square))

    def _leg(self, arm: float) -> Leg:
        length = arm * self._stretch
        kept = self.kept_per_mm
        # Lever arm of the kept curvature about the point where the bar leaves the die.
        first = self.turn_per_mm - self.sag_per_mm2 - self.opened / 6.0
        reach = length * first / kept if kept > 0.0 else 0.0
        return Leg(length, math.degrees((length - arm) / self.radius), math.degrees(length * kept), reach)


def die_bends(
    bar: Bar, radius: float, strengths: Sequence[float] = (1.0,), arms: Arms | None = None
) -> tuple[DieBend, ...]:
    """Return the bar on the die for several strengths at once.

    Args:
        bar: section, law and way.
        radius: centreline radius of the die, mm.
        strengths: how many times as strong as its law the bar may be.
        arms: straights that bend beside the die; None: none.

    Raises:
        ValueError: the radius is not above half the bar's depth.
    """
    return many_die_bends((bar,), (radius,), (strengths,), (arms or Arms(),))[0]


def short_of_the_die(bend: DieBend, measure: Callable[[DieBend], float], value: float) -> DieBend:
    """Return the bar before it lies on the die, bent at one point only and to less than the die's curvature.

    Args:
        bend: the same bar on the die.
        measure: something that grows with the curvature from 0, and is more than ``value`` on the die.
        value: what it shall be, above 0.
    """
    strength = np.array([[bend.strength]])
    low, high = 0.0, 1.0 / bend.radius
    below, above = -value, measure(bend) - value
    found, side = bend, 0
    for _ in range(100):
        # The straight line between both ends; an end that stays a second time counts half, so that it moves as well.
        middle = (low * above - high * below) / (above - below)
        if not low < middle < high:
            break
        found = _bent_to((bend.bar,), (bend.radius,), np.array([middle]), strength, (bend.arms,))[0][0]
        rest = measure(found) - value
        if abs(rest) <= 1e-14 * value:
            break
        if rest < 0.0:
            low, below = middle, rest
            above, side = (above / 2.0, -1) if side == -1 else (above, -1)
        else:
            high, above = middle, rest
            below, side = (below / 2.0, 1) if side == 1 else (below, 1)
    return found


def many_die_bends(
    bars: Sequence[Bar], radii: Sequence[float], strengths: Sequence[Sequence[float]], arms: Sequence[Arms]
) -> tuple[tuple[DieBend, ...], ...]:
    """Return bars of one section, bent one way, each in its metal on its die, for several strengths at once.

    Args:
        bars: n of them; section and way are those of the first.
        radii: centreline radii of their dies, mm.
        strengths: how many times as strong as its law each may be, the same number for all.
        arms: straights that bend beside each die.

    Raises:
        ValueError: a radius is not above half the bar's depth.
    """
    half = bars[0].section.bending(bars[0].way).half_depth
    for radius in radii:
        if not (math.isfinite(radius) and radius > half):
            raise ValueError(
                f"a bar {2 * half:g} mm deep is bent on a centreline radius above {half:g} mm, not {radius:g} mm"
            )
    factors = np.asarray(strengths, dtype=np.float64)
    return _bent_to(bars, radii, 1.0 / np.asarray(radii, dtype=np.float64), factors, arms)


@dataclass(frozen=True, slots=True, eq=False)
class _Laws:
    """The metals of some bars: a row for each moment that is asked for."""

    modulus: Floats
    strength: Floats
    exponent: Floats
    offset: Floats

    @classmethod
    def of(cls, bars: Sequence[Bar], times: int) -> _Laws:
        """Every metal so many times on end."""
        names = ("modulus", "strength", "exponent", "offset")
        return cls(*(np.repeat([getattr(bar.law, name) for bar in bars], times)[:, np.newaxis] for name in names))


def _bent_to(
    bars: Sequence[Bar], radii: Sequence[float], curvatures: Floats, strengths: Floats, arms: Sequence[Arms]
) -> tuple[tuple[DieBend, ...], ...]:
    """Return bars of one section bent to curvatures (n,), up to the die's, for every strength (n, s) of each."""
    many, some = strengths.shape
    yields_at = np.array([bar.law.yields_at(own) for bar, own in zip(bars, strengths, strict=True)])
    curvature, stiffness = curvatures[:, np.newaxis], np.array([bar.stiffness for bar in bars])[:, np.newaxis]
    first = np.minimum(yields_at / bars[0].section.bending(bars[0].way).half_depth, curvature)
    span = np.log(curvature / first)
    # On the way up, evenly spaced in the logarithm of the curvature: hardening is a power law.
    way = np.empty((many, some, _HALF.size + 1))
    way[:, :, :-1] = first[:, :, np.newaxis] * np.exp(span[:, :, np.newaxis] * _HALF)
    way[:, :, -1] = curvature
    wide = [np.broadcast_to(array[:, :, np.newaxis], way.shape) for array in (strengths, yields_at)]
    reached = 1000.0 * moments(bars[0], _Laws.of(bars, way[0].size), way, *wide)
    moment, on_way = reached[:, :, -1], reached[:, :, :-1]
    square = stiffness**2 * first**3 / 3.0 + span * ((on_way**2 * way[:, :, :-1]) @ _HALF_WEIGHTS)
    mean_square = square / (curvature * moment**2)
    work = works(bars[0], _Laws.of(bars, some), np.broadcast_to(curvature, strengths.shape), strengths, yields_at)
    yields = first < curvature * (1.0 - _ROUND_OFF)
    ratio = np.where(yields, 1.0 - moment / (stiffness * curvature), 0.0)
    columns = [column.tolist() for column in (strengths, moment / 1000.0, work, mean_square, ratio)]
    found = []
    for number, bar in enumerate(bars):
        own = zip(*(column[number] for column in columns), strict=True)
        radius, bent, beside = float(radii[number]), float(curvatures[number]), arms[number]
        found.append(
            tuple(
                DieBend(bar, radius, bent, factor, turned, done, squared, left, beside)
                for factor, turned, done, squared, left in own
            )
        )
    return tuple(found)
