"""The shortest move within limits, against a plain search that tries every set of limits and keeps the shortest."""

from __future__ import annotations

import itertools

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from bentwork.piece.remedies import _nearest

Floats = NDArray[np.float64]

SIDES = st.lists(st.tuples(*[st.integers(-6, 6)] * 3), min_size=1, max_size=4)
WANTED = st.lists(st.integers(-5, 9), min_size=4, max_size=4)


def plain(slope: Floats, least: Floats) -> Floats | None:
    """Every set of limits that may bind, by pseudo-inverse; of those that keep all limits the shortest."""
    best: Floats | None = None
    for size in range(min(3, len(least)) + 1):
        for binding in itertools.combinations(range(len(least)), size):
            rows = list(binding)
            v = np.linalg.pinv(slope[rows]) @ least[rows] if rows else np.zeros(3)
            if np.all(slope @ v >= least - 1e-9) and (best is None or float(v @ v) < float(best @ best)):
                best = v
    return best


@given(SIDES, WANTED)
@example([(2, 4, -6), (6, 3, -4), (-5, -3, 4)], [0, 0, 1, 0])  # three sides that all but depend on one another
def test_the_quick_one_finds_what_the_plain_one_finds(sides: list[tuple[int, int, int]], wanted: list[int]) -> None:
    slope = np.array(sides, dtype=float)
    least = np.array(wanted[: len(sides)], dtype=float)
    found, twin = _nearest(slope, least), plain(slope, least)
    assert (found is None) == (twin is None)
    if found is not None and twin is not None:
        assert np.linalg.norm(found) <= np.linalg.norm(twin) + 1e-7
        assert np.all(slope @ found >= least - 1e-8)
        np.testing.assert_allclose(found, twin, atol=1e-6)
