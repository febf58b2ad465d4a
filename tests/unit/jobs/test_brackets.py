"""Holes of brackets on the way from the job to the flat: places, hands, marks, threads, what is said of them."""

from __future__ import annotations

import pytest

from bentwork.files.job_file import parse_job
from bentwork.findings import Level
from bentwork.jobs.bracket import Bracket, brackets, with_brackets
from bentwork.jobs.bracket_told import allowance_words, hole_words, place_words, rule_words, step_words
from bentwork.jobs.work import work
from bentwork.units import Ruler
from tests.brackets import BRACKET, worked


def flat(holes: str, more: str = "") -> Bracket:
    return brackets(worked(holes, more))[0]


def test_the_same_place_told_three_ways() -> None:
    told = flat(
        "{ along = 120, across = 5, diameter = 6 }, { side = 2, along = 40, across = 5, diameter = 6 },"
        " { at = [40, 5, 0], diameter = 6 }"
    )
    # along the middle line: 70 to the first bend, its arc of 15.708, then on; the side counts from its corner point
    drawn = flat("{ side = 2, along = 10, diameter = 6 }").holes[0].flat.x  # where the bend ends
    assert told.holes[1].flat.x == pytest.approx(drawn + 30.0)
    assert told.holes[2].flat.x == pytest.approx(drawn + 30.0)
    assert told.holes[0].flat.x == pytest.approx(drawn + 120.0 - 70.0 - 15.70796)
    assert [hole.flat.y for hole in told.holes] == pytest.approx([5.0, 5.0, 5.0])
    assert [hole.side for hole in told.holes] == [2, 2, 2]


def test_the_opposite_hand_is_a_mirror_image() -> None:
    left, right = brackets(worked("{ along = 20, across = 4, diameter = 6 }", "mirror = true"))
    assert (left.name, right.name) == ("bracket left", "bracket right")
    assert right.holes[0].flat.x == left.holes[0].flat.x
    assert right.holes[0].flat.y == -left.holes[0].flat.y == -4.0


def test_trim_lies_before_end_a() -> None:
    bare, trimmed = flat("{ along = 20, diameter = 6 }"), flat("{ along = 20, diameter = 6 }", "trim = 5")
    assert trimmed.holes[0].flat.x == bare.holes[0].flat.x + 5.0
    assert trimmed.holes[0].seat.edge == bare.holes[0].seat.edge


def test_plan_and_flat_are_one() -> None:
    result = worked("{ along = 20, diameter = 6 }")
    (one,) = brackets(result)
    plan = result.pieces[0]
    assert one.blank.length == plan.cut_length
    assert [(fold.start, fold.end) for fold in one.blank.folds] == [(mark.start, mark.end) for mark in plan.marks]
    assert plan.cut_length < plan.length  # the neutral line
    assert [step.mark for step in plan.steps] == pytest.approx([fold.middle for fold in one.blank.folds])


def test_a_bracket_without_holes_keeps_its_marks() -> None:
    result = work(parse_job(BRACKET.encode(), "oar.toml"))
    (one,) = brackets(result)
    assert one.less == 0.0
    assert result.pieces[0].cut_length == result.pieces[0].length
    assert "flat-takes-less" in {finding.code for finding in result.findings}
    assert with_brackets(result) is result


def test_it_is_said_once_that_the_flat_allows_for_the_neutral_line() -> None:
    found = with_brackets(worked("{ along = 20, diameter = 6 }")).findings
    (said,) = (finding for finding in found if finding.code == "flat-takes-less")
    assert "allows for" in said.says
    assert said.lengths["short"] == pytest.approx(1.16, abs=0.01)


def codes(holes: str) -> set[tuple[Level, str]]:
    result = worked(holes)
    new = with_brackets(result).findings
    return {(one.level, one.code) for one in new if one not in result.findings and one.code != "flat-takes-less"}


