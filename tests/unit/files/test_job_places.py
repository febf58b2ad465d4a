"""Places of a job file, told as one would at the bench."""

from __future__ import annotations

import pytest

from bentwork.files.job_places import path_of, spoken
from bentwork.files.job_words import place


@pytest.mark.parametrize(
    ("where", "said"),
    [
        ("piece.loop.points[2]", "loop, corner point 2"),
        ("piece.loop.points[2][1]", "loop, corner point 2, x"),
        ('piece."left rail".bends[3][2]', "left rail, bend 3, angle"),
        ("piece.loop.straights[1]", "loop, straight 1"),
        ("piece.loop.radius[2]", "loop, radius of corner 2"),
        ("piece.loop.required_clearance", "loop, required clearance"),
        ("bender.lever.die.groove_depth", "lever, die, groove depth"),
        ("mounting.vise.bodies[1].x[2]", "vise, body 1, x, number 2"),
        ("stock.rod", "rod"),
        ("units", "units"),
    ],
)
def test_a_place_is_told_in_the_words_of_the_trade(where: str, said: str) -> None:
    path = path_of(where)
    assert path is not None
    assert spoken(path) == said
    assert place(path) == where  # the same as faults name it


@pytest.mark.parametrize("where", ["--width", "line 3, column 2", 'piece."unended', "two words"])
def test_what_is_no_place_stays_as_it_is_told(where: str) -> None:
    assert path_of(where) is None
