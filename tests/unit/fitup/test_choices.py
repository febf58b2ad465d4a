"""What the maker has to choose beforehand: order, trim, seam, spare bars, pairs; and what the log says of the hand."""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np
import pytest

from bentwork.fitup.early import early_weights, unmended
from bentwork.fitup.ends import seam_places, trim_for
from bentwork.fitup.hand import hand_of
from bentwork.fitup.made import ANGLE, on_the_bar
from bentwork.fitup.matters import what_matters
from bentwork.fitup.pairs import pair_spread
from bentwork.fitup.scatter import Scatter, scatter_of
from bentwork.fitup.spare import spare_bars
from bentwork.piece.corners import Corners
from bentwork.tooling.bender import Accuracy
from tests.unit.fitup.bars import rectangle, stay, upturned_loop

HAND = Accuracy(1.0, 1.5, 0.7)


def test_orders_with_weighty_bends_early_leave_less_unmended() -> None:
    """Of all 120 orders of five bends, those that the weights like best leave less than those that they like least."""
    one = what_matters(on_the_bar(stay()))
    weights = early_weights(one, scatter_of(one.nominal, HAND))
    assert len(weights) == 5
    assert min(weights) > 0.0
    told = []
    for order in permutations(range(1, 6)):
        liked = sum(weights[number - 1] * place for place, number in enumerate(order))
        told.append((liked, unmended(one, scatter_of(one.nominal, HAND, order=order), order)))
    told.sort()
    best, worst = (np.mean([miss for _, miss in part]) for part in (told[:20], told[-20:]))
    assert best < worst


def test_mending_takes_back_most_of_what_early_bends_do() -> None:
    one = what_matters(on_the_bar(upturned_loop()), closed=True)
    scatter = scatter_of(one.nominal, HAND)
    _, by, _ = one.with_slopes(one.nominal.values[:, :, None])
    whole = (by[..., 0].reshape(len(one.scales), -1) / one.scales[:, None]) @ scatter.own.reshape(
        len(scatter.own), -1
    ).T
    left = unmended(one, scatter, range(1, 9))
    assert left < 0.5 * math.sqrt(float(np.sum(whole**2)))


def test_trim_is_enough_for_39_of_40() -> None:
    for table, closed in ((rectangle(), True), (stay(), False)):
        one = what_matters(on_the_bar(table), closed=closed)
        trim = trim_for(one, scatter_of(one.nominal, HAND), np.random.default_rng(1))
        assert trim.end_b % 5.0 == 0.0
        assert trim.end_b > 0.0
        assert trim.enough >= 0.94
        assert (trim.end_a == 0.0) == closed
        less = trim_for(one, scatter_of(one.nominal, Accuracy(0.01, 0.01, 0.01)), np.random.default_rng(1))
        assert less.end_b <= trim.end_b


def test_the_seam_goes_into_a_long_straight_that_carries_little() -> None:
    points = ((0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400.0, 100.0, 0.0), (0.0, 100.0, 0.0))
    corners = Corners(points, (36.0,) * 4, closed=True)
    places = seam_places(corners, HAND)
    assert places[0].seam[0] in (1, 3)
    assert places[0].seam[1] == pytest.approx(0.5)
    assert places[0].reached
    assert not next(place for place in places if place.seam[0] == 2).reached
    loaded = seam_places(corners, HAND, load_at=lambda seam: 0.8 if seam[0] == 1 else 0.2)
    assert loaded[0].seam[0] == 3
    with pytest.raises(ValueError, match="closed piece"):
        seam_places(Corners(points, (36.0,) * 2), HAND)


