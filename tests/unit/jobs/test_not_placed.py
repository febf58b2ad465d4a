"""What of a piece stands nowhere in the frame: pictures and models of it say so, in the words of what it carries."""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.files.job_file import parse_job
from bentwork.jobs.carried import frame_of
from bentwork.jobs.not_placed import left_out, not_placed
from bentwork.jobs.scene import scene
from bentwork.jobs.work import Result, work
from tests.desk import at_desk

BAR = """\
format = 1

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[piece.rung]
stock = "rod"
points = [[0, 0, 0], [300, 20, 0]]
"""
MIRROR = 'mirror = true\nmirror_in = { axis = "y", at = 100 }\n'
AT = "Say where they stand: at = [[…], …]."
MIRROR_IN = 'Say where the other hand stands: mirror_in = { axis = "y", at = … }.'


def result(more: str) -> Result:
    return work(parse_job((BAR + more).encode(), "a.toml"))


@pytest.mark.parametrize(
    ("more", "why", "do"),
    [
        ("count = 2\n", "2 are made, and 1 of them is not placed", AT),
        ("count = 5\n", "5 are made, and 4 of them are not placed", AT),
        ("mirror = true\n", "the right one is not placed", MIRROR_IN),
        ('mirror = true\nhand = "right"\n', "the left one is not placed", MIRROR_IN),
        ("count = 2\n" + MIRROR, "2 of each hand are made, and 1 of them is not placed", AT),
        (
            "count = 3\nmirror = true\n",
            "3 of each hand are made, and 2 of them are not placed; no right one is placed",
            f"{AT} {MIRROR_IN}",
        ),
    ],
)
def test_pieces_that_are_made_and_not_placed_are_told(more: str, why: str, do: str) -> None:
    found = result(more)
    assert left_out(found) == (f"Not all of rung stands in the frame: {why}. {do}",)
    _, told = frame_of(found)
    assert told == not_placed(found.job.pieces[0])
    assert told[0].says in left_out(found)[0]
    made = sum(plan.spec.count * (2 if plan.spec.mirror else 1) for plan in found.pieces)
    assert sum(len(body.copies) for body in scene(found)) < made


@pytest.mark.parametrize("more", ["", "count = 1\n", "at = [[0, 0, 0], [0, 0, 50]]\n", MIRROR])
def test_nothing_is_told_where_every_copy_has_its_place(more: str) -> None:
    found = result(more)
    assert left_out(found) == ()
    made = sum(plan.spec.count * (2 if plan.spec.mirror else 1) for plan in found.pieces)
    assert sum(len(body.copies) for body in scene(found)) == made


def test_the_page_tells_it_beside_the_picture(tmp_path: Path) -> None:
    at = at_desk(tmp_path, {"rungs": BAR + "count = 2\n"})
    assert at.job("rungs")["left_out"] == list(left_out(result("count = 2\n")))
    assert at.job("rungs")["left_out"]
