"""A maker of ``tests.virtual_workshop`` at the bench, who knows nothing but what the commands print.

Each turn is that of ``bentwork next --json`` and ``bentwork log``: the maker reads the document, sets the mark, turns,
pulls, measures what is asked, sets by hand what is told, and logs what the gauges show. What was meant is in the log as
the commands keep it. Marks of (b) and (c) are those of ``bentwork plan``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from bentwork.door.bench import as_told, at_bench
from bentwork.files.bench_json import next_document
from bentwork.files.job_file import parse_job
from bentwork.fitup.made import ANGLE, DIRECTION, RADIUS, Floats, on_the_bar
from bentwork.fitup.readings import Kind, Reading
from bentwork.fitup.spots import Spot
from bentwork.jobs.bars import Bar as Which
from bentwork.jobs.going_on import GoingOn
from bentwork.jobs.measured import MadeBend, Measured
from bentwork.jobs.work import Result, work
from bentwork.workshop.log_entries import Logged, LoggedBend, LoggedSize
from tests.virtual_workshop import TRIM, Maker, Piece, judged
from tests.workshops import bent

__all__ = ["AtBench", "all_at_the_bench"]

_TURNS = 300
_TELLS_MUCH = 0.15
_AT_A_TIME = 3  # sizes before the maker asks again


def job_text(piece: Piece, metal: str) -> str:
    """The job as a maker would have it."""
    bends = ", ".join(f"[{b.radius:g}, {b.angle:.9f}, {b.rotation:.9f}]" for b in piece.table.bends)
    return f"""format = 1
