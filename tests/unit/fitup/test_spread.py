"""Scatter, its two ways of being carried on, and a plane rectangle by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.bending.known import known
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.files.catalogue import materials
from bentwork.fitup.comes_out import comes_out
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, on_the_bar
from bentwork.fitup.matters import what_matters
from bentwork.fitup.scatter import Scatter, scatter_of
from bentwork.fitup.spread import misses, shares, spread
from bentwork.stock.section import Round
from bentwork.tooling.bender import Accuracy, Bender
from tests.unit.fitup.bars import rectangle, stay, upturned_loop

HAND = Accuracy(1.0, 1.5, 0.7)


def test_a_million_pieces_scatter_as_the_slopes_say() -> None:
    """Errors a twentieth of an ordinary hand's: there straight lines must be right within the sampling, 0.3 %."""
    small = Accuracy(HAND.angle / 20.0, HAND.rotation / 20.0, HAND.position / 20.0)
    loop = what_matters(on_the_bar(upturned_loop()), closed=True, spots=())
    open_one = what_matters(on_the_bar(stay()))
    for one, samples in ((loop, 1_000_000), (open_one, 100_000)):
        found = spread(one, scatter_of(one.nominal, small), np.random.default_rng(5), samples=samples)
        assert found.samples == samples
        assert found.disagreement < 5.0 / math.sqrt(samples)


def test_errors_as_large_as_a_hand_makes_are_told_by_chance() -> None:
    one = what_matters(on_the_bar(upturned_loop()), closed=True)
    found = spread(one, scatter_of(one.nominal, HAND), np.random.default_rng(5), samples=20_000)
    assert 0.0 < found.disagreement < 0.2
    assert found.good < 0.05
    assert found.good_sd > 0.0
    assert all(0.0 <= group.kept <= 1.0 and group.worst_in_20 > group.rms for group in found.groups)


def test_a_plane_rectangle_by_hand() -> None:
    """Each corner opened by da turns what is behind it about its end of bend; only in the plane, so the gap is

        along:  -(y_k) da_k,   aside: (x - x_k) da_k,   with (x_k, y_k) the end of bend k seen from the seam,

    and the twist the sum of all da. Ends of bends of a 400 by 300 rectangle, radius 36, seam at the middle below:
    (200, 36), (164, 300), (-200, 264), (-164, 0).
    """
    one = what_matters(on_the_bar(rectangle()), closed=True, spots=())
    found = spread(one, scatter_of(one.nominal, Accuracy(0.05, 1e-9, 1e-9)), np.random.default_rng(1), samples=200_000)
    ends = np.array([(200.0, 36.0), (164.0, 300.0), (-200.0, 264.0), (-164.0, 0.0)])
    by_hand = np.sqrt(np.sum(ends**2, axis=0)) * math.radians(0.05)
    told = {group.name: group for group in found.groups}
    assert told["gap"].linear_rms == pytest.approx(by_hand[1], rel=1e-6)
    assert told["offset"].linear_rms == pytest.approx(by_hand[0], rel=1e-6)
    assert told["twist"].linear_rms == pytest.approx(2.0 * 0.05, rel=1e-4)
    assert told["gap"].rms == pytest.approx(by_hand[1], rel=0.01)
    assert told["offset"].rms == pytest.approx(by_hand[0], rel=0.01)


def test_what_all_bends_have_in_common_does_not_average_out() -> None:
    """Four corners short by the same angle twist the ends four times as much; of their own, twice."""
    one = what_matters(on_the_bar(rectangle()), closed=True, spots=())
    same = np.zeros((1, 5, 4))
    same[0, ANGLE] = 0.1
    nothing = np.zeros((5, 4))
    common = spread(one, Scatter(nothing, np.zeros((0, 5, 4)), same), np.random.default_rng(1))
    twist = next(group for group in common.groups if group.name == "twist")
    assert twist.linear_rms == pytest.approx(0.4, rel=1e-4)
    own = spread(one, scatter_of(one.nominal, Accuracy(0.1, 1e-9, 1e-9)), np.random.default_rng(1))
    assert next(group for group in own.groups if group.name == "twist").linear_rms == pytest.approx(0.2, rel=1e-4)


