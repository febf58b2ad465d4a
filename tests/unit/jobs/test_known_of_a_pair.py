"""What is told of a bar on a bender: its angles, the words, the picture of the fit."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import pytest

from bentwork.files.job_file import parse_job
from bentwork.files.test_bend_entry import entry_of
from bentwork.jobs.known_words import known_line, nothing_left, size_lines
from bentwork.jobs.pairs import Pair, pairs
from bentwork.jobs.pull_picture import pull_picture
from bentwork.piece.bend import Bend
from bentwork.units import Ruler

JOB = parse_job(files("bentwork").joinpath("data", "crate-shelf.toml").read_bytes(), "crate-shelf.toml")


@pytest.fixture
def pair() -> Pair:
    return pairs(JOB)[0]


def test_angles_that_nobody_tells_apart_are_told_once(pair: Pair) -> None:
    bends = tuple(Bend(36.0, angle, 0.0) for angle in (59.98, 60.0, 90.0, 20.7))
    angles = replace(pair, bends=bends).angles((30.0, 60.0, 90.0))
    assert angles == (20.7, 30.0, 59.98, 90.0)
    assert replace(pair, bends=()).angles((90.0,)) == (90.0,)


def test_the_picture_reaches_past_every_angle(pair: Pair) -> None:
    far = entry_of(pair, {"pulled": "171", "left": "163"}, Ruler(), "2026-03-12")
    picture = pull_picture(pair, [far])
    assert picture is not None
    angles = [pull.wanted for pull in picture.now]
    assert angles == sorted(angles)
    assert angles[-1] >= 163.0
    assert [pull.wanted for pull in picture.handbook] == angles
    assert [one.entered for one in picture.narrowed] == [0, 1]


def test_the_picture_of_many_test_bends_tells_how_the_last_dozen_narrowed(pair: Pair) -> None:
    made = [entry_of(pair, {"pulled": "97.5", "left": f"{90 + k / 100}"}, Ruler(), "2026-03-12") for k in range(15)]
    picture = pull_picture(pair, made)
    assert picture is not None
    assert len(picture.entries) == 15
    assert [one.entered for one in picture.narrowed] == list(range(3, 16))


def test_words_say_where_it_is_known_from_and_what_the_tape_told(pair: Pair) -> None:
    assert known_line(pair.known()) == "How far to pull is known from the handbook: make a test bend."
    assert nothing_left(pair.known()) is None
    given = {"pulled": "97.5", "left": "90", "bar": "320", "mark": "130", "held_leg": "189", "free_leg": "166.5"}
    fit = pair.known([entry_of(pair, given, Ruler(), "2026-03-12")]).fit
    assert fit is not None
    mm, inches = size_lines(fit, Ruler()), size_lines(fit, Ruler("in"))  # type: ignore[arg-type]  # a fit, by the lines above
    assert any("mm" in line and "radius" in line for line in mm)
    assert any("in" in line and "radius" in line for line in inches)
