"""Stays as they are made: length, holes, ends, slots."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.jobs.stay_asked import StayLaid
from bentwork.jobs.surveyed import Surveyed
from bentwork.jobs.work import PiecePlan, Result
from bentwork.parts.stay import (
    FlatEnd,
    Moved,
    flat_end,
    flat_turn,
    moved,
    slot_length,
    tongue_angle,
)
from bentwork.parts.survey_names import pairs_of
from bentwork.space import distance, sub
from bentwork.stock.bar import Stock

__all__ = ["Pairing", "StayMade", "stays_made"]

Floats = NDArray[np.float64]

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
