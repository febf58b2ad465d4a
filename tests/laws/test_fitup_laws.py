"""What is true of every bar, tried on pieces nobody would draw."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bentwork.fitup.chain import walk
from bentwork.fitup.controls import Limits, controls_for
from bentwork.fitup.lying import rock
from bentwork.fitup.made import DIRECTION, on_the_bar
from bentwork.fitup.matters import what_matters
from bentwork.fitup.mending import best_plan, goal
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from tests.laws.test_piece_laws import tables


@given(tables(), st.sampled_from(["start", "centre", "end"]), st.floats(0.0, 1.0))
def test_a_bar_walked_along_is_the_centreline(table: BendTable, lined_up: str, part: float) -> None:
    bar = on_the_bar(table, lined_up)  # type: ignore[arg-type]
    walks = walk(bar.values[:, :, None], bar.shares)
    at = part * table.length
    place, pose = walks.station(at), Centreline(table).pose(at)
    assert place.point[:, 0] == pytest.approx(pose.origin, abs=1e-6)
    assert place.tangent[:, 0] == pytest.approx(pose.tangent, abs=1e-9)


@given(tables(angles=(5.0, 150.0)), st.integers(0, 10_000))
@settings(max_examples=40, deadline=None)
def test_a_piece_turned_as_a_whole_is_the_same_piece(table: BendTable, seed: int) -> None:
    """All directions turned by the same, nothing that matters changes: neither laid on the drawing, nor at the seam."""
    assume(len(table.bends) >= 2)
    one = what_matters(on_the_bar(table))
    assert one.aligned is not None
    # What is hardly wider than its errors, next to a straight line, fits its drawing every way round.
    assume(np.linalg.svd(one.aligned.drawn, compute_uv=False)[1] > 40.0)
    rng = np.random.default_rng(seed)
    values = one.nominal.values[:, :, None] + rng.normal(0.0, 0.5, (*one.nominal.values.shape, 1))
    turned = values.copy()
    turned[DIRECTION] += 7.0
    sizes = [np.sort(np.linalg.norm(one.of(some)[:, 0].reshape(-1, 3), axis=1)) for some in (values, turned)]
    assert sizes[0] == pytest.approx(sizes[1], abs=1e-3)


@given(tables(angles=(10.0, 140.0)), st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_a_mend_never_makes_it_worse(table: BendTable, seed: int) -> None:
    assume(len(table.bends) >= 2)
    one = what_matters(on_the_bar(table))
    rng = np.random.default_rng(seed)
    state = one.nominal.values[:, :, None].copy()
    state[:3] += rng.normal(0.0, 1.0, state[:3].shape)
    made = len(table.bends) // 2
    state[:, made:] = one.nominal.values[:, made:, None]
    limits = Limits()
    controls = controls_for(one.nominal, state, range(1, made + 1), limits)
    plan = best_plan(one, controls, limits)
    # A straight that the errors made too short counts as well, and so does leaving the drawing.
    nothing = np.zeros((len(controls.all), 1))
    assert plan.cost[0] <= 0.5 * np.sum(goal(one, controls, limits, nothing, False)[0] ** 2) + 1e-9
    assert np.all(plan.changes[:, 0] >= controls.low)
    assert np.all(plan.changes[:, 0] <= controls.high)


@given(st.integers(4, 9), st.integers(0, 10_000), st.floats(-50.0, 50.0))
def test_rock_is_none_in_a_plane_and_the_same_wherever_it_lies(count: int, seed: int, lift: float) -> None:
    rng = np.random.default_rng(seed)
    points = rng.uniform(-200.0, 200.0, (count, 3, 1))
    points[:, 2] = 0.0
    assert rock(points)[0] == pytest.approx(0.0, abs=1e-6)
    points[:, 2, 0] = rng.normal(0.0, 2.0, count)
    moved = points.copy()
    moved[:, 2] += lift
    assert rock(points)[0] == pytest.approx(rock(moved)[0], abs=1e-6)
    assert rock(points)[0] >= 0.0
