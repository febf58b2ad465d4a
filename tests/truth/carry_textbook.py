"""A space frame of a textbook whose sections are no real bars: three members, set up from arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.building import build
from bentwork.carry.condense import condense, geometry_of
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.solving import Loads, Solved, solve
from bentwork.carry.structure import structure_of
from tests.frames import a_bar


def logan() -> NDArray[np.float64]:
    """Logan, example 5.8: moves and turns of node 1 in inches and radians.

    Three members of 100 in from (-100, 0, 0), (0, 0, -100) and (0, -100, 0) to the origin, all fixed there; A 10 in2,
    I 100 in4 both ways, J 50 in4, E 30 000, G 10 000 ksi; 50 kip down along y, 1000 kip in about -x.
    """
    ends = ((-100.0, 0.0, 0.0), (0.0, 0.0, -100.0), (0.0, -100.0, 0.0))
    bars = [a_bar(end, (0.0, 0.0, 0.0), name=f"member {k}") for k, end in enumerate(ends, 1)]
    fixings = [Fixing(bar.name, bar.name, end, FIXED) for bar, end in zip(bars, ends, strict=True)]
    built = build(structure_of(bars, fixings), [(0, 100.0)], longest=1e3)
    e, g = 30000.0, 10000.0
    soft = np.array([1 / (e * 10), 0.0, 0.0, 1 / (g * 50), 1 / (e * 100), 1 / (e * 100)])
    count = len(built.frame.elements)
    chains = condense(geometry_of(built.frame), np.tile(soft, (count, 1)), np.zeros(count))
    at = np.zeros((len(built.frame.attached), 6, 1))
    at[built.extra[0], 1, 0], at[built.extra[0], 3, 0] = -50.0, -1000.0
    solved = solve(chains, Loads(np.zeros((3, 1)), at))
    assert isinstance(solved, Solved)
    frame = built.frame
    found: NDArray[np.float64] = frame.transform[built.extra[0]] @ solved.motions[frame.motions[built.extra[0]], 0]
    return found
