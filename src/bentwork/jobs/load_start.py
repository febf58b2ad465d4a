"""A first guess at payload and fixings, for a job that says nothing of them: to be corrected, not to be trusted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.carry.bar import Bar
from bentwork.jobs.carried import frame_of
from bentwork.jobs.work import Result
from bentwork.space import Vec, distance

__all__ = ["Guess", "first_guess"]

_ABOVE = 100.0  # mm: of the payload's middle over what bears it
_MASS = 10.0  # kg
_LOW = 0.15  # of the frame's height: what stands as low as its feet
_LEVEL = 0.1  # slope that still counts as level


@dataclass(frozen=True, slots=True)
class Guess:
    """A guess.

    Args:
        mass: of the payload, kg.
        centre: of it, mm.
        on: name of the piece that has the most level bar.
        held: name of a copy and a place on it, mm: the lowest places, far apart.
    """

    mass: float
    centre: Vec
    on: str
    held: tuple[tuple[str, Vec], ...]


def first_guess(result: Result) -> Guess | None:
    """Return a guess; None where no piece stands anywhere, or none is level."""
    bars, _ = frame_of(result)
    level = _level(bars)
    if not level:
        return None
    on = max(level, key=lambda name: sum(length for length, _ in level[name]))
    weights = np.array([length for length, _ in level[on]])
    middle = np.average(np.array([place for _, place in level[on]]), axis=0, weights=weights)
    centre = (round(float(middle[0])), round(float(middle[1])), round(float(middle[2]) + _ABOVE))
    return Guess(_MASS, centre, on, _feet(bars))


def _level(bars: tuple[Bar, ...]) -> dict[str, list[tuple[float, Vec]]]:
    """Length and middle of every level straight, by piece."""
    found: dict[str, list[tuple[float, Vec]]] = {}
    for bar in bars:
        for run in bar.line.runs:
            if run.bend == 0 and run.length > 0.0 and abs(run.start.tangent[2]) < _LEVEL:
                found.setdefault(bar.of, []).append((run.length, run.pose(run.length / 2.0).origin))
    return found


def _feet(bars: tuple[Bar, ...]) -> tuple[tuple[str, Vec], ...]:
    """The lowest place, and the one as low that is farthest from it; one alone where they are the same."""
    spots = [
        (bar.name, pose.origin) for bar in bars for run in bar.line.runs for pose in (run.start, run.pose(run.length))
    ]
    heights = [place[2] for _, place in spots]
    low = min(heights) + _LOW * (max(heights) - min(heights))
    feet = [spot for spot in spots if spot[1][2] <= low + 1e-6]
    first = min(feet, key=lambda spot: (spot[1][2], spot[1][0]))
    other = max(feet, key=lambda spot: distance(spot[1], first[1]))
    found = [first] if distance(first[1], other[1]) < 1.0 else [first, other]
    return tuple((name, (round(x, 1), round(y, 1), round(z, 1))) for name, (x, y, z) in found)
