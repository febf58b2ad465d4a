"""What is true of any fit: more is known after more test bends, and it does not matter how they were told."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bentwork.bending.fit import fit
from bentwork.bending.learnt import Fit, Measured
from bentwork.bending.set_up import SetUp
from bentwork.bending.test_bend import TestBend
from bentwork.stock.section import Flat, Round, Tube
from tests.unit.bending.test_fit import a_set_up, check
from tests.workshops import Truth, a_workshop, bent

SET_UPS = [
    a_set_up(),
    a_set_up(kind="ram"),
    a_set_up(Tube(25.0, 1.5), "S235", 75.0, "draw"),
    a_set_up(Flat(25.0, 5.0), "304", 80.0, way="hard"),
    a_set_up(Round(4.0), "7075-T6", 60.0),
]
SEEDS = st.integers(0, 2**32 - 1)


def fitted(set_up: SetUp, bends: list[TestBend], batch: str | None = None) -> Fit:
    found = fit(set_up, bends, batch)
    assert isinstance(found, Fit)
    return found


def measured(found: Fit) -> tuple[Measured, ...]:
    return found.law.fixed, found.law.proportional, found.radius, found.start, found.drawn_in, found.stretch


def same(one: Fit, other: Fit) -> None:
    for ours, theirs in zip(measured(one), measured(other), strict=True):
        assert ours.mean == pytest.approx(theirs.mean, rel=1e-5, abs=1e-5)
        assert ours.sd == pytest.approx(theirs.sd, rel=1e-5)
    assert one.pull(90.0).high == pytest.approx(other.pull(90.0).high, rel=1e-5)
    assert len(one.doubts) == len(other.doubts)


@given(SEEDS, st.integers(2, 5))
@settings(max_examples=25, deadline=None)
def test_the_order_of_test_bends_does_not_matter(seed: int, many: int) -> None:
    rng = np.random.default_rng(seed)
    truth = a_workshop(rng)
    bends = bent(truth, list(rng.uniform(30.0, 140.0, many)), rng, seen=True)
    bends = [replace(bend, batch=str(rng.choice(["March", "May"]))) for bend in bends]
    same(fitted(truth.set_up, bends, "May"), fitted(truth.set_up, [bends[i] for i in rng.permutation(many)], "May"))


@given(SEEDS, st.floats(-20.0, 500.0), st.floats(-20.0, 500.0))
@settings(max_examples=25, deadline=None)
def test_more_straight_bar_at_either_end_changes_nothing(seed: int, held: float, free: float) -> None:
    rng = np.random.default_rng(seed)
    truth = a_workshop(rng)
    bends = bent(truth, [50.0, 100.0], rng)
    longer = [
        replace(
            bend,
            bar_mm=(bend.bar_mm or 0.0) + held + free,
            mark_mm=(bend.mark_mm or 0.0) + held,
            held_leg_mm=(bend.held_leg_mm or 0.0) + held,
            free_leg_mm=(bend.free_leg_mm or 0.0) + free,
        )
        for bend in bends
    ]
    same(fitted(truth.set_up, bends), fitted(truth.set_up, longer))


@given(st.sampled_from(SET_UPS), st.lists(st.tuples(st.floats(0.5, 359.0), st.floats(0.01, 1.0)), max_size=4))
@example(SET_UPS[3], [(222.0, 0.01), (222.0, 0.01)])  # pulled far, nothing left, twice: a step ran out of the world
@settings(max_examples=60, deadline=None)
def test_whatever_was_read_the_answer_is_whole(set_up: SetUp, angles: list[tuple[float, float]]) -> None:
    bends = [read_off_any(set_up, pulled, pulled * part) for pulled, part in angles]
    check(fitted(set_up, bends))


def read_off_any(set_up: SetUp, pulled: float, left: float) -> TestBend:
    (bend,) = bent(Truth(set_up, 1.0, 1.0, 0.5, 0.0, 0.0, 0.0), [90.0], np.random.default_rng(1), taped=False)
    return replace(bend, pulled_deg=pulled, left_deg=left, way=set_up.way)


def test_more_test_bends_narrow_the_interval() -> None:
    """On average over workshops; one workshop may learn that its bar springs back more, and so by how much more."""
    rng = np.random.default_rng(4)
    counts = (0, 1, 2, 3, 5, 8)
    widths = np.zeros((40, len(counts)))
    for row in range(len(widths)):
        truth = a_workshop(rng)
        bends = bent(truth, [float(a) for a in rng.uniform(30.0, 140.0, max(counts))], rng)
        fits = [fitted(truth.set_up, bends[:count]) for count in counts]
        widths[row] = [found.pull(90.0).high - found.pull(90.0).low for found in fits]
    means = widths.mean(axis=0)
    assert (np.diff(means) < 0.0).all()
    assert means[1] < 0.6 * means[0]
    assert (np.diff(widths[:, 1:], axis=1) < 0.25 * widths[:, 1:-1]).all()


@pytest.mark.parametrize("seed", range(6))
def test_perfect_readings_of_many_bends_give_the_truth(seed: int) -> None:
    """The more, the nearer, for bar and bender that are far from what the handbook supposes.

    The bar is clamped to the die: then the bend is an arc, as it is laid out here. Legs that bend as well spread it
    out, and what its radius is depends on what is called so: for the legs of these workshops by up to 1.3 %.
    """
    rng = np.random.default_rng(seed)
    truth = a_workshop(rng)
    truth = replace(truth, set_up=replace(truth.set_up, bender=replace(truth.set_up.bender, hook=None, follower=None)))
    angles = np.linspace(25.0, 140.0, 12)
    out = []
    for many in (1, 8):
        bends = [perfect(truth, float(angle)) for angle in np.repeat(angles, many)]
        bends = [replace(bend, gauge_sd_deg=0.02, tape_sd_mm=0.02) for bend in bends]
        found = fitted(truth.set_up, bends)
        assert found.doubts == ()
        out.append(max(abs(found.pull(angle).bend_to - truth.pull(angle)) for angle in (40.0, 90.0, 130.0)))
        radius = abs(found.radius.mean - truth.radius) / truth.radius
        start = abs(found.start.mean - truth.offset)
        drawn_in = abs(found.drawn_in.mean - truth.drawn_in)
    assert out[1] < 0.2 * out[0]
    assert out[1] < 0.01
    assert radius < 1e-4
    assert start < 0.005
    assert drawn_in < 0.002


def perfect(truth: Truth, left: float) -> TestBend:
    """A bend read without any error."""
    radius, turn, die = truth.radius, math.radians(left), truth.set_up.bender.radius
    half = truth.set_up.section.depth(truth.set_up.way) / 2.0
    bar, mark = 4.0 * die + 300.0, 1.5 * die + 130.0
    begins = mark + truth.begins(left)
    in_bend = radius * turn - truth.stretch * die * turn
    to_corner = (radius + half) * math.tan(turn / 2.0)
    (bend,) = bent(truth, [90.0], np.random.default_rng(1), taped=False)
    return replace(
        bend,
        pulled_deg=truth.pull(left),
        left_deg=left,
        bar_mm=bar,
        mark_mm=mark,
        held_leg_mm=begins + to_corner,
        free_leg_mm=bar - begins - in_bend + to_corner,
    )
