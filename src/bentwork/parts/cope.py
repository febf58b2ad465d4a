"""A cope: the end of a bar shaped to sit on another, whatever their sections, at any angle and any offset.

Frame: the middle line of the bar that is sat on is x; the coped bar's middle line lies at y = offset and leaves the
other at an angle, from where the two are nearest, in the direction (cos angle, 0, sin angle). Seen along x this way is
straight up, so that every line of the coped bar comes down on the other's ``Crown``: how high that is at its y, and
where it lies across the coped bar, is all that the cut depends on.

Across the coped bar, u lies in the plane of the two directions, on the side of the wide angle, and v along y. Turns
are degrees from u to v, anticlockwise looking at its end; places are mm round its outline the same way, from line 0,
where u meets it. Lengths are measured along the coped bar from where the two middle lines are nearest, outwards.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from bentwork.parts.crown import ON, Crown, crown_of
from bentwork.parts.outline import Outline, Point

__all__ = ["SENSIBLE_ANGLE", "Cope", "round_cope"]

SENSIBLE_ANGLE = 15.0
"""Bars that meet at less lie beside one another, degrees: such a long tongue can be cut, and nobody does (common
practice, no source)."""

_STEPS = 720  # places all round at which a cope is looked at; kinks are looked at besides
_BESIDE = 1e-6  # mm; to either side of a place where the cut steps down
_FOUND = 1e-10  # mm; how closely such a place is found
_LEVEL = 0.01  # mm; ends that stand out so little less are as long


@dataclass(frozen=True)
class Cope:
    """The coped end of a bar.

    Args:
        bar: outside of the coped bar.
        bore: inside of a tube; None for a solid bar.
        onto: outside of the bar it sits on.
        angle: between the two bars, degrees, above 0 and up to 90.
        offset: how far its middle line passes beside that of the other, mm; towards v above 0.
        bar_turn: how far the width of the coped bar is turned from u towards v, degrees.
        onto_turn: how far the width of the other bar is turned from y upwards, degrees.

    Raises:
        ValueError: an angle makes no sense, or the bars pass one another without meeting.
    """

    bar: Outline
    bore: Outline | None
    onto: Outline
    angle: float
    offset: float = 0.0
    bar_turn: float = 0.0
    onto_turn: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 < self.angle <= 90.0:
            raise ValueError(f"bars are coped at angles above 0 and up to 90 degrees, not {self.angle:g}")
        if abs(self.offset) >= self.half_beside + self.onto.half(-self.onto_turn):
            raise ValueError("the bars pass beside one another")

    @property
    def sizes(self) -> tuple[float, ...]:
        """What of the two sections its shape depends on: sizes of the other bar, mm, and how both are turned, degrees.

        A section looks the same after half a turn.
        """
        turns = (round(turn % 180.0, 6) % 180.0 for turn in (self.bar_turn, self.onto_turn))
        return self.onto.wide, self.onto.high, self.onto.corner, *turns

    @property
    def solid(self) -> bool:
        """Tell whether the coped bar has no bore."""
        return self.bore is None

    @property
    def around(self) -> float:
        """Length of the coped bar's outline, mm."""
        return self.bar.around

    @property
    def thick(self) -> float:
        """How thick the coped bar is in the plane of the two bars, mm."""
        return 2.0 * self.bar.half(-self.bar_turn)

    @property
    def half_beside(self) -> float:
        """How far the coped bar reaches from its middle across the other, mm."""
        return self.bar.half(90.0 - self.bar_turn)

    @cached_property
    def crown(self) -> Crown:
        """The upper side of the other bar."""
        return crown_of(self.onto, self.onto_turn)

    @cached_property
    def _slope(self) -> Point:
        theta = math.radians(self.angle)
        return math.sin(theta), 0.0 if self.angle == 90.0 else math.cos(theta)

    def place_at(self, turn: float) -> float:
        """Return the place at which a turn is, mm round from line 0: where a ray from the middle meets the outline."""
        place = (self.bar.towards(turn - self.bar_turn) - self._line) % self.around
        return 0.0 if self.around - place < 1e-9 else place

    @cached_property
    def _line(self) -> float:
        return self.bar.towards(-self.bar_turn)

    @property
    def folds(self) -> tuple[float, ...]:
        """Places of the corners of the coped bar, mm round from line 0, in their order; none for a round one."""
        return tuple(sorted((one - self._line) % self.around for one in self.bar.folds))

    def spot(self, place: float) -> Point:
        """Return where a place lies across the bar: (u, v), mm."""
        return self._turned(self.bar.point(self._line + place))

    def inner_spot(self, place: float) -> Point:
        """Return the place on the inside of the wall that is nearest, (u, v) mm; of a solid bar its middle."""
        if self.bore is None:
            return 0.0, 0.0
        return self._turned(self.bore.nearest(self.bar.point(self._line + place)))

    def _turned(self, own: Point) -> Point:
        c, s = self._turn
        return own[0] * c - own[1] * s, own[0] * s + own[1] * c

    @cached_property
    def _turn(self) -> Point:
        turn = math.radians(self.bar_turn)
        return math.cos(turn), math.sin(turn)

    def reach(self, spot: Point) -> float:
        """Return how far out the metal at a spot (u, v) of the coped bar may begin, mm.

        Where the coped bar is wider than the other, what passes beside it is cut off level with its middle line.
        """
        sine, cosine = self._slope
        high = self.crown.at(self.offset + spot[1])
        return ((0.0 if high is None else high) - spot[0] * cosine) / sine

    def outer(self, place: float) -> float:
        """Return where the outer edge meets the other bar, mm."""
        return self.reach(self.spot(place))

    def inner(self, place: float) -> float:
        """Return where the inner edge of the wall meets the other bar, mm; of a solid bar, its middle."""
        return self.reach(self.inner_spot(place))

    def sawn(self, place: float) -> float:
        """Return where to cut square to the surface so that no gap is left, mm: the longer of the two edges.

        What is left standing is filed off: ``bevel`` says how deep. For a solid bar it is the outer edge. Where the
        wall reaches over the edge of the other bar, metal just beside that edge may be longer than either.
        """
        if self.bore is None:
            return self.outer(place)
        out, inside = self.spot(place), self.inner_spot(place)
        found = [self.reach(out), self.reach(inside)]
        across = out[1] - inside[1]
        for edge in (-self.crown.edge, self.crown.edge):
            share = (edge - self.offset - inside[1]) / across if abs(across) > 1e-12 else -1.0
            if -1e-6 < share < 1.0 + 1e-6:
                high = min(0.0, self.crown.at(edge) or 0.0)
                found.append((high - (inside[0] + share * (out[0] - inside[0])) * self._slope[1]) / self._slope[0])
        return min(found)

    def bevel(self, place: float) -> float:
        """Return how much is filed off one edge of the wall after a cut square to the surface, mm.

        Above 0 at the inner edge, which touches first; below 0 at the outer edge. 0 for a solid bar.
        """
        return 0.0 if self.solid else self.inner(place) - self.outer(place)

    @cached_property
    def kinks(self) -> tuple[float, ...]:
        """Places, mm, at which a curve has a corner or a step: corners of the bar, borders of the crown."""
        found = {0.0, *((one - self._line) % self.around for one in self.bar.joints)}
        borders = [one + ON for one in self.crown.borders if abs(one - self.offset) <= self.half_beside]
        ways = (self.spot,) if self.solid else (self.spot, self.inner_spot)
        for of in ways if borders else ():
            across = [self.offset + of(self.around * k / _STEPS)[1] for k in range(_STEPS + 1)]
            for border in borders:
                for k, (one, other) in enumerate(pairwise(across)):
                    if (one > border) != (other > border):
                        found.add(self._crossing(of, border, self.around * k / _STEPS))
        order = sorted(found)
        return tuple(one for k, one in enumerate(order) if k == 0 or one - order[k - 1] > _BESIDE)

    def _crossing(self, of: Callable[[float], Point], border: float, low: float) -> float:
        high = low + self.around / _STEPS
        up = self.offset + of(high)[1] > border
        while high - low > _FOUND:
            middle = 0.5 * (low + high)
            low, high = (low, middle) if (self.offset + of(middle)[1] > border) == up else (middle, high)
        return 0.5 * (low + high)

    @cached_property
    def places(self) -> tuple[float, ...]:
        """Places at which the curves are looked at, mm from 0 to all round: evenly, and beside every kink."""
        found = {self.around * k / _STEPS for k in range(_STEPS + 1)}
        for kink in self.kinks:
            found |= {max(0.0, kink - _BESIDE), kink, min(self.around, kink + _BESIDE)}
        return tuple(sorted(found))

    @cached_property
    def _outers(self) -> tuple[float, ...]:
        return tuple(map(self.outer, self.places))

    @cached_property
    def longest(self) -> float:
        """Where its longest point stands, mm: the bar is cut to this first.

        It lies on the outer edge: of all metal equally far beside the other bar, that on the rim reaches farthest.
        """
        return min(self._outers)

    @cached_property
    def throat(self) -> float:
        """Where it reaches least far, mm: the bottom of the hollow, for the same reason on the rim."""
        return max(self._outers)

    @property
    def depth(self) -> float:
        """How deep it is cut or filed, from its longest point to the bottom, mm."""
        return self.throat - self.longest

    @cached_property
    def most_bevel(self) -> float:
        """The most that is filed off an edge of the wall after a cut square to the surface, mm."""
        return max(abs(self.bevel(place)) for place in self.places)

    @property
    def beyond(self) -> float:
        """How far the coped bar reaches beyond an edge of the other, mm; 0 or less where it does not."""
        return abs(self.offset) + self.half_beside - self.crown.edge

    @property
    def wider(self) -> bool:
        """Tell whether part of the coped bar passes beside the other."""
        return self.beyond > 1e-9

    @cached_property
    def passing(self) -> tuple[tuple[float, float], ...]:
        """Where the outer edge passes beside the other bar: from which place to which, mm, in their order."""
        found: list[tuple[float, float]] = []
        for low, high in pairwise((*self.kinks, self.around)):
            if high - low > 2.0 * _BESIDE and self.crown.at(self.offset + self.spot(0.5 * (low + high))[1]) is None:
                joined = found and low - found[-1][1] <= 2.0 * _BESIDE
                found[-1:] = [(found[-1][0], high)] if joined else [*found[-1:], (low, high)]
        return tuple(found)

    @property
    def faces(self) -> tuple[str, ...]:
        """What of the other bar it sits on, across: ``face`` and ``round`` in turn."""
        return self.crown.between(self.offset - self.half_beside, self.offset + self.half_beside)

    @property
    def plane(self) -> bool:
        """Tell whether one flat cut does it."""
        return self.faces == ("face",) and not self.wider

    @cached_property
    def longest_at(self) -> tuple[tuple[float, float], ...]:
        """Where it is longest: from which place to which, mm round from line 0, the same place twice for a point."""
        runs: list[list[int]] = []
        for k, length in enumerate(self._outers):
            if length - self.longest < _LEVEL:
                if runs and runs[-1][-1] == k - 1:
                    runs[-1].append(k)
                else:
                    runs.append([k])
        if len(runs) > 1 and runs[0][0] == 0 and runs[-1][-1] == len(self.places) - 1:  # over line 0
            runs[0] = [*runs.pop(), *runs[0]]
        return tuple(self._told(run) for run in runs)

    def _told(self, run: list[int]) -> Point:
        low, high = self.places[run[0]], self.places[run[-1]]
        if (high - low) % self.around > self.around / 24.0 or len(run) == len(self.places):
            return low, high
        best = self.places[min(run, key=lambda k: self._outers[k])] % self.around
        return best, best


def round_cope(outside: float, bore: float, onto: float, angle: float, offset: float = 0.0) -> Cope:
    """Return the cope of round on round: diameters in mm, a bore of 0 for solid bar; else as ``Cope``.

    Raises:
        ValueError: as ``Cope``, or a diameter makes no sense.
    """
    if not 0.0 <= bore < outside:
        raise ValueError("a coped bar has a diameter above its bore")
    circles = [Outline(d / 2.0, d / 2.0, d / 2.0) if d > 0.0 else None for d in (outside, bore, onto)]
    if circles[0] is None or circles[2] is None:
        raise ValueError("a bar has a diameter above 0")
    return Cope(circles[0], circles[1], circles[2], angle, offset)
