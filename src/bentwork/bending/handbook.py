"""What is believed of a bar on a bender before the first test bend, and how the model's numbers follow from it.

One set of unknowns explains every reading, angles and tape alike:

    springback = factor * model(strength of the batch, angle) + lost angle
    radius left = die radius * (1 + error) * (1 + factor * what the model opens in proportion)
    start = mark + offset          length of the bent bar = length before + stretch * radius * angle

The priors of strength, factor and lost angle are those of ``forming.scatter``. Those of the tool's sizes are wide (one
standard deviation: error of the radius 4 %, offset 40 mm, stretch 1 ± 1.2 % of the bend): on home-made benders the
mark is lined up on some edge of the tool, and one builder writes of 60 mm. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from bentwork.bending.set_up import SetUp
from bentwork.forming.arc_used import arc_used
from bentwork.forming.die_bend import DieBend, die_bends, many_die_bends, short_of_the_die
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar, Floats
from bentwork.forming.prediction import SpringsStraight
from bentwork.forming.scatter import Prior, handbook_prior
from bentwork.stock.section import Section, Way

__all__ = [
    "ERROR",
    "FACTOR",
    "LATE",
    "LOST",
    "OFFSET",
    "STRENGTH",
    "STRETCH",
    "Geometry",
    "Handbook",
    "handbook",
    "handbooks",
]

FACTOR, LOST, ERROR, OFFSET, STRETCH, LATE, STRENGTH = range(7)
"""Places of the unknowns: logarithm of the factor, lost angle (degrees), relative error of the radius, offset (mm),
stretch (a fraction), how much too late the start of a bend is seen (mm), and from there on, one for each batch, the
logarithm of its strength."""

_ERROR_SD = 0.04
_OFFSET_SD = 40.0
_STRETCH, _STRETCH_SD = 0.01, 0.012

_SEEN_GAP = 0.1
"""Gap under a straight edge that an eye sees, mm; common practice, no source. A bend is seen to begin where its gap is
that wide, sqrt(2 radius gap) too late; half of that is expected, give or take half of it."""

_NODES = 7
_REACH = 4.0  # standard deviations of strength that the table covers; beyond, straight lines go on
_LEAST_REACH = 0.5  # in the logarithm: another temper may have got among the bars
_BELOW_THE_DIE = 16


@dataclass(frozen=True, slots=True)
class Geometry:
    """Where a bend of one angle lies, by the model and by how much of an unknown moves it; mm, and mm for each.

    Args:
        tangent: of half the angle; 0 for returns of 180 degrees and more.
        corner: from the mark to the corner point of the middle lines, along the held leg.
        gain: both legs together less the bar.
        arc: bar that the bend takes.
    """

    tangent: float
    corner: float
    gain: float
    arc: float
    corner_by_radius: float
    gain_by_radius: float
    arc_by_radius: float
    corner_by_stretch: float
    gain_by_stretch: float
    arc_by_stretch: float

    @property
    def seen_by_radius(self) -> float:
        """How the start of the bend moves from the mark as the radius grows: not at all, unless it is the middle's."""
        return self.corner_by_radius - self.tangent


