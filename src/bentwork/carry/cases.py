"""Load cases: what the frame feels in use, each with where its figure comes from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bentwork.carry.building import Built
from bentwork.carry.payload import spread
from bentwork.carry.solving import Loads
from bentwork.carry.structure import Directions
from bentwork.space import Vec, add, scale
from bentwork.stock.material import Sure

__all__ = ["GRAVITY", "Felt", "LoadCase", "Push", "loads_of"]

GRAVITY = 9.80665
"""Standard gravity, m/s2."""

Felt = Literal["static", "shock", "braking", "rearward", "sideways", "corner", "leaning", "own"]


@dataclass(frozen=True, slots=True)
class Push:
    """A force on a bar.

    Args:
        bar: number of the bar.
        station: mm from its end A.
        force: N along x, y, z.
        carried: the part of it that is the payload's and grows with it, N.
    """

    bar: int
    station: float
    force: Vec
    carried: Vec = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One case.

    Args:
        name: short, such as ``sharp bump``.
        kind: which kind of load it is.
        down: how many times its weight everything presses down; 1 is standing still.
        forward: how many times its weight everything is thrown forward.
        left: the same to the left.
        pushes: forces besides.
        source: where the figures come from.
        sure: how sure they are.
    """

    name: str
    kind: Felt
    down: float = 1.0
    forward: float = 0.0
    left: float = 0.0
    pushes: tuple[Push, ...] = ()
    source: str = "common practice, no source"
    sure: Sure = "common practice"

    def __post_init__(self) -> None:
        if not all(math.isfinite(g) for g in (self.down, self.forward, self.left)):
            raise ValueError(f"load case {self.name}: every factor is a finite number")

    def felt(self, directions: Directions) -> Vec:
        """Return the acceleration that everything feels, m/s2 along x, y, z: standing still, gravity."""
        pull = add(scale(directions.up, -self.down), scale(directions.forward, self.forward))
        return scale(add(pull, scale(directions.left, self.left)), GRAVITY)


def loads_of(built: Built, cases: Sequence[LoadCase]) -> tuple[Loads, Loads]:
    """Return the loads of the cases in two parts, a column each: without the payload, and of the payload alone.

    Straps pull with the same force in every case and belong to the first part. A push must stand on a place that the
    frame was built with (``extra``), in the order of the cases.
    """
    structure = built.structure
    directions = structure.directions
    own = np.array([case.felt(directions) for case in cases]).T.reshape(3, len(cases))
    spots = len(built.frame.attached)
    steady, payload = np.zeros((spots, 6, len(cases))), np.zeros((spots, 6, len(cases)))
    at = iter(built.extra)
    for number, case in enumerate(cases):
        for push in case.pushes:
            spot = next(at)
            steady[spot, :3, number] += np.subtract(push.force, push.carried)
            payload[spot, :3, number] += push.carried
    for stood, spot in zip(structure.tabs, built.tabs, strict=True):
        steady[spot, :3] += stood.tab.mass * own
    if structure.borne is not None and structure.borne.bearings:
        places = np.array([bearing.place for bearing in structure.borne.bearings])
        centre = np.array(structure.borne.payload.centre)
        share = spread(places, centre)
        pushed = share[:, :, :3] @ (structure.borne.payload.mass * own)
        for spot, force in zip(built.bearings, pushed, strict=True):
            payload[spot, :3] += force
        for strap, spot in zip(structure.straps, built.straps, strict=True):
            pulled_to, pull = np.array(strap.strap.towards), strap.pull
            steady[spot, :3] += pull[:, None]
            if strap.tab is not None:
                off = np.array(strap.place) - built.frame.attached[spot].place
                steady[spot, 3:] += np.cross(off, pull)[:, None]
            back = np.concatenate((-pull, np.cross(pulled_to - centre, -pull)))
            for bearing, force in zip(built.bearings, share @ back, strict=True):
                steady[bearing, :3] += force[:, None]
    return Loads(own, steady), Loads(np.zeros_like(own), payload)
