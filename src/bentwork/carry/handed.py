"""What a node puts on the places tied to it, and which part of it is not the joint's but a fixing's."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.building import Built

__all__ = ["by_fixings"]

Floats = NDArray[np.float64]


def by_fixings(built: Built, handed: Floats) -> Floats:
    """Return what fixings put on the places that they hold, 0 elsewhere; the rest of ``handed`` goes through joints.

    A node is in balance, so its fixing puts on it what it puts on all its places together. Two fixings of one node are
    told the whole each.

    Args:
        built: the frame.
        handed: (..., A, 6, L) force and moment, along x, y, z, that its node puts on every attached place.
    """
    attached = built.frame.attached
    place = np.array([spot.place for spot in attached])
    node = np.array([spot.node for spot in attached])
    found = np.zeros_like(handed)
    for spot in set(built.fixings):
        tied = np.flatnonzero(node == node[spot])
        force, moment = handed[..., tied, :3, :], handed[..., tied, 3:, :]
        moment = moment + np.cross((place[tied] - place[spot])[:, :, None], force, axis=-2)
        found[..., spot, :, :] = np.concatenate((force, moment), axis=-2).sum(axis=-3)
    return found