def test_shares_add_up_and_a_chain_of_turns_errs_more_than_a_line() -> None:
    one = what_matters(on_the_bar(upturned_loop()), closed=True)
    told = shares(one, scatter_of(one.nominal, HAND))
    assert sum(share.share for share in told) == pytest.approx(1.0)
    assert [share.share for share in told] == sorted((share.share for share in told), reverse=True)
    assert {share.bend for share in told} == {0, *range(1, 9)}
    chain = scatter_of(one.nominal, HAND)
    line = scatter_of(one.nominal, HAND, turned_from="the scribed line")
    drawn = [scatter.drawn(np.random.default_rng(2), 4000)[DIRECTION, 7].std() for scatter in (chain, line)]
    assert drawn == pytest.approx([1.5 * math.sqrt(7.0), 1.5], rel=0.05)


def test_the_order_of_bending_decides_whose_turn_carries_on() -> None:
    bar = on_the_bar(stay())
    errors = scatter_of(bar, HAND, order=[3, 1, 2, 5, 4]).drawn(np.random.default_rng(2), 4000)[DIRECTION]
    assert errors.std(axis=1) == pytest.approx(1.5 * np.sqrt([1.0, 2.0, 0.0, 4.0, 3.0]), rel=0.05)
    with pytest.raises(ValueError, match="each of them once"):
        scatter_of(bar, HAND, order=[1, 2, 3])


def test_what_test_bends_leave_open_is_less_than_the_handbook_leaves() -> None:
    set_up = SetUp(Round(12.0), materials()["6082-T6"], Bender("lever", "wrap", 36.0))
    key = StockKey(Round(12.0), "6082-T6")
    bends = [TestBend(key, "lever", 36.0, "2025-03-12", 1.06 * left + 1.0, left) for left in (60.0, 90.0, 120.0)]
    sds = []
    for what in (known(set_up), known(set_up, bends)):
        found = comes_out(what, [45.0, 90.0], ["start", "end"], [36.0, 36.0])
        sds.append(np.sqrt(np.sum(found.common[:, ANGLE] ** 2, axis=0)))
        apart = found.common[:, ANGLE].T @ found.common[:, ANGLE]
        assert apart[0, 1] > 0.5 * math.sqrt(apart[0, 0] * apart[1, 1])
        assert found.radius == pytest.approx([36.0 * 1.05] * 2, rel=0.05)
        # Held by the other end, all lies the other way.
        assert found.common[:, PLACE, 0] == pytest.approx(-found.common[:, PLACE, 1], abs=1e-9)
        assert found.common[:, RADIUS, 0] == pytest.approx(found.common[:, RADIUS, 1])
    assert np.all(sds[1] < 0.4 * sds[0])
    # Marks that are set where they are told put the bends where they are wanted.
    nominal = on_the_bar(stay())
    tool = comes_out(known(set_up, bends), nominal.values[ANGLE].tolist(), nominal.lined_up, [36.0] * 5)
    came = tool.bar(nominal, tool.marks(nominal).tolist())
    assert came.values[:3] == pytest.approx(nominal.values[:3])
    assert np.all(came.values[RADIUS] > 36.0)


def test_the_covariance_is_that_of_what_is_drawn() -> None:
    bar = on_the_bar(stay())
    same = np.zeros((1, 5, 5))
    same[0, ANGLE] = 2.0
    scatter = scatter_of(bar, HAND, common=same, bias=Accuracy(0.5, 0.0, -1.0))
    drawn = scatter.drawn(np.random.default_rng(1), 40_000)
    assert np.cov(drawn.reshape(25, -1)) == pytest.approx(scatter.covariance, abs=0.25)
    assert drawn[ANGLE].mean() == pytest.approx(0.5, abs=0.05)
    assert drawn[PLACE].mean() == pytest.approx(-1.0, abs=0.05)


def test_misses_are_found_in_pieces_of_any_number() -> None:
    one = what_matters(on_the_bar(stay()))
    errors = scatter_of(one.nominal, HAND).drawn(np.random.default_rng(1), 5000)
    together = misses(one, one.nominal.values, errors)
    assert together.shape == (one.scales.size, 5000)
    alone = one.of(one.nominal.values[:, :, None] + errors[:, :, 4998:4999])
    assert together[:, 4998:4999] == pytest.approx(alone, abs=1e-9)
