"""Stays as they are made: length, holes, ends, slots, and what there is to say about them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.findings import Finding
from bentwork.jobs.stay_asked import StayLaid
from bentwork.jobs.surveyed import Surveyed
from bentwork.jobs.work import PiecePlan, Result
from bentwork.parts.stay import FlatEnd, Moved, flat_end, flat_turn, moved, slot_length, tongue_angle
from bentwork.parts.survey_names import pairs_of
from bentwork.space import distance, sub
from bentwork.stock.bar import Stock

__all__ = ["Pairing", "StayMade", "stay_findings", "stays_made"]

Floats = NDArray[np.float64]

_OFF = 0.5  # mm; a welded start within this of its bar's middle line is on it
_BOLTED = 60.0  # mm from a bar's middle line: a hole further off is on no tab of it (common practice, no source)
_SLOT = 0.5  # mm; a hole takes up so much without being a slot
_APART = 2.0  # standard deviations: a difference beyond is more than the readings' own error


@dataclass(frozen=True, slots=True)
class Pairing:
    """The left stay of a pair against the right one.

    Args:
        other: name of the other.
        longer: how much longer this one is from hole to hole, mm.
        sure: one standard deviation of that, mm.
    """

    other: str
    longer: float
    sure: float

    @property
    def alike(self) -> bool:
        """Whether the readings' own error makes such a difference, so that both may be made alike."""
        return abs(self.longer) <= _APART * self.sure


@dataclass(frozen=True, slots=True)
class StayMade:
    """A stay as it is made.

    Args:
        laid: where it stands.
        stock: of it.
        plan: of the piece that it is; None where it cannot be planned.
        straight: from hole to hole, or to where an end meets its bar's middle line, straight, mm.
        developed: the same along the bar, mm.
        moved: how measuring errors move it.
        flats: of both ends; None for an end that is not flattened.
        tongues: how far the flat of each end is bent to its bolt, degrees; None without an axis.
        turn: how far the second flat is turned against the first, degrees; None without two axes.
        slot: length of the slot at its second end that reaches as surely as wanted, mm; None where it has no hole.
        pair: against the stay of the other side; None where there is none.
    """

    laid: StayLaid
    stock: Stock
    plan: PiecePlan | None
    straight: float
    developed: float
    moved: Moved
    flats: tuple[FlatEnd | None, FlatEnd | None]
    tongues: tuple[float | None, float | None]
    turn: float | None
    slot: float | None
    pair: Pairing | None = None

    @property
    def name(self) -> str:
        """What the job calls it."""
        return self.laid.asked.name

    @property
    def bends(self) -> int:
        """How many bends it has."""
        return len(self.laid.way.points) - 2

    @property
    def cut_length(self) -> float:
        """Length to saw it to, mm."""
        if self.plan is not None and self.plan.line is not None:
            return self.plan.cut_length
        beyond = sum(one.beyond for one in self.laid.asked.ends)
        return self.developed + beyond - sum(self.laid.cut_back)


def stays_made(result: Result, points: Surveyed | None) -> tuple[StayMade, ...]:
    """Return every stay of a job.

    Args:
        result: of the job.
        points: what was measured; None where nothing was.
    """
    plans = {plan.spec.name: plan for plan in result.pieces}
    made = {laid.asked.name: _made(laid, result, plans, points) for laid in result.job.stays}
    pairs = dict(pairs_of(made))
    found = []
    for name, one in made.items():
        other = pairs.get(name)
        found.append(one if other is None else _paired(one, made[other], points))
    return tuple(found)


def _made(laid: StayLaid, result: Result, plans: Mapping[str, PiecePlan], points: Surveyed | None) -> StayMade:
    asked, way = laid.asked, laid.way
    stock = result.job.stocks[asked.stock]
    shift = moved(laid.start, laid.end, _covariance(laid, points))
    if _open(laid, points):
        shift = Moved(math.inf, math.inf)
    runs = (sub(way.points[1], way.points[0]), sub(way.points[-1], way.points[-2]))
    axes = [one.axis for one in asked.ends]
    tongues = [None if axis is None else tongue_angle(run, axis) for axis, run in zip(axes, runs, strict=True)]
    turn = None
    if axes[0] is not None and axes[1] is not None and len(way.points) == 2:
        turn = flat_turn(runs[0], axes[0], axes[1])
    hole = asked.ends[1].hole or asked.ends[0].hole
    slot = None if hole is None or not math.isfinite(shift.length) else slot_length(hole, shift.length, asked.sure)
    return StayMade(
        laid,
        stock,
        plans.get(asked.name),
        distance(laid.start, laid.end),
        way.length,
        shift,
        (flat_end(stock.section, asked.ends[0]), flat_end(stock.section, asked.ends[1])),
        (tongues[0], tongues[1]),
        turn,
        slot,
    )


def _numbers(laid: StayLaid, points: Surveyed | None) -> list[int | None]:
    ends = (laid.asked.start, laid.asked.end)
    return [points.found.number(end) if points is not None and isinstance(end, str) else None for end in ends]


def _covariance(laid: StayLaid, points: Surveyed | None) -> Floats:
    """Covariance of both ends, (6, 6) mm²; 0 of an end that is given."""
    found = np.zeros((6, 6))
    numbers = _numbers(laid, points)
    for i, one in enumerate(numbers):
        for j, other in enumerate(numbers):
            if points is not None and one is not None and other is not None:
                whole = points.found.covariance
                found[3 * i : 3 * i + 3, 3 * j : 3 * j + 3] = whole[3 * one : 3 * one + 3, 3 * other : 3 * other + 3]
    return found


def _open(laid: StayLaid, points: Surveyed | None) -> bool:
    numbers = [number for number in _numbers(laid, points) if number is not None]
    return points is not None and any(points.found.untold[number] for number in numbers)


def _paired(one: StayMade, other: StayMade, points: Surveyed | None) -> StayMade:
    sure = math.hypot(one.moved.length, other.moved.length)
    if points is not None:
        slopes = np.zeros(len(points.found.covariance))
        for stay, sign in ((one, 1.0), (other, -1.0)):
            way = np.array(sub(stay.laid.end, stay.laid.start)) / max(stay.straight, 1e-9)
            for number, turn in zip(_numbers(stay.laid, points), (-1.0, 1.0), strict=True):
                if number is not None:
                    slopes[3 * number : 3 * number + 3] += sign * turn * way
        sure = math.sqrt(max(0.0, float(slopes @ points.found.covariance @ slopes)))
    return replace(one, pair=Pairing(other.name, one.straight - other.straight, sure))


def stay_findings(stays: tuple[StayMade, ...], points: Surveyed | None) -> tuple[Finding, ...]:
    """Return what there is to say about stays."""
    found: list[Finding] = []
    for one in stays:
        found += [*_beside(one), *_fouls(one), *_loose(one, points), *_holes(one)]
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


def _holes(one: StayMade) -> list[Finding]:
    found = []
    for flat, end in zip(one.flats, "AB", strict=True):
        if flat is not None and flat.side < flat.least_side:
            found.append(
                Finding(
                    "watch",
                    "hole-close-to-edge",
                    f"The hole in end {end} of stay {one.name} is {{side}} from the side of its flat.",
                    "{least} is the least: 1.2 times the hole (EN 1999-1-1, from memory). The flat is {width} wide.",
                    "Take a smaller bolt or a bigger tube.",
                    piece=one.name,
                    lengths={"side": flat.side, "least": flat.least_side, "width": flat.width},
                )
            )
    return found
