"""``holes`` of a piece and ``[finish]``: what is read, and every fault with line, found, wanted, do."""

from __future__ import annotations

import pytest

from bentwork.errors import InputError
from bentwork.fastening.threads import METRIC
from bentwork.files.job_file import parse_job
from bentwork.jobs.finish_asked import FinishAsked
from tests.brackets import BRACKET, bracket_job


def faults(text: str) -> list[tuple[int | None, str]]:
    with pytest.raises(InputError) as caught:
        parse_job(text.encode(), "oar.toml")
    assert all(fault.wanted for fault in caught.value.faults)
    return [(fault.line, fault.where) for fault in caught.value.faults]


def test_holes_are_read() -> None:
    text = bracket_job(
        "{ along = '1 in', across = -3, diameter = 6.5 }, { at = [1, 2, 3], diameter = 'M6' },"
        " { side = 2, along = 10, thread = '1/4-20' },"
        " { along = 10, diameter = 5, slot = 12, runs = 'across', grade = 'A2-70' }"
    )
    holes = parse_job(text.encode(), "oar.toml").pieces[0].holes
    assert (holes[0].along, holes[0].across, holes[0].diameter) == (25.4, -3.0, 6.5)
    assert (holes[1].at, holes[1].diameter, holes[1].thread) == ((1.0, 2.0, 3.0), 6.6, METRIC[6.0])  # ISO 273 medium
    assert (holes[2].side, holes[2].tapped, holes[2].diameter) == (2, True, 6.35)
    assert (holes[3].slot, holes[3].runs, holes[3].grade) == (12.0, "across", "A2-70")


@pytest.mark.parametrize(
    ("hole", "where"),
    [
        ("{ diameter = 6 }", "along"),
        ("{ along = 10 }", "diameter"),
        ("{ along = 10, at = [0, 0, 0], diameter = 6 }", "along"),
        ("{ at = [0, 0, 0], across = 3, diameter = 6 }", "across"),
        ("{ along = 10, diameter = 6, thread = 'M6' }", "thread"),
        ("{ along = 10, thread = 'M7' }", "thread"),
        ("{ along = 10, diameter = 'M7' }", "diameter"),
        ("{ along = 10, diameter = 6, slot = 6 }", "slot"),
        ("{ along = 10, thread = 'M6', slot = 12 }", "slot"),
        ("{ along = 10, side = 4, diameter = 6 }", "side"),
        ("{ along = 10, side = 0, diameter = 6 }", "side"),
        ("{ along = -1, diameter = 6 }", "along"),
        ("{ along = 10, diameter = 6, runs = 'round' }", "runs"),
        ("{ along = 10, diamter = 6 }", "diamter"),
    ],
)
def test_one_fault_where_one_is(hole: str, where: str) -> None:
    text = bracket_job(hole)
    ((line, found),) = faults(text)
    assert line == len(text.splitlines())
    assert found.endswith(where)


def test_holes_that_are_no_tables() -> None:
    assert len(faults(f"{BRACKET}holes = 6\n")) == 1
    assert len(faults(f"{BRACKET}holes = [6]\n")) == 1


def test_flat_bar_bent_the_hard_way_is_drilled_like_square_bar() -> None:
    (piece,) = parse_job(
        bracket_job("{ along = 10, diameter = 6, round = 90, across = 4 }", 'way = "hard"').encode(), "oar.toml"
    ).pieces
    assert [(hole.round, hole.across) for hole in piece.holes] == [(90.0, 4.0)]
    (fault,) = faults(bracket_job("{ along = 10, thread = 'M6', round = 90 }", 'way = "hard"'))
    assert fault[1].endswith("thread")


def test_finish_is_read() -> None:
    text = BRACKET + '\n[finish]\nsystem = "paint"\ncolour = "slate grey"\ntwo_pack = true\ngalvanised = ["strap"]\n'
    job = parse_job(text.encode(), "oar.toml")
    assert job.finish == FinishAsked("paint", "slate grey", True, ("strap",), said=True)
    assert not parse_job(BRACKET.encode(), "oar.toml").finish.said


@pytest.mark.parametrize(
    ("keys", "where"),
    [
        ('system = "gold"', "finish.system"),
        ('galvanised = ["tube"]', "finish.galvanised[1]"),
        ('system = "powder"\ntwo_pack = true', "finish.two_pack"),
        ("colour = 5", "finish.colour"),
        ("colur = 'grey'", "finish.colur"),
    ],
)
def test_faults_of_a_finish(keys: str, where: str) -> None:
    ((_, found),) = faults(f"{BRACKET}\n[finish]\n{keys}\n")
    assert found.replace(" ", "").startswith(where.split("[")[0])
