"""The frame cut at its joints: chains of elements between nodes, and what moves with what.

A node is a place where something happens: a joint, a fixing, a load, a free end. Between two nodes runs a chain,
part of
one bar, straights and arcs as they come. Where bars touch without meeting, each is tied to the node by a rigid link.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.elements import Elements

__all__ = ["Attached", "Chains", "Frame", "Node", "carry_to"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Node:
    """A node.

    Args:
        place: mm.
        directions: (3, 3) rows: the directions that its moves and turns are told in.
        stiffness: (6,) to the ground: infinite where it is held, 0 where it is free.
        fixings: numbers of the fixings that hold it.
    """

    place: Floats
    directions: Floats
    stiffness: Floats
    fixings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Attached:
    """A place on a bar that is tied to a node.

    Args:
        bar: number of the bar.
        station: from end A, mm.
        place: mm.
        node: number of the node.
        turn: number of the group of free turns that it belongs to; -1 when it is tied fast.
    """

    bar: int
    station: float
    place: Floats
    node: int
    turn: int = -1


@dataclass(frozen=True, slots=True, eq=False)
class Chains:
    """Chains of elements.

    Args:
        first: (C + 1,) first element of every chain, and the number of elements.
        ends: (C, 2) attached places at both ends.
        bar: (C,) number of the bar.
    """

    first: Ints
    ends: Ints
    bar: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """The whole frame as nodes, attached places and chains of elements.

    Args:
        elements: in order along the chains.
        chains: between attached places.
        nodes: with what holds them.
        attached: places on the bars.
        transform: (A, 6, 9) motion of each attached place (moves, turns, in x, y, z) from its nine motions.
        motions: (A, 9) numbers of these nine: six of the node, three free turns; ``count`` for none.
        free: how many motions are free; those from here on are held.
        count: how many motions there are.
    """

    elements: Elements
    chains: Chains
    nodes: tuple[Node, ...]
    attached: tuple[Attached, ...]
    transform: Floats
    motions: Ints
    free: int
    count: int

    @property
    def points_of_chain(self) -> Ints:
        """First integration point of every chain, and the number of points, (C + 1,)."""
        first = np.append(self.elements.first, len(self.elements.owner))
        return first[self.chains.first]

    @property
    def node_motions(self) -> Ints:
        """Numbers of the six motions of every node, (N, 6)."""
        found = np.full((len(self.nodes), 6), self.count)
        for place, numbers in zip(self.attached, self.motions, strict=True):
            found[place.node] = numbers[:6]
        return found

    @property
    def springs(self) -> Floats:
        """Stiffness to the ground of every motion that is free, N/mm or N mm per radian, (free,)."""
        found = np.zeros(self.free)
        for node, numbers in zip(self.nodes, self.node_motions, strict=True):
            for number, stiffness in zip(numbers, node.stiffness, strict=True):
                if number < self.free and np.isfinite(stiffness):
                    found[number] += stiffness
        return found


def carry_to(arm: Floats) -> Floats:
    """Return the (..., 6, 6) matrices that carry moves and turns along rigid arms (..., 3): u' = u + turn x arm.

    The transpose carries a force and a moment at the far end back to the near one.
    """
    found = np.zeros((*arm.shape[:-1], 6, 6))
    found[..., range(6), range(6)] = 1.0
    x, y, z = arm[..., 0], arm[..., 1], arm[..., 2]
    found[..., 0, 4], found[..., 0, 5] = z, -y
    found[..., 1, 3], found[..., 1, 5] = -z, x
    found[..., 2, 3], found[..., 2, 4] = y, -x
    return found
