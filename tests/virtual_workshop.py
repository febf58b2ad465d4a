"""A workshop in numbers: a true metal, a true bender, a true hand, true gauges, which the tool never sees.

The maker gets marks, pulls and turns from the tool, and tells it what the gauges show. The metal's truth is that of
``tests.workshops``; whether a piece is good is seen on the centreline of ``piece``, not by the chain of ``fitup``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Literal

import numpy as np

from bentwork.bending.known import Known, known
from bentwork.bending.set_up import SetUp
from bentwork.files.catalogue import materials
from bentwork.fitup.actual import Actual, actual
from bentwork.fitup.after_correction import after_correction
from bentwork.fitup.by_hand import ByHand, SoFar, by_hand_of
from bentwork.fitup.chain import walk
from bentwork.fitup.comes_out import ComesOut, comes_out
from bentwork.fitup.controls import Limits
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, STRETCH, Bar, Floats, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.mend import Mend, mend
from bentwork.fitup.readings import Reading, expected
from bentwork.fitup.scatter import Scatter, scatter_of
from bentwork.fitup.spots import Spot, points_of
from bentwork.fitup.tolerance import Tolerance
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.planning.marks import as_learnt, marks_for
from bentwork.stock.section import Round
from bentwork.tooling.bender import Accuracy, Bender, Follower, Hook
from tests.workshops import Truth, a_workshop, bent

__all__ = ["MENDED", "ORDINARY_HAND", "PIECES", "TRIM", "Maker", "Piece", "Way", "a_maker", "judged", "make"]

Way = Literal["as drawn", "planned", "test bends", "mended", "mended by finder", "mended by bends"]
"""The last two: measured by the finder alone, until the seam; and nothing set by hand."""

MENDED: tuple[Way, ...] = ("mended", "mended by finder", "mended by bends")
ORDINARY_HAND = Accuracy(1.0, 1.5, 0.7)
TRIM = 15.0
RADIUS_MM = 36.0

# What the trade adds to a right angle by rule of thumb, degrees (check: 1.5-2 mild steel, 2-4 stainless, 4-6 hard
# aluminium; common practice).
THUMB = {"S235": 2.0, "E235": 3.0, "304": 3.0, "6082-T6": 5.0, "6060-T66": 4.0}
_ROUNDS = 6  # of setting by hand and measuring again
_GOES = 2  # of the same between two bends


@dataclass(frozen=True)
class Piece:
    """What is to be made."""

    name: str
    table: BendTable
    closed: bool
    pair: bool = False

    def matters(self, tolerance: Tolerance | None = None) -> Matters:
        return what_matters(on_the_bar(self.table), closed=self.closed, tolerance=tolerance)


def _stay() -> BendTable:
    bends = (Bend(36, 60, 0), Bend(36, 90, 90), Bend(36, 45, -60), Bend(36, 90, 180), Bend(36, 30, 45))
    return BendTable((120.0, 150.0, 110.0, 180.0, 120.0, 100.0), bends)


def _loop() -> BendTable:
    out, up = 75.0, 129.904
    points = [(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400 + out, 0.0, up), (400 + out, 300.0, up)]
    points += [(400.0, 300.0, 0.0), (0.0, 300.0, 0.0), (-out, 300.0, up), (-out, 0.0, up)]
    return Corners(tuple(points), (RADIUS_MM,) * 8, closed=True).centreline().table


def _cradle() -> BendTable:
    bends = (Bend(36, 45, 0), Bend(36, 60, 90), Bend(36, 60, 0), Bend(36, 45, -90))
    return BendTable((120.0, 160.0, 200.0, 160.0, 120.0), bends)


PIECES = (
    Piece("open, in space, 5 bends", _stay(), closed=False),
    Piece("closed, ends turned up, 8 bends", _loop(), closed=True),
    Piece("mirror pair, 4 bends each", _cradle(), closed=False, pair=True),
)


@dataclass
class Maker:
    """A maker whose truth nobody knows."""

    truth: Truth
    hand: Accuracy
    bias: float
    finder: float
    finder_zero: float
    rotation_gauge: float
    tape: float
    rng: np.random.Generator
    notes: list[str] = field(default_factory=list)

    def bend(self, mark: float, pull: float) -> tuple[float, float, float, float]:
        """Angle left, start, radius and stretch of a bend set to a mark and pulled to an angle, end A held."""
        pulled = pull + self.bias + self.rng.normal(0.0, self.hand.angle)
        low, high = 0.0, 179.9
        for _ in range(50):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.truth.pull(middle) < pulled else (low, middle)
        left = low + self.rng.normal(0.0, self.truth.repeat)
        start = mark + self.truth.begins(left) + self.rng.normal(0.0, self.hand.position)
        stretch = self.truth.stretch * self.truth.set_up.bender.radius * math.radians(left)
        return left, start, self.truth.radius, stretch

    def read(self, reading: Reading, bar: Bar, real: Floats, made: Sequence[int]) -> Reading:
        """Measure something on the real bar."""
        done = tuple(k + 1 in made for k in range(bar.bends))
        true = expected(reading, bar, real, done)[0]
        if reading.kind == "angle":
            true += self.finder_zero + self.rng.normal(0.0, self.finder)
        elif reading.kind == "rotation":
            true += self.rng.normal(0.0, self.rotation_gauge)
        else:
            true += self.rng.normal(0.0, self.tape)
        return replace(
            reading, value=round(2.0 * true) / 2.0 if reading.kind not in ("angle", "rotation") else round(true, 1)
        )


def a_maker(rng: np.random.Generator, hand: Accuracy = ORDINARY_HAND) -> Maker:
    """Draw a workshop: 12 mm bar of some metal on a die that is meant to be 36 mm."""
    metal = str(rng.choice(sorted(THUMB)))
    bender = Bender(
        "lever", "wrap", RADIUS_MM, hook=Hook(12.0, 30.0, 16.0, 30.0), follower=Follower("roller", 24.0, 22.0, 18.0)
    )
    truth = a_workshop(
        rng,
        set_up=SetUp(Round(12.0), materials()[metal], bender),
        offset=float(rng.normal(0.0, 3.0)),
    )
    return Maker(
        truth=truth,
        hand=hand,
        bias=float(rng.normal(0.0, 0.3)),
        finder=float(rng.uniform(0.2, 0.5)),
        finder_zero=float(rng.normal(0.0, 0.1)),
        rotation_gauge=float(rng.uniform(0.3, 0.7)),
        tape=float(rng.uniform(0.3, 0.6)),
        rng=rng,
    )


def make(piece: Piece, maker: Maker, way: Way, *, tolerance: Tolerance | None = None) -> tuple[bool, str]:
    """Make the piece from one bar (a pair from two); tell whether it is good, and how it ended."""
    what = _what_is_known(maker, way)
    ends = [_one(piece, maker, way, what, tolerance) for _ in range(2 if piece.pair else 1)]
    return all(good for good, _ in ends), ends[-1][1] if ends[0][0] else ends[0][1]


def _what_is_known(maker: Maker, way: Way) -> Known:
    set_up = maker.truth.set_up
    if way == "test bends" or way in MENDED:
        seen = replace(maker.truth, gauge=maker.finder, tape=maker.tape)
        bends = bent(seen, (60.0, 100.0), maker.rng, gauge_sd_deg=0.5, tape_sd_mm=0.5)
        return known(set_up, bends)
    return known(set_up)


def _one(piece: Piece, maker: Maker, way: Way, what: Known, tolerance: Tolerance | None) -> tuple[bool, str]:
    if way in MENDED:
        return _mended(piece, maker, way, what, tolerance)
    matters, table = piece.matters(tolerance), piece.table
    marks = marks_for(table)
    if way != "as drawn":
        marks, _ = as_learnt(marks, table, what)
    real = np.zeros((5, len(table.bends)))
    direction = 0.0
    for k, (mark, bend) in enumerate(zip(marks, table.bends, strict=True)):
        pull = what.bend_to(bend.angle)
        if way == "as drawn":
            pull = bend.angle * (1.0 + THUMB[what.set_up.material.name] / 90.0)
        if k:
            direction += bend.rotation + maker.rng.normal(0.0, maker.hand.rotation)
        left, start, radius, stretch = maker.bend(mark.lined_up(what.set_up.bender, "A"), pull)
        real[:, k] = left, direction, start, radius, stretch
    return judged(matters, real, maker)


def judged(matters: Matters, real: Floats, maker: Maker) -> tuple[bool, str]:
    """Cut end B to meet end A, as every maker does with a closed piece, and look; by the centreline and by SVD."""
    bar, tolerance = matters.nominal, matters.tolerance
    longer = 0.0
    if matters.closed:
        gap = -Centreline(bar.with_values(real).table()).end.origin[0]
        longer = float(np.clip(gap + maker.rng.normal(0.0, maker.tape), -200.0, TRIM))
    drawn, line = Centreline(bar.table()), Centreline(Bar(real, bar.length + longer, bar.lined_up).table())
    shares: list[float] = []
    wanted, points = np.array(drawn.corners), np.array(line.corners)
    if matters.closed:
        x, *aside = line.end.origin
        twist = math.degrees(math.acos(min(1.0, line.end.tangent[0])))
        shares = [abs(x) / tolerance.gap, math.hypot(*aside) / tolerance.offset, twist / tolerance.twist]
        wanted, points = wanted[1:-1], points[1:-1]
    shares.append(float(np.linalg.norm(_laid_on(points, wanted) - wanted, axis=1).max()) / tolerance.position)
    return max(shares) <= 1.0, f"{max(shares):.2f} of the tolerance"


def _laid_on(points: Floats, wanted: Floats) -> Floats:
    """Points laid where they fit best (Kabsch)."""
    middle = wanted.mean(axis=0)
    u, _, vt = np.linalg.svd((points - points.mean(axis=0)).T @ (wanted - middle))
    u[:, -1] *= np.sign(np.linalg.det(u @ vt))
    return np.asarray((points - points.mean(axis=0)) @ (u @ vt) + middle)


def _mended(piece: Piece, maker: Maker, way: Way, what: Known, tolerance: Tolerance | None) -> tuple[bool, str]:
    """Bend, measure, ask, do as told."""
    matters, rng = piece.matters(tolerance), np.random.default_rng(1)
    bar, count = matters.nominal, matters.nominal.bends
    tool = comes_out(what, list(bar.values[ANGLE]), bar.lined_up, list(bar.values[RADIUS]))
    hand = ByHand(most=0.0, wrung=0.0) if way == "mended by bends" else by_hand_of(what.set_up.material, 12.0)
    finder = way == "mended by finder"
    limits = Limits(longer=TRIM if piece.closed else 0.0, shorter=20.0 if piece.closed else 0.0)
    intended = bar.values.copy()
    intended[RADIUS], intended[STRETCH] = tool.radius, tool.stretch
    scatter = scatter_of(bar, what.set_up.bender.scatter, common=tool.common)
    real = np.zeros_like(bar.values)
    real[RADIUS] = bar.values[RADIUS]
    readings: list[Reading] = []
    been_set = np.zeros((3, count))
    made: list[int] = []
    for number in range(1, count + 1):
        found = actual(bar, intended, scatter, made, readings)
        told = _ask(matters, found, rng, limits, hand, been_set)
        if told.advice == "start again":
            return False, f"started again after bend {number - 1}"
        for _ in range(_GOES):
            if told.advice != "correct":
                break
            scatter = _set(maker, told, found, real, been_set, hand)
            readings = _again(maker, told, bar, real, made)
            found = actual(bar, intended, scatter, made, readings)
            told = _ask(matters, found, rng, limits, hand, been_set)
        if told.correct:  # the bends to come are those for the bar as it is
            told = _ask(matters, found, rng, limits, ByHand(most=0.0, wrung=0.0), been_set)
        _bend(maker, what, tool, told, number, intended, real)
        made.append(number)
        readings += [maker.read(one, bar, real, made) for one in _after(bar, number, finder)]
    return _finished(matters, maker, bar, intended, scatter, real, readings, been_set, limits, hand, rng, finder)


def _ask(
    matters: Matters, found: Actual, rng: np.random.Generator, limits: Limits, hand: ByHand, been_set: Floats
) -> Mend:
    return mend(matters, found, rng, limits=limits, hand=hand, so_far=_so_far(been_set))


def _so_far(been_set: Floats) -> SoFar:
    by, times, wrung = (tuple(row) for row in been_set.tolist())
    return SoFar(by, times, wrung)


def _bend(maker: Maker, what: Known, tool: ComesOut, told: Mend, number: int, intended: Floats, real: Floats) -> None:
    one, k = next(one for one in told.onward if one.bend == number), number - 1
    intended[[ANGLE, DIRECTION, PLACE], k] = one.aim_angle, one.aim_direction, one.aim_place
    left, start, radius, stretch = maker.bend(one.aim_place - float(tool.behind[k]), what.bend_to(one.aim_angle))
    direction = 0.0
    if k:
        turn = intended[DIRECTION, k] - intended[DIRECTION, k - 1]
        direction = real[DIRECTION, k - 1] + turn + maker.rng.normal(0.0, maker.hand.rotation)
    real[:, k] = left, direction, start, radius, stretch


def _after(bar: Bar, number: int, finder: bool) -> list[Reading]:
    """What a careful maker measures after a bend: its angle, its rotation, its leg, and across to two places back."""
    found = [Reading("angle", 0.0, number), Reading("leg", 0.0, number)]
    if number > 1:
        found.append(Reading("rotation", float(bar.rotations[number - 1]), number))
    if finder:
        return [one for one in found if one.kind != "leg"]
    here = Spot(f"corner {number}", corner=number)
    for back in (2, 3):
        other = number - back
        if other >= 0:
            there = Spot("end A", at=0.0) if other == 0 else Spot(f"corner {other}", corner=other)
            found.append(Reading("across", 0.0, spots=(there, here)))
    return [*found, *_heights(bar, number)]


def _heights(bar: Bar, number: int) -> list[Reading]:
    """On a flat table: the corner just bent, over the three earlier places that stand furthest apart."""
    spots = [Spot("end A", at=0.0), *[Spot(f"corner {k + 1}", corner=k + 1) for k in range(number)]]
    points = points_of(spots, walk(bar.values[:, :, None], bar.shares), bar)[0][..., 0]
    areas = {
        feet: float(np.linalg.norm(np.cross(points[feet[1]] - points[feet[0]], points[feet[2]] - points[feet[0]])))
        for feet in combinations(range(number), 3)
    }
    if not areas:
        return []
    feet = max(areas, key=lambda one: areas[one])
    if areas[feet] < 5000.0:
        return []
    return [Reading("height", 0.0, spots=(*(spots[k] for k in feet), spots[number]))]


def _set(maker: Maker, told: Mend, found: Actual, real: Floats, been_set: Floats, hand: ByHand) -> Scatter:
    """Set bends by hand, never quite as told."""
    for one in told.correct:
        maker.notes.append(f"{one.what} {one.bend}")
        by, k = one.by * (1.0 + maker.rng.normal(0.0, 0.15)) + maker.rng.normal(0.0, 0.2), one.bend - 1
        if one.what == "wring":
            real[DIRECTION, [number - 1 for number in _made(found) if number > k]] += by
            been_set[2, k] += abs(one.by)
        else:
            real[RADIUS, k] *= real[ANGLE, k] / (real[ANGLE, k] + by)
            real[ANGLE, k] += by
            been_set[:2, k] += abs(one.by), 1
    return after_correction(found, told.correct, hand)


def _made(found: Actual) -> list[int]:
    return [k + 1 for k, one in enumerate(found.made) if one]


def _again(maker: Maker, told: Mend, bar: Bar, real: Floats, made: Sequence[int]) -> list[Reading]:
    """Measure again what was set."""
    found = []
    for one in told.correct:
        kind: Literal["angle", "rotation"] = "angle" if one.what == "set" else "rotation"
        found.append(Reading(kind, float(bar.rotations[one.bend - 1]), one.bend))
    return [maker.read(reading, bar, real, made) for reading in found]


def _last(bar: Bar, closed: bool, finder: bool) -> list[Reading]:
    """What is measured on the finished piece: the seam, and across between ends and corners."""
    if closed:
        found = [Reading("gap", 0.0), Reading("sideways", 0.0), Reading("upwards", 0.0)]
        spots = [Spot(f"corner {k + 1}", corner=k + 1) for k in range(bar.bends)]
    else:
        found = [Reading("leg", 0.0, bar.bends + 1)]
        spots = [Spot("end A", at=0.0), *[Spot(f"corner {k + 1}", corner=k + 1) for k in range(bar.bends)]]
        spots.append(Spot("end B", at=bar.length))
    if finder:
        return [one for one in found if one.kind != "leg"]
    count = len(spots)
    pairs = {(a, b) for a in range(count) for b in range(a + 2, count) if closed is False or (a - b) % count > 1}
    heights = [one for number in range(3, bar.bends + 1) for one in _heights(bar, number)]
    return [*found, *[Reading("across", 0.0, spots=(spots[a], spots[b])) for a, b in sorted(pairs)], *heights]


def _finished(
    matters: Matters,
    maker: Maker,
    bar: Bar,
    intended: Floats,
    scatter: Scatter,
    real: Floats,
    readings: list[Reading],
    been_set: Floats,
    limits: Limits,
    hand: ByHand,
    rng: np.random.Generator,
    finder: bool,
) -> tuple[bool, str]:
    made = list(range(1, bar.bends + 1))
    for turn in range(_ROUNDS):
        readings = readings + [maker.read(one, bar, real, made) for one in _last(bar, matters.closed, finder)]
        found = actual(bar, intended, scatter, made, readings)
        told = _ask(matters, found, rng, limits, hand, been_set)
        if told.advice != "correct":
            good, words = judged(matters, real, maker)
            return good, f"{words} after {turn} rounds by hand; told {told.advice}"
        scatter = _set(maker, told, found, real, been_set, hand)
        readings = _again(maker, told, bar, real, made)
    return judged(matters, real, maker)
