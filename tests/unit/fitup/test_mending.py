"""The best way on: slopes, bounds, and no random start of scipy's solvers finds a better one."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from bentwork.fitup.controls import Limits, Needed, controls_for
from bentwork.fitup.least import least
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Floats, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.mending import best_plan, goal
from bentwork.fitup.scatter import scatter_of
from bentwork.tooling.bender import Accuracy
from tests.unit.fitup.bars import rectangle, stay, upturned_loop

HAND = Accuracy(1.0, 1.5, 0.7)
TIGHT = Limits(longer=10.0, shorter=3.0, needed=Needed(30.0, 40.0), set_by_hand=2.0)


def state_after(matters: Matters, made: int, seed: int, size: int = 1) -> Floats:
    """Bars of which the first so many bends were made by an ordinary hand."""
    errors = scatter_of(matters.nominal, HAND).drawn(np.random.default_rng(seed), size)
    errors[:, made:] = 0.0
    return matters.nominal.values[:, :, None] + errors


def pieces() -> list[Matters]:
    return [
        what_matters(on_the_bar(upturned_loop()), closed=True),
        what_matters(on_the_bar(stay(), "end")),
        what_matters(on_the_bar(rectangle(), "centre"), closed=True, spots=()),
    ]


@pytest.mark.parametrize("which", range(3))
def test_slopes_of_the_goal_are_those_of_finite_differences(which: int) -> None:
    one = pieces()[which]
    controls = controls_for(one.nominal, state_after(one, 2, 4), [1, 2], TIGHT)
    rng = np.random.default_rng(1)
    at = rng.uniform(controls.low, controls.high)[:, None] * 0.8
    _, by = goal(one, controls, TIGHT, at, True)
    for k in range(len(controls.all)):
        step = np.zeros_like(at)
        step[k] = 1e-5
        high, low = (goal(one, controls, TIGHT, at + sign * step, False)[0][:, 0] for sign in (1.0, -1.0))
        # So far off the drawing, four turns leave a little of the best fit undone.
        assert by[:, k, 0] == pytest.approx((high - low) / 2e-5, abs=1e-4)


@pytest.mark.parametrize(("which", "made", "seed"), [(0, 2, 1), (0, 4, 2), (0, 7, 3), (1, 1, 4), (1, 4, 5), (2, 3, 6)])
def test_no_random_start_of_scipy_ends_better(which: int, made: int, seed: int) -> None:
    one = pieces()[which]
    controls = controls_for(one.nominal, state_after(one, made, seed), range(1, made + 1), TIGHT)
    plan = best_plan(one, controls, TIGHT)
    rng = np.random.default_rng(seed)

    def out(changes: Floats) -> Floats:
        return goal(one, controls, TIGHT, changes[:, None], False)[0][:, 0]

    def by(changes: Floats) -> Floats:
        return goal(one, controls, TIGHT, changes[:, None], True)[1][:, :, 0]

    ends = [
        least_squares(
            out, rng.uniform(controls.low, controls.high), by, bounds=(controls.low, controls.high), max_nfev=60
        ).cost
        for _ in range(50)
    ]
    assert float(plan.cost[0]) <= min(ends) * (1.0 + 1e-4) + 1e-7


def test_changes_stay_within_their_bounds() -> None:
    one = pieces()[0]
    state = state_after(one, 6, 9)
    state[ANGLE, 5] += 9.0
    controls = controls_for(one.nominal, state, range(1, 7), TIGHT)
    plan = best_plan(one, controls, TIGHT)
    assert np.all(plan.changes[:, 0] <= controls.high + 1e-12)
    assert np.all(plan.changes[:, 0] >= controls.low - 1e-12)
    by_hand = {
        one.bend: change
        for one, change in zip(controls.all, plan.changes[:, 0], strict=True)
        if one.what == "set by hand"
    }
    assert by_hand[5] == pytest.approx(-2.0, abs=1e-6)


def test_an_early_error_is_made_up_for_and_many_bars_are_as_each_alone() -> None:
    one = pieces()[0]
    limits = Limits(set_by_hand=0.0, wrung=0.0)
    states = state_after(one, 2, 11, 40)
    together = best_plan(one, controls_for(one.nominal, states, [1, 2], limits), limits)
    before = one.worst(one.of(states))
    assert np.median(before) > 3.0
    assert np.median(one.worst(together.out)) < 0.8
    assert np.quantile(one.worst(together.out), 0.9) < 1.5
    for k in range(0, 40, 13):
        alone = best_plan(one, controls_for(one.nominal, states[:, :, k : k + 1], [1, 2], limits), limits)
        assert together.cost[k] == pytest.approx(alone.cost[0], rel=1e-3, abs=1e-6)


def test_a_piece_turned_as_a_whole_is_mended_by_turning_the_rest_along() -> None:
    """The first bend made with the bar rolled 4 degrees off: all others are rolled as far, and nothing is lost."""
    one = what_matters(on_the_bar(stay()))
    state = one.nominal.values[:, :, None].copy()
    state[DIRECTION, 0] += 4.0
    limits = Limits(set_by_hand=0.0, wrung=0.0)
    plan = best_plan(one, controls_for(one.nominal, state, [1], limits), limits)
    assert float(one.worst(one.of(state))[0]) > 1.0
    assert float(one.worst(plan.out)[0]) < 0.02
    assert plan.values[DIRECTION, 1:, 0] - one.nominal.values[DIRECTION, 1:] == pytest.approx([4.0] * 4, abs=0.1)


def test_a_bend_made_too_far_on_takes_the_next_ones_along() -> None:
    """4 mm too much in the first leg, and too little in the second: the best fit shares the first out, the second is
    mended by moving what follows."""
    one = what_matters(on_the_bar(stay()))
    state = one.nominal.values[:, :, None].copy()
    state[PLACE, 0] += 4.0
    limits = Limits(set_by_hand=0.0, wrung=0.0)
    plan = best_plan(one, controls_for(one.nominal, state, [1], limits), limits)
    moved = plan.values[PLACE, 1:, 0] - one.nominal.values[PLACE, 1:]
    assert np.all((moved > 0.0) & (moved < 4.0))
    assert float(one.worst(plan.out)[0]) < float(one.worst(one.of(state))[0])


def test_least_squares_of_many_lines_at_once() -> None:
    """Ordinary lines through points, against numpy; one of them held by a bound."""
    rng = np.random.default_rng(0)
    x = np.linspace(0.0, 1.0, 9)
    y = rng.normal(size=(9, 5))
    by = np.stack((np.ones(9), x), axis=1)

    def residuals(at: Floats, slopes: bool) -> tuple[Floats, Floats]:
        return by @ at - y, np.repeat(by[:, :, None], 5, axis=2)

    free, *_ = least(residuals, np.zeros((2, 5)), np.full(2, -9.0), np.full(2, 9.0))
    assert free == pytest.approx(np.linalg.lstsq(by, y, rcond=None)[0], abs=1e-6)
    held, *_ = least(residuals, np.zeros((2, 5)), np.full(2, -9.0), np.array([9.0, 0.0]))
    wanted = np.where(free[1] > 0.0, y.mean(axis=0), free[0])
    assert held[0] == pytest.approx(wanted, abs=1e-5)
    assert np.all(held[1] <= 0.0)
