"""What the metal, the maker's arms and the tool have to say, as findings."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.files.catalogue import materials
from bentwork.findings import Finding
from bentwork.forming.cracking import cracking_findings
from bentwork.forming.die_bend import DieBend
from bentwork.forming.edges import Lug, lug_findings
from bentwork.forming.effort import Straights, lever_findings, overload_findings, straight_findings
from bentwork.forming.flattening import flattening_findings
from bentwork.forming.forces import LeverForces
from bentwork.forming.hardening import law_of
from bentwork.forming.limits import metal_findings
from bentwork.forming.moment import Bar
from bentwork.forming.prediction import SpringsStraight, predict
from bentwork.stock.material import Material, RadiusRange
from bentwork.stock.section import Flat, Round, Section, SquareTube, Tube
from bentwork.units import Ruler

ALL = materials()
T6 = ALL["6082-T6"]


def told(findings: tuple[Finding, ...]) -> str:
    return " ".join(" ".join(finding.told(Ruler())) for finding in findings)


def levels(findings: tuple[Finding, ...]) -> list[str]:
    return [f"{finding.level} {finding.code}" for finding in findings]


def cracks(section: Section, material: Material, radius: float) -> list[str]:
    return levels(cracking_findings(section, "easy", material, radius))


def forces(hand: float, torque: float = 100.0) -> LeverForces:
    return LeverForces(torque, hand, 0.9 * hand, 1000.0, 1000.0, 50.0, 1100.0, 2000.0)


@pytest.mark.parametrize(
    ("section", "name", "radius", "expected"),
    [
        # 6082-T6 in round bar: 4 diameters usual, 3 risky (common practice).
        (Round(12), "6082-T6", 50.0, ["note bar-cracks"]),
        (Round(12), "6082-T6", 40.0, ["watch bar-cracks"]),
        (Round(12), "6082-T6", 34.0, ["stop bar-cracks"]),
        (Round(12), "6082-T6", 76.0, []),
        # Mild steel: 1.5 thicknesses inside by one shop's table, 26 % elongation.
        (Flat(30, 4), "S235", 10.0, []),
        (Flat(30, 4), "S235", 6.0, ["watch bar-cracks"]),
        (Flat(30, 4), "S235", 3.0, ["stop bar-cracks"]),
        # No handbook radius for this tube: the stretch alone decides.
        (Tube(25, 2), "6060-T66", 200.0, []),
        (Tube(25, 2), "6060-T66", 75.0, ["watch bar-cracks"]),
        (Tube(25, 2), "6060-T66", 60.0, ["stop bar-cracks"]),
    ],
)
def test_when_a_bar_cracks(section: Section, name: str, radius: float, expected: list[str]) -> None:
    assert cracks(section, ALL[name], radius) == expected


def test_a_crack_is_told_with_both_numbers_and_what_would_do() -> None:
    (finding,) = cracking_findings(Round(12), "easy", T6, 40.0, 2, [ALL["6082-T4"], ALL["7075-T6"]])
    says, why, do = finding.told(Ruler())
    assert says == "Bend 2 may crack."
    assert "stretches 15 %" in why
    assert "stretches 8 % in the tensile test" in why
    assert "from 36 mm to 48 mm" in why
    assert "factor of two" in why
    assert "75 mm keeps the stretch within the elongation, 48 mm satisfies the handbooks" in do
    assert "6082-T4 stretches 14 % and yields at 110 MPa, which is 44 %" in do
    assert "7075" not in do  # harder, not softer
    assert finding.bend == 2
    assert "1 37/64 in" in finding.told(Ruler("in"))[1]


def test_what_annealing_costs_is_said_where_no_softer_temper_is_known() -> None:
    assert "only a heat treatment brings it back" in told(cracking_findings(Round(12), "easy", T6, 40.0))
    assert "cold work" in told(cracking_findings(Round(12), "easy", ALL["S235-drawn"], 40.0))


def test_a_handbook_that_asks_for_more_than_the_elongation() -> None:
    # Brass that stretches 38 % but for which a radius of 3 thicknesses is asked.
    brass = replace(
        ALL["CuZn37-R300"],
        minimum_radii=(RadiusRange(1.0, 3.0, "thickness", "inside", "a shop's table", "common practice"),),
    )
    (finding,) = cracking_findings(Flat(30, 4), "easy", brass, 8.0)
    assert finding.level == "watch"
    assert finding.told(Ruler())[2].startswith("Use a larger radius: 14 mm satisfies the handbooks.")


def test_solid_bar_does_not_flatten() -> None:
    assert flattening_findings(Round(12), "easy", 50.0) == ()
    assert flattening_findings(Flat(25, 3), "hard", 50.0) == ()


@pytest.mark.parametrize(
    ("section", "radius", "expected"),
    [
        (Tube(25, 2), 100.0, ["note wall-thins"]),
        (Tube(15, 0.7), 60.0, ["watch tube-flattens", "note wall-thins"]),
        (Tube(28, 0.9), 112.0, ["watch tube-flattens", "note wall-thins"]),
        (Tube(50.8, 0.889), 101.6, ["stop tube-flattens", "note wall-thins"]),
        (SquareTube(25, 25, 2.5), 75.0, ["note wall-thins"]),
        (SquareTube(25, 25, 1.5), 75.0, ["watch tube-flattens", "note wall-thins"]),
    ],
)
def test_when_a_tube_flattens(section: Section, radius: float, expected: list[str]) -> None:
    assert levels(flattening_findings(section, "easy", radius)) == expected


def test_flattening_offers_the_radius_at_which_a_tube_stands_by_itself() -> None:
    flat, thin = flattening_findings(Tube(25, 1.5), "easy", 75.0, 1)
    free = flat.lengths["free"]
    assert isinstance(free, float)
    assert levels(flattening_findings(Tube(25, 1.5), "easy", free * 1.0001)) == ["note wall-thins"]
    assert "A close groove holds tube like this open" in flat.told(Ruler())[1]
    assert thin.told(Ruler())[1].startswith("From 1.5 mm it goes to between 1.3 mm and 1.4 mm")
    assert "without a mandrel" in told(flattening_findings(Tube(28, 0.9), "easy", 112.0))


@pytest.mark.parametrize(("hand", "expected"), [(225.0, []), (230.0, ["watch"]), (386.0, ["watch"]), (390.0, ["stop"])])
def test_how_hard_a_person_can_pull(hand: float, expected: list[str]) -> None:
    assert [f.level for f in lever_findings(forces(hand), 400.0)] == expected


def test_a_heavy_lever_is_told_with_its_source_and_a_longer_lever() -> None:
    (finding,) = lever_findings(forces(300.0, 120.0), 400.0, 3)
    says, why, do = finding.told(Ruler())
    assert says == "Bend 3 takes more lever force than should be held."
    assert "120 N m take 300 N at 400 mm" in why
    assert "225 N should not be exceeded" in why
    assert "ergonomics handbooks" in why
    assert "Pull at 533.3 mm" in do
    assert "hold 120 N m all the same" in do
    assert "gear" in told(lever_findings(forces(900.0, 540.0), 600.0))


def test_the_tool_is_sold_for_soft_copper_tube() -> None:
    rod, tube = Bar(Round(12), law_of(ALL["S235"])), Bar(Tube(12, 1), law_of(ALL["Cu-R220"]))
    (finding,) = overload_findings(rod, tube, 50.0, "soft 12 × 1 copper tube")
    times = float(rod.moment(1 / 50)) / float(tube.moment(1 / 50))
    assert finding.level == "stop"
    assert finding.says == f"The tool is sold for soft 12 × 1 copper tube; this bar needs {times:.0f} times the moment."
    assert overload_findings(tube, rod, 50.0, "12 mm mild steel") == ()
    (close,) = overload_findings(Bar(Round(13), rod.law), rod, 50.0, "12 mm mild steel")
    assert close.level == "watch"
    assert "1.3 times" in close.says


def test_straights_for_hook_and_follower() -> None:
    need = Straights.needed(12.0, 30.0, 22.0, 10.0)
    assert (need.held, need.free) == (42.0, 32.0)
    assert straight_findings(Straights(42.0, 32.0), need) == ()
    held, free = straight_findings(Straights(30.0, 20.0), need, 3)
    assert "The hook needs 42 mm" in told((held,))
    assert "12 mm too little" in told((held,))
    assert "The follower needs 32 mm" in told((free,))
    with pytest.raises(ValueError, match="straight"):
        Straights(-1.0, 5.0)


def test_a_hole_near_the_edge() -> None:
    steel, cast = Lug("the pivot lug", 30, 8, 12, 13, 360, 235), Lug("the cast hook", 30, 8, 12, 13, 200)
    assert levels(lug_findings(steel, 1000.0)) == ["watch hole-near-edge"]
    assert levels(lug_findings(cast, 1000.0)) == ["stop hole-near-edge"]
    assert "1.1 and 1.2 hole diameters" in told(lug_findings(cast, 1000.0))
    assert lug_findings(Lug("the lug", 40, 8, 10, 20, 360, 235), 1000.0) == ()
    # Right at the side, far from the end.
    assert levels(lug_findings(Lug("the lug", 60, 8, 10, 30, 360, 235, side=11.0), 1000.0)) == ["watch hole-near-edge"]


def test_a_part_that_is_too_weak_beside_its_hole() -> None:
    lug = Lug("the pivot lug", 30, 8, 10, 20, 360, 235)
    assert lug_findings(lug, 20_000.0) == ()
    assert levels(lug_findings(lug, 30_000.0)) == ["watch part-too-weak"]
    assert levels(lug_findings(lug, 40_000.0)) == ["stop part-too-weak"]
    assert told(lug_findings(lug, 40_000.0)).startswith(
        "The pivot lug is too weak. The pin pulls with 40000 N; at 37600 N"
    )
    cast = Lug("the cast hook", 30, 8, 10, 20, 200)
    assert "breaks beside the hole, without warning" in told(lug_findings(cast, 13_000.0))
    short = Lug("the short lug", 80, 8, 10, 12, 360, 235)
    assert "tears through to the edge" in told(lug_findings(short, 30_000.0))


@pytest.mark.parametrize(
    "sizes",
    [
        {"width": 8.0},
        {"edge": 4.0},
        {"side": 4.0},
        {"thickness": 0.0},
        {"strength": math.nan},
    ],
)
def test_impossible_lugs(sizes: dict[str, float]) -> None:
    given = {"width": 30.0, "thickness": 8.0, "hole": 10.0, "edge": 20.0, "strength": 360.0} | sizes
    with pytest.raises(ValueError, match="the lug"):
        Lug("the lug", **given)


def on_die(section: Section, material: Material, radius: float) -> DieBend | SpringsStraight:
    told = predict(section, material, "easy", radius, 90.0)
    return told if isinstance(told, SpringsStraight) else told.bend


def test_everything_the_metal_has_to_say() -> None:
    tube = Tube(25, 1.5)
    found = metal_findings(on_die(tube, ALL["6060-T66"], 75.0), tube, ALL["6060-T66"], bend=4)
    assert levels(found) == ["watch bar-cracks", "watch tube-flattens", "note wall-thins"]
    assert {finding.bend for finding in found} == {4}
    wire = Round(2)
    (straight,) = metal_findings(on_die(wire, T6, 900.0), wire, T6)
    assert levels((straight,)) == ["stop bar-springs-straight"]
    assert "nothing of it yields" in told((straight,))
