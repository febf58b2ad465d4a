"""Natural frequencies of the frame with its payload on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.fine import Fine, mass_matrix
from bentwork.carry.lowest import largest_values
from bentwork.carry.payload import spread
from bentwork.findings import Finding

__all__ = ["SHAKEN", "Mode", "modes_of", "shaking_findings"]

Floats = NDArray[np.float64]

SHAKEN = (15.0, 30.0)
"""Hz: cobbles shake a bicycle's saddle most near 20 to 25 Hz (Vanwalleghem and others, J. Sci. Cycling 3(2), 2014,
abstract seen), with a margin of our own. Other wheels and speeds shake otherwise: nothing measured is at hand for them.
"""


@dataclass(frozen=True, slots=True, eq=False)
class Mode:
    """One way in which the loaded frame swings.

    Args:
        frequency: Hz.
        bar: number of the bar that moves most.
        moves: (A, 3) moves of the attached places of the fine frame, the largest 1.
    """

    frequency: float
    bar: int
    moves: Floats


def modes_of(fine: Fine, count: int = 6) -> tuple[Mode, ...]:
    """Return the lowest ways of swinging, lowest first; the payload moves as what bears it does.

    Args:
        fine: the frame cut at every element.
        count: how many.
    """
    frame = fine.frame
    mass = mass_matrix(fine) + _payload_mass(fine)
    values, shapes = largest_values(fine.inverse, mass, count)
    found = []
    for value, shape in zip(values, shapes.T, strict=True):
        motions = np.zeros(frame.count + 1)
        motions[: frame.free] = fine.scale * shape
        moves = np.einsum("aij,aj->ai", frame.transform, motions[frame.motions])[:, :3]
        size = np.linalg.norm(moves, axis=1)
        most = int(np.argmax(size))
        # Stiffness is in N/mm and mass in kg: a thousandth of it is in N s2/mm.
        found.append(
            Mode(math.sqrt(1000.0 / value) / (2.0 * math.pi), frame.attached[most].bar, moves / (size[most] or 1.0))
        )
    return tuple(found)


def _payload_mass(fine: Fine) -> Floats:
    """Mass of the payload on the free motions, scaled: its moves and turns follow from those of what bears it."""
    frame = fine.frame
    borne = fine.built.structure.borne
    if borne is None or not borne.bearings:
        return np.zeros((frame.free, frame.free))
    share = spread(np.array([at.place for at in borne.bearings]), np.array(borne.payload.centre))
    follows = np.zeros((6, frame.count + 1))
    for at, spot in enumerate(fine.built.bearings):
        moved = share[at].T @ frame.transform[spot, :3]
        for number, column in zip(frame.motions[spot], moved.T, strict=True):
            follows[:, number] += column
    body = np.zeros((6, 6))
    body[:3, :3] = borne.payload.mass * np.eye(3)
    body[3:, 3:] = borne.payload.inertia
    follows = follows[:, : frame.free]
    return fine.scaled(follows.T @ body @ follows)


def shaking_findings(modes: Sequence[Mode]) -> tuple[Finding, ...]:
    """Say when the loaded frame swings where roads shake."""
    bad = dict.fromkeys(f"{one.frequency:.0f}" for one in modes if SHAKEN[0] <= one.frequency <= SHAKEN[1])
    if not bad:
        return ()
    return (
        Finding(
            "watch",
            "shakes-with-the-road",
            f"The loaded frame swings at {' and '.join(bad)} Hz.",
            "Rough roads shake wheels most at 15 to 30 Hz (cobbles 20 to 25 Hz, as measured and published).",
            "Make it stiffer or shorter, or carry less; on smooth ground it does not matter.",
        ),
    )
