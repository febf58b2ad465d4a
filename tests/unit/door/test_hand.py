"""The maker's hand from the log: what was meant is there as mark, pull and turn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from bentwork.bending.stock_key import StockKey
from bentwork.door.hand import hand_on
from bentwork.files.job_file import parse_job
from bentwork.jobs.work import PiecePlan, work
from bentwork.workshop.log_entries import LoggedBend
from bentwork.workshop.store import Workshop, open_workshop

TEXT = files("bentwork").joinpath("data", "crate-shelf.toml").read_bytes()


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    with open_workshop(tmp_path) as opened:
        yield opened


@pytest.fixture(scope="module")
def plan() -> PiecePlan:
    return next(one for one in work(parse_job(TEXT, "job.toml")).pieces if one.spec.name == "loop")


def bent(plan: PiecePlan, number: int, bend: int, **told: Any) -> LoggedBend:  # noqa: ANN401 - numbers by their names
    key = str(StockKey(plan.stock.section, plan.stock.material.name))
    return LoggedBend(
        entry_id=f"{number}-{bend}",
        job="Another",
        job_version="",
        piece="loop",
        number=number,
        bend=bend,
        angle_deg=90.0,
        made_on="2026-03-12",
        held="A",
        bender=plan.spec.bender or "",
        stock_key=key,
        **told,
    )


def test_turns_that_run_over_are_learnt_where_a_bend_was_turned_from_its_neighbour(
    workshop: Workshop, plan: PiecePlan
) -> None:
    """Each of 20 bends was turned by -90 at the bender, and came out at 92 by its neighbour: they run 2° over."""
    for number in range(1, 21):
        workshop.log.add(bent(plan, number, 1, turn_deg=None))
        workshop.log.add(bent(plan, number, 2, turn_deg=-90.0, rotation_deg=92.0))
        workshop.log.add(bent(plan, number, 5, turn_deg=-90.0, rotation_deg=140.0))  # not from bend 4
    hand = hand_on(workshop, plan)
    assert hand is not None
    assert hand.rotation.count == 20
    assert hand.rotation.bias == pytest.approx(2.0 * 20 / 24)  # four bends of "neither over nor under" beside them
    assert hand.rotation.runs_off
    assert "your rotations" in hand.words[1]
    assert "over" in hand.words[1]


def test_positions_are_learnt_from_marks(workshop: Workshop, plan: PiecePlan) -> None:
    """Begun 1 mm further on than the same mark on the first ten bars: the positions differ by just that."""
    for number in range(1, 11):
        workshop.log.add(bent(plan, number, 1, mark_mm=300.0, position_mm=300.0))
    first = hand_on(workshop, plan)
    for number in range(11, 21):
        workshop.log.add(bent(plan, number, 1, mark_mm=300.0, position_mm=301.0))
    both = hand_on(workshop, plan)
    assert first is not None
    assert both is not None
    assert (first.position.count, both.position.count) == (10, 20)
    means = first.position.bias * 14 / 10, both.position.bias * 24 / 20
    assert means[1] - means[0] == pytest.approx(0.5)


def test_an_entry_of_before_tells_of_its_angle_alone(workshop: Workshop, plan: PiecePlan) -> None:
    workshop.log.add(bent(plan, 1, 1, pulled_deg=98.0, rotation_deg=3.0, position_mm=300.0))
    hand = hand_on(workshop, plan)
    assert hand is not None
    assert (hand.angle.count, hand.rotation.count, hand.position.count) == (1, 0, 0)
    assert math.isfinite(hand.angle.scatter)
