"""Section forces anywhere on the bars, and where every end of an element moves to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.condense import section_forces
from bentwork.carry.solving import Solved

__all__ = ["Inside", "forces_inside", "moves_of_ends", "strain_energy"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Inside:
    """Section forces at the places where stress is looked for: both ends and the points of every element.

    Args:
        element: (S,) element of every place.
        station: (S,) mm from end A of its bar.
        place: (S, 3) mm.
        forces: (S, 6, L) axial force, shear along width and height (N), twist, moment about width and about height
            (N mm), in the directions of the section there, tangent to the arc.
    """

    element: Ints
    station: Floats
    place: Floats
    forces: Floats


def _beyond(solved: Solved) -> Floats:
    """Force and moment at the middle of its chain of all that lies beyond every element, (E, 6, L)."""
    chains = solved.condensed.geometry.frame.chains
    own = solved.condensed.beyond @ solved.loads.own
    return own + np.repeat(solved.end, np.diff(chains.first), axis=0)


def _at_points(solved: Solved, beyond: Floats) -> Floats:
    """Section forces at the integration points, (P, 6, L)."""
    geometry = solved.condensed.geometry
    owner = geometry.frame.elements.owner
    found: Floats = geometry.arms @ beyond[owner]
    if np.any(solved.loads.own):
        found += solved.condensed.line_mass[owner, None, None] * (geometry.loads @ solved.loads.own)
    return found


def forces_inside(solved: Solved) -> Inside:
    """Return the section forces of every load, by equilibrium from the ends of the chains."""
    geometry = solved.condensed.geometry
    elements, chains = geometry.frame.elements, geometry.frame.chains
    beyond = _beyond(solved)
    weight = solved.condensed.line_mass[:, None, None]
    at_points = _at_points(solved, beyond)
    middle = np.repeat(geometry.middle, np.diff(chains.first), axis=0)
    at_end = section_forces(elements.end_axes[:, 1], middle - elements.ends[:, 1]) @ beyond
    whole = beyond + weight * (geometry.resultant @ solved.loads.own)
    at_start = section_forces(elements.end_axes[:, 0], middle - elements.ends[:, 0]) @ whole
    number = np.arange(len(elements))
    along = elements.station[elements.owner, 1] - elements.rest
    return Inside(
        np.concatenate((number, elements.owner, number)),
        np.concatenate((elements.station[:, 0], along, elements.station[:, 1])),
        np.concatenate((elements.ends[:, 0], elements.place, elements.ends[:, 1])),
        np.concatenate((at_start, at_points, at_end)),
    )


def moves_of_ends(solved: Solved, inside: Inside | None = None) -> Floats:
    """Return moves (mm) and turns (radians) of both ends of every element, (E, 2, 6, L), along and about x, y, z.

    Args:
        solved: the solution.
        inside: its section forces, where they are known already.
    """
    geometry = solved.condensed.geometry
    frame = geometry.frame
    elements, chains = frame.elements, frame.chains
    count = len(elements)
    known = inside.forces[count:-count] if inside is not None else _at_points(solved, _beyond(solved))
    strain = solved.condensed.compliance[:, :, None] * known
    grown = np.add.reduceat(geometry.arms.transpose(0, 2, 1) @ strain, elements.first, axis=0)
    number = np.diff(chains.first)
    first_end = -geometry.ends[:, :, :9] @ solved.motions[geometry.motions[:, :9]]
    summed = np.cumsum(grown, axis=0)
    before = np.repeat(summed[chains.first[:-1]] - grown[chains.first[:-1]], number, axis=0)
    at_end = np.repeat(first_end, number, axis=0) + summed - before
    at_start = at_end - grown
    middle = np.repeat(geometry.middle, number, axis=0)
    found = np.empty((len(elements), 2, 6, solved.loads.count))
    for k, motion in enumerate((at_start, at_end)):
        arm = elements.ends[:, k] - middle
        found[:, k] = motion
        turn = motion[:, 3:]
        found[:, k, 0] += turn[:, 1] * arm[:, 2, None] - turn[:, 2] * arm[:, 1, None]
        found[:, k, 1] += turn[:, 2] * arm[:, 0, None] - turn[:, 0] * arm[:, 2, None]
        found[:, k, 2] += turn[:, 0] * arm[:, 1, None] - turn[:, 1] * arm[:, 0, None]
    return found


def strain_energy(solved: Solved) -> Floats:
    """Return the energy stored in the bars and in the springs of the fixings, N mm, (L,)."""
    geometry = solved.condensed.geometry
    inside = _at_points(solved, _beyond(solved))
    bars = 0.5 * np.einsum("pk,pkl->l", solved.condensed.compliance, inside**2)
    springs = 0.5 * np.einsum("k,kl->l", geometry.frame.springs, solved.motions[: geometry.frame.free] ** 2)
    found: Floats = bars + springs
    return found
