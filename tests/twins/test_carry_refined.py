"""The crate shelf of 2,000 straight elements against a stiffness matrix solved to extended precision.

A plain double-precision stiffness solver loses digits at this size: frame programs differ from one another by 1e-7 and
more. So the twin assembles the matrix in extended precision and refines its solution with residuals of that precision,
until what is left is far below what is asked for.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from tests.truth.carry_chords import CASES, Mesh, chord_frame, ours

Long = NDArray[np.longdouble]


def beam(mesh: Mesh, number: int) -> tuple[Long, Long, np.longdouble]:
    """Stiffness (12, 12) of one straight beam along x, y, z, its directions (3, 3), its length."""
    one, other = (mesh.places[k].astype(np.longdouble) for k in mesh.nodes[number])
    along = other - one
    length = np.sqrt(along @ along)
    x = along / length
    z = mesh.high[number].astype(np.longdouble)
    z = z - x * (x @ z)
    z = z / np.sqrt(z @ z)
    axes = np.stack((x, np.cross(z, x), z))
    ea, _, _, gj, wide, high = _stiff(mesh, number)
    k = np.zeros((12, 12), dtype=np.longdouble)
    for a, value in ((0, ea / length), (3, gj / length)):
        k[a, a] = k[a + 6, a + 6] = value
        k[a, a + 6] = k[a + 6, a] = -value
    for (v, t, w, s), ei, sign in (((1, 5, 7, 11), high, 1), ((2, 4, 8, 10), wide, -1)):
        block = np.array(
            [
                [12, 6 * length, -12, 6 * length],
                [6 * length, 4 * length**2, -6 * length, 2 * length**2],
                [-12, -6 * length, 12, -6 * length],
                [6 * length, 2 * length**2, -6 * length, 4 * length**2],
            ],
            dtype=np.longdouble,
        )
        flip = np.array([1, sign, 1, sign], dtype=np.longdouble)
        k[np.ix_((v, t, w, s), (v, t, w, s))] = ei / length**3 * block * flip[:, None] * flip
    return k, axes, length


def _stiff(mesh: Mesh, number: int) -> list[np.longdouble]:
    """EA, GA', GA', GJ, EI about width and height; shear is left out."""
    return [1 / np.longdouble(c) if c else np.longdouble(0) for c in mesh.soft[mesh.stock[number]]]


def refined(mesh: Mesh) -> NDArray[np.float64]:
    """Moves and turns of every node, (n, 6, 4)."""
    size = 6 * len(mesh.places)
    rows, columns, values = [], [], []
    load = np.zeros((size, CASES.shape[1]), dtype=np.longdouble)
    for number, (one, other) in enumerate(mesh.nodes):
        local, axes, length = beam(mesh, number)
        turn = np.zeros((12, 12), dtype=np.longdouble)
        for k in range(4):
            turn[3 * k : 3 * k + 3, 3 * k : 3 * k + 3] = axes
        at = np.concatenate((6 * one + np.arange(6), 6 * other + np.arange(6)))
        whole = turn.T @ local @ turn
        rows.append(np.repeat(at, 12))
        columns.append(np.tile(at, 12))
        values.append(whole.ravel())
        # Own weight: half on each end, and the moments of a clamped beam.
        weight = np.longdouble(mesh.mass[mesh.stock[number]]) * CASES.astype(np.longdouble)
        across = axes @ weight
        push = np.zeros((12, CASES.shape[1]), dtype=np.longdouble)
        push[:3] = push[6:9] = across * length / 2
        push[5], push[11] = across[1] * length**2 / 12, -across[1] * length**2 / 12
        push[4], push[10] = -across[2] * length**2 / 12, across[2] * length**2 / 12
        np.add.at(load, at, turn.T @ push)
    for node, force in mesh.forces.items():
        load[6 * node : 6 * node + 3] += force
    held = np.zeros(size, dtype=bool)
    for node, flags in mesh.held.items():
        held[6 * node : 6 * node + 6] = flags
    row, column, value = np.concatenate(rows), np.concatenate(columns), np.concatenate(values)
    kept = ~held[row] & ~held[column]
    row, column, value = row[kept], column[kept], value[kept]
    number_of = np.cumsum(~held) - 1
    free = int((~held).sum())
    matrix = coo_matrix((value.astype(np.float64), (number_of[row], number_of[column])), shape=(free, free)).tocsc()
    factor = splu(matrix)
    right = load[~held]
    found = np.zeros_like(right)
    for _ in range(12):
        residual = right.copy()
        np.subtract.at(residual, number_of[row], value[:, None] * found[number_of[column]])
        step = factor.solve(residual.astype(np.float64))
        found += step
        if np.abs(step).max() < 1e-10 * np.abs(found).max():
            break
    else:
        pytest.fail("the refinement does not settle")
    moves = np.zeros((size, CASES.shape[1]), dtype=np.longdouble)
    moves[~held] = found
    return moves.reshape(-1, 6, CASES.shape[1]).astype(np.float64)


@pytest.mark.parametrize(("count", "agreement"), [(100, 1e-10), (2000, 1e-9)])
def test_moves_of_every_node(count: int, agreement: float) -> None:
    mesh = chord_frame(count)
    moves, _ = ours(mesh)
    exact = refined(mesh)
    for k in (slice(0, 3), slice(3, 6)):
        size = np.abs(exact[:, k]).max(axis=(0, 1))
        assert (np.abs(moves[:, k] - exact[:, k]).max(axis=(0, 1)) / size).max() < agreement
