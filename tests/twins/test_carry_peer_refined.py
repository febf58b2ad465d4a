"""The crate shelf of 2,000 elements against PyNiteFEA's own elements, put together and solved to extended precision.

Claim: at 2,000 elements PyNiteFEA and we differ by some 1e-7, and that is its round-off, not ours. It assembles in
double precision and solves once: half of what it is out by is in the last digits of its assembled matrix, half in the
solving (refining its answer with its own assembled matrix brings 1.0e-7 to 5e-8). When its own member matrices, its own
directions and its own loads are put together and refined in extended precision, the answer agrees with ours to 5e-10,
twenty times better than the 1e-8 that is asked. No program that keeps its matrix in double precision can do as well: to
round every entry once more moves the answer by 1e-7 (8e-8 to 3e-7 in eight draws; condition number of the matrix, its
diagonal made 1: 5e11). At 100 and 500 elements it agrees with us to 1e-8 as it is:
``tests/truth/test_carry_frame_program.py``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from Pynite import Analysis
from scipy.sparse import coo_matrix, csr_matrix
from scipy.sparse.linalg import splu

from tests.truth.carry_chords import CASES, chord_frame, ours, pynite_model

Floats = NDArray[np.float64]
Long = NDArray[np.longdouble]

ASKED = 1e-8
FOUND = 1.5e-9


def unlike(a: Floats, b: Floats) -> float:
    """Largest difference in moves and in turns, each over the largest of its case in ``b``."""
    worst = 0.0
    for k in (slice(0, 3), slice(3, 6)):
        size = np.abs(b[:, k]).max(axis=(0, 1))
        worst = max(worst, float((np.abs(a[:, k] - b[:, k]).max(axis=(0, 1)) / size).max()))
    return worst


def test_what_the_peer_is_out_by_at_2000_elements_is_its_own_round_off() -> None:
    mesh = chord_frame(2000)
    mine, _ = ours(mesh)
    model = pynite_model(mesh)
    Analysis._prepare_model(model)
    free, held, _ = Analysis._partition_D(model)
    many = 6 * len(mesh.places)
    assert len(free) + len(held) == many
    loads = [model.P(f"L{case}") - model.FER(f"L{case}") for case in range(CASES.shape[1])]
    right = np.hstack(loads)[free]
    matrix = model.Ke("L0", sparse=True).tocsc()[free][:, free]
    factor = splu(matrix)

    def by_node(found: Floats | Long) -> Floats:
        whole = np.zeros((many, CASES.shape[1]))
        whole[free] = found.astype(np.float64)
        return whole.reshape(-1, 6, CASES.shape[1])

    members = list(model.members.values())
    stiff = np.array([_turned(member.ke(), member.T()) for member in members])
    ends = [(member.i_node.ID, member.j_node.ID) for member in members]
    at = np.array([np.concatenate((6 * i + np.arange(6), 6 * j + np.arange(6))) for i, j in ends])

    found = np.zeros(right.shape, dtype=np.longdouble)
    for _ in range(30):
        whole = np.zeros((many, CASES.shape[1]), dtype=np.longdouble)
        whole[free] = found
        taken = np.zeros_like(whole)
        np.add.at(taken, at, np.einsum("eij,ejc->eic", stiff, whole[at]))
        step = factor.solve((right.astype(np.longdouble) - taken[free]).astype(np.float64))
        found = found + step
        if np.abs(step).max() < 1e-12 * np.abs(found).max():
            break
    else:
        raise AssertionError("the refinement does not settle")

    refined, as_it_is = by_node(found), by_node(factor.solve(right))
    assert unlike(mine, refined) < FOUND < ASKED
    assert unlike(as_it_is, refined) > 10 * unlike(mine, refined), "it is the peer that is out"
    moved = factor.solve(_rounded_once(matrix.tocoo()) @ found.astype(np.float64))
    assert unlike(by_node(found + moved), refined) > 3 * ASKED, (
        "the last digits of its matrix alone make more than asked"
    )


def _rounded_once(matrix: coo_matrix) -> csr_matrix:
    """By how much entries change when each is rounded once more: up to half of its last digit, either way, evenly."""
    size = np.int64(matrix.shape[0])
    pair = np.minimum(matrix.row, matrix.col) * size + np.maximum(matrix.row, matrix.col)
    kinds, which = np.unique(pair, return_inverse=True)
    share = np.finfo(np.float64).eps * (np.random.default_rng(1).random(len(kinds)) - 0.5)
    return coo_matrix((matrix.data * share[which], (matrix.row, matrix.col)), shape=matrix.shape).tocsr()


def _turned(local: Floats, turn: Floats) -> Long:
    """Stiffness of a member along x, y, z from its own, (12, 12), and its own directions (12, 12)."""
    axes = turn.astype(np.longdouble)
    found: Long = axes.T @ local.astype(np.longdouble) @ axes
    return found
