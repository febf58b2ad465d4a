"""Whether an open piece goes onto its fixings by hand: where they are the job says, fit-up does the rest."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from bentwork.amounts import Load
from bentwork.findings import Finding
from bentwork.fitup.elastic import stiffness_of
from bentwork.fitup.onto_fixings import BY_HAND, Onto, expected_onto
from bentwork.fitup.spots import Spot
from bentwork.jobs.carried import carried
from bentwork.jobs.fitting import Chance, Fitting
from bentwork.jobs.work import Result
from bentwork.space import cross, dot
from bentwork.units import Ruler

__all__ = ["onto_finding", "onto_of", "onto_words", "slot_words"]

_ONE_PLACE = 1.0  # mm: fixings nearer than this on the bar are one
_FORCED = 0.8  # share of pieces that go on by hand below which it is worth a word
_FREE = 0.5  # of the force that a slot leaves: one that leaves more buys little
_LEAST = 1.0  # N: a smaller force is not told
_JOB_AXES = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def onto_of(fitting: Fitting, job: Result, chance: Chance) -> Onto | None:
    """Return what it takes to spring a piece onto its fixings; None where it is closed, or has fewer than two.

    Of several copies the one with the most fixings stands for all. Axes are those of the job.

    Args:
        fitting: the bar of the piece.
        job: the whole of it.
        chance: for pieces made up.
    """
    plan = fitting.plan
    spec, line = plan.spec, plan.line
    found = None if fitting.matters.closed or line is None or not job.job.load.fixings else carried(job)
    if found is None or line is None:
        return None
    structure = found.structure
    held: dict[int, list[Spot]] = defaultdict(list)
    for one in structure.fixings:
        spots = held[one.bar]
        apart = all(abs((spot.at or 0.0) - one.station) >= _ONE_PLACE for spot in spots)
        if structure.bars[one.bar].of == spec.name and apart:
            spots.append(Spot(one.fixing.name, at=one.station))
    fixings = max(held.values(), key=len, default=[])
    if len(fixings) < 2:
        return None
    start = line.start
    frame = (start.tangent, cross(start.axis, start.tangent), start.axis)
    return expected_onto(
        fitting.bar,
        fitting.scatter,
        fixings,
        stiffness_of(plan.stock.section, plan.stock.material, spec.way),
        chance(),
        values=fitting.start,
        axes=np.array([[dot(axis, own) for own in frame] for axis in _JOB_AXES]),
    )


def onto_words(one: Onto, ruler: Ruler) -> str:
    """Return what it takes, and whether it goes on by hand."""
    hand = "nearly all" if one.by_hand > 0.95 else f"{one.by_hand:.0%}"
    force = _of(one.force, "force").replace("{force}", ruler.force(max(one.force, _LEAST)))
    return (
        f"by the plan alone 19 pieces of 20 go onto {_listed(one.fixings)} with {force} at most, "
        f"{_bends(one)}; {hand} go on by hand ({ruler.force(BY_HAND)})"
    )


def slot_words(one: Onto, ruler: Ruler) -> str | None:
    """Return where a slot or a late hole buys the most; None where none buys much."""
    slot = _slot(one)
    return slot and slot.replace("{left}", ruler.force(max(one.slots[0].force, _LEAST)))


def _slot(one: Onto) -> str | None:
    best = one.slots[0]
    if one.force < _LEAST or best.force > _FREE * one.force:
        return None
    return f"a slot along {best.along} at {best.fixing} (or its hole drilled last) leaves {_of(best.force, 'left')}"


def onto_finding(one: Onto) -> Finding | None:
    """Return what there is to say about it; None where it goes on by hand."""
    if one.by_hand >= _FORCED:
        return None
    slot = _slot(one)
    do = f"Leave it room: {slot}." if slot else "Drill the holes last, from the place that it goes to."
    return Finding(
        "watch",
        "forced-on",
        f"By the plan alone {one.by_hand:.0%} of such pieces go onto {_listed(one.fixings)} by hand.",
        f"A hand holds {{hand}}; 19 of 20 take {_of(one.force, 'force')} at most, {_bends(one)}, and their worst "
        "fixing is off by {miss}.",
        f"{do} Do not force it: what is sprung in lets go of what it holds when a bolt comes out. Stand aside then.",
        lengths={"miss": round(one.miss, 1)},
        loads={
            "hand": Load("force", BY_HAND),
            "force": Load("force", max(one.force, _LEAST)),
            "left": Load("force", max(one.slots[0].force, _LEAST)),
        },
    )


def _listed(names: tuple[str, ...]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _bends(one: Onto) -> str:
    if one.yield_share >= 1.0:
        return "more than it takes to bend them anew"
    return f"{one.yield_share:.0%} of what bends them anew"


def _of(force: float, name: str) -> str:
    """Return the place of a force in a text."""
    return f"less than {{{name}}}" if force < _LEAST else f"{{{name}}}"
