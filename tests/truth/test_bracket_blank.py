"""The flat of a bracket against Machinery's Handbook, and folded up again: holes come where they were drawn."""

from __future__ import annotations

import math

import pytest

from bentwork.files.job_file import parse_job
from bentwork.jobs.bracket import brackets
from bentwork.jobs.work import work
from tests.brackets import bracket_job, worked

# Machinery's Handbook, sheet-metal bending: a bend of 90 degrees takes 0.64 T + 1.57 R of soft steel, R inside, and
# in proportion for other angles (from memory; agreeing with quotations of the 28th edition).
T, R_INSIDE = 4.0, 8.0
BEND = 0.64 * T + 1.57 * R_INSIDE
RADIUS = R_INSIDE + T / 2.0  # to the middle, as jobs have it


def test_the_length_of_a_blank_with_two_square_bends() -> None:
    (flat,) = brackets(worked("{ along = 15, diameter = 6 }"))
    legs, bridge = 80.0 - RADIUS, 120.0 - 2.0 * RADIUS  # the straights between tangent points
    assert flat.blank.length == pytest.approx(2.0 * legs + bridge + 2.0 * BEND, abs=0.02)  # 1.57 is pi/2 to 0.05 %
    first, second = flat.blank.folds
    assert (first.start, first.end) == pytest.approx((legs, legs + BEND), abs=0.01)
    assert (second.start, second.end) == pytest.approx((legs + BEND + bridge, legs + 2.0 * BEND + bridge), abs=0.02)


@pytest.mark.parametrize("degrees", [30.0, 60.0, 120.0])
def test_other_angles_in_proportion(degrees: float) -> None:
    turn = math.radians(degrees)
    end = [80.0 + 80.0 * math.cos(turn), 0.0, 80.0 * math.sin(turn)]
    points = f"points = [[0, 0, 0], [80, 0, 0], {end}]"
    job = bracket_job("{ along = 15, diameter = 6 }").replace(
        "points = [[0, 0, 80], [0, 0, 0], [120, 0, 0], [120, 0, 80]]", points
    )
    (flat,) = brackets(work(parse_job(job.encode(), "oar.toml")))
    straights = 2.0 * (80.0 - RADIUS * math.tan(turn / 2.0))
    assert flat.blank.length == pytest.approx(straights + BEND * degrees / 90.0, abs=0.02)


def folded(x: float) -> tuple[float, float]:
    """Where a place of the flat is when it is folded: x and z of the middle of the thickness; our own plain folding."""
    leg, bridge = 80.0 - RADIUS, 120.0 - 2.0 * RADIUS
    neutral = R_INSIDE + 0.64 / (math.pi / 2.0) * T  # the radius whose quarter is the allowance
    arc = neutral * math.pi / 2.0
    if x <= leg:
        return (0.0, 80.0 - x)
    if x <= leg + arc:
        turn = (x - leg) / neutral
        return (RADIUS - RADIUS * math.cos(turn), RADIUS - RADIUS * math.sin(turn))
    if x <= leg + arc + bridge:
        return (RADIUS + x - leg - arc, 0.0)
    if x <= leg + 2.0 * arc + bridge:
        turn = (x - leg - arc - bridge) / neutral
        return (120.0 - RADIUS + RADIUS * math.sin(turn), RADIUS - RADIUS * math.cos(turn))
    return (120.0, RADIUS + x - leg - 2.0 * arc - bridge)


@pytest.mark.parametrize(
    "at", [(0.0, 3.0, 55.0), (30.0, -4.0, 0.0), (60.0, 0.0, 0.0), (105.0, 6.0, 0.0), (120.0, -7.0, 30.0)]
)
def test_holes_come_where_they_were_drawn(at: tuple[float, float, float]) -> None:
    (flat,) = brackets(worked(f"{{ at = {list(at)}, diameter = 5 }}"))
    (hole,) = flat.holes
    assert folded(hole.flat.x) == pytest.approx((at[0], at[2]), abs=1e-9)
    assert hole.flat.y == pytest.approx(at[1])


def test_two_holes_across_two_bends_stand_as_far_apart_as_drawn() -> None:
    # What the neutral line is for: drawn to the middle they would come 1.16 mm further apart along the bar.
    (flat,) = brackets(worked("{ at = [0, 0, 40], diameter = 5 }, { at = [120, 0, 40], diameter = 5 }"))
    one, other = (hole.flat.x for hole in flat.holes)
    drawn_to_the_middle = 2.0 * (40.0 - RADIUS) + 100.0 + math.pi * RADIUS
    assert drawn_to_the_middle - (other - one) == pytest.approx(math.pi * RADIUS - 2.0 * BEND, abs=0.02)
    assert drawn_to_the_middle - (other - one) == pytest.approx(1.16, abs=0.01)
