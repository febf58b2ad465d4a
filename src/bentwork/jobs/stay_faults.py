"""What is the matter with stays: beside their bar, in the way, not told, flats too long, holes too near to an edge."""

from __future__ import annotations

import math

from bentwork.findings import Finding
from bentwork.jobs.own_end_faults import about_flat
from bentwork.jobs.stays import StayMade
from bentwork.jobs.surveyed import Surveyed
from bentwork.parts.stay import end_rooms

__all__ = ["stay_findings"]

_OFF = 0.5  # mm; a welded start within this of its bar's middle line is on it
_BOLTED = 60.0  # mm from a bar's middle line: a hole further off is on no tab of it (common practice, no source)
_SLOT = 0.5  # mm; a hole takes up so much without being a slot


def stay_findings(stays: tuple[StayMade, ...], points: Surveyed | None) -> tuple[Finding, ...]:
    """Return what there is to say about stays."""
    found: list[Finding] = []
    for one in stays:
        found += [*_beside(one), *_fouls(one), *_loose(one, points), *_flats(one)]
    return tuple(found)


def _beside(one: StayMade) -> list[Finding]:
    off, butted = one.laid.off, one.laid.asked.ends[0].kind == "butted"
    if off is None or off <= (max(_OFF, one.stock.section.depth()) if butted else _BOLTED):
        return []
    return [
        Finding(
            "watch",
            "stay-beside-frame",
            f"Stay {one.name} starts {{off}} beside {one.laid.asked.piece}.",
            "It is drawn from the middle line of the bar." if butted else "A tab reaches so far only when it is long.",
            "Give the place on the bar that it is meant to start at.",
            piece=one.name,
            lengths={"off": off},
            at=one.laid.start,
        )
    ]


def _fouls(one: StayMade) -> list[Finding]:
    way = one.laid.way
    if not way.fouls:
        return []
    worst = way.fouls[0]
    lengths = {"gap": worst.gap, "wanted": worst.wanted, "more": way.length - one.straight}
    inside = f"goes through {worst.name}" if worst.gap < 0.0 else f"comes within {{gap}} of {worst.name}"
    if way.clear:
        bends = "one bend" if one.bends == 1 else f"{one.bends} bends"
        return [
            Finding(
                "note",
                "stay-bent-round",
                f"Stay {one.name} has {bends}: a straight one {inside}.",
                "{wanted} is wanted there. The way round is {more} longer.",
                "Look at it in space; move the ends, and it may be straight.",
                piece=one.name,
                lengths=lengths,
                at=worst.place,
            )
        ]
    bent = one.laid.asked.radius is not None
    return [
        Finding(
            "stop",
            "stay-fouls",
            f"Stay {one.name} {inside}.",
            "{wanted} is wanted. " + ("No way with one or two bends was found that clears it." if bent else ""),
            "Move one of its ends."
            if bent
            else "Name a bender for it, or give radius = …, and a way round is looked for.",
            piece=one.name,
            lengths=lengths,
            at=worst.place,
        )
    ]


def _loose(one: StayMade, points: Surveyed | None) -> list[Finding]:
    if not math.isfinite(one.moved.length):
        return [
            Finding(
                "stop",
                "stay-not-told",
                f"How long stay {one.name} must be is not known.",
                "The readings do not say where it ends.",
                "Measure what is missing first: bentwork measure JOB.",
                piece=one.name,
                at=one.laid.end,
            )
        ]
    hole = one.laid.asked.ends[1].hole
    if hole is None or one.slot is None or one.slot - hole <= 2.0 * _SLOT:
        return []
    return [
        Finding(
            "note",
            "slot-wanted",
            f"A slot of {{slot}} at the end of stay {one.name} takes up the measuring errors.",
            f"Its length is sure to {{sure}}, and the slot reaches in {one.laid.asked.sure:.0%} of such cases.",
            "File the hole long, or measure better, or drill it on the thing itself.",
            piece=one.name,
            lengths={"slot": one.slot, "sure": one.moved.length},
            at=one.laid.end,
        )
    ]


def _flats(one: StayMade) -> list[Finding]:
    if one.plan is None or one.plan.line is None:
        return []
    rooms = end_rooms([0.0 if flat is None else flat.whole for flat in one.flats], one.plan.line.table.straights)
    places = (one.laid.start, one.laid.end)
    do = "Take a smaller hole, give a shorter end = …, or move the ends of the stay apart."
    found: list[Finding] = []
    for flat, room, end, at in zip(one.flats, rooms, "AB", places, strict=True):
        if flat is not None:
            found += about_flat(flat, room, (end, f"stay {one.name}", one.bends), do, at, one.name)
    return found
