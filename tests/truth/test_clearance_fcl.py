"""Clearances against python-fcl, an independent distance library: random steps in tight workshops.

The library measures at instants, so it finds a gap at or above the true one; ours is never above that. Where it finds
contact (it gives -1), ours is no gap either. Its distances are those of its default tolerance, 1e-6.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.clearance.step import step_clearance
from bentwork.clearance.workpiece import End
from tests.truth.fcl_step import smallest_gap
from tests.twins.tight_problems import a_problem

ENDS: tuple[End, End] = ("A", "B")
INSTANTS = 12
INSIDE = 0.05  # mm; by how much the library's chords lie inside the arcs, on the unsafe side of a gap to the inside


@pytest.mark.parametrize("seed", range(12))
def test_gaps_against_an_independent_library(seed: int) -> None:
    rng = np.random.default_rng(7000 + seed)
    problem = a_problem(rng)
    bend = int(rng.integers(0, problem.piece.bends))
    made = {k for k in range(problem.piece.bends) if k != bend and rng.random() < 0.6}
    held = ENDS[int(rng.integers(0, 2))]
    near = step_clearance(problem.piece, problem.bender, problem.mountings[0], bend, held, made)
    ours: dict[str, float] = {}
    for one in near.nears:
        if one.by in ("held", "free") and one.when in ("bending", "opening"):
            ours[one.body] = min(ours.get(one.body, math.inf), one.gap)
    theirs = smallest_gap(problem, bend, held, made, INSTANTS)
    assert theirs
    for name, gap in theirs.items():
        assert ours[name] <= max(gap, 0.0) + INSIDE, (name, problem, bend, held, made)
