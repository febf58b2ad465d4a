"""The frame with a node at every end of an element: what buckling and vibration need, whose shapes lie between joints.

Stiffness comes from the same exact flexibility; the geometric stiffness and the mass of an element are those of a
straight beam between its ends (Przemieniecki, Theory of Matrix Structural Analysis, 1968: consistent matrices).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.building import Built, build
from bentwork.carry.cholesky import factor
from bentwork.carry.condense import Condensed, condense, geometry_of
from bentwork.carry.frame import Frame
from bentwork.carry.solving import LEAST_PIVOT, joint_stiffness
from bentwork.carry.stiffness import compliance_of, line_masses
from bentwork.carry.structure import Structure

__all__ = ["Fine", "fine_frame", "geometric_stiffness", "mass_matrix"]

Floats = NDArray[np.float64]

_LONGEST = 120.0
_MOST = 300
"""Elements, about, of a frame of many metres: longer ones beyond that, for the work grows with the cube of them."""
_TURN = math.radians(45.0)
_BEND = np.array([[36.0, 3.0, -36.0, 3.0], [3.0, 4.0, -3.0, -1.0], [-36.0, -3.0, 36.0, -3.0], [3.0, -1.0, -3.0, 4.0]])
_MASS = np.array(
    [[156.0, 22.0, 54.0, -13.0], [22.0, 4.0, 13.0, -3.0], [54.0, 13.0, 156.0, -22.0], [-13.0, -3.0, -22.0, 4.0]]
)
_ACROSS = ((1, 5, 7, 11), (2, 4, 8, 10))  # moves across and turns, in the plane of the width and in that of the height


@dataclass(frozen=True, slots=True, eq=False)
class Fine:
    """The frame cut at every element.

    Args:
        built: the frame.
        chains: one for every element.
        inverse: of the scaled stiffness of the free motions.
        scale: (free,) by which its rows and columns were multiplied.
    """

    built: Built
    chains: Condensed
    inverse: Floats
    scale: Floats

    @property
    def frame(self) -> Frame:
        """Nodes, attached places, chains."""
        return self.built.frame

    def assembled(self, local: Floats) -> Floats:
        """Return the matrix of the free motions, scaled, from one (E, 12, 12) in the directions of every element."""
        return np.array(self.assembled_times(local, np.ones((len(local), 1)))[0])

    def assembled_times(self, local: Floats, times: Floats) -> Floats:
        """Return several of them, (C, free, free), in which every element counts so many times, (E, C)."""
        frame = self.frame
        to_local = _to_local(frame)
        size = frame.count + 1
        blocks = (to_local.transpose(0, 2, 1) @ local @ to_local).reshape(len(local), -1)
        motions = self.chains.geometry.motions
        flat = (motions[:, :, None] * size + motions[:, None, :]).ravel()
        found = np.empty((times.shape[1], frame.free, frame.free))
        for number, own in enumerate(times.T):
            whole = np.bincount(flat, weights=(blocks * own[:, None]).ravel(), minlength=size * size)
            free = whole.reshape(size, size)[: frame.free, : frame.free].astype(np.float64, copy=False)
            found[number] = self.scaled(free)
        return found

    def scaled(self, matrix: Floats) -> Floats:
        """Return a symmetric matrix of the free motions with rows and columns scaled as the stiffness is."""
        found: Floats = 0.5 * (matrix + matrix.T) * self.scale[:, None] * self.scale
        return found


def fine_frame(
    structure: Structure, *, longest: float | None = None, turn: float = _TURN, shear: bool = True
) -> Fine | None:
    """Cut the frame at every element and factor its stiffness; None when it can move without bending.

    Elements are no longer than ``longest``, mm; None: 120, or what cuts all of its bars into some 300.
    """
    if longest is None:
        longest = max(_LONGEST, sum(bar.length for bar in structure.bars) / _MOST)
    built = build(structure, longest=longest, every_element=True, turn=turn)
    elements = built.frame.elements
    chains = condense(
        geometry_of(built.frame),
        compliance_of(structure.bars, elements, shear=shear),
        line_masses(structure.bars, elements),
    )
    free = built.frame.free
    main = joint_stiffness(chains)[:free, :free]
    diagonal = np.diagonal(main)
    scale = 1.0 / np.sqrt(np.where(diagonal > 0.0, diagonal, 1.0))
    factored = factor(main * scale[:, None] * scale)
    if factored is None or factored.pivot < LEAST_PIVOT:
        return None
    return Fine(built, chains, factored.solve(np.eye(free)), scale)


def geometric_stiffness(fine: Fine, axial: Floats) -> Floats:
    """Return what axial forces (E, C), N, pulls above 0, add to the scaled stiffness, (C, free, free): a case each."""
    length, polar = _lengths(fine), _polar(fine)
    local = np.zeros((len(length), 12, 12))
    share = 1.0 / length
    for where, sign in zip(_ACROSS, (1.0, -1.0), strict=True):
        _add(local, where, _BEND * (share / 30.0)[:, None, None], sign * length)
    for a, b, s in ((3, 3, 1.0), (9, 9, 1.0), (3, 9, -1.0), (9, 3, -1.0)):
        local[:, a, b] += s * share * polar
    return fine.assembled_times(local, axial)


def mass_matrix(fine: Fine) -> Floats:
    """Return the mass of the bars, kg and kg mm2, payload not counted; scaled, for the free motions."""
    length, polar = _lengths(fine), _polar(fine)
    local = np.zeros((len(length), 12, 12))
    mass = fine.chains.line_mass * fine.frame.elements.length
    for where, sign in zip(_ACROSS, (1.0, -1.0), strict=True):
        _add(local, where, _MASS * (mass / 420.0)[:, None, None], sign * length)
    for k, by in ((0, np.ones_like(polar)), (3, polar)):
        for a, b, s in ((k, k, 2.0), (k + 6, k + 6, 2.0), (k, k + 6, 1.0), (k + 6, k, 1.0)):
            local[:, a, b] += s * mass * by / 6.0
    return fine.assembled(local)


def _add(local: Floats, where: tuple[int, ...], matrix: Floats, length: Floats) -> None:
    """Add a matrix of moves and turns, whose turns are still to be multiplied by the length."""
    by = np.ones((len(length), 4))
    by[:, 1] = by[:, 3] = length
    at = np.array(where)
    local[:, at[:, None], at] += matrix * by[:, :, None] * by[:, None, :]


def _lengths(fine: Fine) -> Floats:
    ends = fine.frame.elements.ends
    found: Floats = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    return found


def _polar(fine: Fine) -> Floats:
    """Polar second moment over area of every element, mm2."""
    by_bar = [bar.section.polar_second_moment / bar.section.area for bar in fine.built.structure.bars]
    return np.array(by_bar)[fine.frame.elements.bar]


def _to_local(frame: Frame) -> Floats:
    """Motions of both ends in the directions of the element from the 18 motions of its chain, (E, 12, 18)."""
    elements = frame.elements
    chord = elements.ends[:, 1] - elements.ends[:, 0]
    tangent = chord / np.linalg.norm(chord, axis=1)[:, None]
    side = elements.end_axes[:, :, 1].mean(axis=1)
    side -= np.einsum("ei,ei->e", side, tangent)[:, None] * tangent
    side /= np.linalg.norm(side, axis=1)[:, None]
    axes = np.stack((tangent, side, np.cross(tangent, side)), axis=1)
    found = np.zeros((len(elements), 12, 18))
    for k in (0, 1):
        moved = frame.transform[frame.chains.ends[:, k]]
        found[:, 6 * k : 6 * k + 3, 9 * k : 9 * k + 9] = axes @ moved[:, :3]
        found[:, 6 * k + 3 : 6 * k + 6, 9 * k : 9 * k + 9] = axes @ moved[:, 3:]
    return found
