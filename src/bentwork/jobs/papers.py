"""From a result to what its papers are about."""

from __future__ import annotations

from bentwork.jobs.bar_holes import BarHole, bar_holes
from bentwork.jobs.bracket import brackets
from bentwork.jobs.own_end_told import own_end_brief
from bentwork.jobs.own_ends import own_ends
from bentwork.jobs.work import PiecePlan, Result
from bentwork.sheets.cover import Cover, cover
from bentwork.sheets.shop_sheet import ShopSheet, shop_sheet
from bentwork.sheets.subject import DrilledHole, Paper, Subject
from bentwork.space import Vec

__all__ = ["sheets_of", "subject_of", "subjects"]


def subjects(result: Result, date: str) -> tuple[Subject, ...]:
    """Return one subject for every piece that fits, and one more for its opposite hand."""
    found = []
    for plan in result.pieces:
        if plan.line is None:
            continue
        found.append(subject_of(result, plan, date, as_drawn=True))
        if plan.opposite is not None:
            found.append(subject_of(result, plan.opposite, date, as_drawn=False))
    return tuple(found)


def sheets_of(result: Result, date: str, paper: Paper) -> tuple[Cover | None, tuple[ShopSheet, ...]]:
    """Return the cover and a shop sheet for every bent piece; one bent piece alone needs no cover."""
    about = subjects(result, date)
    if not about:
        return None, ()
    bent = [subject for subject in about if subject.marks]
    front = (
        None
        if len(about) == len(bent) == 1
        else cover(about, _standing(result, about), result.findings, result.job.ruler, paper)
    )
    return front, tuple(shop_sheet(subject, paper) for subject in bent)


def _standing(result: Result, about: tuple[Subject, ...]) -> tuple[tuple[Subject, tuple[Vec, ...]], ...]:
    specs = {plan.spec.name: plan.spec for plan in result.pieces}
    placed = ((subject, specs[subject.piece].shifts(as_drawn=subject.as_drawn)) for subject in about)
    return tuple((subject, shifts) for subject, shifts in placed if shifts)


def subject_of(result: Result, plan: PiecePlan, date: str, *, as_drawn: bool) -> Subject:
    """Return one hand of a piece that fits, as its papers and its screen at the bench show it."""
    assert plan.line is not None
    spec, job = plan.spec, result.job
    return Subject(
        job=job.name,
        version=job.version,
        date=date,
        ruler=job.ruler,
        piece=spec.name,
        count=spec.count,
        hand=None if not spec.mirror else spec.hand if as_drawn else spec.other_hand,
        as_drawn=as_drawn,
        stock=plan.stock,
        bender=plan.bender,
        line=plan.line,
        marks=plan.marks,
        steps=plan.steps,
        trim=spec.trim,
        way=spec.way,
        findings=plan.findings,
        what=plan.what,
        more_bar=plan.more_bar + sum(plan.longer),
        mountings=job.mountings_of(spec.bender),
        holes=_holes(result, spec.name) if spec.holes else (0, 0),
        drilled=tuple(_drilled(one, as_drawn) for one in bar_holes(plan)),
        ends=_ends(result, plan),
    )


def _ends(result: Result, plan: PiecePlan) -> tuple[str, ...]:
    """Return how ends of a piece are made by themselves; a stay's paper tells of its own."""
    if plan.line is None or any(laid.asked.name == plan.spec.name for laid in result.job.stays):
        return ()
    ruler, section = result.job.ruler, plan.stock.section
    return tuple(own_end_brief(one, ruler) for one in own_ends(plan.spec, section, plan.line))


def _drilled(one: BarHole, as_drawn: bool) -> DrilledHole:
    asked = one.asked
    turn = asked.round if as_drawn else -asked.round
    turns = (turn, turn + 180.0) if asked.through else (turn,)
    return DrilledHole(one.number, one.on_bar, asked.diameter, turns, one.after)


def _holes(result: Result, piece: str) -> tuple[int, int]:
    """Return how many holes of a piece are drilled in the flat, and how many when it is bent."""
    mine = next((one for one in brackets(result) if one.plan.spec.name == piece), None)
    after = [hole.seat.after for hole in mine.holes] if mine else []
    return after.count(False), after.count(True)
