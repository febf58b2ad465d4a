"""A frame that moves without bending: what moves, and how, in the maker's words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.frame import Frame
from bentwork.carry.solving import Moves
from bentwork.carry.structure import Structure
from bentwork.findings import Finding
from bentwork.space import Vec

__all__ = ["Motion", "motions_of", "movement_findings"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Motion:
    """One way in which the frame moves without bending.

    Args:
        bars: numbers of the bars that move, the one that moves most first.
        turns: whether it turns; otherwise it slides.
        direction: unit vector of the axis, or of the slide.
        through: a place on the axis, mm; for a slide, a place on the bar.
        moves: (A, 3) small moves of the attached places, the largest 1 mm: to be drawn.
    """

    bars: tuple[int, ...]
    turns: bool
    direction: Vec
    through: Vec
    moves: Floats


def motions_of(frame: Frame, found: Moves) -> tuple[Motion, ...]:
    """Return every mechanism as a turn or a slide of the bar that moves most."""
    told = []
    for shape in found.shapes.T:
        moved = np.einsum("aij,aj->ai", frame.transform, shape[frame.motions])
        bar_of = np.array([spot.bar for spot in frame.attached])
        place = np.array([spot.place for spot in frame.attached])
        size = float(np.ptp(place, axis=0).max()) or 1.0
        reach = np.linalg.norm(moved[:, :3], axis=1)
        most = reach.max()
        if most < 1e-6 * size * np.abs(moved[:, 3:]).max():  # a straight bar that spins about itself
            reach = np.linalg.norm(moved[:, 3:], axis=1)
            most = reach.max()
        bars = sorted({int(b) for b in bar_of[reach > 0.01 * most]}, key=lambda b: -reach[bar_of == b].max())
        lead = int(np.argmax(np.where(bar_of == bars[0], reach, -1.0)))
        told.append(_motion(tuple(bars), moved, place, lead, size))
    return tuple(told)


def _motion(bars: tuple[int, ...], moved: Floats, place: Floats, lead: int, size: float) -> Motion:
    move, turn = moved[lead, :3], moved[lead, 3:]
    speed = float(np.linalg.norm(turn))
    turns = speed * size > 1e-3 * float(np.linalg.norm(move))
    if turns:
        direction = turn / speed
        through = place[lead] + np.cross(turn, move) / speed**2
    else:
        direction, through = move / np.linalg.norm(move), place[lead]
    most = float(np.abs(moved[:, :3]).max()) or 1.0
    return Motion(bars, turns, _vec(direction), _vec(through), moved[:, :3] / most)


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))


def movement_findings(structure: Structure, motions: Sequence[Motion]) -> tuple[Finding, ...]:
    """Say of every mechanism what can turn or slide, and what would hold it."""
    found = []
    for motion in motions:
        names = [structure.bars[bar].name for bar in motion.bars]
        others = f", and with it {_listed(names[1:])}" if len(names) > 1 else ""
        line = _direction_words(motion.direction)
        if motion.turns:
            says = f"{names[0]} can turn about a line along {line} through {{through}}{others}."
        else:
            says = f"{names[0]} can slide along {line}{others}."
        found.append(
            Finding(
                "stop",
                "frame-can-move",
                says,
                "Nothing resists this motion: joints and fixings leave it free.",
                "Weld a joint, use two bolts where there is one, add a stay, or hold the frame in one more place.",
                piece=structure.bars[motion.bars[0]].of,
                lengths={"through": motion.through},
                at=motion.through,
            )
        )
    return tuple(found)


def _listed(names: Sequence[str]) -> str:
    if len(names) > 4:
        return f"{', '.join(names[:3])} and {len(names) - 3} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _direction_words(direction: Vec) -> str:
    for axis, name in enumerate("xyz"):
        if abs(direction[axis]) > 0.9998:
            return name
    first = next(c for c in direction if abs(c) > 1e-3)
    x, y, z = (round(c * (1.0 if first > 0 else -1.0), 2) + 0.0 for c in direction)
    return f"({x:g}, {y:g}, {z:g})"
