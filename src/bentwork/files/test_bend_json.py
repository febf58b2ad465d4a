"""What is known of a bar on a bender, as JSON; lengths in mm, angles in degrees, keys carry the unit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bentwork.bending.known import made_in
from bentwork.bending.learnt import Fit, Measured
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.jobs.job import Job
from bentwork.jobs.pairs import Pair
from bentwork.jobs.trial import trial_for
from bentwork.planning.sureness import advice_for, advice_words, came_from, doubt_words

__all__ = ["known_document"]

FORMAT = 1
_USUAL_ANGLES = (30.0, 60.0, 90.0, 120.0)


def known_document(job: Job, pair: Pair, bends: Sequence[TestBend], made: TestBend | None = None) -> dict[str, Any]:
    """Return what ``testbend --json`` prints: what is known, and the test bend that was just entered."""
    what = pair.known(bends)
    document: dict[str, Any] = {
        "format": FORMAT,
        "job": job.name,
        "stock": pair.stock,
        "bender": pair.bender,
        "bar": str(StockKey(pair.set_up.section, pair.set_up.material.name)),
        "source": what.source,
        "says": came_from(what),
        "test_bends": [_bend(bend) for bend in made_in(pair.set_up, bends)],
        "kept": None if made is None else made.id,
    }
    if not isinstance(what.fit, Fit):
        return {**document, "known": None}
    fit, trial, advice = what.fit, trial_for(pair, what), advice_for(what, pair.bends)
    pulls = [fit.pull(angle) for angle in pair.angles(_USUAL_ANGLES)]
    document["known"] = {
        "springback_fixed_deg": _measured(fit.law.fixed),
        "springback_per_degree": _measured(fit.law.proportional),
        "radius_mm": _measured(fit.radius),
        "start_behind_mark_mm": _measured(fit.start),
        "drawn_in_mm": _measured(fit.drawn_in),
        "stretch_mm": _measured(fit.stretch),
        "pulls": [
            {"angle_deg": p.wanted, "bend_to_deg": p.bend_to, "least_deg": p.low, "most_deg": p.high} for p in pulls
        ],
    }
    document["doubts"] = [
        {"test_bend": doubt.bend.id, "reading": doubt.reading, "left_out": doubt.left_out, "says": doubt_words(doubt)}
        for doubt in fit.doubts
    ]
    document["advice"] = None if advice is None else {"more": advice.more, "says": advice_words(advice)}
    document["next"] = trial and {
        "angle_deg": trial.angle,
        "pull_to_deg": trial.pull,
        "bar_mm": trial.bar,
        "mark_mm": trial.mark,
    }
    return document


def _measured(value: Measured) -> dict[str, Any]:
    return {"value": value.mean, "sd": value.sd, "measured": value.learnt}


def _bend(bend: TestBend) -> dict[str, Any]:
    return {
        "number": bend.id,
        "made_on": bend.made_on,
        "batch": bend.batch,
        "pulled_deg": bend.pulled_deg,
        "left_deg": bend.left_deg,
        "bar_mm": bend.bar_mm,
        "mark_mm": bend.mark_mm,
        "held_leg_mm": bend.held_leg_mm,
        "free_leg_mm": bend.free_leg_mm,
        "legs_to": bend.legs_to,
        "start_shift_mm": bend.start_shift_mm,
        "note": bend.note,
    }
