"""The crate shelf against an independent frame program (PyNiteFEA 3), on straight elements of one and the same mesh.

PyNiteFEA leaves shear bending out; so does this comparison. Arcs are cut to chords in both.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.truth.carry_chords import chord_frame, ours, pynite


@pytest.mark.parametrize(("count", "agreement"), [(100, 1e-9), (500, 1e-8)])
def test_moves_of_every_node_and_forces_at_every_end(count: int, agreement: float) -> None:
    mesh = chord_frame(count)
    moves, forces = ours(mesh)
    their_moves, their_forces = pynite(mesh)
    for k in (slice(0, 3), slice(3, 6)):
        size = np.abs(their_moves[:, k]).max(axis=(0, 1))
        assert (np.abs(moves[:, k] - their_moves[:, k]).max(axis=(0, 1)) / size).max() < agreement
        size = np.abs(their_forces[:, k]).max(axis=(0, 1))
        assert (np.abs(forces[:, k] - their_forces[:, k]).max(axis=(0, 1)) / size).max() < 10 * agreement
