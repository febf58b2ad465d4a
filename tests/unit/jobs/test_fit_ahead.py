"""What is known before the first bend, against plain counting of bars drawn at random."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from bentwork.files.job_file import parse_job
from bentwork.fitup.tolerance import Tolerance
from bentwork.jobs.fit_ahead import FitAhead, fit_ahead
from bentwork.jobs.work import work
from tests.unit.jobs.test_going_on import BARE, DEMO, chance, fitting


@cache
def ahead(text: str = BARE, piece: str = "rest") -> FitAhead:
    plan = next(one for one in work(parse_job(text.encode(), "job.toml")).pieces if one.spec.name == piece)
    found = fit_ahead(plan, chance)
    assert found is not None
    return found


def test_the_chance_by_the_plan_alone_is_that_of_bars_drawn_at_random() -> None:
    fit = fitting()
    rng = np.random.default_rng(7)
    errors = fit.scatter.drawn(rng, 4000)
    plain = float(np.mean(fit.matters.worst(fit.matters.of(fit.start[:, :, None] + errors)) <= 1.0))
    assert ahead().attempts.unmended == pytest.approx(plain, abs=0.11)  # 200 pieces: three standard deviations
    assert ahead().spread.good == pytest.approx(plain, abs=0.035)


def test_mended_and_set_by_hand_more_pieces_are_good() -> None:
    tried = ahead().attempts
    assert tried.unmended < tried.by_hand
    assert ahead().good >= tried.mended


def test_shares_of_the_miss_are_all_of_it() -> None:
    assert sum(part.share for part in ahead().shares) == pytest.approx(1.0)
    assert [part.share for part in ahead().shares] == sorted((part.share for part in ahead().shares), reverse=True)


def test_a_wider_tolerance_makes_more_pieces_good() -> None:
    wide = ahead(BARE + "[tolerance]\nposition = 12\n")
    assert wide.plan.spec.tolerance == Tolerance(position=12.0)
    assert wide.attempts.unmended > ahead().attempts.unmended


def test_of_a_closed_piece_it_tells_seam_trim_and_springing() -> None:
    found = ahead(DEMO, "loop")
    assert found.seam is not None
    assert found.sprung is not None
    assert 0.0 < found.sprung.yield_share < 1.0
    assert {"likely-to-miss", "trim-too-short"} <= {finding.code for finding in found.findings}
    assert all(finding.piece == "loop" for finding in found.findings)


def test_left_against_right_is_told_of_a_mirrored_piece_only() -> None:
    assert ahead(DEMO, "stay").pair is not None
    assert ahead().pair is None


def test_spare_lengths_that_the_bars_give_anyway_are_not_bought() -> None:
    """Three of the brackets take 0.7 m of a bar of 2 m."""
    spare = ahead(DEMO, "bracket").spare
    assert spare is not None
    assert spare.bars == 0
