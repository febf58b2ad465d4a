"""Made-up workshops: bars and benders whose truth is known, and test bends read off them with a gauge and a tape.

Nothing here comes from the fit. Springback is that of ``forming`` for a bar of its own strength on a die of its own
radius, times a factor, plus an angle lost; the bent bar is laid out in the plane, and its legs are measured to where
their lines cross.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.errors import InputError
from bentwork.files.catalogue import materials
from bentwork.forming.die_bend import DieBend, die_bends
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar
from bentwork.stock.section import Flat, Round, Section, Tube
from bentwork.tooling.bender import Bender, Follower, Hook

__all__ = ["Truth", "a_workshop", "bent"]

METALS = ("6082-T6", "6060-T66", "6061-T6", "S235", "S355", "E235", "304", "Cu-R250", "CuZn37-R300", "4130")


@dataclass(frozen=True)
class Truth:
    """What nobody in the workshop knows. Lengths in mm, angles in degrees.

    Args:
        set_up: as the maker describes it.
        strength: of the bar over its material's figures.
        factor: real springback over the model's.
        lost: angle.
        error: of the die's radius, a fraction.
        offset: start of the bend behind the mark; of its middle where the bender lines up that.
        stretch: of the bar in the bend, a fraction of die radius times angle.
        repeat: scatter of springback from bend to bend, one standard deviation.
        gauge: likewise of an angle read.
        tape: likewise of a length read.
    """

    set_up: SetUp
    strength: float
    factor: float
    lost: float
    error: float
    offset: float
    stretch: float
    repeat: float = 0.3
    gauge: float = 0.5
    tape: float = 0.5

    @cached_property
    def bend(self) -> DieBend:
        """The bar on the real die."""
        bar = Bar(self.set_up.section, law_of(self.set_up.material), self.set_up.way)
        die = self.set_up.bender.radius * (1.0 + self.error)
        return die_bends(bar, die, (self.strength,), self.set_up.arms)[0]

    def pull(self, left: float) -> float:
        return left + self.factor * (self.bend.pull(left) - left) + self.lost

    def begins(self, left: float) -> float:
        """Where a bend begins behind the mark: half its bar before the middle where that is lined up."""
        turn, bender = math.radians(left), self.set_up.bender
        before = (self.radius - self.stretch * bender.radius) * turn / 2.0 if bender.lines_up == "centre" else 0.0
        return self.offset - before

    @property
    def radius(self) -> float:
        """Centreline radius that is left: the die's, opened by what springs back in proportion."""
        die = self.set_up.bender.radius * (1.0 + self.error)
        return die * (1.0 + self.factor * (1.0 / self.bend.ratio - 1.0))

    @property
    def drawn_in(self) -> float:
        """Legs of a right angle less the bar."""
        return self.radius * (2.0 - math.pi / 2.0) + self.stretch * self.set_up.bender.radius * math.pi / 2.0


def bent(
    truth: Truth,
    angles: Sequence[float],
    rng: np.random.Generator,
    *,
    taped: bool = True,
    seen: bool = False,
    **entry: Any,  # noqa: ANN401 - whatever a test bend has besides
) -> list[TestBend]:
    """Bend scrap to about these angles, and read it off."""
    return [_one(truth, angle, rng, taped, seen, entry) for angle in angles]


def _one(
    truth: Truth,
    left: float,
    rng: np.random.Generator,
    taped: bool,
    seen: bool,
    entry: dict[str, Any],
) -> TestBend:
    set_up = truth.set_up
    left = float(left + rng.uniform(-3.0, 3.0))
    pulled = truth.pull(left) + rng.normal(0.0, truth.repeat)
    read = left + rng.normal(0.0, truth.gauge)
    shown = max(read, pulled + rng.normal(0.0, truth.gauge))  # an entry with more left than pulled is read again
    key = StockKey(set_up.section, set_up.material.name)
    entry = {"made_on": "2025-03-12", "gauge_sd_deg": truth.gauge, "tape_sd_mm": truth.tape, **entry}
    bend = TestBend(key, set_up.bender.name, set_up.bender.radius, pulled_deg=shown, left_deg=read, **entry)
    while taped:
        try:
            bend = replace(bend, **_laid_out(truth, left, rng))
        except InputError:
            continue  # one in hundreds is refused as impossible, and measured again
        break
    if seen:
        late = rng.uniform(0.0, math.sqrt(2.0 * truth.radius * 0.1))
        line_up = rng.normal(0.0, set_up.bender.scatter.position)
        bend = replace(
            bend, start_shift_mm=truth.begins(left) + line_up + late + rng.normal(0.0, math.hypot(1.0, truth.tape))
        )
    return bend


