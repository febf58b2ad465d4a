"""Tabs that hold a fixing or a strap: the plate bent as a cantilever by hand, its weld, its bolt, their weight."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bentwork.carry.building import build
from bentwork.carry.cases import LoadCase, loads_of
from bentwork.carry.fasteners import Bolt, bearing
from bentwork.carry.faults import structure_findings
from bentwork.carry.fixing import FIXED, PINNED, Fixing
from bentwork.carry.limits import Limit, Rules, limits_of
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.structure import Structure, structure_of
from bentwork.carry.sweep import sweep
from bentwork.carry.tabs import TabOn
from bentwork.carry.verdict import judge
from bentwork.files.catalogue import materials
from bentwork.space import Vec
from bentwork.stock.section import Round
from tests.frames import a_bar, an_aluminium, analysed

G = 9.80665
DOWN, FORWARD, LEFT = (0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
HINGED = (*PINNED[:3], math.inf, 0.0, 0.0)  # two in a row: it must not roll over
STILL = LoadCase("standing", "static")
REACH, WIDTH, THICK = 24.0, 20.0, 5.0


def a_tab(name: str, x: float, across: Vec, pin: Vec, **given: object) -> TabOn:
    """A tab under the bar along x, its hole 30 mm below the middle line."""
    ways = (DOWN, across, pin)
    tab = TabOn(name, "bar", (x, 0, 0), (x, 0, -30.0), ways, REACH, WIDTH, THICK, 10.0, 6.5, an_aluminium())
    return replace(tab, **given)  # type: ignore[arg-type]


def a_beam(
    *tabs: TabOn, stiffness: tuple[float, ...] = HINGED, mass: float = 20.0, bolt: Bolt | None = None
) -> Structure:
    """A bar of 12 mm and 400 mm with a weight in its middle, held in the holes of its tabs."""
    payload = Payload(mass, (200.0, 0.0, 0.0), ("bar",), at=((200.0, 0.0, 0.0),))
    free = (0.0, *HINGED[1:])
    fixings = [
        Fixing(f"foot {tab.name}", "bar", tab.hole, free if tab.name == "sliding" else stiffness, bolt=bolt)
        for tab in tabs
    ]
    bar = a_bar((0, 0, 0), (400, 0, 0), Round(12.0), an_aluminium())
    return structure_of([bar], fixings, payload, tabs=tabs)


def limit(structure: Structure, words: str, *cases: LoadCase) -> Limit:
    found = limits_of(analysed(structure, list(cases)), Rules(safety=1.0))
    return next(one for one in found.found if one.where == words)


def weight(structure: Structure) -> float:
    assert structure.borne is not None
    return (structure.borne.payload.mass + structure.mass) * G


def test_a_force_along_the_bolt_bends_the_plate_the_weak_way() -> None:
    structure = a_beam(*(a_tab(name, x, LEFT, FORWARD) for name, x in (("one", 50.0), ("two", 350.0))))
    braked = LoadCase("braked", "braking", down=0.0, forward=1.0)
    found = limit(structure, "tab one beside its weld", braked)
    # Half of the push in each hole; it acts 30 mm above them, which presses one down and pulls the other up.
    push = weight(structure)
    pulled = push * 30.0 / 300.0
    by_hand = 6.0 * (push / 2.0) * REACH / (WIDTH * THICK**2) + pulled / (WIDTH * THICK)
    assert found.stress == pytest.approx(by_hand, rel=1e-9)
    assert found.use == pytest.approx(by_hand / (125.0 / 1.1), rel=1e-9), "as strong as beside a weld, over 1.1"


def test_a_force_across_the_tab_bends_it_the_strong_way() -> None:
    structure = a_beam(*(a_tab(name, x, (-1.0, 0.0, 0.0), LEFT) for name, x in (("one", 50.0), ("two", 350.0))))
    found = limit(structure, "tab two beside its weld", LoadCase("braked", "braking", down=0.0, forward=1.0))
    push = weight(structure)
    by_hand = 6.0 * (push / 2.0) * REACH / (THICK * WIDTH**2) + push * 30.0 / 300.0 / (WIDTH * THICK)
    assert found.stress == pytest.approx(by_hand, rel=1e-9)


def test_a_clamped_tab_carries_the_moment_of_what_hangs_beyond_it() -> None:
    structure = a_beam(a_tab("one", 0.0, (-1.0, 0.0, 0.0), LEFT), stiffness=FIXED)
    found = limit(structure, "tab one beside its weld", STILL)
    down = weight(structure)
    by_hand = 6.0 * down * 200.0 / (THICK * WIDTH**2) + down / (WIDTH * THICK)
    assert found.stress == pytest.approx(by_hand, rel=1e-9)


def test_its_weld_is_two_fillets_as_long_as_it_is_wide() -> None:
    structure = a_beam(*(a_tab(name, x, LEFT, FORWARD) for name, x in (("one", 50.0), ("sliding", 350.0))))
    found = limit(structure, "the weld of tab one", LoadCase("hung", "static"))
    # Standing still it is only pressed: sqrt 2 of half the weight on both throats of 0.7 times 5 mm (EN 1999-1-1).
    assert found.throat == pytest.approx(3.5)
    half = weight(structure) / 2.0
    assert found.stress == pytest.approx(math.sqrt(2.0) * half / (2.0 * WIDTH * 3.5), rel=1e-9)
    assert found.use == pytest.approx(found.stress / (210.0 / 1.25)), "5356 in 6082: 210 MPa"


def test_the_bolt_sits_in_the_tab() -> None:
    bolt = Bolt(6.0, "8.8")
    tabs = [a_tab(name, x, LEFT, FORWARD) for name, x in (("one", 50.0), ("sliding", 350.0))]
    structure = a_beam(*tabs, bolt=bolt)
    found = limit(structure, "the bolt of fixing foot one in tab one", STILL)
    in_tab = tabs[0].holding(bolt)
    assert in_tab is not None
    assert (in_tab.thickness, in_tab.hole, in_tab.end_distance, in_tab.side_distance) == (5.0, 6.5, 10.0, 10.0)
    half = weight(structure) / 2.0
    shear = 0.6 * 800.0 * 20.123 / 1.25  # M6, class 8.8 (EN 1993-1-8; stress area of ISO 898-1)
    assert found.use == pytest.approx(half / min(shear, bearing(in_tab, 295.0)), rel=1e-3)


def test_a_thread_of_its_own_is_the_bolt_where_nobody_gives_one() -> None:
    own = Bolt(8.0, "8.8", 5.0, tapped=True)
    tab = a_tab("one", 0.0, LEFT, FORWARD, tapped=True, bolt=own)
    assert tab.holding(None) == own
    assert limit(a_beam(tab, stiffness=FIXED), "the bolt of fixing foot one in tab one", STILL).use > 0.0


def test_what_is_held_beside_the_hole_is_not_held_by_the_tab() -> None:
    tab = a_tab("one", 0.0, LEFT, FORWARD)
    bar = a_bar((0, 0, 0), (400, 0, 0), Round(12.0), an_aluminium())
    for at, holds in (((0.0, 0.0, -32.0), 0), ((0.0, 0.0, -36.0), None)):
        structure = structure_of([bar], [Fixing("foot", "bar", at, FIXED)], tabs=[tab])
        assert structure.fixings[0].tab == holds
    made_for_it = structure_of([bar], [Fixing("foot", "bar", (5.0, 0.0, 0.0))], tabs=[replace(tab, fixing="foot")])
    assert made_for_it.fixings[0].tab == 0, "wherever its hole is"
    held = structure_of([bar], [Fixing("foot", "bar", tab.hole, FIXED)], tabs=[tab])
    assert "fixing-beside-bar" not in [one.code for one in structure_findings(held)]
    (said,) = (one for one in judge(held, [STILL], ()).findings if one.code == "held-by-tab")
    assert "the plate" in said.why
    assert "its weld" in said.why
    assert "its bolt" not in said.why
    assert "Its bolt is not reckoned" in said.do


def test_tabs_weigh_and_soften_what_they_are_welded_to() -> None:
    heavy = a_tab("one", 200.0, LEFT, FORWARD, mass=0.5)
    bar = a_bar((0, 0, 0), (400, 0, 0), Round(12.0), an_aluminium())
    with_tab = structure_of([bar], [Fixing("wall", "bar", (0, 0, 0), FIXED)], tabs=[heavy])
    without = structure_of([bar], [Fixing("wall", "bar", (0, 0, 0), FIXED)])
    assert with_tab.mass == pytest.approx(without.mass + 0.5)
    held = analysed(with_tab, [STILL]).reactions()[0, 2, 0]
    assert held == pytest.approx(with_tab.mass * G)
    where = [one.where for one in limits_of(analysed(with_tab, [STILL])).found]
    assert "bar beside the weld of tab one" in where
    assert not any("tab one beside" in words for words in where), "it holds nothing"
    bolted_on = structure_of([bar], [Fixing("wall", "bar", (0, 0, 0), FIXED)], tabs=[replace(heavy, welded=False)])
    assert all("weld" not in one.where for one in limits_of(analysed(bolted_on, [STILL])).found)


def test_steel_is_not_welded_to_aluminium() -> None:
    bar = a_bar((0, 0, 0), (400, 0, 0), Round(12.0), an_aluminium())
    wall = Fixing("wall", "bar", (0, 0, 0), FIXED)
    steel = a_tab("one", 200.0, LEFT, FORWARD, material=materials()["S235"])
    for tab, said in (
        (steel, ["not-to-be-welded"]),
        (replace(steel, welded=False), []),
        (replace(steel, material=an_aluminium()), []),
    ):
        assert [one.code for one in structure_findings(structure_of([bar], [wall], tabs=[tab]))] == said


def test_a_strap_pulls_at_the_hole() -> None:
    tab = a_tab("one", 200.0, (-1.0, 0.0, 0.0), LEFT)
    strap = Strap("bar", tab.hole, (230.0, 0.0, -30.0), 100.0)
    payload = Payload(1.0, (0.0, 0.0, 0.0), ("bar",), at=((0.0, 0.0, 0.0),))
    bar = a_bar((0, 0, 0), (400, 0, 0), Round(12.0), an_aluminium())
    structure = structure_of([bar], [Fixing("wall", "bar", (0, 0, 0), FIXED)], payload, [strap], tabs=[tab])
    assert structure.straps[0].tab == 0
    assert structure.straps[0].place == tab.hole
    built = build(structure)
    steady, _ = loads_of(built, [LoadCase("nothing", "static", down=0.0)])
    pulled = steady.at[built.straps[0], :, 0]
    assert pulled == pytest.approx(np.array((100.0, 0.0, 0.0, 0.0, -3000.0, 0.0)), abs=1e-9)
    found = limit(structure, "tab one beside its weld", STILL)
    assert found.stress == pytest.approx(6.0 * 100.0 * REACH / (THICK * WIDTH**2), rel=1e-9)
    assert math.isinf(found.payload), "no payload changes the strap"


def test_a_sweep_knows_the_tabs() -> None:
    tabs = [a_tab(name, x, LEFT, FORWARD) for name, x in (("one", 50.0), ("two", 350.0))]
    structure = a_beam(*tabs, bolt=Bolt(6.0, "8.8"))
    cases = [STILL, LoadCase("braked", "braking", forward=1.0)]
    (found,) = sweep(structure, ["bar"], [Round(20.0)], [an_aluminium()], cases)
    alone = replace(structure, bars=tuple(bar.made_of(Round(20.0), an_aluminium()) for bar in structure.bars))
    limits = limits_of(analysed(alone, cases))
    assert limits.found[0].where in ("tab one beside its weld", "tab two beside its weld")
    assert found.payload == pytest.approx(limits.payload, rel=1e-6)
    assert found.mass == pytest.approx(alone.mass)
