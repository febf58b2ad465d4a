"""The finish plan of a job: surfaces, steps by metal, what to mask, what to vent, which metals to keep apart."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from bentwork.findings import Finding, by_weight
from bentwork.jobs.closed_tubes import alike, closed_tubes, drilled
from bentwork.jobs.consumed import coats_of, piece_surface, surface, tab_surface
from bentwork.jobs.finish_touching import Touching, touching
from bentwork.jobs.job import Job
from bentwork.jobs.masks import Mask, masks
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.welding import frame_structure
from bentwork.jobs.work import Result
from bentwork.parts.consumables import Coat
from bentwork.parts.finishing import FinishStep, steps_for, suits
from bentwork.parts.metals_touch import HOW_TO_PART
from bentwork.parts.vents import Vent, heated_by
from bentwork.stock.material import Group

__all__ = ["FinishPlan", "MetalFinish", "PieceSurface", "finish", "with_finish"]


@dataclass(frozen=True, slots=True)
class PieceSurface:
    """The outside of one piece, m2, how many are made, of which metal, and whether that is bought galvanised."""

    name: str
    each: float
    count: int
    group: Group
    zinc: bool = False


@dataclass(frozen=True, slots=True)
class MetalFinish:
    """What is done to one metal.

    Args:
        group: the metal.
        pieces: names of what is made of it.
        surface: of all of it, m2.
        steps: in their order; none where the metal cannot have this finish.
        zinc: it is bought galvanised.
    """

    group: Group
    pieces: tuple[str, ...]
    surface: float
    steps: tuple[FinishStep, ...]
    zinc: bool = False


@dataclass(frozen=True, slots=True)
class FinishPlan:
    """How a frame is finished.

    Args:
        job: what was asked for.
        surfaces: of every piece.
        tabs: surface of all tabs, m2.
        surface: of everything that is made, m2.
        metals: what is done to each.
        coats: primer and paint, of a paint system; the job's or what is usual.
        masks: what stays bare.
        vents: holes that closed tubes need before they are heated.
        touching: metals that corrode one another.
        findings: what there is to say about it.
    """

    job: Job
    surfaces: tuple[PieceSurface, ...]
    tabs: float
    surface: float
    metals: tuple[MetalFinish, ...]
    coats: tuple[Coat, ...]
    masks: tuple[Mask, ...]
    vents: tuple[Vent, ...]
    touching: tuple[Touching, ...]
    findings: tuple[Finding, ...]


def finish(result: Result) -> FinishPlan:
    """Return the finish plan of a job."""
    job, structure, small = result.job, frame_structure(result), small_parts(result)
    asked = job.finish
    surfaces = tuple(
        PieceSurface(
            plan.spec.name,
            piece_surface(plan),
            plan.makes,
            plan.stock.material.group,
            plan.spec.stock in asked.galvanised,
        )
        for plan in result.pieces
        if plan.table is not None
    )
    metals = []
    for group, zinc in dict.fromkeys((one.group, one.zinc) for one in surfaces):
        mine = [one for one in surfaces if (one.group, one.zinc) == (group, zinc)]
        area = math.fsum(one.each * one.count for one in mine)
        steps = steps_for(group, asked.system, two_pack=asked.two_pack, zinc=zinc)
        metals.append(MetalFinish(group, tuple(one.name for one in mine), area, steps, zinc))
    vents = closed_tubes(structure, small, heated_by(asked.system))
    touch = touching(result, structure, small)
    found = [*_unsuited(job, metals), *_vents(job, vents), *_touching(touch), *_two_pack(job)]
    return FinishPlan(
        job,
        surfaces,
        tab_surface(small),
        surface(result, small),
        tuple(metals),
        coats_of(job),
        masks(result, structure, small, asked.system),
        vents,
        touch,
        by_weight(found),
    )


def with_finish(result: Result) -> Result:
    """Return a result with what there is to say about its finish among its findings, where the job asks for one."""
    if not result.job.finish.said:
        return result
    found = finish(result).findings
    return replace(result, findings=by_weight((*result.findings, *found))) if found else result


def _unsuited(job: Job, metals: list[MetalFinish]) -> Iterator[Finding]:
    system = job.finish.system
    for one in metals:
        if not suits(system, one.group):
            yield Finding(
                "stop",
                "finish-does-not-suit",
                f"{', '.join(one.pieces)} cannot be {system}: {one.group} does not take it.",
                "Aluminium and titanium are anodised, steel is galvanised; the bath eats what is of another metal.",
                "Choose paint or powder, or finish the metals apart before they are joined.",
            )
        elif system == "bare" and one.group == "steel" and not one.zinc:
            yield Finding(
                "note",
                "finish-does-not-suit",
                f"{', '.join(one.pieces)} of steel is left bare and will rust.",
                "",
                "Paint it, or keep it dry and waxed.",
            )


def _vents(job: Job, vents: tuple[Vent, ...]) -> Iterator[Finding]:
    if job.finish.vented or job.finish.system not in ("powder", "galvanised"):
        return
    bath = job.finish.system == "galvanised"
    groups = alike(vents)
    names = [name for one, _ in groups for name in one]
    where = "a zinc bath" if bath else "an oven"
    if names:
        yield Finding(
            "stop",
            "closed-tube",
            f"{len(names)} tubes are closed at both ends, and go into {where}: {', '.join(names)}."
            if len(names) > 1
            else f"{names[0]} is a tube that is closed at both ends, and goes into {where}.",
            "Shut-in air and damp burst it with great force, in the faces of those at the bath."
            if bath
            else "Shut-in air and damp burst it, or blow the powder off at the welds.",
            f"Drill {drilled(groups)}; then say it: vented = true in [finish].",
        )


def _touching(touch: tuple[Touching, ...]) -> Iterator[Finding]:
    pairs = dict.fromkeys((one.eaten, one.by) for one in touch)
    for eaten, by in pairs:
        mine = [one for one in touch if (one.eaten, one.by) == (eaten, by)]
        yield Finding(
            "watch",
            "metals-touch",
            f"{eaten.capitalize()} corrodes where it touches {by} and gets wet: {', '.join(o.where for o in mine)}.",
            "The two make a battery with rain for its acid; salt makes it many times as fast.",
            HOW_TO_PART,
            piece=mine[0].piece if len(mine) == 1 else None,
        )


def _two_pack(job: Job) -> Iterator[Finding]:
    if job.finish.two_pack:
        yield Finding(
            "watch",
            "isocyanate-paint",
            "The paint hardens with an isocyanate.",
            "Its spray makes lungs allergic for good; a filter mask does not hold it back.",
            "Spray it only with air-fed breathing protection in a booth, or have it done; or take a paint without it.",
        )