def _laid_out(truth: Truth, left: float, rng: np.random.Generator) -> dict[str, Any]:
    """Lay the bent bar in the plane, held end at the origin, and take the tape to it."""
    radius, turn = truth.radius, math.radians(left)
    die = truth.set_up.bender.radius
    bar, start = 4.0 * die + 300.0, 1.5 * die + 130.0
    in_bend = radius * turn - truth.stretch * die * turn
    placed = start + truth.begins(left) + rng.normal(0.0, truth.set_up.bender.scatter.position)
    rest = bar - placed - in_bend
    # End of the arc, then the free end; both faces outside lie half the depth to the right of the way.
    half = truth.set_up.section.depth(truth.set_up.way) / 2.0
    end = complex(placed + radius * math.sin(turn), radius * (1.0 - math.cos(turn)))
    way = complex(math.cos(turn), math.sin(turn))
    tip = end + rest * way
    outside = [complex(0.0, -half), tip + half * way * -1j]
    # The held face is y = -half; the free face runs back from its tip until it meets that line.
    back = (outside[1].imag - outside[0].imag) / way.imag
    corner = outside[1] - back * way

    def read(length: float) -> float:
        return round(2.0 * (length + rng.normal(0.0, truth.tape))) / 2.0

    return {
        "bar_mm": read(bar),
        "mark_mm": read(start),
        "held_leg_mm": read(corner.real),
        "free_leg_mm": read(back),
    }


def a_workshop(rng: np.random.Generator, **changes: Any) -> Truth:  # noqa: ANN401 - whatever a test fixes
    """Any bar on any bender that can bend it: spreads as wide as the handbook's, in other shapes."""
    metal = str(rng.choice(METALS))
    section = _section(rng)
    depth = section.depth("easy")
    die = round(float(depth * rng.uniform(2.5, 6.0)))
    kind: Any = rng.choice(["wrap", "wrap", "draw", "ram"])
    ahead = float(rng.uniform(0.5, 1.5) * depth + 6.0)
    bender = Bender(
        "lever",
        kind,
        float(die),
        hook=Hook(float(rng.uniform(0.0, 2.0) * depth), 12.0, 20.0, 30.0),
        follower=Follower("roller", 20.0, ahead, 15.0),
    )
    set_up = SetUp(section, materials()[metal], bender)
    spread = math.sqrt(6.0)  # a triangle of this half width has a standard deviation of 1
    truth = Truth(
        set_up=set_up,
        strength=math.exp(math.log(1.15) + 0.12 * rng.triangular(-spread, 0.0, spread)),
        factor=math.exp(0.25 * rng.triangular(-spread, 0.0, spread)),
        lost=float(rng.uniform(-0.7, 1.7)),
        error=float(rng.uniform(-0.07, 0.07)),
        offset=float(rng.choice([rng.normal(0.0, 3.0), rng.uniform(-70.0, 70.0)])),
        stretch=float(rng.uniform(-0.01, 0.03)),
        repeat=float(rng.uniform(0.15, 0.45)),
        gauge=float(rng.choice([0.2, 0.3, 0.5])),
        tape=float(rng.choice([0.3, 0.5, 1.0])),
    )
    return replace(truth, **changes)


def _section(rng: np.random.Generator) -> Section:
    size = float(rng.choice([6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0]))
    kind = int(rng.integers(3))
    if kind == 0:
        return Round(size)
    if kind == 1:
        return Tube(size, round(size * float(rng.uniform(0.06, 0.15)), 1))
    return Flat(size + 10.0, round(size / 3.0, 1))
