"""How far pieces may be out: ``[tolerance]`` and ``tolerance`` of a piece."""

from __future__ import annotations

import pytest

from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.fitup.tolerance import Tolerance
from tests.unit.jobs.test_going_on import BARE


def tolerance(text: str) -> Tolerance:
    return parse_job(text.encode(), "job.toml").pieces[0].tolerance


def test_what_is_not_said_is_common_practice() -> None:
    assert tolerance(BARE) == Tolerance(gap=2.0, offset=2.0, twist=2.0, position=3.0)


def test_the_job_says_it_for_all_pieces_and_a_piece_for_itself() -> None:
    said = BARE + "tolerance = { position = 5 }\n[tolerance]\ngap = 1.5\nposition = 4\ntwist = 1\n"
    assert tolerance(said) == Tolerance(gap=1.5, offset=2.0, twist=1.0, position=5.0)


def test_in_inches() -> None:
    inch = BARE.replace('units = "mm"', 'units = "in"') + '[tolerance]\ngap = "1/16"\n'
    assert tolerance(inch).gap == pytest.approx(25.4 / 16)


def test_everything_that_is_wrong_is_told_by_line_and_key() -> None:
    wrong = BARE + "tolerance = { positon = 5 }\n[tolerance]\ngap = 0\ntwist = 120\n"
    with pytest.raises(InputError) as caught:
        parse_job(wrong.encode(), "job.toml")
    told = {(fault.line, fault.where) for fault in caught.value.faults}
    lines = wrong.splitlines()
    assert told == {
        (lines.index("tolerance = { positon = 5 }") + 1, "piece.rest.tolerance.positon"),
        (lines.index("gap = 0") + 1, "tolerance.gap"),
        (lines.index("twist = 120") + 1, "tolerance.twist"),
    }
