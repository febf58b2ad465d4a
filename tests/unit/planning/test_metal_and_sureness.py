"""What metal, tool, person and test bends have to say to a piece, as findings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bentwork.bending.known import Known, known
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.files.catalogue import materials
from bentwork.findings import Finding
from bentwork.piece.bend import Bend
from bentwork.planning.metal import bare_findings, tool_findings
from bentwork.planning.sureness import mark_findings, springback_findings
from bentwork.stock.bar import Stock
from bentwork.stock.library import other_tempers
from bentwork.stock.section import Flat, Round, Section, Square, Tube
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook
from bentwork.tooling.fittings import Block, Part, Rated, Rollers
from bentwork.units import Ruler

METALS = materials()
LEVER = Bender(
    "lever",
    "wrap",
    50.0,
    hook=Hook(12.0, 30.0, 16.0, 30.0),
    follower=Follower("roller", 24.0, 22.0, radius=18.0),
    arm=Arm("above", 14.0, 10.0, 40.0, 600.0),
)
SQUARE = (Bend(50.0, 90.0),)


def what(bender: Bender = LEVER, section: Section | None = None, metal: str = "6082-T6") -> Known:
    return known(SetUp(section or Round(12.0), METALS[metal], bender))


def of(found: tuple[Finding, ...], code: str) -> Finding:
    (one,) = [finding for finding in found if finding.code == code]
    return one


def codes(found: tuple[Finding, ...]) -> set[str]:
    return {finding.code for finding in found}


def test_a_soft_bar_on_a_good_die_has_nothing_said_against_it() -> None:
    assert tool_findings(what(metal="S235", section=Round(8.0)), SQUARE, ()) == ()


def test_a_bar_that_cracks_is_told_the_tempers_that_do_not() -> None:
    small = replace(LEVER, radius=15.0)
    found = tool_findings(what(small), (Bend(15.0, 90.0),), other_tempers(METALS["6082-T6"], METALS.values()))
    cracks = of(found, "bar-cracks")
    assert cracks.level == "stop"
    assert "6082-O stretches 14 %" in cracks.do
    assert "24 % of what this one does" in cracks.do  # 60 of 250 MPa


def test_without_a_bender_the_drawn_radii_are_looked_at() -> None:
    stock = Stock("rod", Round(12.0), METALS["6082-T6"])
    assert codes(bare_findings((Bend(15.0, 90.0), Bend(200.0, 90.0)), stock, "easy", ())) == {"bar-cracks"}
    assert codes(bare_findings((Bend(5.0, 90.0),), stock, "easy", ())) == {"radius-inside-bar"}


def test_a_bar_that_does_not_go_round_the_die() -> None:
    (finding,) = tool_findings(what(section=Round(110.0)), SQUARE, ())
    assert (finding.level, finding.code) == ("stop", "radius-inside-bar")


def test_thin_tube_kinks_and_thins() -> None:
    found = tool_findings(what(section=Tube(40.0, 0.8), metal="304"), SQUARE, ())
    assert codes(found) >= {"tube-flattens", "wall-thins"}


def test_a_lever_too_short_names_a_longer_one() -> None:
    short = replace(LEVER, arm=Arm("above", 14.0, 10.0, 40.0, 300.0))
    finding = of(tool_findings(what(short), SQUARE, ()), "lever-too-heavy")
    assert finding.level == "watch"
    assert "pinned" in finding.do


def test_a_tool_sold_for_less_is_overloaded() -> None:
    sold = replace(LEVER, rated=Rated(Tube(12.0, 1.0), METALS["Cu-R220"]))
    finding = of(tool_findings(what(sold), SQUARE, ()), "tool-overloaded")
    assert finding.level == "stop"
    assert finding.told(Ruler())[0].startswith("The tool is sold for 12 mm × 1 mm tube of Cu-R220; this bar needs ")
    assert "in × 0.039 in tube" in finding.told(Ruler("in"))[0]
    own = replace(LEVER, rated=Rated(Round(12.0), METALS["6082-T6"]))
    assert "tool-overloaded" not in codes(tool_findings(what(own), SQUARE, ()))


def test_parts_with_holes_are_judged_by_the_force_through_them() -> None:
    weak = Part("cast lug", "pivot", width=14.0, thickness=3.0, hole=10.0, edge=9.0, strength=150.0)
    found = tool_findings(what(replace(LEVER, parts=(weak,))), SQUARE, ())
    assert codes(found) >= {"hole-near-edge", "part-too-weak"}
    strong = Part("lug", "pivot", width=60.0, thickness=12.0, hole=12.0, edge=30.0, strength=360.0, proof_stress=235.0)
    assert not codes(tool_findings(what(replace(LEVER, parts=(strong,))), SQUARE, ())) & {
        "hole-near-edge",
        "part-too-weak",
    }


def test_rollers_too_close_and_a_v_that_makes_another_radius() -> None:
    ram = Bender("ram", "ram", 50.0, rollers=Rollers(90.0, 20.0))
    finding = of(tool_findings(what(ram), SQUARE, ()), "rollers-do-not-suit")
    assert (finding.level, finding.bend) == ("stop", 1)
    assert "further apart" in finding.do
    press = Bender("press", "vee", 10.0, block=Block(80.0, 4.0))
    found = tool_findings(what(press, Flat(30.0, 4.0), "S235"), (Bend(10.0, 90.0),), ())
    finding = of(found, "block-makes-another-radius")
    # 16 % of 80 mm is 12.8 mm inside, and half the thickness is 2 mm.
    assert "14.8 mm to the middle" in finding.told(Ruler())[1]


def test_flat_bar_takes_less_than_its_middle() -> None:
    press = Bender("press", "vee", 10.0)
    bends = (Bend(10.0, 90.0), Bend(10.0, 90.0))
    finding = of(tool_findings(what(press, Flat(30.0, 4.0), "S235"), bends, ()), "flat-takes-less")
    # Machinery's Handbook: 0.64 T + 1.57 R for soft steel, R inside; the middle is 1.571 (R + T/2). From memory.
    short = 2.0 * (1.5708 * (8.0 + 2.0) - (0.64 * 4.0 + 1.5708 * 8.0))
    assert f"{short:.1f} mm longer than drawn" in finding.told(Ruler())[1]


def made(pulled: float, left: float, number: int) -> TestBend:
    return TestBend(StockKey(Round(12.0), "6082-T6"), "lever", 50.0, "2026-03-12", pulled, left, id=number)


def learnt(*bends: TestBend, bender: Bender = LEVER) -> Known:
    return known(SetUp(Round(12.0), METALS["6082-T6"], bender), bends)


def test_the_handbook_asks_for_a_test_bend() -> None:
    finding = of(springback_findings(what(), SQUARE), "springback-from-handbook")
    assert finding.level == "watch"
    pull = what().pull(90.0)
    assert pull is not None
    assert f"{pull.low:.1f}° to {pull.high:.1f}° to leave 90.0°" in finding.why


def test_test_bends_are_named_with_their_day_and_what_more_would_bring() -> None:
    found = springback_findings(learnt(made(97.0, 90.0, 1)), SQUARE)
    finding = of(found, "springback-from-test-bends")
    assert (finding.level, "from 1 test bend on 2026-03-12" in finding.says) == ("note", True)
    assert "more test bend" in finding.do
    many = [made(97.0 + 0.1 * (n % 3), 90.0, n) for n in range(12)]
    assert "would tell little" in of(springback_findings(learnt(*many), SQUARE), "springback-from-test-bends").do


@pytest.mark.parametrize(("ratio", "doubtful"), [(1.04, True), (1.08, False), (1.25, True)])
def test_a_ratio_that_nobody_believes_is_doubted(ratio: float, doubtful: bool) -> None:
    found = springback_findings(what(replace(LEVER, springback=ratio)), SQUARE)
    assert codes(found) == ({"springback-doubtful"} if doubtful else set())


def test_a_misread_gauge_is_asked_after_and_left_out() -> None:
    good = [made(97.0, 90.0, 1), made(97.2, 90.0, 2), made(65.0, 60.0, 3), made(64.8, 60.0, 4)]
    found = springback_findings(learnt(*good, made(97.0, 80.0, 5)), SQUARE)
    finding = of(found, "test-bend-doubtful")
    assert finding.says == "Test bend 5 does not go with the others and is left out."
    assert "5 or 10 degrees" in finding.why
    assert "test-bend-doubtful" not in codes(springback_findings(learnt(*good), SQUARE))


def test_how_far_marks_would_move_is_said_until_a_tape_moves_them() -> None:
    finding = of(tuple(mark_findings(what(), SQUARE)), "bend-left-wider")
    assert finding.level == "note"
    assert finding.lengths["radius"] > 50.0  # type: ignore[operator]
    taped = replace(made(97.5, 90.0, 1), bar_mm=320.0, mark_mm=130.0, held_leg_mm=189.0, free_leg_mm=166.5)
    assert tuple(mark_findings(learnt(taped), SQUARE)) == ()
    assert tuple(mark_findings(what(), (Bend(53.9, 90.0),))) == ()  # drawn to what is left


def test_a_plan_does_not_rest_on_an_absurd_test_bend() -> None:
    slip = springback_findings(learnt(made(200.0, 20.0, 1)), SQUARE)
    assert of(slip, "test-bend-doubtful").level == "watch"
    assert "set aside until it is read twice or another one confirms it" in of(slip, "test-bend-doubtful").says
    assert of(slip, "springback-from-handbook").why == of(springback_findings(what(), SQUARE), slip[-1].code).why
    swapped = of(springback_findings(learnt(made(150.0, 90.0, 1)), SQUARE), "test-bend-doubtful")
    assert "Did you mean 105° pulled, 90° left?" in swapped.why
    # Twice, and against two that agree with the handbook: nobody can say which are right.
    four = learnt(*(made(pulled, 90.0, n) for n, pulled in enumerate((150.0, 151.0, 97.0, 97.2), 1)))
    assert {finding.level for finding in springback_findings(four, SQUARE)} == {"stop", "note"}
    assert of(springback_findings(learnt(made(118.0, 90.0, 1)), SQUARE), "test-bend-doubtful").level == "watch"


@pytest.mark.parametrize(
    ("die", "section", "says"),
    [
        (Die(24.0, 6.0), Round(12.0), []),
        (Die(24.0, 12.0), Round(12.0), ["as deep as the bar is thick"]),
        (Die(10.0, 4.0), Round(12.0), ["wider than the die"]),
        (Die(10.0), Round(12.0), []),
        (Die(24.0, 5.0), Round(12.0), []),  # a little less than half, so that die and follower never touch
        (Die(24.0, 6.0), Round(20.0), ["thicker than the groove"]),
        (Die(24.0, 6.0), Tube(20.0, 2.0), ["thicker than the groove"]),
        (Die(24.0, 6.0), Tube(12.0, 1.0), []),
        (Die(24.0, 9.0), Tube(12.0, 1.0), ["thinner than the groove"]),
        (Die(24.0, 9.0), Round(12.0), []),  # a solid bar keeps its shape
        (Die(24.0, 2.0), Square(12.0, 12.0), ["shallow"]),
        (Die(24.0, 6.0), Square(12.0, 12.0), []),
    ],
)
def test_groove_and_bar_go_together(die: Die, section: Section, says: list[str]) -> None:
    found = tool_findings(what(replace(LEVER, die=die), section), SQUARE, ())
    told = [finding for finding in found if finding.code == "groove-does-not-fit"]
    assert len(told) == len(says)
    assert all(words in finding.says for words, finding in zip(says, told, strict=True))


def test_a_bar_thicker_than_the_groove_lies_on_its_rims() -> None:
    # A 20 mm bar on a mouth of 12: by Pythagoras its middle stands 8 over the rims, and they 46 from the axis.
    solid, tube = (
        of(tool_findings(what(replace(LEVER, die=Die(24.0, 6.0)), section), SQUARE, ()), "groove-does-not-fit")
        for section in (Round(20.0), Tube(20.0, 2.0))
    )
    assert solid.lengths["stands"] == pytest.approx(LEVER.radius - 10.0 + 6.0 + 8.0)
    assert solid.lengths["mouth"] == 12.0
    assert (solid.level, tube.level) == ("watch", "stop"), "the rims dent a tube"
    # Cut for this bar, its wall would stand at arccos(4/10) = 66 degrees: tan 66 = 2.3.
    assert "66° at the rim: a push aside of 2.3 times" in solid.why
    assert (
        of(
            tool_findings(what(replace(LEVER, die=Die(10.0, 4.0)), Round(12.0)), SQUARE, ()), "groove-does-not-fit"
        ).level
        == "stop"
    )
