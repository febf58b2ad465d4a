"""Chains condensed to their ends, by flexibility: what a long chain of elements is to the joints.

A chain held at its first end and loaded at its last is statically determinate: the forces in it follow from equilibrium
alone, and the flexibility of the last end is the sum over the chain of B' c B, where B makes section forces of the end
forces and c is the compliance of a length of bar (Castigliano; Timoshenko's shear included). A sum of positive terms
loses no digits, however many elements there are; a stiffness matrix with a row for every element end does.
All forces of a chain are told at the middle of its points, where the flexibility is nearly diagonal.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.frame import Frame, carry_to

__all__ = ["Condensed", "Geometry", "condense", "geometry_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Geometry:
    """What does not depend on section and material.

    Args:
        frame: the frame.
        middle: (C, 3) place at which the forces of each chain are told, mm.
        ends: (C, 6, 18) relative motion of the two ends of a chain, carried to its middle, from 2 x 9 motions.
        arms: (P, 6, 6) section forces at every point from the force and moment at the middle of its chain: axial
            force, shear along width and height, twist, moment about width and about height.
        loads: (P, 6, 3) section forces from the rest of its own element under 1 N/mm along x, y, z.
        resultant: (E, 6, 3) force and moment at the middle of its chain from the same load on a whole element.
    """

    frame: Frame
    middle: Floats
    ends: Floats
    arms: Floats
    loads: Floats
    resultant: Floats

    @property
    def motions(self) -> NDArray[np.int64]:
        """Numbers of the 18 motions of both ends of every chain, (C, 18)."""
        found: NDArray[np.int64] = self.frame.motions[self.frame.chains.ends].reshape(-1, 18)
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Condensed:
    """Chains as springs between their ends, with the loads that they hand on.

    Args:
        geometry: of the frame.
        compliance: (P, 6) of a point's share of the length.
        flexibility: (C, 6, 6) of the last end against the first, at the middle.
        rigidity: (C, 6, 6) its inverse.
        beyond: (E, 6, 3) force and moment at the middle from own weight of 1 m/s2 along x, y, z beyond each element.
        given: (C, 6, 3) motion of the last end that own weight causes.
        total: (C, 6, 3) own weight of the whole chain, at its middle.
        line_mass: (E,) kg/mm.
    """

    geometry: Geometry
    compliance: Floats
    flexibility: Floats
    rigidity: Floats
    beyond: Floats
    given: Floats
    total: Floats
    line_mass: Floats


def geometry_of(frame: Frame) -> Geometry:
    """Return lever arms and loads of the frame, from places and directions alone."""
    elements, chains = frame.elements, frame.chains
    points = frame.points_of_chain
    number = np.diff(points)
    chain_of_point = np.repeat(np.arange(len(number)), number)
    chain_of_element = np.repeat(np.arange(len(number)), np.diff(chains.first))
    middle = np.add.reduceat(elements.place, points[:-1]) / number[:, None]
    arms = section_forces(elements.axes, middle[chain_of_point] - elements.place)
    loads = np.empty((len(elements.place), 6, 3))
    loads[:, :3] = elements.rest[:, None, None] * elements.axes
    # Moment of a unit load along k about the point, along axis a: a . (lever x e_k) = (a x lever)_k.
    lever = elements.rest_moment - elements.rest[:, None] * elements.place
    loads[:, 3:] = _cross(elements.axes, lever[:, None, :])
    away = elements.first_moment - elements.length[:, None] * middle[chain_of_element]
    resultant = np.zeros((len(elements), 6, 3))
    resultant[:, range(3), range(3)] = elements.length[:, None]
    resultant[:, 3:] = _cross_matrix(away)
    place = np.array([spot.place for spot in frame.attached])
    ends = np.empty((len(middle), 6, 18))
    for k, sign in ((0, -1.0), (1, 1.0)):
        spot = chains.ends[:, k]
        ends[:, :, 9 * k : 9 * k + 9] = sign * (carry_to(middle - place[spot]) @ frame.transform[spot])
    return Geometry(frame, middle, ends, arms, loads, resultant)


def section_forces(axes: Floats, lever: Floats) -> Floats:
    """Return section forces (n, 6, 6), along ``axes`` (n, 3, 3), of a force and moment ``lever`` (n, 3) away."""
    found = np.zeros((len(axes), 6, 6))
    found[:, :3, :3] = found[:, 3:, 3:] = axes
    found[:, 3:, :3] = _cross(axes, lever[:, None, :])
    return found


def condense(geometry: Geometry, compliance: Floats, line_mass: Floats) -> Condensed:
    """Return the chains as springs.

    Args:
        geometry: of the frame.
        compliance: (E, 6) strain per section force: 1/EA, 1/GA' twice, 1/GJ, 1/EI twice, in N and mm.
        line_mass: (E,) kg/mm.
    """
    frame = geometry.frame
    elements, chains = frame.elements, frame.chains
    soft = compliance[elements.owner] * elements.weight[:, None]
    root = np.sqrt(soft)[:, :, None]
    scaled = root * geometry.arms
    # Own weight beyond every element, from the end of its chain backwards.
    own = line_mass[:, None, None] * geometry.resultant
    last = chains.first[1:] - 1
    summed = np.cumsum(own, axis=0)
    beyond = np.repeat(summed[last], np.diff(chains.first), axis=0) - summed
    total = beyond[chains.first[:-1]] + own[chains.first[:-1]]
    inside = root * (line_mass[elements.owner, None, None] * geometry.loads + geometry.arms @ beyond[elements.owner])
    points = frame.points_of_chain
    flexibility = np.empty((len(chains.bar), 6, 6))
    given = np.empty((len(chains.bar), 6, 3))
    for chain, (start, end) in enumerate(itertools.pairwise(points)):
        part = scaled[start:end].reshape(-1, 6)
        flexibility[chain] = part.T @ part
        given[chain] = part.T @ inside[start:end].reshape(-1, 3)
    rigidity = np.linalg.inv(flexibility)
    rigidity = 0.5 * (rigidity + rigidity.transpose(0, 2, 1))
    return Condensed(geometry, soft, flexibility, rigidity, beyond, given, total, line_mass)


def _cross(a: Floats, b: Floats) -> Floats:
    """Vector product along the last axis; numpy's own takes several times as long."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    return np.stack((ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx), axis=-1)


def _cross_matrix(a: Floats) -> Floats:
    """Matrices of a x, (..., 3, 3)."""
    found = np.zeros((*a.shape, 3))
    found[..., 0, 1], found[..., 0, 2], found[..., 1, 2] = -a[..., 2], a[..., 1], -a[..., 0]
    found[..., 1, 0], found[..., 2, 0], found[..., 2, 1] = a[..., 2], -a[..., 1], a[..., 0]
    return found
