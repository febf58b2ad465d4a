"""Buckling: how many times its load the frame takes before it gives way sideways (linear, perfect bars)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.cases import LoadCase, loads_of
from bentwork.carry.fine import Fine, geometric_stiffness
from bentwork.carry.lowest import largest_of_each
from bentwork.carry.recovery import forces_inside
from bentwork.carry.solving import Loads, Moves, solve

__all__ = ["AMPLE", "Buckling", "buckling"]

Floats = NDArray[np.float64]

AMPLE = 10.0
"""From this factor on, sideways bending under the load may be left out (EN 1993-1-1, 5.2.1, from memory)."""

_MOVED = 0.1  # of the place that moves most: a bar that moves less has no part in it


@dataclass(frozen=True, slots=True, eq=False)
class Buckling:
    """One case.

    Args:
        case: its name.
        factor: times all its loads at which the frame buckles; infinite when nothing is pressed.
        bar: number of the bar that moves most, -1 when nothing buckles.
        moves: (A, 3) moves of the attached places of the fine frame, the largest 1.
        bars: numbers of all that move, a tenth as much as that or more.
    """

    case: str
    factor: float
    bar: int
    moves: Floats
    bars: tuple[int, ...] = ()


def buckling(fine: Fine, cases: Sequence[LoadCase]) -> tuple[Buckling, ...]:
    """Return the lowest buckling factor of every case; pushes at places between nodes act on the nearest node.

    Args:
        fine: the frame cut at every element.
        cases: the load cases.
    """
    built = fine.built
    near = []
    for case in cases:
        for push in case.pushes:
            own = [k for k, spot in enumerate(built.frame.attached) if spot.bar == push.bar]
            near.append(min(own, key=lambda k: abs(built.frame.attached[k].station - push.station)))
    steady, payload = loads_of(replace(built, extra=tuple(near)), cases)
    solved = solve(fine.chains, Loads(steady.own, steady.at + payload.at))
    if isinstance(solved, Moves):
        raise ValueError("a fine frame does not move without bending")
    inside = forces_inside(solved)
    count = len(built.frame.elements)
    axial = np.zeros((count, len(cases)))
    np.add.at(axial, inside.element, inside.forces[:, 0])
    axial /= np.bincount(inside.element, minlength=count)[:, None]
    pressed = np.flatnonzero(np.any(axial < 0.0, axis=0))
    still = np.zeros((len(built.frame.attached), 3))
    found = [Buckling(case.name, np.inf, -1, still) for case in cases]
    if len(pressed):
        values, shapes = largest_of_each(fine.inverse, -geometric_stiffness(fine, axial[:, pressed]), 1)
        for number, value, shape in zip(pressed.tolist(), values[:, 0], shapes[:, :, 0], strict=True):
            if value > 0.0:
                found[number] = _buckled(fine, cases[number].name, float(value), shape)
    return tuple(found)


def _buckled(fine: Fine, name: str, value: float, shape: Floats) -> Buckling:
    frame = fine.frame
    motions = np.zeros(frame.count + 1)
    motions[: frame.free] = fine.scale * shape
    moves = np.einsum("aij,aj->ai", frame.transform, motions[frame.motions])[:, :3]
    size = np.linalg.norm(moves, axis=1)
    most = int(np.argmax(size))
    moved = sorted({spot.bar for spot, far in zip(frame.attached, size, strict=True) if far >= _MOVED * size[most]})
    return Buckling(name, 1.0 / value, frame.attached[most].bar, moves / (size[most] or 1.0), tuple(moved))
