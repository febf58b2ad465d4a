"""From the motion of a plan to what goes over the wire, with every word in the maker's units."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from bentwork.clearance.step import Near
from bentwork.jobs.job import Job
from bentwork.jobs.motion import Order, StepMotion, drawn_steps, heat_of, motion_of
from bentwork.jobs.motion_bodies import SeenBody
from bentwork.jobs.motion_keys import Key
from bentwork.jobs.work import PiecePlan
from bentwork.planning.ordered import way_blocked
from bentwork.sheets.step_rows import Row, rows_of
from bentwork.sheets.subject import Subject
from bentwork.space import Vec
from bentwork.tooling.shop import Mounting
from bentwork.units import Ruler, angle
from bentwork.web.wire_motion import BodySeen, ClosestOut, HitOut, KeyOut, StepSeen

__all__ = ["steps_seen", "summary_of"]

_WHEN = {"put on": "as it is put on", "lifted off": "as it is lifted off", "opening": "as it springs back"}


def steps_seen(job: Job, plan: PiecePlan, subject: Subject, order: Order) -> list[StepSeen]:
    """Return every step of an order, as it is seen and told.

    Args:
        job: that it belongs to.
        plan: of the piece, or of its opposite hand.
        subject: the same as its papers know it.
        order: which one.
    """
    mountings = subject.mountings
    steps = motion_of(plan, mountings, order)
    required = plan.spec.required_clearance
    if order == "blocked":
        return [_seen(number, step, None, job.ruler, required) for number, step in enumerate(steps, 1)]
    rows = rows_of(subject if order == "plan" else _as_drawn(subject, plan, mountings))
    pairs = zip(steps, rows, strict=True)
    return [_seen(number, step, row, job.ruler, required) for number, (step, row) in enumerate(pairs, 1)]


def summary_of(steps: Sequence[StepSeen], order: Order, *, described: bool) -> str:
    """Say in a sentence how an order goes; ``described``: the job says how big the bender is."""
    if order == "blocked":
        bends = sorted({step.bend for step in steps})
        told = f"Bends {', '.join(map(str, bends[:-1]))} and {bends[-1]}" if len(bends) > 1 else f"Bend {bends[0]}"
        return f"{told} cannot be made in any order. Here is what is in the way of each."
    hit = [number for number, step in enumerate(steps, 1) if step.hits]
    if hit:
        told = ", ".join(map(str, hit))
        return f"In step{'' if len(hit) == 1 else 's'} {told} the bar runs into something."
    close = [step.closest for step in steps if step.closest]
    if not described:
        return "The job does not say how big the bender is: only the bar itself is looked at, bend by bend as drawn."
    if not close:
        return "Nothing comes near."
    least = min(close, key=lambda one: one.gap_mm)
    return f"Nothing is hit. The closest: {least.says}."


def _as_drawn(subject: Subject, plan: PiecePlan, mountings: Sequence[Mounting]) -> Subject:
    return replace(subject, steps=drawn_steps(plan, mountings))


def _seen(number: int, step: StepMotion, row: Row | None, ruler: Ruler, required: float) -> StepSeen:
    keys = _keys(step, ruler, required)
    return StepSeen(
        title=f"Step {number}, bend {step.bend}" if row else f"Bend {step.bend}, end {step.held} held",
        bend=step.bend,
        held=step.held,
        mounting=step.mounting,
        hold=row.held if row else f"hold end {step.held}",
        mark=row.mark if row else "",
        from_last=row.from_last if row else "",
        turn=row.turn if row else "",
        line=row.rotation.split("\n")[-1] if row else "",  # where it faces; which way round the bar is for marking out
        pull=row.pull if row else "",
        between=row.between if row else "",
        leaves=row.leaves if row else "",
        keys=keys,
        held_rings=step.skin.held.reshape(-1, 9).round(3).tolist(),
        free_rings=step.skin.free.reshape(-1, 9).round(3).tolist(),
        wide=_vec(step.skin.wide),
        high=_vec(step.skin.high),
        bodies=[_body(one) for one in step.bodies],
        closest=_closest(step, ruler, required),
        hits=[_hit(near, ruler) for near in step.hits],
        blocked=_blocked(step, ruler),
    )


def _keys(step: StepMotion, ruler: Ruler, required: float) -> list[KeyOut]:
    gaps = step.closest.gaps if step.closest else [math.inf] * len(step.keys)
    return [_key(key, float(gap), ruler, required) for key, gap in zip(step.keys, gaps, strict=True)]


def _key(key: Key, gap: float, ruler: Ruler, required: float) -> KeyOut:
    counts = math.isfinite(gap)
    return KeyOut(
        when=key.moment.when,
        angle_deg=round(key.moment.angle, 3),
        angle=angle(key.moment.angle),
        lift_mm=_vec(key.lift),
        die=[round(value, 4) for value in key.die],
        arm=[round(value, 4) for value in key.arm],
        bar=key.bar.round(3).tolist(),
        gap=ruler.length(abs(gap)) if counts else "",
        heat=heat_of(gap, required) if counts else None,
    )


def _body(one: SeenBody) -> BodySeen:
    return BodySeen(
        name=one.name,
        shape=one.shape,
        half_mm=_vec(one.half),
        middle_mm=_vec(one.middle),
        axes=[_vec(axis) for axis in one.axes],
        moves=one.moves,
        away=one.away,
        sketched=one.sketched,
    )


def _closest(step: StepMotion, ruler: Ruler, required: float) -> ClosestOut | None:
    found = step.closest
    if found is None:
        return None
    near = found.near
    heat = heat_of(near.gap, required)
    gap = ruler.length(abs(near.gap))
    who = "the bar" if near.by in ("held", "free") else f"the {near.by}"
    says = f"{who} comes within {gap} of {_named(near)}{_when(near)}"
    if heat == "hit":
        says = f"{who} runs {gap} into {_named(near)}{_when(near)}"
    return ClosestOut(
        body=near.body,
        by=near.by,
        gap_mm=round(near.gap, 3),
        gap=gap,
        says=says,
        when=near.when,
        key=found.key,
        heat=heat,
        one_mm=_vec(found.one),
        other_mm=_vec(found.other),
    )


def _hit(near: Near, ruler: Ruler) -> HitOut:
    says = f"{_named(near)}, {ruler.length(-near.gap)} or more{_when(near)}"
    return HitOut(body=near.body, by=near.by, depth_mm=round(-near.gap, 3), says=says)


def _blocked(step: StepMotion, ruler: Ruler) -> str:
    if step.blocked is None:
        return ""
    return way_blocked(0, step.blocked).format(depth0=ruler.length(step.blocked.depth))


def _named(near: Near) -> str:
    return "itself" if near.body == "bar" else f"the {near.body}"


def _when(near: Near) -> str:
    return f" {_WHEN[near.when]}" if near.when in _WHEN else ""


def _vec(v: Vec) -> list[float]:
    return [round(value, 4) for value in v]
