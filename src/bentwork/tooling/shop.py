"""What stands round a bender: vise, bench, floor, walls. Lengths in mm, in the bender's frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Bench", "Body", "Mounting", "Vise"]

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Vise:
    """The vise that holds the bender, as a box."""

    x: Range
    y: Range
    top: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Bench:
    """The bench top, as a slab hanging down from ``top``."""

    x: Range
    y: Range
    top: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Body:
    """Anything else that stands in the way.

    Args:
        name: what the maker calls it.
        shape: ``box`` (x, y, z), ``cylinder`` (radius, from, to: the axis) or ``capsule`` (the same, ends rounded).
        x: from and to along x of a box; y and z likewise.
        start: one end of the axis of a cylinder or capsule.
        end: the other end of it.
        radius: of a cylinder or capsule.
    """

    name: str
    shape: Literal["box", "cylinder", "capsule"]
    x: Range | None = None
    y: Range | None = None
    z: Range | None = None
    start: tuple[float, float, float] | None = None
    end: tuple[float, float, float] | None = None
    radius: float | None = None


@dataclass(frozen=True, slots=True)
class Mounting:
    """One way in which a bender is set up."""

    name: str
    bender: str
    vise: Vise | None = None
    bench: Bench | None = None
    floor: float | None = None
    bodies: tuple[Body, ...] = ()
