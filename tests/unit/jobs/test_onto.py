"""Whether an open piece goes onto its fixings by hand; the statics are checked in tests/truth/test_springing.py."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bentwork.files.job_file import parse_job
from bentwork.fitup.onto_fixings import Onto, Slot
from bentwork.jobs.fit_ahead import FitAhead, fit_ahead
from bentwork.jobs.fitting import fitting_of
from bentwork.jobs.onto import onto_finding, onto_of, onto_words, slot_words
from bentwork.jobs.work import Result, work
from bentwork.units import Ruler
from tests.unit.jobs.test_going_on import BARE, DEMO, chance

EASY = Onto(("foot", "top"), 0.4, 5.0, 12.0, 0.05, 1e-4, 1.0, (Slot("foot", "x", 0.2, 0.001),))


@cache
def result(text: str = DEMO) -> Result:
    return work(parse_job(text.encode(), "job.toml"))


@cache
def ahead(piece: str, text: str = DEMO) -> FitAhead:
    job = result(text)
    plan = next(one for one in job.pieces if one.spec.name == piece)
    found = fit_ahead(plan, chance, None, job)
    assert found is not None
    return found


def test_the_bracket_is_sprung_onto_its_two_hooks() -> None:
    onto = ahead("bracket").onto
    assert onto is not None
    assert onto.fixings == ("left hook", "right hook")
    assert 0.0 < onto.by_hand < 0.95
    # The hooks stand side by side along y of the job: a slot that way takes all of it, one across nothing.
    assert {slot.along for slot in onto.slots[:2]} == {"y"}
    assert onto.slots[0].force < 0.01 * onto.force
    assert onto.slots[-1].force == pytest.approx(onto.force, rel=1e-6)
    told = next(finding for finding in ahead("bracket").findings if finding.code == "forced-on")
    assert "slot along y" in told.do
    assert "Stand aside" in told.do


def test_hooks_off_by_twice_as_much_take_twice_the_force() -> None:
    onto = ahead("bracket").onto
    again = onto_again(scale=2.0)
    assert onto is not None
    assert again.force_rms == pytest.approx(2.0 * onto.force_rms, rel=1e-6)
    assert again.force == pytest.approx(2.0 * onto.force, rel=0.1)


def onto_again(scale: float) -> Onto:
    job = result()
    fitting = fitting_of(next(one for one in job.pieces if one.spec.name == "bracket"))
    assert fitting is not None
    nominal, scatter = fitting.bar.values, fitting.scatter
    wider = replace(scatter, bias=scale * scatter.bias, own=scale * scatter.own, common=scale * scatter.common)
    start = nominal + scale * (fitting.start - nominal)
    found = onto_of(replace(fitting, scatter=wider, start=np.asarray(start)), job, chance)
    assert found is not None
    return found


def test_pieces_with_no_two_fixings_have_nothing_to_be_sprung_onto() -> None:
    assert ahead("loop").onto is None  # closed
    assert ahead("stay").onto is None  # one foot each
    assert ahead("rest", BARE).onto is None  # nothing holds it
    assert fit_ahead(result().pieces[0], chance) is not None  # nobody asks


def test_words() -> None:
    assert onto_words(EASY, Ruler()) == (
        "by the plan alone 19 pieces of 20 go onto foot and top with 12 N at most, 5% of what bends them anew; "
        "nearly all go on by hand (100 N)"
    )
    assert slot_words(EASY, Ruler()) == "a slot along x at foot (or its hole drilled last) leaves less than 1 N"
    assert onto_finding(EASY) is None
    hard = replace(EASY, force=400.0, yield_share=1.3, by_hand=0.2, slots=(Slot("foot", "x", 390.0, 1.2),))
    assert "more than it takes to bend them anew; 20% go on by hand" in onto_words(hard, Ruler())
    assert slot_words(hard, Ruler()) is None
    told = onto_finding(hard)
    assert told is not None
    assert told.do.startswith("Drill the holes last")
