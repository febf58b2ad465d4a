"""The joints' own system: small, dense, symmetric; solved for all loads at once, or told why it cannot be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.cholesky import factor
from bentwork.carry.condense import Condensed

__all__ = ["LEAST_PIVOT", "Loads", "Moves", "Solved", "joint_stiffness", "solve"]

Floats = NDArray[np.float64]

LEAST_PIVOT = 1e-11
"""A motion that keeps less than this share of its stiffness when the others give way is a mechanism: round-off
of the sums leaves about 1e-15 times how unlike the stiffnesses are, and a frame that moves so easily carries
nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """Loads, one column each.

    Args:
        own: (3, L) acceleration that every bar feels, m/s2 along x, y, z: its weight is mass times this.
        at: (A, 6, L) forces (N) and moments (N mm) along and about x, y, z on the attached places.
    """

    own: Floats
    at: Floats

    @property
    def count(self) -> int:
        """How many loads."""
        return int(self.own.shape[1])


@dataclass(frozen=True, slots=True, eq=False)
class Moves:
    """What no stiffness holds.

    Args:
        shapes: (count of motions + 1, M) one mechanism a column, its largest entry about 1 mm.
    """

    shapes: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """The frame under its loads.

    Args:
        condensed: the chains.
        loads: the loads.
        motions: (count + 1, L) of the joints: mm and radians in the directions of the nodes; the last row is 0.
        end: (C, 6, L) force and moment that every chain's last end takes from its joint, at the middle of the chain.
        reactions: (held, L) of the held motions: forces (N) and moments (N mm) that the fixings put on the frame.
    """

    condensed: Condensed
    loads: Loads
    motions: Floats
    end: Floats
    reactions: Floats


def joint_stiffness(condensed: Condensed) -> Floats:
    """Return the stiffness of all motions, held ones too and one row and column for none: (count + 1, count + 1)."""
    geometry = condensed.geometry
    frame = geometry.frame
    size = frame.count + 1
    blocks = geometry.ends.transpose(0, 2, 1) @ condensed.rigidity @ geometry.ends
    motions = geometry.motions
    flat = (motions[:, :, None] * size + motions[:, None, :]).ravel()
    found: Floats = np.array(np.bincount(flat, weights=blocks.ravel(), minlength=size * size), dtype=np.float64)
    found = found.reshape(size, size)
    found[range(frame.free), range(frame.free)] += frame.springs
    even: Floats = 0.5 * (found + found.T)
    return even


def solve(condensed: Condensed, loads: Loads) -> Solved | Moves:
    """Solve the frame for all loads at once; a frame that can move gives back how."""
    geometry = condensed.geometry
    frame = geometry.frame
    stiffness = joint_stiffness(condensed)
    free = frame.free
    main = stiffness[:free, :free]
    diagonal = np.diagonal(main)
    scale = 1.0 / np.sqrt(np.where(diagonal > 0.0, diagonal, 1.0))
    even = main * scale[:, None] * scale
    factored = factor(even) if free else None
    if free and (factored is None or factored.pivot < LEAST_PIVOT):
        shapes = _shapes(even, scale)
        if shapes.shape[1]:
            return Moves(np.vstack((shapes, np.zeros((frame.count + 1 - free, shapes.shape[1])))))
    given = condensed.given @ loads.own  # (C, 6, L)
    weight = condensed.total @ loads.own
    push = geometry.ends.transpose(0, 2, 1) @ (condensed.rigidity @ given)
    # The first end also takes the whole own weight of its chain; its columns of ``ends`` carry a minus sign.
    push[:, :9] -= geometry.ends[:, :, :9].transpose(0, 2, 1) @ weight
    right = np.zeros((frame.count + 1, loads.count))
    np.add.at(right, geometry.motions.ravel(), push.reshape(-1, loads.count))
    direct = frame.transform.transpose(0, 2, 1) @ loads.at
    np.add.at(right, frame.motions.ravel(), direct.reshape(-1, loads.count))
    motions = np.zeros_like(right)
    if factored is not None:
        motions[:free] = scale[:, None] * factored.solve(scale[:, None] * right[:free])
    end = condensed.rigidity @ (geometry.ends @ motions[geometry.motions] - given)
    reactions = stiffness[free : frame.count, :free] @ motions[:free] - right[free : frame.count]
    return Solved(condensed, loads, motions, end, reactions)


def _shapes(even: Floats, scale: Floats) -> Floats:
    """Motions without stiffness, each as local as it can be told: no two of them need the same motion most."""
    values, vectors = np.linalg.eigh(even)
    basis: Floats = scale[:, None] * vectors[:, values < 1e-9]
    for k in range(basis.shape[1]):
        rest = np.abs(basis[:, k:])
        row, column = np.unravel_index(int(np.argmax(rest)), rest.shape)
        basis[:, [k, k + int(column)]] = basis[:, [k + int(column), k]]
        basis[:, k] /= basis[row, k]
        for other in range(basis.shape[1]):
            if other != k:
                basis[:, other] -= basis[row, other] * basis[:, k]
    return basis
