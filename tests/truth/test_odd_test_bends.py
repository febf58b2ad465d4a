"""One of four test bends is wrong, in many made-up workshops: is it found, and are the others left in peace?"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import pytest

from bentwork.bending.fit import fit
from bentwork.bending.learnt import Fit
from bentwork.bending.test_bend import TestBend
from bentwork.errors import InputError
from tests.workshops import Truth, a_workshop, bent

WORKSHOPS = 50
ANGLES = (45.0, 60.0, 90.0, 120.0)
READING = 5.0
"""By how many standard deviations of one reading a mistake must be out to count: less, and nobody can tell it."""

Spoil = Callable[[Truth, TestBend, np.random.Generator], TestBend | None]


@dataclass(frozen=True)
class Tally:
    found: float
    left_out: float
    others: float
    explained: float


def misread(truth: Truth, bend: TestBend, rng: np.random.Generator) -> TestBend | None:
    """The gauge read from its other side, by a wrong ten or five, or with its figures changed over."""
    pulled, left = bend.pulled_deg, bend.left_deg
    ways = [{"left_deg": 180.0 - left}, {"pulled_deg": 180.0 - pulled}]
    ways += [{"left_deg": left - out} for out in (5.0, 10.0)] + [{"pulled_deg": pulled + out} for out in (5.0, 10.0)]
    ways += [{"left_deg": swapped(left)}, {"pulled_deg": swapped(pulled)}]
    for way in rng.permutation(len(ways)):
        try:
            wrong = replace(bend, **ways[way])
        except InputError:
            continue
        out = abs(wrong.pulled_deg - pulled) + abs(wrong.left_deg - left)
        if out > READING * math.hypot(math.sqrt(2.0) * truth.gauge, truth.repeat):
            return wrong
    return None


def swapped(angle: float) -> float:
    tens, ones = divmod(int(angle) % 100, 10)
    return angle - int(angle) % 100 + 10 * ones + tens + (0.001 if tens == ones else 0.0)


def legs_swapped(truth: Truth, bend: TestBend, rng: np.random.Generator) -> TestBend | None:
    held, free = bend.held_leg_mm, bend.free_leg_mm
    assert held is not None
    assert free is not None
    if abs(held - free) < 2.0 * READING * max(truth.tape, 0.7):
        return None
    try:
        return replace(bend, held_leg_mm=free, free_leg_mm=held)
    except InputError:
        return None


def of_another_batch(truth: Truth, bend: TestBend, rng: np.random.Generator) -> TestBend | None:
    """Bar of another temper, and nobody noted it."""
    other = replace(truth, strength=truth.strength * float(rng.choice([0.4, 0.5, 2.0, 2.5])))
    if other.bend.ratio == 0.0:
        return None
    (wrong,) = bent(other, [bend.left_deg], rng)
    out = other.pull(wrong.left_deg) - truth.pull(wrong.left_deg)
    return wrong if abs(out) > READING * math.hypot(math.sqrt(2.0) * truth.gauge, truth.repeat) else None


def spoilt(spoil: Spoil, seed: int) -> Iterator[tuple[TestBend, Fit]]:
    rng = np.random.default_rng(seed)
    done = 0
    while done < WORKSHOPS:
        truth = a_workshop(rng)
        bends = bent(truth, ANGLES, rng)
        which = int(rng.integers(len(bends)))
        wrong = spoil(truth, bends[which], rng)
        if wrong is None:
            continue
        bends[which] = wrong
        found = fit(truth.set_up, bends)
        assert isinstance(found, Fit)
        done += 1
        yield wrong, found


def tally(spoil: Spoil, causes: tuple[str, ...], seed: int) -> Tally:
    seen = list(spoilt(spoil, seed))
    own = [[doubt for doubt in found.doubts if doubt.bend == wrong] for wrong, found in seen]
    return Tally(
        found=sum(bool(doubts) for doubts in own) / len(seen),
        left_out=sum(any(doubt.left_out for doubt in doubts) for doubts in own) / len(seen),
        others=sum(any(doubt.bend != wrong for doubt in found.doubts) for wrong, found in seen) / len(seen),
        explained=sum(
            any(cause.kind.startswith(causes) for doubt in doubts for cause in doubt.causes) for doubts in own
        )
        / len(seen),
    )


@pytest.mark.parametrize(
    ("spoil", "causes"),
    [
        (misread, ("pulled", "left", "both")),
        (legs_swapped, ("legs changed over",)),
        (of_another_batch, ("another batch",)),
    ],
)
def test_a_wrong_one_is_found_and_the_others_left_in_peace(spoil: Spoil, causes: tuple[str, ...]) -> None:
    told = tally(spoil, causes, 7)
    assert told.found >= 0.90
    assert told.left_out >= 0.75
    assert told.others <= 0.05
    assert told.explained >= 0.80
