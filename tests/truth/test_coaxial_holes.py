"""Holes in one line through both legs of a bent bar: two, not one. Truth: the places that the job was drawn with."""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.takeoff.take import take_off
from tests.brackets import worked
from tests.truth.test_finished_models import exported, of_job
from tests.truth.test_finished_own_ends import job, taken

LEGS = "[[0, 0, 0], [0, 0, 300], [200, 0, 300], [200, 0, 0]]"
LENGTH = 240.0 + 80.0 + 240.0 + 60.0 * 3.141592653589793
"""Of a hoop of two right angles of radius 60 between sides of 300, 200 and 300."""


@pytest.mark.parametrize(
    ("section", "walls"), [("tube", "both"), ("tube", "one"), ("square", "both"), ("round", "both")]
)
def test_both_legs_of_a_hoop_are_drilled_in_one_line(tmp_path: Path, section: str, walls: str) -> None:
    hole = "diameter = 5" + (', walls = "one"' if walls == "one" else "")
    holes = f"holes = [{{ along = 100, {hole} }}, {{ side = 3, along = 200, {hole}, round = 180 }}]"
    assert of_job(tmp_path, job(holes, LEGS, section)) == []
    found = taken(tmp_path / "hoop.step").holes
    assert [hole.at for hole in found] == pytest.approx([100.0, LENGTH - 100.0], abs=1e-6)
    assert [hole.through for hole in found] == [walls == "both"] * 2
    assert [hole.diameter for hole in found] == pytest.approx([5.0, 5.0], abs=1e-9)


def test_slots_in_both_legs_of_a_bracket_are_two(tmp_path: Path) -> None:
    text = "{ along = 14, diameter = 5, slot = 16, runs = 'across' }, { along = 20, diameter = 4, across = 9 }"
    plain = worked(text)
    line = plain.pieces[0].line
    assert line is not None
    length = line.table.length
    both = (
        text
        + ", "
        + ", ".join(
            (
                f"{{ along = {length - 14.0}, diameter = 5, slot = 16, runs = 'across' }}",
                f"{{ along = {length - 20.0}, diameter = 4, across = 9 }}",
            )
        )
    )
    result = worked(both)
    assert exported(tmp_path, result) == []
    (solid,) = take_off(tmp_path / "frame.step").solids
    found = [(hole.at, hole.slot, hole.diameter) for hole in solid.bars[0].holes]
    wanted = [(14.0, 11.0, 5.0), (20.0, 0.0, 4.0), (length - 20.0, 0.0, 4.0), (length - 14.0, 11.0, 5.0)]
    assert found == [pytest.approx(one, abs=1e-6) for one in wanted]


@pytest.mark.parametrize("section", ["tube", "square"])
def test_a_hole_in_the_seam_of_a_loop_is_one(tmp_path: Path, section: str) -> None:
    """A loop begins in the middle of its longest side: there, and opposite it, it is drilled through."""
    points = "[[0, 0, 0], [400, 0, 0], [400, 300, 0], [0, 300, 0]]"
    holes = "closed = true\nholes = [{ side = 1, along = 200, diameter = 5 }, { side = 3, along = 200, diameter = 5 }]"
    assert of_job(tmp_path, job(holes, points, section)) == []
    bar = taken(tmp_path / "hoop.step")
    length = bar.line.table.length
    assert len(bar.holes) == 2 and all(hole.through for hole in bar.holes)
    assert bar.cut_into == ()
    first, second = (hole.at for hole in bar.holes)
    assert second - first == pytest.approx(length / 2.0, abs=1e-6)
