"""The one door, the marks that move, and pulls too small to lay the bar on the die."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.files.catalogue import materials
from bentwork.forming.arc_used import arc_used
from bentwork.forming.die_bend import Arms, DieBend, die_bends
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar
from bentwork.forming.prediction import Prediction, SpringsStraight, predict, pull_with
from bentwork.forming.scatter import CERTAINTY, Correction, Offset, Prior, Spread, handbook_prior
from bentwork.stock.section import Flat, Round, Section, Tube, Way

ROD = Round(12)
T6 = materials()["6082-T6"]


def bent(
    section: Section = ROD, name: str = "6082-T6", way: Way = "easy", radius: float = 50.0, wanted: float = 90.0
) -> Prediction:
    found = predict(section, materials()[name], way, radius, wanted)
    assert isinstance(found, Prediction)
    return found


def leggy(held: float = 30.0, free: float = 60.0) -> DieBend:
    return die_bends(Bar(Round(10), law_of(T6)), 40.0, (1.0,), Arms(held, free))[0]


def test_a_whole_prediction() -> None:
    found = bent()
    assert found.wanted < found.low < found.bend_to < found.high
    assert found.springback == pytest.approx(found.bend_to - 90.0)
    assert found.relaxed_radius == pytest.approx(50.0 / found.ratio)
    assert found.strain == pytest.approx(0.12)
    assert found.moment_range[0] < found.moment < found.moment_range[1]
    assert found.moment == pytest.approx(1.15 * bent_as_written().moment, rel=2e-3)
    assert found.relaxed(found.bend_to) == pytest.approx(90.0, rel=1e-9)


def bent_as_written() -> Prediction:
    found = predict(ROD, T6, "easy", 50.0, 90.0, yield_factor=1.0)
    assert isinstance(found, Prediction)
    return found


def test_a_bar_whose_strength_is_known_is_known_better() -> None:
    likely, known = bent(), bent_as_written()
    assert known.moment_range == (known.moment, known.moment)
    assert known.high - known.low < likely.high - likely.low
    assert known.springback < likely.springback


def test_the_likeliest_pull_is_the_model_with_the_likeliest_correction() -> None:
    found = bent()
    assert found.correction == Correction(1.0, 0.5)
    assert found.bend_to == pytest.approx(found.bend.pull(90.0) + 0.5)
    twice = Prior(Spread(1.0, 0.0), Spread(2.0, 0.0), Offset(0.0, 0.0))
    other = predict(ROD, T6, "easy", 50.0, 90.0, prior=twice)
    assert isinstance(other, Prediction)
    assert other.springback == pytest.approx(2.0 * (other.bend.pull(90.0) - 90.0))
    assert other.low == pytest.approx(other.high)


def test_the_interval_against_ten_thousand_workshops() -> None:
    """Bars, model and benders drawn from the prior: nine in ten need a pull inside the interval."""
    rng, prior = np.random.default_rng(3), handbook_prior(T6)
    found = predict(ROD, T6, "easy", 50.0, 90.0, held_arm=27.0, free_arm=22.0)
    assert isinstance(found, Prediction)
    factors = prior.yield_factor.median * np.exp(prior.yield_factor.sigma * rng.standard_normal(10_000))
    grid = np.linspace(factors.min(), factors.max(), 40).tolist()
    solved = die_bends(Bar(ROD, law_of(T6)), 50.0, grid, Arms(27.0, 22.0))
    model = np.interp(factors, grid, [bend.pull(90.0) - 90.0 for bend in solved])
    model *= prior.model_factor.median * np.exp(prior.model_factor.sigma * rng.standard_normal(10_000))
    pulls = 90.0 + model + prior.lost_angle.mean + prior.lost_angle.sd * rng.standard_normal(10_000)
    assert np.mean((pulls > found.low) & (pulls < found.high)) == pytest.approx(CERTAINTY, abs=0.02)
    assert np.median(pulls) == pytest.approx(found.bend_to, abs=0.1)


def test_a_die_too_big_for_the_bar() -> None:
    found = predict(Round(2), T6, "easy", 900.0, 90.0)
    assert isinstance(found, SpringsStraight)
    assert found.radius == 900.0
    assert found.yields_at == pytest.approx(1.0 / Bar(Round(2), law_of(T6)).yield_curvature(1.15))
    assert isinstance(predict(Round(2), T6, "easy", 0.9 * found.yields_at, 90.0), Prediction)


def test_flat_bar_springs_back_less_the_hard_way() -> None:
    easy, hard = bent(Flat(25, 6), "S235", "easy", 60.0), bent(Flat(25, 6), "S235", "hard", 60.0)
    assert hard.springback < easy.springback
    assert hard.strain == pytest.approx(25 / 120)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"wanted_angle": 0.0}, "between 0 and 360"),
        ({"wanted_angle": math.nan}, "between 0 and 360"),
        ({"die_radius": 5.0}, "above 6 mm"),
        ({"die_radius": math.inf}, "above 6 mm"),
        ({"free_arm": -1.0}, "free arm"),
        ({"held_arm": math.nan}, "held arm"),
        ({"yield_factor": 0.0}, "yield factor"),
    ],
)
def test_impossible_bends(change: dict[str, float], words: str) -> None:
    given = {"die_radius": 50.0, "wanted_angle": 90.0} | change
    with pytest.raises(ValueError, match=words):
        predict(ROD, T6, "easy", **given)  # type: ignore[arg-type]


def test_the_lever_goes_some_way_before_anything_is_left() -> None:
    bend = leggy()
    assert 0.0 < bend.kept < bend.lag < 15.0
    assert bend.relaxed(0.0) == bend.pull(0.0) == 0.0
    assert bend.relaxed(1.0) == 0.0  # the legs are still elastic
    for wanted in (0.01, 1.0, 0.5 * bend.kept, bend.kept, 1.001 * bend.kept, 30.0):
        assert bend.relaxed(bend.pull(wanted)) == pytest.approx(wanted, rel=1e-10)
    # No jump where the bar comes to lie on the die.
    assert bend.pull(bend.kept * (1 - 1e-9)) == pytest.approx(bend.pull(bend.kept * (1 + 1e-9)), abs=1e-6)


def test_corrections_of_pulls_too_small_to_lay_the_bar_on_the_die() -> None:
    found = predict(Round(10), T6, "easy", 40.0, 4.0, free_arm=60.0)
    assert isinstance(found, Prediction)
    assert found.used is None
    assert found.relaxed(found.bend_to) == pytest.approx(4.0, rel=1e-9)
    assert found.relaxed(0.3) == 0.0  # less than the bender loses
    assert found.bend_to == pytest.approx(pull_with(found.bend, found.correction, 4.0))


def test_soft_legs_keep_more_than_the_lever_shows() -> None:
    # One maker of hand tube benders: do not bend copper and aluminium all the way to the mark.
    bend = die_bends(Bar(Tube(10, 1), law_of(materials()["Cu-R220"])), 25.0, (1.0,), Arms(0.0, 40.0))[0]
    assert bend.kept > bend.lag
    assert bend.pull(20.0) < 20.0


def test_marks_move_towards_the_held_end() -> None:
    bend = die_bends(Bar(ROD, law_of(T6)), 50.0)[0]
    used, relaxed = arc_used(bend, 90.0), 50.0 / bend.ratio
    assert used.arc == pytest.approx(50.0 * math.radians(bend.pull(90.0)))
    assert used.drawn_setback == pytest.approx(50.0)
    assert (used.setback_held, used.setback_free) == pytest.approx((relaxed, relaxed))
    assert used.start_shift == pytest.approx(50.0 - relaxed)
    # A right angle gains 2 R - pi R/2 over its legs; a wider one gains more.
    assert used.drawn_gain == pytest.approx(50.0 * (2 - math.pi / 2))
    assert used.onward_shift == pytest.approx(-(relaxed - 50.0) * (2 - math.pi / 2))
    assert used.centre_shift == pytest.approx(used.onward_shift / 2)


def test_a_return_keeps_its_start_and_pushes_what_follows() -> None:
    bend = die_bends(Bar(ROD, law_of(T6)), 50.0)[0]
    used = arc_used(bend, 180.0)
    assert used.start_shift == 0.0
    assert used.onward_shift == pytest.approx(50.0 * (math.radians(bend.pull(180.0)) - math.pi))
    assert used.setback_held == math.inf


def test_no_arc_where_nothing_lies_on_the_die() -> None:
    with pytest.raises(ValueError, match="no arc"):
        arc_used(leggy(), 1.0)
    thin = die_bends(Bar(Round(2), law_of(T6)), 900.0)[0]
    with pytest.raises(ValueError, match="no arc"):
        arc_used(thin, 90.0)


def test_energy_grows_with_the_pull() -> None:
    bend = leggy()
    assert 0.0 < bend.energy(0.0) < bend.energy(90.0) < bend.energy(180.0)