@dataclass(frozen=True)
class Handbook:
    """The model of one set-up, tabulated over strength once that is asked for, and what is believed of its unknowns.

    Args:
        set_up: bar and bender.
        likely: the bar on the die, as strong as likeliest.
        strength: logarithm of the likeliest strength.
        strength_sd: its standard deviation.
        factor_sd: of the logarithm of the factor.
        lost: angle, degrees.
        lost_sd: degrees.
        reach: how far from the likeliest the table goes.
    """

    set_up: SetUp
    likely: DieBend
    strength: float
    strength_sd: float
    factor_sd: float
    lost: float
    lost_sd: float
    reach: float

    def mean(self, batches: int) -> Floats:
        """Return what the unknowns are likeliest to be, for so many batches, shape (6 + batches,)."""
        late = self._late / 2.0
        return np.array([0.0, self.lost, 0.0, 0.0, _STRETCH, late, *[self.strength] * batches])

    def sd(self, batches: int) -> Floats:
        """Return the standard deviations of the unknowns, shape (6 + batches,)."""
        late = self._late / 2.0
        own = (self.factor_sd, self.lost_sd, _ERROR_SD, _OFFSET_SD, _STRETCH_SD, late)
        return np.array([*own, *[self.strength_sd] * batches])

    @property
    def _late(self) -> float:
        return math.sqrt(2.0 * self.likely.relaxed_radius * _SEEN_GAP)

    def opening(self, strength: float) -> tuple[float, float, float, float, float, float]:
        """Return the model's lag, kept and opening in proportion at a strength, and their slopes over its logarithm."""
        low, high, table = self._table
        place = (strength - self.strength) / self.reach
        inside = min(high, max(low, place))
        (lag, lag_slope), (kept, kept_slope), (opens, opens_slope) = (_polynomial(row, inside) for row in table)
        beyond = place - inside
        lag, kept = max(0.0, lag + lag_slope * beyond), max(0.0, kept + kept_slope * beyond)
        opens = math.exp(min(5.0, opens + opens_slope * beyond))
        return lag, kept, opens, lag_slope / self.reach, kept_slope / self.reach, opens * opens_slope / self.reach

    def springback(self, wanted: float, strength: float) -> tuple[float, float, float]:
        """Return the model's springback of a wanted angle, degrees, and its slopes over angle and over strength."""
        lag, kept, opens, lag_by, kept_by, opens_by = self.opening(strength)
        if wanted >= kept:
            value = lag - kept + opens * (wanted - kept)
            return value, opens, lag_by - kept_by * (1.0 + opens) + opens_by * (wanted - kept)
        part = max(0.0, wanted) / kept
        small, slope = self._below_the_die(part)
        more = (lag - kept) - (self.likely.lag - self.likely.kept)
        slope += more
        value = small + more * part
        return value, slope / kept, (lag_by - kept_by) * part - slope * part * kept_by / kept

    def likeliest(self, wanted: float) -> float:
        """Return the model's springback of a wanted angle at the likeliest strength, degrees; it needs no table."""
        lag, kept = self.likely.lag, self.likely.kept
        if wanted >= kept:
            return lag - kept + math.exp(_opens(self.likely)) * (wanted - kept)
        return self._below_the_die(max(0.0, wanted) / kept)[0]

    @cached_property
    def _table(self) -> tuple[float, float, tuple[tuple[float, ...], ...]]:
        """From where to where, in ``reach``, and polynomials over strength: lag, kept, logarithm of the opening.

        Highest power first. A strength at which the bar would spring straight, or nearly, is of no use to a table.
        """
        likely, middle = self.likely, _NODES // 2
        places = np.cos(np.pi * np.arange(_NODES) / (_NODES - 1))
        strengths = [float(one) for one in np.exp(self.strength + self.reach * places)]
        strengths[middle] = likely.strength
        bends = die_bends(likely.bar, likely.radius, strengths, likely.arms)
        known = [i for i in range(_NODES) if bends[i].ratio > min(0.05, likely.ratio / 2.0)]
        rows = np.array([(bends[i].lag, bends[i].kept, _opens(bends[i])) for i in known])
        fitted = np.polynomial.polynomial.polyfit(places[known], rows, len(known) - 1)[::-1].T
        table = tuple(tuple(float(c) for c in row) for row in fitted)
        return float(places[known].min()), float(places[known].max()), table

    def _below_the_die(self, part: float) -> tuple[float, float]:
        """Return springback of a bend too small to lie on the die, by the part of ``kept`` that is left, and slope."""
        parts, values = self._small
        place = min(len(parts) - 2, max(0, int(np.searchsorted(parts, part)) - 1))
        slope = (values[place + 1] - values[place]) / (parts[place + 1] - parts[place])
        return float(values[place] + slope * (part - parts[place])), float(slope)

    @cached_property
    def _small(self) -> tuple[Floats, Floats]:
        likely = self.likely
        first, last = likely.bar.yield_curvature(likely.strength), 1.0 / likely.radius
        # Crowded towards first yield, where the springback of next to nothing rises steeply.
        bent = [
            short_of_the_die(likely, lambda bend: bend.curvature, first + (last - first) * (step / _BELOW_THE_DIE) ** 2)
            for step in range(1, _BELOW_THE_DIE)
        ]
        states = [bend for bend in bent if bend.kept > 0.0] + [likely]
        parts = np.array([0.0, *[bend.kept / likely.kept for bend in states]])
        values = np.array([states[0].lag, *[bend.lag - bend.kept for bend in states]])
        return parts, values

    def geometry(self, angle: float) -> Geometry:
        """Return where a bend that is left with this angle lies, for the handbook's unknowns; see ``Geometry``.

        The formulas are those of ``forming.arc_used``; a change of radius moves an ideal arc. Of a return of 180
        degrees or more the corner stands for the start of the bend, and the gain for drawn less real bar.
        """
        turn, bend = math.radians(angle), self.likely
        radius, die = bend.relaxed_radius, bend.radius
        tangent = math.tan(turn / 2.0) if angle < 180.0 else 0.0
        held, gain, arc = radius * tangent, radius * (2.0 * tangent - turn), radius * turn
        if angle >= bend.kept:
            used = arc_used(bend, angle)
            arc = used.arc
            held, gain = (used.setback_held, used.gain) if angle < 180.0 else (0.0, -arc)
        by_radius, stretch = 2.0 * tangent - turn, die * turn
        if self.set_up.bender.lines_up == "centre":
            # From the middle of the bar that the bend takes; what stretches, stretches to both sides.
            return Geometry(
                tangent,
                *(held - arc / 2.0, gain, arc),
                *(tangent - turn / 2.0, by_radius, turn),
                *(stretch / 2.0, stretch, -stretch),
            )
        return Geometry(tangent, held, gain, arc, tangent, by_radius, turn, 0.0, stretch, -stretch)


