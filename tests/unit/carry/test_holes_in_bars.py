"""Bolts through the bars themselves: what a hole leaves, and when that is told."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.carry.cases import LoadCase
from bentwork.carry.fasteners import Bolt
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.holes import left_beside_hole
from bentwork.carry.payload import Payload
from bentwork.carry.structure import structure_of
from bentwork.carry.verdict import judge
from bentwork.findings import Finding
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from tests.frames import a_bar

STILL = LoadCase("standing still", "static")


def by_dots(section: Section, hole: float, along: str, off: float = 0.0) -> tuple[float, float, float]:
    """The same shares by counting dots of a fine grid: metal left over metal there was, about its own middle."""
    x, y = np.meshgrid(*[(np.arange(2000) + 0.5) / 2000 * 40.0 - 20.0] * 2)
    if isinstance(section, Round | Tube):
        radius = np.hypot(x, y)
        metal = (radius < section.diameter / 2) & (radius > getattr(section, "bore", 0.0) / 2)
    else:
        wall = getattr(section, "wall", 99.0)
        metal = (np.abs(x) < section.width / 2) & (np.abs(y) < section.height / 2)
        metal &= ~((np.abs(x) < section.width / 2 - wall) & (np.abs(y) < section.height / 2 - wall))
    if along == "width":
        x, y = y, x
    left = metal & (np.abs(x - off) > hole / 2)
    moved = (x - x[left].mean()) ** 2 if left.any() else x**2
    pairs = ((1.0, 1.0), (y**2, y**2), (moved, x**2))
    return tuple(float((left * now).sum() / (metal * before).sum()) for now, before in pairs)  # type: ignore[return-value]


@pytest.mark.parametrize("along", ["height", "width"])
@pytest.mark.parametrize(
    "section", [Round(12.0), Tube(20.0, 2.0), Square(12.0, 12.0), SquareTube(25.0, 20.0, 2.0), Flat(30.0, 8.0)]
)
def test_what_is_left_beside_a_hole(section: Section, along: str) -> None:
    if not (isinstance(section, Flat) and along == "width"):
        assert left_beside_hole(section, 6.6, along) == pytest.approx(by_dots(section, 6.6, along), abs=3e-3)
    assert max(left_beside_hole(section, 99.0, along)) <= 1e-3, "a hole bigger than the bar leaves nothing"
    if not isinstance(section, Round | Tube):
        for off in (-2.0, 1.5, 4.0):  # 4 beside the middle of 8 runs out of the side
            wanted = by_dots(section, 3.0, along, off)
            assert left_beside_hole(section, 3.0, along, off) == pytest.approx(wanted, abs=3e-3)


def told(bolt: Bolt, along: tuple[float, float, float] | None = (0, 0, 1), mass: float = 4.0) -> list[Finding]:
    """A lever of 200 mm whose foot is bolted; the bolt stands upright."""
    bar = a_bar((0, 0, 0), (200, 0, 0), Round(12.0))
    foot = Fixing("foot", "bar", (0, 0, 0), FIXED, along=along, bolt=bolt)
    payload = Payload(mass, (200, 0, 0), ("bar",), ((200, 0, 0),))
    findings = judge(structure_of([bar], [foot], payload), [STILL], ()).findings
    return [one for one in findings if one.code == "bolt-hole-weakens"]


def test_a_hole_that_matters_is_told() -> None:
    # By hand: M = 4 g 200 + own; W = pi d^3/32, of which the drill of 6.6 leaves 20 % in that direction.
    (found,) = told(Bolt(6.0))
    moment = 4.0 * 9.80665 * 200 + math.pi * 36 * 200 * 2.7e-6 * 9.80665 * 100
    use = 1.5 * moment / (math.pi * 12**3 / 32 * by_dots(Round(12.0), 6.6, "height")[1]) / (250 / 1.1)
    assert f"{use:.0%} of what is left" in found.says
    assert "leaves 20% of its strength" in found.why


def test_holes_that_do_not_matter_are_not_told() -> None:
    assert told(Bolt(6.0), mass=1.0) == [], "enough is left"
    assert told(Bolt(6.0), along=(0, 1, 0)) == [], "drilled along the neutral line"
    assert told(Bolt(6.0), along=(1, 0, 0)) == [], "into its end"
    assert told(Bolt(6.0, hole=0.0)) == [], "it goes round the bar"
    assert len(told(Bolt(6.0), along=None)) == 1, "nobody says which way it is drilled"
