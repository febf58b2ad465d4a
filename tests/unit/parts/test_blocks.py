"""Stacks of spacer blocks, against every subset tried one by one."""

from __future__ import annotations

from itertools import chain, combinations

import pytest

from bentwork.parts.blocks import STACK_WITHIN, stack

SETS = [
    (1.0, 2.0, 2.0, 5.0, 10.0, 20.0, 20.0, 50.0, 100.0),
    (12.7, 6.35, 3.175, 25.4, 50.8),
    (7.3, 11.1, 19.9, 23.4, 40.2, 61.7),
    (30.0,),
]


def plainly(blocks: tuple[float, ...], wanted: float) -> tuple[bool, float, float]:
    """Rank of the best subset: fits, then how many or what is left; every subset is looked at."""
    every = chain.from_iterable(combinations(blocks, k) for k in range(len(blocks) + 1))
    best = (True, wanted, 0.0)
    for some in every:
        off = wanted - sum(some)
        if abs(off) <= STACK_WITHIN + 1e-9:
            best = min(best, (False, float(len(some)), abs(off)))
        elif off > 0.0:
            best = min(best, (True, off, float(len(some))))
    return best


@pytest.mark.parametrize("blocks", SETS)
@pytest.mark.parametrize("wanted", [0.05, 1.0, 17.0, 37.4, 88.0, 104.0, 250.0, 12.75])
def test_no_subset_is_better(blocks: tuple[float, ...], wanted: float) -> None:
    found = stack(blocks, wanted)
    fits, first, second = plainly(blocks, wanted)
    assert found.fits == (not fits)
    mine = (len(found.blocks), abs(found.left)) if found.fits else (found.left, len(found.blocks))
    assert mine == pytest.approx((first, second), abs=1e-6)
    left = list(blocks)
    for one in found.blocks:
        left.remove(one)  # each is owned once


def test_a_size_that_is_there_twice_is_used_twice() -> None:
    assert stack((20.0, 20.0, 5.0), 40.0).blocks == (20.0, 20.0)


def test_nothing_is_small_enough() -> None:
    found = stack((10.0,), 3.0)
    assert found.blocks == ()
    assert found.left == 3.0


def test_too_many_or_none_at_all() -> None:
    with pytest.raises(ValueError, match="up to 28"):
        stack([1.0] * 29, 3.0)
    with pytest.raises(ValueError, match="above 0"):
        stack([0.0], 3.0)
    assert stack((), 3.0).left == 3.0