def test_spare_bars_by_hand() -> None:
    """One piece with a chance of a half, lengths of 10 that keep nothing, errands of 40: by hand

    no spare: expected errands 1, cost 40; one spare: left over in half the cases (5), short by 1/2 on average (20);
    two: over 0.5 * 20 + 0.25 * 10, short 1/4 (10), 22.5 together; three: 0.5 * 30 + 0.25 * 20 + 0.125 * 10, short 5.
    """
    found = spare_bars(0.5, 1, 10.0, errand=40.0, kept=0.0)
    assert found.expected == pytest.approx(2.0)
    assert found.cost_without == pytest.approx(40.0)
    assert found.buy == 2
    assert found.cost == pytest.approx(22.5)
    assert found.enough == pytest.approx(0.875)
    assert spare_bars(0.99, 1, 10.0).buy == 0
    assert spare_bars(0.3, 2, 10.0).buy > spare_bars(0.8, 2, 10.0).buy
    with pytest.raises(ValueError, match="chance"):
        spare_bars(0.0, 1, 10.0)
    with pytest.raises(ValueError, match="at least one"):
        spare_bars(0.5, 0, 10.0)


def test_what_a_pair_has_in_common_makes_it_no_less_alike() -> None:
    one = what_matters(on_the_bar(stay()))
    same = np.zeros((1, 5, 5))
    same[0, ANGLE] = 3.0
    nothing = Scatter(np.zeros((5, 5)), np.zeros((0, 5, 5)), same)
    assert pair_spread(one, nothing, np.random.default_rng(1)).rms == pytest.approx(0.0, abs=1e-9)
    assert pair_spread(one, nothing, np.random.default_rng(1), one_day=False).rms > 3.0
    # Independent hands differ by the root of two of what one is out by, about.
    own = pair_spread(one, scatter_of(one.nominal, HAND), np.random.default_rng(1))
    small = pair_spread(one, scatter_of(one.nominal, Accuracy(0.1, 0.15, 0.07)), np.random.default_rng(1))
    assert own.rms == pytest.approx(10.0 * small.rms, rel=0.1)
    assert own.both_good < own.alike + 0.2
    assert small.both_good == 1.0


def test_a_hand_without_bends_is_the_bender_s() -> None:
    hand = hand_of(HAND)
    assert hand.angle.scatter == pytest.approx(1.0)
    assert hand.bias == Accuracy(0.0, 0.0, 0.0)
    assert hand.angle.words.startswith("no angle measured yet")


def test_a_hand_is_learnt() -> None:
    rng = np.random.default_rng(3)

    def read(sd: float, bias: float, gauge: float) -> list[float]:
        return [float(one) for one in bias + rng.normal(0, sd, 60) + rng.normal(0, gauge, 60)]

    hand = hand_of(HAND, read(0.8, -0.5, 0.5), read(2.0, 0.0, 0.7), read(0.7, 0.9, 0.5))
    assert hand.angle.scatter == pytest.approx(0.8, abs=0.2)
    assert hand.angle.bias == pytest.approx(-0.5, abs=0.3)
    assert hand.rotation.scatter == pytest.approx(2.0, abs=0.4)
    assert "after 60 bends your angles scatter" in hand.angle.words
    assert hand.angle.words.endswith("under")
    assert hand.position.words.endswith("over")
    assert "neither over nor under" in hand.rotation.words
    assert hand.accuracy.angle > hand.angle.scatter


def test_few_bends_move_it_little_and_its_range_holds_what_it_promises() -> None:
    assert hand_of(HAND, [4.0]).angle.scatter < 1.9
    assert abs(hand_of(HAND, [4.0]).angle.bias) < 1.0
    rng = np.random.default_rng(1)
    inside = biased = 0
    for _ in range(400):
        true = float(rng.uniform(0.7, 1.5))
        off = float(rng.normal(0.0, 0.5 * math.hypot(1.0, 0.5)))
        one = hand_of(HAND, (off + rng.normal(0, true, 14) + rng.normal(0, 0.5, 14)).tolist()).angle
        inside += one.scatter_low <= true <= one.scatter_high
        biased += abs(one.bias - off) < 1.6449 * one.bias_sd
    assert inside > 0.85 * 400
    assert biased == pytest.approx(0.9 * 400, abs=0.05 * 400)


def test_a_wrong_error_is_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        hand_of(HAND, [math.nan])
