"""Readings taken off the thing that a frame must fit, as they were taken, and the equations that they are.

Every reading says how accurately it was taken: one standard deviation, so that two of three are nearer to the truth.
What is usual with tape, rule, level and plumb bob is common practice, without a source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bentwork.space import Vec, cross

__all__ = ["ACCURACY", "KINDS", "Equation", "Kind", "Level", "Reading", "Spot", "expand"]

Kind = Literal["distance", "slope", "plan", "height", "rise", "level", "plumb", "across", "ahead", "along", "offset"]

ACCURACY: Mapping[Kind, float] = {
    "distance": 1.0,
    "slope": 2.0,
    "plan": 1.5,
    "height": 1.0,
    "rise": 1.5,
    "level": 1.0,
    "plumb": 1.5,
    "across": 1.5,
    "ahead": 1.5,
    "along": 1.5,
    "offset": 1.0,
}
"""How accurately a reading of each kind is usually taken, mm: common practice, no source."""

KINDS: Mapping[Kind, str] = {
    "distance": "straight from point to point with the tape taut",
    "slope": "tape laid along a slope; as straight as it lies",
    "plan": "level distance: both points plumbed down to the floor",
    "height": "above the ground",
    "rise": "how much higher the second point is",
    "level": "both points are equally high",
    "plumb": "one point is straight above the other",
    "across": "left to right between two points, square to the way forward",
    "ahead": "fore and aft between two points",
    "along": "from the first end of a string to the foot of a point on it",
    "offset": "from a string square to a point",
}
"""What each kind of reading is."""


@dataclass(frozen=True, slots=True)
class Level:
    """Which way is up, and which way is forward: unit vectors, square to one another."""

    up: Vec = (0.0, 0.0, 1.0)
    forward: Vec = (1.0, 0.0, 0.0)

    @property
    def left(self) -> Vec:
        """To the left of who looks forward."""
        return cross(self.up, self.forward)


@dataclass(frozen=True, slots=True)
class Spot:
    """A point on the thing that the frame must fit.

    Args:
        name: what the maker calls it.
        near: about where it is, mm; None when nothing was sketched.
        at: exactly where it is, mm, and it is not measured; None for a point that is.
    """

    name: str
    near: Vec | None = None
    at: Vec | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading.

    Args:
        kind: what was read.
        points: names of its points; of a string first both ends, then the point.
        value: what was read, mm; 0 of level and plumb.
        accuracy: one standard deviation, mm.
        number: which entry of the job it is from, from 1; the two readings of one entry share it.

    Raises:
        ValueError: the number of points is not that of the kind, two of them are one, or the accuracy is not above 0.
    """

    kind: Kind
    points: tuple[str, ...]
    value: float = 0.0
    accuracy: float = 1.0
    number: int = 0

    def __post_init__(self) -> None:
        wanted = 1 if self.kind == "height" else 3 if self.kind in ("along", "offset") else 2
        if len(self.points) != wanted or len(set(self.points)) != wanted:
            raise ValueError(f"a reading of {self.kind} has {wanted} different points")
        if not (math.isfinite(self.value) and math.isfinite(self.accuracy) and self.accuracy > 0.0):
            raise ValueError("a reading has a value, and an accuracy above 0")


@dataclass(frozen=True, slots=True)
class Equation:
    """One number that the coordinates must give.

    Args:
        form: ``length`` of a difference, ``part`` of it along a direction, its ``size``, or of a point against a
            string: ``along``, ``offset``, ``beside`` and ``over`` (the offset in two directions square to the string).
        points: numbers of the points; -1 for the ground.
        value: what was read, mm.
        accuracy: one standard deviation, mm.
        reading: which reading it is of, from 0.
        direction: of ``part`` and ``size``; of ``length`` the direction that is left out.
    """

    form: Literal["length", "part", "size", "along", "offset", "beside", "over"]
    points: tuple[int, ...]
    value: float
    accuracy: float
    reading: int
    direction: Vec | None = None


def expand(readings: tuple[Reading, ...], names: Mapping[str, int], level: Level) -> tuple[Equation, ...]:
    """Return the equations of readings: one each, two of ``plumb`` and of a point that lies on its string.

    Args:
        readings: as they were taken.
        names: number of every point.
        level: up and forward.
    """
    found: list[Equation] = []
    for number, reading in enumerate(readings):
        points = tuple(names[name] for name in reading.points)
        value, accuracy = reading.value, reading.accuracy
        match reading.kind:
            case "distance" | "slope":
                found.append(Equation("length", points, value, accuracy, number))
            case "plan":
                found.append(Equation("length", points, value, accuracy, number, level.up))
            case "height":
                found.append(Equation("part", (-1, *points), value, accuracy, number, level.up))
            case "rise" | "level":
                found.append(Equation("part", points, value, accuracy, number, level.up))
            case "plumb":
                for way in (level.forward, level.left):
                    found.append(Equation("part", points, 0.0, accuracy, number, way))
            case "across" | "ahead":
                way = level.left if reading.kind == "across" else level.forward
                found.append(Equation("size", points, abs(value), accuracy, number, way))
            case "along":
                found.append(Equation("along", points, value, accuracy, number))
            case "offset" if value == 0.0:
                # How far a point is from its string has no slope where it lies on it: both ways off it are told.
                found.append(Equation("beside", points, 0.0, accuracy, number))
                found.append(Equation("over", points, 0.0, accuracy, number))
            case _:
                found.append(Equation("offset", points, value, accuracy, number))
    return tuple(found)