def test_what_is_said_of_holes() -> None:
    assert codes("{ along = 20, diameter = 6 }") == set()
    assert codes("{ along = 62, diameter = 6 }") == {("watch", "hole-near-bend")}
    assert codes("{ along = 78, diameter = 6 }") == {("stop", "hole-in-bend")}
    assert codes("{ along = 20, across = 14, diameter = 6 }") == {("stop", "hole-off-piece")}
    assert codes("{ at = [0, 0, 300], diameter = 6 }") == {("stop", "hole-off-piece")}
    assert codes("{ at = [60, 0, 9], diameter = 6 }") == {("watch", "hole-off-piece")}  # beside the bar
    assert codes("{ along = 20, thread = 'M6' }") == {("watch", "thread-too-short")}  # 4 mm of S235
    assert codes("{ along = 20, thread = 'M4' }") == set()


def test_a_hole_that_runs_over_the_end_of_its_side_is_told() -> None:
    """Side 2 is 120 long: 160 from its beginning lies 40 up the next leg, where nobody asked for it."""

    def said(holes: str) -> list[str]:
        return [one.says for one in with_brackets(worked(holes)).findings if one.code == "hole-off-piece"]

    assert said("{ side = 2, along = 160, diameter = 6 }") == [
        "Hole 1 of bracket is asked for on side 2, and lies on side 3."
    ]
    assert said("{ side = 2, along = 60, diameter = 6 }, { side = 3, along = 40, diameter = 6 }") == []


def test_a_side_with_the_seam_in_it_counts_from_its_corner() -> None:
    closed = BRACKET.replace(
        "points = [[0, 0, 80], [0, 0, 0], [120, 0, 0], [120, 0, 80]]",
        "points = [[0, 0, 0], [120, 0, 0], [120, 0, 80], [0, 0, 80]]\nclosed = true\nseam = [1, 0.5]",
    )
    text = f"{closed}holes = [{{ side = 1, along = 30, diameter = 5 }}, {{ at = [30, 0, 0], diameter = 5 }},"
    text += " { side = 1, along = 90, diameter = 5 }, { at = [90, 0, 0], diameter = 5 }]\n"
    (one,) = brackets(work(parse_job(text.encode(), "oar.toml")))
    first, by_place, second, also = (hole.flat.x for hole in one.holes)
    assert first == pytest.approx(by_place)
    assert second == pytest.approx(also)
    assert second == pytest.approx(30.0)  # the seam is at 60


def test_words() -> None:
    ruler = Ruler()
    told = flat(
        "{ along = 20, diameter = 'M6' }, { along = 62, across = -3, thread = 'M4' },"
        " { side = 2, along = 60, diameter = 6.5, slot = 20, runs = 'across' }"
    )
    assert [hole_words(hole, ruler) for hole in told.holes] == [
        "drill 6.6 mm for M6 to go through",
        "drill 3.3 mm, tap M4",
        "slot 6.5 × 20 mm, across the bar",
    ]
    assert place_words(told.holes[1], ruler) == "62 mm from end A of the flat, 3 mm below the middle"
    assert rule_words(told.holes[1], ruler) == "AFTER bending: 6 mm from bend 1, 7.4 mm wanted"
    assert "0.41 of the thickness" in allowance_words(told, ruler)
    first = step_words(told.plan.steps[0], ruler)
    assert first.startswith("bend 1: line up 77.5 mm from end A, hold end A, punch ")
    assert " kN, press to " in first


def test_a_straight_strap_has_holes_too() -> None:
    text = BRACKET.replace(
        "points = [[0, 0, 80], [0, 0, 0], [120, 0, 0], [120, 0, 80]]",
        "points = [[0, 0, 0], [100, 0, 0]]\nholes = [{ along = 12, diameter = 6 }]",
    )
    (one,) = brackets(work(parse_job(text.encode(), "oar.toml")))
    assert one.blank.length == 100.0
    assert (one.holes[0].flat.x, one.holes[0].seat.fold, one.holes[0].seat.after) == (12.0, None, False)