@lru_cache(maxsize=64)
def handbook(set_up: SetUp) -> Handbook | SpringsStraight:
    """Return what is believed of a set-up before the first test bend.

    Raises:
        ValueError: the bar does not fit round the die.
    """
    return handbooks((set_up,))[0]


def handbooks(set_ups: Sequence[SetUp]) -> tuple[Handbook | SpringsStraight, ...]:
    """Return the same for many set-ups, those of one section bent one way reckoned together.

    Raises:
        ValueError: a bar does not fit round its die.
    """
    alike: dict[tuple[Section, Way], list[int]] = {}
    for number, one in enumerate(set_ups):
        alike.setdefault((one.section, one.way), []).append(number)
    laws = {id(one.material): law_of(one.material) for one in set_ups}
    priors = {id(one.material): handbook_prior(one.material) for one in set_ups}
    found: dict[int, Handbook | SpringsStraight] = {}
    for (section, way), numbers in alike.items():
        own = [set_ups[number] for number in numbers]
        bends = many_die_bends(
            [Bar(section, laws[id(one.material)], way) for one in own],
            [one.bender.radius for one in own],
            [(priors[id(one.material)].yield_factor.median,) for one in own],
            [one.arms for one in own],
        )
        for number, one, (likely,) in zip(numbers, own, bends, strict=True):
            found[number] = _book(one, likely, priors[id(one.material)])
    return tuple(found[number] for number in range(len(set_ups)))


def _book(set_up: SetUp, likely: DieBend, prior: Prior) -> Handbook | SpringsStraight:
    spread = prior.yield_factor
    if likely.ratio == 0.0:
        return SpringsStraight(set_up.bender.radius, 1.0 / likely.bar.yield_curvature(spread.median))
    return Handbook(
        set_up=set_up,
        likely=likely,
        strength=math.log(spread.median),
        strength_sd=spread.sigma,
        factor_sd=prior.model_factor.sigma,
        lost=prior.lost_angle.mean,
        lost_sd=prior.lost_angle.sd,
        reach=max(_REACH * spread.sigma, _LEAST_REACH),
    )


def _opens(bend: DieBend) -> float:
    return math.log(max(1.0 / bend.ratio - 1.0, 1e-12))


def _polynomial(row: tuple[float, ...], place: float) -> tuple[float, float]:
    """Return a polynomial and its slope, by Horner's rule."""
    value = slope = 0.0
    for coefficient in row:
        slope = slope * place + value
        value = value * place + coefficient
    return value, slope
