"""Marks moved by test bends, against a bender of plain plane geometry that knows nothing of the fit.

On that bender the bar is wrapped round the die over the angle that it is pulled to, keeps its length when it opens, and
is left with the radius of that length over the angle that is left. The bend begins a fixed way behind the mark. So the
arc, its radius and both legs are school geometry, and so is the piece that comes out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import pytest

from bentwork.bending.known import Known, known
from bentwork.bending.learnt import Fit
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.files.catalogue import materials
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import Mark, as_learnt, marks_for
from bentwork.stock.section import Round
from bentwork.tooling.bender import Bender

METAL = materials()["6082-T6"]
ROD = Round(12.0)


@dataclass(frozen=True)
class PlainBender:
    """Pulls to ``ratio`` times an angle plus ``lost`` degrees to leave it, on a die of ``radius``."""

    radius: float = 50.0
    ratio: float = 1.07
    lost: float = 1.0
    behind: float = 3.0

    def pull(self, left: float) -> float:
        return self.ratio * left + self.lost

    def arc(self, left: float) -> float:
        return self.radius * math.radians(self.pull(left))

    def setback(self, left: float) -> float:
        """Of the bend that is left: its radius is arc over angle."""
        return self.arc(left) / math.radians(left) * math.tan(math.radians(left) / 2.0)

    def test_bend(self, left: float, bar: float = 420.0, mark: float = 170.0) -> TestBend:
        outside = ROD.diameter / 2.0 * math.tan(math.radians(left) / 2.0)
        start = mark + self.behind
        return TestBend(
            StockKey(ROD, "6082-T6"),
            "lever",
            self.radius,
            "2026-03-12",
            self.pull(left),
            left,
            bar_mm=bar,
            mark_mm=mark,
            held_leg_mm=start + self.setback(left) + outside,
            free_leg_mm=bar - start - self.arc(left) + self.setback(left) + outside,
            gauge_sd_deg=0.02,
            tape_sd_mm=0.02,
        )

    def learnt(self, kind: Literal["wrap", "draw"] = "wrap") -> Known:
        bends = [self.test_bend(angle) for angle in (30.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0) for _ in range(4)]
        return known(SetUp(ROD, METAL, Bender("lever", kind, self.radius)), bends)

    def corner_distances(self, marks: tuple[Mark, ...], table: BendTable, length: float, held: str) -> list[float]:
        """Bend a bar at its marks and measure it: end to corner, corner to corner, corner to end."""
        starts = []
        for mark, bend in zip(marks, table.bends, strict=True):
            set_to = mark.lined_up(Bender("lever", "wrap", self.radius), "A" if held == "A" else "B")
            arc = self.arc(bend.angle)
            starts.append(set_to + self.behind if held == "A" else set_to - self.behind - arc)
        found, before, came = [], 0.0, 0.0
        for start, bend in zip(starts, table.bends, strict=True):
            found.append(start - before + came + self.setback(bend.angle))
            before, came = start + self.arc(bend.angle), self.setback(bend.angle)
        return [*found, length - before + came]


def drawn(table: BendTable, trim: float) -> list[float]:
    backs = [bend.radius * math.tan(math.radians(bend.angle) / 2.0) for bend in table.bends]
    legs = [*table.straights]
    legs[0] += trim
    legs[-1] += trim
    return [leg + a + b for leg, a, b in zip(legs, [0.0, *backs], [*backs, 0.0], strict=True)]


@pytest.mark.parametrize("held", ["A", "B"])
@pytest.mark.parametrize("radius", [50.0, 53.0])
@pytest.mark.parametrize("bender", [PlainBender(), PlainBender(behind=-42.0, ratio=1.09), PlainBender(lost=0.3)])
def test_the_piece_comes_out_as_drawn(bender: PlainBender, radius: float, held: str) -> None:
    bends = (Bend(radius, 90.0), Bend(radius, 60.0, 90.0), Bend(radius, 110.0, -30.0), Bend(radius, 35.0, 180.0))
    table, trim = BendTable((120.0, 150.0, 90.0, 200.0, 140.0), bends), 15.0
    marks, more_bar = as_learnt(marks_for(table, trim), table, bender.learnt())
    length = table.length + 2.0 * trim + more_bar
    made = bender.corner_distances(marks, table, length, held)
    assert made == pytest.approx(drawn(table, trim), abs=0.25)  # a pencil line; as drawn it is out by up to 9 mm
    unmoved = bender.corner_distances(marks_for(table, trim), table, table.length + 2.0 * trim, held)
    assert max(abs(a - b) for a, b in zip(unmoved, drawn(table, trim), strict=True)) > 2.0


def test_what_is_learnt_is_what_the_bender_does() -> None:
    bender = PlainBender()
    what = bender.learnt()
    assert what.source == "test bends"
    assert isinstance(what.fit, Fit)
    assert what.starts_behind == pytest.approx(3.0, abs=min(0.5, 2.0 * what.fit.start.sd))
    for angle in (30.0, 90.0, 120.0):
        assert what.bend_to(angle) == pytest.approx(bender.pull(angle), abs=0.15)


def test_without_tape_readings_marks_stay_where_they_are_drawn() -> None:
    only_angles = TestBend(StockKey(ROD, "6082-T6"), "lever", 50.0, "2026-03-12", 98.0, 90.0)
    what = known(SetUp(ROD, METAL, Bender("lever", "wrap", 50.0)), [only_angles])
    table = BendTable((120.0, 150.0), (Bend(50.0, 90.0),))
    assert what.source == "test bends"
    assert as_learnt(marks_for(table), table, what) == (marks_for(table), 0.0)


def test_a_return_starts_where_it_is_drawn() -> None:
    table = BendTable((120.0, 120.0), (Bend(50.0, 180.0),))
    bender = PlainBender(behind=0.0)
    (mark,), _ = as_learnt(marks_for(table), table, bender.learnt())
    assert mark.start == pytest.approx(120.0, abs=0.3)
    assert mark.end - mark.start == pytest.approx(bender.arc(180.0), abs=1.0)
