"""Key places of one step: close enough to each other that what lies between may be told by going straight over.

Between two keys every place (x, y, turn) is taken in proportion. Turns are in proportion to the angle of the bend
anyway; the points of the bar and of the tool then stay within ``KEY_ERROR`` of where they truly are.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.planning.pulling import Moment, Pulling, When
from bentwork.space import Vec

__all__ = ["CARRIED", "KEY_ERROR", "Key", "key_at", "keys_of"]

Array = NDArray[np.float64]
Place = tuple[float, float, float]
KEY_ERROR = 0.1
"""How far a point of the bar may lie from its true place between two keys, mm: less than a pixel on any screen."""

CARRIED = 260.0
"""How far the bar is shown carried when it is put on and lifted off, mm."""

_LAID = 0.15  # mm; between the chords of the bend and the bend
_MOST = 256


@dataclass(frozen=True)
class Key:
    """Where everything is at one moment. Places are x, y (mm) and turn (degrees) in the plane of the die.

    Args:
        moment: of the step.
        lift: how far the bar is from the die, mm.
        die: where the die has moved to.
        arm: where the arm has moved to.
        bar: places along the bar between its two sides, (n, 3); the sides hang on the first and the last.
    """

    moment: Moment
    lift: Vec
    die: Place
    arm: Place
    bar: Array


def key_at(pulling: Pulling, moment: Moment) -> Key:
    """Return where everything is at a moment."""
    bar = pulling.at(moment, pulling.stations(_LAID))
    return Key(moment, pulling.lift(moment), pulling.tool(0, moment), pulling.tool(1, moment), bar)


def keys_of(pulling: Pulling, put_on: str, lifted_off: str, also: Moment | None = None) -> tuple[Key, ...]:
    """Return the keys of a step: put on, pulled, let go, lifted off.

    Args:
        pulling: the bend.
        put_on: way in which the bar is put on.
        lifted_off: way in which it is lifted off.
        also: a moment that gets a key of its own.
    """
    far = max(CARRIED, also.away) if also else CARRIED
    ends: tuple[tuple[When, float, str], ...] = (("put on", 0.0, put_on), ("lifted off", pulling.wanted, lifted_off))
    on, off = ([Moment(when, angle, away, way) for away in (far, 0.0)] for when, angle, way in ends)
    moments = [*on, *_between(pulling, "bending", 0.0, pulling.pull)]
    moments += _between(pulling, "opening", pulling.pull, pulling.wanted)
    moments += reversed(off)
    if also is not None:
        moments.insert(_place_of(also, moments), also)
    return tuple(key_at(pulling, moment) for moment in moments)


def _place_of(also: Moment, moments: list[Moment]) -> int:
    """Where in the order of the work a moment belongs."""
    sign = {"put on": 1.0, "bending": -1.0, "opening": 1.0, "lifted off": -1.0}[also.when]
    own = also.away if also.when in ("put on", "lifted off") else also.angle
    last = 0
    for number, moment in enumerate(moments):
        there = moment.away if moment.when in ("put on", "lifted off") else moment.angle
        if moment.when == also.when and sign * there >= sign * own:
            last = number + 1
    return last


def _between(pulling: Pulling, when: When, first: float, last: float) -> list[Moment]:
    """Moments from one angle to another, evenly; as few as keep the error."""
    if first == last:
        return [Moment(when, first)]
    count = 2
    while True:
        moments = [Moment(when, first + (last - first) * k / count) for k in range(count + 1)]
        if count >= _MOST or _error(pulling, moments) <= KEY_ERROR:
            return moments
        count *= 2


def _error(pulling: Pulling, moments: list[Moment]) -> float:
    """The furthest that a place half way between two keys lies from the middle of its places in the two, mm."""
    stations = pulling.stations(_LAID)
    places = np.array([pulling.at(moment, stations)[:, :2] for moment in moments])
    halves = [pulling.at(Moment(a.when, 0.5 * (a.angle + b.angle)), stations)[:, :2] for a, b in pairwise(moments)]
    apart = np.linalg.norm(0.5 * (places[1:] + places[:-1]) - np.array(halves), axis=-1)
    pushed = np.array([pulling.tool(0, moment)[1] for moment in moments])
    return max(float(apart.max()), float(np.abs(np.diff(pushed, 2)).max(initial=0.0)) / 8.0)
