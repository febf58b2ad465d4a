"""What is known of a bar on a bender, as the page gets it: the values and words of the command line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bentwork.bending.doubts import Doubt
from bentwork.bending.known import Known, made_in
from bentwork.bending.learnt import Fit, Pull
from bentwork.bending.test_bend import TestBend
from bentwork.files.test_bend_json import known_document
from bentwork.jobs.job import Job
from bentwork.jobs.known_words import doubt_line, known_line, nothing_left, size_lines, trial_line
from bentwork.jobs.pairs import Pair
from bentwork.jobs.pull_picture import pull_picture
from bentwork.jobs.trial import Trial, trial_for
from bentwork.planning.sureness import advice_for, advice_words, may_be_sure, meant_angles
from bentwork.sheets.stock_words import stock_words
from bentwork.units import Ruler
from bentwork.web.wire_test_bends import (
    BandOut,
    KnownOut,
    MeantOut,
    NarrowedOut,
    PointOut,
    PullOut,
    PullPictureOut,
    TestBendDoubtOut,
    TestBendOut,
    TrialOut,
)

__all__ = ["known_out"]


def known_out(job: Job, pair: Pair, bends: Sequence[TestBend]) -> KnownOut:
    """Return what is known; ``bends`` are all that the workshop keeps, those struck out too."""
    counting = [bend for bend in bends if not bend.struck]
    what, ruler = pair.known(counting), job.ruler
    document = known_document(job, pair, counting)
    advice, trial = advice_for(what, pair.bends), trial_for(pair, what)
    fit = what.fit if isinstance(what.fit, Fit) else None
    return KnownOut(
        stock=pair.stock,
        bender=pair.bender,
        way=pair.way,
        title=str(pair),
        bar=stock_words(job.stocks[pair.stock], ruler),
        source=what.source,
        says=known_line(what),
        nothing=nothing_left(what),
        sizes=list(size_lines(fit, ruler)) if fit else [],
        pulls=[PullOut(**pull) for pull in document["known"]["pulls"]] if fit else [],
        doubts=[_doubt(doubt) for doubt in fit.doubts] if fit else [],
        advice=None if advice is None else advice_words(advice),
        next=None if trial is None else _trial(trial, ruler),
        picture=_picture(pair, counting),
        test_bends=[_bend(bend, what, ruler) for bend in _of_pair(pair, bends)],
    )


def _of_pair(pair: Pair, bends: Sequence[TestBend]) -> list[TestBend]:
    """Return the test bends of a pair, those struck out too."""
    as_if = made_in(pair.set_up, [replace(bend, struck=False, struck_because="") for bend in bends])
    numbers = {bend.id for bend in as_if}
    return [bend for bend in bends if bend.id in numbers]


def _doubt(doubt: Doubt) -> TestBendDoubtOut:
    meant = meant_angles(doubt)
    return TestBendDoubtOut(
        number=doubt.bend.id,
        says=doubt_line(doubt),
        may_be_sure=may_be_sure(doubt),
        meant=None if meant is None else MeantOut(pulled_deg=meant.pulled_deg, left_deg=meant.left_deg),
    )


def _trial(trial: Trial, ruler: Ruler) -> TrialOut:
    return TrialOut(
        says=trial_line(trial, ruler),
        angle_deg=trial.angle,
        pull_to_deg=trial.pull,
        bar=ruler.tape(trial.bar),
        mark=ruler.tape(trial.mark),
    )


def _picture(pair: Pair, bends: Sequence[TestBend]) -> PullPictureOut | None:
    picture = pull_picture(pair, bends)
    if picture is None:
        return None
    ratio = picture.ratio
    return PullPictureOut(
        now=[_band(pull) for pull in picture.now],
        handbook=[_band(pull) for pull in picture.handbook],
        job=[] if ratio is None else [_on_line(pull.wanted, pull.wanted * (ratio - 1.0)) for pull in picture.now],
        points=[
            PointOut(
                number=entry.bend.id,
                angle_deg=entry.bend.left_deg,
                springback_deg=entry.bend.pulled_deg - entry.bend.left_deg,
                counts=entry.counts,
            )
            for entry in picture.entries
        ],
        narrowed_at_deg=picture.at,
        narrowed=[NarrowedOut(entered=one.entered, half_width_deg=one.half_width) for one in picture.narrowed],
    )


def _band(pull: Pull) -> BandOut:
    wanted = pull.wanted
    return BandOut(
        angle_deg=wanted,
        likely_deg=pull.springback,
        least_deg=pull.low - wanted,
        most_deg=pull.high - wanted,
    )


def _on_line(angle: float, springback: float) -> BandOut:
    return BandOut(angle_deg=angle, likely_deg=springback, least_deg=springback, most_deg=springback)


def _bend(bend: TestBend, what: Known, ruler: Ruler) -> TestBendOut:
    def tape(length: float | None) -> str:
        return "" if length is None else ruler.tape(length)

    assert bend.id is not None  # the workshop numbers what it keeps
    used = isinstance(what.fit, Fit) and any(one.id == bend.id for one in what.fit.used)
    return TestBendOut(
        number=bend.id,
        made_on=bend.made_on,
        batch=bend.batch,
        pulled_deg=bend.pulled_deg,
        left_deg=bend.left_deg,
        bar=tape(bend.bar_mm),
        mark=tape(bend.mark_mm),
        held_leg=tape(bend.held_leg_mm),
        free_leg=tape(bend.free_leg_mm),
        to_middle=bend.legs_to == "middle",
        start=tape(bend.start_shift_mm),
        note=bend.note,
        counts=used,
        struck_because=bend.struck_because if bend.struck else None,
    )
