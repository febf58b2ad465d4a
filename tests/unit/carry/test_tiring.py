"""How long a frame lasts on a road: what swings, and what cracks first."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.carry.cases import LoadCase
from bentwork.carry.fatigue import ROADS, fatigue_findings, lasting
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.structure import structure_of
from bentwork.files.catalogue import materials
from bentwork.stock.section import Round, Tube
from tests.frames import a_bar, analysed, shelf

STILL = LoadCase("standing still", "static")
BUMP = LoadCase("bump", "shock", down=3.0)


def test_fatigue_of_a_rough_road() -> None:
    structure = shelf()
    road = ROADS["rough road"]
    found = lasting(analysed(structure, [STILL]), road)
    assert found[0].km == min(one.km for one in found)
    assert found[0].kind != "plain", "welds crack first"
    told = fatigue_findings(found, road, 1e9)
    assert [f.level for f in told] == ["watch"]
    assert "Assumed, not measured" in told[0].why
    assert [f.level for f in fatigue_findings(found, road, 1.0)] == ["note"]
    # Twice the swing is eight times as hard on a weld (slope 3) before the knee.
    twice = replace(road, swing=2 * road.swing)
    hard = lasting(analysed(structure, [STILL]), twice)
    assert found[0].km / hard[0].km == pytest.approx(8.0, rel=0.01)


def test_a_strap_does_not_swing_with_the_road() -> None:
    # What only stands in both ends of the swing is no range, however hard it is pulled.
    def ranges(tension: float) -> list[float]:
        strap = Strap("loop", (200.0, 0.0, 0.0), (200.0, 10.0, 220.0), tension)
        found = lasting(analysed(shelf(straps=[strap]), [BUMP]), ROADS["rough road"])
        return sorted(one.stress_range for one in found)

    assert ranges(300.0) == pytest.approx(ranges(0.0), rel=1e-6, abs=1e-6)


def test_the_throat_of_a_weld_tires_before_its_toe() -> None:
    # Tube 25 x 2 on a stiff post, throat 0.7 x 2: by hand n = F L/(pi d^2/4 a), p = F/(pi d a); category 36 for the
    # root (IIW, from memory) against 63 for the tube beside the weld.
    post = a_bar((0, 0, -50), (0, 0, 50), Round(60.0), materials()["S235"], "post")
    arm = a_bar((30, 0, 0), (300, 0, 0), Tube(25.0, 2.0), materials()["S235"], "arm")
    feet = [Fixing(f"foot {z}", "post", (0, 0, z), FIXED) for z in (-50, 50)]
    structure = structure_of([post, arm], feet, Payload(15.0, (300, 0, 0), ("arm",), ((300, 0, 0),)))
    road = ROADS["rough road"]
    first = lasting(analysed(structure, [STILL]), road)[0]
    own, force = arm.line_mass * 9.80665, 15.0 * 9.80665
    across = (force * 270 + own * 270**2 / 2) / (math.pi * 25**2 / 4 * 1.4)
    stress = 2 * road.swing * math.hypot(across, (force + own * 270) / (math.pi * 25 * 1.4))
    assert (first.where, first.kind) == ("the weld of post and arm", "weld throat")
    assert first.stress_range == pytest.approx(stress, rel=1e-6)
    assert first.km == pytest.approx(2e6 * (36 / stress) ** 3 / road.per_km, rel=1e-5)
