"""What a job cannot say of a model is left out of its text, and the rest is written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bentwork.files.job_file import parse_job
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose
from bentwork.stock.section import Section, Square, Tube
from bentwork.takeoff.bar import Bar, Hole, Solid, TakeOff
from bentwork.takeoff.job_text import job_of


def straight(section: Section, *holes: Hole, at: float = 0.0) -> Bar:
    line = Centreline(BendTable((300.0,)), Pose((0.0, at, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    return Bar(line, section, holes=holes)


def taken(*bars: Bar, name: str = "bar", same: bool = False) -> TakeOff:
    solids = tuple(
        Solid(k, name, "piece", (bar,), None, 1.0, same_as=1 if same and k > 1 else None)
        for k, bar in enumerate(bars, 1)
    )
    return TakeOff("model.step", "millimetre", solids)


@pytest.mark.parametrize(
    ("section", "hole"),
    [
        (Tube(25.0, 2.0), Hole(60.0, 0.0, 5.0, True, slant=20.0)),
        (Tube(25.0, 2.0), Hole(60.0, 0.0, 5.0, True, off_middle=3.0)),
        (Square(12.0, 12.0), Hole(60.0, 0.0, 5.0, True, off_middle=4.0)),
        (Square(12.0, 12.0), Hole(60.0, 30.0, 5.0, True)),
        (Square(12.0, 12.0), Hole(60.0, 0.0, 5.0, False)),
        (Square(12.0, 12.0), Hole(60.0, 0.0, 5.0, True, slot=8.0)),
    ],
    ids=["aslant", "beside the middle of a round", "over the edge", "not square to a side", "blind", "slot"],
)
def test_a_hole_that_no_job_has_is_left_to_the_comment(section: Section, hole: Hole) -> None:
    text = job_of(taken(straight(section, hole, Hole(100.0, 0.0, 4.0, True))))
    assert "2 drilled" in text
    assert [one.along for one in parse_job(text.encode(), "m.toml").pieces[0].holes] == [100.0]


def test_what_is_cut_into_a_bar_is_in_the_comment() -> None:
    text = job_of(taken(replace(straight(Square(12.0, 12.0)), cut_into=((40.0, 50.0),))))
    assert "cut into at 45 mm" in text


def test_names_keep_their_letters() -> None:
    (piece,) = parse_job(job_of(taken(straight(Tube(25.0, 2.0)), name="Bügel Ø25 groß (2×)")).encode(), "m.toml").pieces
    assert piece.name == "Bügel Ø25 groß -2"


def test_more_than_a_table_takes_come_in_several() -> None:
    bars = [straight(Tube(25.0, 2.0), at=40.0 * k) for k in range(450)]
    pieces = parse_job(job_of(taken(*bars, same=True)).encode(), "m.toml").pieces
    assert [piece.count for piece in pieces] == [200, 200, 50]
    places = [shift[1] for piece in pieces for shift in piece.shifts(as_drawn=True)]
    assert places == pytest.approx([40.0 * k for k in range(450)], abs=1e-9)