name = "virtual"
units = "mm"
[stock.rod]
section = "round"
diameter = 12
material = "{metal}"
bar_length = 6000
price = 14.5
[bender.lever]
kind = "wrap"
radius = 36
hook = {{ starts_behind = 12, length = 30, width = 16, height = 30 }}
follower = {{ kind = "roller", radius = 18, height = 24, ahead = 22 }}
[piece.one]
stock = "rod"
bender = "lever"
straights = [{", ".join(f"{s:.9f}" for s in piece.table.straights)}]
bends = [{bends}]
closed = {"true" if piece.closed else "false"}
mirror = {"true" if piece.pair else "false"}
trim = {TRIM:g}
"""


def all_at_the_bench(piece: Piece, maker: Maker, *, mended: bool = True, test_bends: bool = True) -> list[AtBench]:
    """Make a piece (a pair: both hands); without ``mended`` by the plan alone."""
    set_up = maker.truth.set_up
    seen = replace(maker.truth, gauge=maker.finder, tape=maker.tape)
    bends = bent(seen, (60.0, 100.0), maker.rng, gauge_sd_deg=0.5, tape_sd_mm=0.5) if test_bends else ()
    result = work(parse_job(job_text(piece, set_up.material.name).encode(), "virtual.toml"), bends)
    hands = [Which("one", "left"), Which("one", "right")] if piece.pair else [Which("one")]
    ends = [AtBench(piece, maker, result, bar) for bar in hands]
    for one in ends:
        one.make(mended=mended)
    return ends


@dataclass
class AtBench:
    """One bar at the bench."""

    piece: Piece
    maker: Maker
    result: Result
    bar: Which
    log: list[Logged] = field(default_factory=list)
    made: list[int] = field(default_factory=list)
    foretold: list[float] = field(default_factory=list)
    again: list[Measured] = field(default_factory=list)
    stages: dict[int, float] = field(default_factory=dict)
    """Chance told first when so many bends were made."""
    by_hand: int = 0
    sizes: int = 0
    good: bool = False
    words: str = ""

    def __post_init__(self) -> None:
        plan = next(one for one in self.result.pieces if one.spec.name == "one")
        assert plan.feasible, [finding.says for finding in plan.findings]
        # A piece of the other hand is the drawn one with all rotations of the other sign.
        sign = -1.0 if self.bar.hand not in (None, plan.spec.hand) else 1.0
        table = self.piece.table
        self.table = replace(table, bends=tuple(replace(one, rotation=sign * one.rotation) for one in table.bends))
        self.nominal = on_the_bar(self.table)
        self.real: Floats = np.zeros_like(self.nominal.values)
        self.real[RADIUS] = self.nominal.values[RADIUS]
        self.plan = plan

    def ask(self) -> tuple[dict[str, Any], GoingOn]:
        """What ``bentwork next --json`` prints."""
        found = at_bench(self.result, self.bar, self.log)
        return next_document(self.result.job, found.bench), found

    def make(self, *, mended: bool) -> None:
        """Work to the end."""
        count = len(self.table.bends)
        measured = set[tuple[Any, ...]]()
        for _ in range(_TURNS):
            if not mended:
                if len(self.made) == count:
                    break
                self._bend_by_plan()
                continue
            told, found = self.ask()
            if told["chance"] is not None:
                self.stages.setdefault(len(self.made), told["chance"])
                if not self.made:
                    self.foretold.append(told["chance"])
            if self._doubted(found):
                continue
            asked = [one for one in told["measure"] if _name(one) not in measured]
            if told["advice"] == "start again" and not (asked and asked[0]["tells"] > _TELLS_MUCH):
                self.words = f"started again after {len(self.made)} bends, gap {told['expected_gap_mm']:.1f}"
                return
            to_set = told["correct"] or told["wring"]
            # What tells much is measured before anything is set by hand, the rest after it.
            if to_set and not (asked and asked[0]["tells"] > _TELLS_MUCH):
                self._set(told)
                measured.clear()
                continue
            if asked:
                for one in asked[:_AT_A_TIME]:
                    measured.add(_name(one))
                    self._measure(one)
                continue
            if told["finished"]:
                break
            self._bend(told, found)
            measured.clear()
        self.good, self.words = judged(self.matters(), self.real, self.maker)

    def matters(self) -> Any:  # noqa: ANN401 - of what is to be made
        return replace(self.piece, table=self.table).matters()

    def _bend_by_plan(self) -> None:
        step = self.plan.steps[len(self.made)]
        sign = 1.0 if self.table == self.piece.table else -1.0
        self._come_out(step.bend, step.held, step.mark, step.bend_to, sign * step.turn)

    def _bend(self, told: dict[str, Any], found: GoingOn) -> None:
        bend = told["bend"]
        self._come_out(bend, told["held"], told["mark_mm"], told["bend_to_deg"], told["turn_deg"])
        entry = self._read_bend(bend, rotation=min(self.made) < bend, position=True)
        self.log.append(as_told(entry, found.bench))

    def _come_out(self, bend: int, held: str, mark: float, pull: float, turn: float) -> None:
        k, mark = bend - 1, mark - TRIM
        left, start, radius, stretch = self.maker.bend(mark if held == "A" else 0.0, pull)
        if held == "B":
            start = mark - start - (radius * math.radians(left) - stretch)
        # Sides are told from where bend 1 turns to, whichever bend comes first.
        direction = float(self.nominal.values[DIRECTION, k])
        if self.made:
            slip = self.maker.rng.normal(0.0, self.maker.hand.rotation)
            direction = self.real[DIRECTION, self.made[-1] - 1] - turn + slip
        self.real[:, k] = left, direction, start, radius, stretch
        self.made.append(bend)

    def _read(self, reading: Reading) -> float:
        return self.maker.read(reading, self.nominal, self.real, self.made).value

    def _read_bend(self, bend: int, *, rotation: bool, position: bool) -> LoggedBend:
        turned = self._read(Reading("rotation", float(self.nominal.rotations[bend - 1]), bend)) if rotation else None
        at = self._read(Reading("position", 0.0, bend)) + TRIM if position else None
        return LoggedBend(
            entry_id=f"{len(self.log)}",
            job="virtual",
            job_version="",
            piece="one",
            hand=self.bar.hand,
            bend=bend,
            angle_deg=self._read(Reading("angle", 0.0, bend)),
            made_on="2026-03-12",
            rotation_deg=None if turned is None else math.remainder(turned, 360.0),
            position_mm=at,
        )

    def _doubted(self, found: GoingOn) -> bool:
        """Measure again what does not go with the rest, once, as a finding says; True where there was such."""
        for entry in [one.entry for one in found.made.doubts if one.doubt.left_out] if found.made else []:
            if entry in self.again:
                continue
            self.again.append(entry)
            if isinstance(entry, MadeBend):
                self.log.append(self._read_bend(entry.bend, rotation=min(self.made) < entry.bend, position=False))
            else:
                self._measure({"kind": entry.kind, "from": entry.start, "to": entry.end, "way": entry.way})
            return True
        return False

    def _measure(self, one: dict[str, Any]) -> None:
        self.sizes += 1
        kind = one["kind"]
        if kind == "rotation":
            self.log.append(self._read_bend(one["bend"], rotation=True, position=False))
            return
        if kind == "leg":
            number = sum(1 for bend in sorted(self.made) if bend <= one["from"]) + 1
            reading = Reading("leg", 0.0, number)
        elif kind == "height":
            reading = self._height(one["from"], one["to"])
        elif kind == "across":
            reading = Reading("across", 0.0, spots=(self._spot(one["from"]), self._spot(one["to"])))
        else:
            sides: Kind = "upwards" if one["way"] == "up" else "sideways"
            reading = Reading("gap" if kind == "gap" else "rock" if kind == "rock" else sides, 0.0)
        self.log.append(
            LoggedSize(
                entry_id=f"{len(self.log)}",
                job="virtual",
                job_version="",
                piece="one",
                hand=self.bar.hand,
                kind=kind,
                length_mm=self._read(reading),
                from_place=one["from"],
                to_place=one["to"],
                measured_to="middle",
                way=one["way"],
                made_on="2026-03-12",
            )
        )

    def _height(self, flat: int, place: int) -> Reading:
        """A bend laid flat with both its legs, and how high another place lies over the table."""
        spans = self.table.spans
        made = sorted(self.made)
        before = max((spans[bend - 1][1] for bend in made if bend < flat), default=0.0)
        after = min((spans[bend - 1][0] for bend in made if bend > flat), default=self.nominal.length)
        legs = (before + spans[flat - 1][0]) / 2.0, (spans[flat - 1][1] + after) / 2.0
        feet = (Spot("leg", at=legs[0]), self._spot(flat), Spot("leg", at=legs[1]))
        return Reading("height", 0.0, spots=(*feet, self._spot(place)))

    def _spot(self, place: int) -> Spot:
        if place == 0:
            return Spot("end A", at=0.0)
        if place > self.nominal.bends:
            return Spot("end B", at=self.nominal.length)
        return Spot(f"corner {place}", corner=place)

    def _set(self, told: dict[str, Any]) -> None:
        """Set by hand what is told, never quite as told, and measure it."""
        for one in told["correct"] or []:
            by, k = self._slipped(one["by_deg"]), one["bend"] - 1
            self.real[RADIUS, k] *= self.real[ANGLE, k] / (self.real[ANGLE, k] + by)
            self.real[ANGLE, k] += by
        for one in told["wring"]:
            by, k = self._slipped(one["by_deg"]), one["bend"] - 1
            self.real[DIRECTION, [bend - 1 for bend in self.made if bend > k]] += by
        turned = {one["bend"] for one in told["wring"]}
        for bend in sorted({one["bend"] for one in told["correct"] or []} | turned):
            self.by_hand += 1
            self.log.append(self._read_bend(bend, rotation=min(self.made) < bend, position=False))

    def _slipped(self, by: float) -> float:
        return float(by * (1.0 + self.maker.rng.normal(0.0, 0.15)) + self.maker.rng.normal(0.0, 0.2))


def _name(one: dict[str, Any]) -> tuple[Any, ...]:
    return tuple(one.get(key) for key in ("kind", "from", "to", "way", "bend"))
