"""Loose pieces, mechanisms, payload over nothing: words, never a singular matrix."""

from __future__ import annotations

import math

import pytest

from bentwork.carry.analysis import Analysed, analyse
from bentwork.carry.bar import Bar
from bentwork.carry.cases import LoadCase
from bentwork.carry.fasteners import Bolt
from bentwork.carry.faults import structure_findings
from bentwork.carry.fixing import FIXED, PINNED, Fixing
from bentwork.carry.joint import Wanted
from bentwork.carry.mechanisms import Motion, movement_findings
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.structure import Structure, structure_of
from bentwork.carry.verdict import judge
from bentwork.files.catalogue import materials
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Round, SquareTube, Tube
from tests.frames import a_bar, an_aluminium, lowered, shelf, shelf_bars

STILL = LoadCase("standing still", "static")
WALL = Fixing("wall", "bar", (0, 0, 0), FIXED)


def codes(structure: Structure) -> dict[str, str]:
    return {finding.code: finding.level for finding in structure_findings(structure)}


def moves(structure: Structure) -> tuple[Motion, ...]:
    found = analyse(structure, [STILL])
    assert not isinstance(found, Analysed), "it does not move"
    return found


def test_the_shelf_has_nothing_but_joints_to_confirm() -> None:
    assert codes(shelf()) == {"joints-to-confirm": "note"}


def test_nothing_holds_it() -> None:
    assert codes(structure_of([a_bar((0, 0, 0), (100, 0, 0))]))["no-fixing"] == "stop"


def test_a_loose_piece() -> None:
    bars = [a_bar((0, 0, 0), (100, 0, 0)), a_bar((0, 500, 0), (100, 500, 0), name="lost")]
    found = structure_findings(structure_of(bars, [WALL]))
    assert [(f.code, f.piece) for f in found] == [("piece-loose", "lost")]
    assert "lost" in found[0].says


def test_the_stays_nearly_touch_when_nobody_says_so() -> None:
    bars = lowered(shelf_bars(), "stay", 5.0)
    found = structure_findings(structure_of(bars, [Fixing("foot", "loop", (0, 0, 0), FIXED)]))
    assert [f.code for f in found].count("bars-nearly-touch") == 2
    assert {f.piece for f in found if f.code == "piece-loose"} == {"stay"}


def test_unlike_metals_are_not_welded() -> None:
    held = [Fixing("foot", "loop", (0, 0, 0), FIXED)]
    found = structure_findings(structure_of(shelf_bars(), held))
    told = [(f.level, f.says) for f in found if f.code == "not-to-be-welded"]
    assert [level for level, _ in told] == ["stop"]
    assert "crossbar 2 and bracket" in told[0][1], "rod of aluminium, bracket of steel"
    assert "aluminium is not welded to steel" in told[0][1]
    bolted = structure_of(shelf_bars(), held, wanted=[Wanted(("bracket", "crossbar"), "bolted", bolts=2)])
    assert "not-to-be-welded" not in codes(bolted)


def test_what_is_asked_for_but_not_there() -> None:
    bars = [a_bar((0, 0, 0), (100, 0, 0))]
    structure = structure_of(
        bars,
        [WALL, Fixing("gone", "nobody", (0, 0, 0))],
        Payload(1.0, (50, 0, 0), ("nothing",)),
        [Strap("no bar", (0, 0, 0), (0, 0, 1), 10.0)],
        [Wanted(("bar", "ghost"))],
    )
    says = [f.says for f in structure_findings(structure) if f.code == "asked-for-but-not-there"]
    assert len(says) == 4
    assert codes(structure)["payload-over-nothing"] == "stop"


def test_a_fixing_beside_the_bar() -> None:
    structure = structure_of([a_bar((0, 0, 0), (100, 0, 0))], [Fixing("wall", "bar", (0, 50, 0), FIXED)])
    assert codes(structure)["fixing-beside-bar"] == "watch"


def test_payload_that_tips() -> None:
    bar = a_bar((0, 0, 0), (400, 0, 0))
    bars = [bar, a_bar((0, 100, 0), (400, 100, 0), name="other")]
    feet = [WALL, Fixing("o", "other", (0, 100, 0), FIXED)]
    inside = Payload(5.0, (200, 50, 80), ("bar", "other"))
    outside = Payload(5.0, (200, 150, 80), ("bar", "other"))
    assert "payload-tips" not in codes(structure_of(bars, feet, inside))
    assert codes(structure_of(bars, feet, outside))["payload-tips"] == "stop"
    strap = Strap("bar", (200, 0, 0), (200, 50, 80), 200.0)
    assert "payload-tips" not in codes(structure_of(bars, feet, outside, [strap]))
    line = Payload(5.0, (200, 30, 80), ("bar",))
    assert codes(structure_of([bar], [WALL], line))["payload-tips"] == "stop"


def test_pieces_in_one_another() -> None:
    one = a_bar((0, 0, 0), (200, 0, 0))
    found = structure_findings(structure_of([one, a_bar((0, 0, 0), (200, 0, 0), name="again")], [WALL]))
    assert [f.says for f in found if f.code == "pieces-in-one-another"] == ["bar and again stand in the same place."]
    through = structure_of([one, a_bar((80, -50, 1), (80, 50, 1), name="b")], [WALL])
    assert codes(through)["pieces-in-one-another"] == "watch"
    beside = structure_of([one, a_bar((80, -50, 10), (80, 50, 10), name="b")], [WALL])
    assert "pieces-in-one-another" not in codes(beside)


def test_square_steel_tube_with_sharp_corners() -> None:
    # EN 10219-2 table, 40 x 40 x 3: W = 4.66 cm3 with corners of 6 mm (from memory); sharp it would be 5.10.
    def told(section: SquareTube, metal: str) -> list[str]:
        bar = a_bar((0, 0, 0), (400, 0, 0), section, material=materials()[metal])
        return [f.why for f in structure_findings(structure_of([bar], [WALL])) if f.code == "corners-sharp"]

    (why,) = told(SquareTube(40.0, 40.0, 3.0), "S235")
    sharp = (40.0**4 - 34.0**4) / 12.0 / 20.0
    assert f"{1.0 - 4660.0 / sharp:.0%} less" in why
    assert told(SquareTube(40.0, 40.0, 3.0, 6.0), "S235") == []
    assert told(SquareTube(40.0, 40.0, 3.0), "6060-T66") == []


def test_walls_that_dent() -> None:
    # EN 1993-1-1, Table 5.2: d/t <= 90 e^2 and c/t <= 42 e; EN 1999-1-1, Table 6.2, class A with welds: 3 sqrt(D/t) and
    # b/t <= 18 e (both from memory). By hand for S235 (e = 1), S355 (e^2 = 0.662) and 6082-T6 of 250 MPa (e = 1).
    def dents(section: Tube | SquareTube, metal: str) -> bool:
        bar = a_bar((0, 0, 0), (400, 0, 0), section, material=materials()[metal])
        return "wall-dents" in codes(structure_of([bar], [WALL]))

    assert [dents(Tube(d, 1.0), "S235") for d in (89.0, 91.0)] == [False, True]
    assert [dents(Tube(d, 1.0), "S355") for d in (59.0, 60.0)] == [False, True]
    assert [dents(SquareTube(w, 20.0, 1.0, 2.0), "S235") for w in (45.0, 47.0)] == [False, True]
    assert [dents(Tube(d, 1.0), "6082-T6") for d in (35.0, 37.0)] == [False, True]
    assert [dents(SquareTube(w, 15.0, 1.0), "6082-T6") for w in (19.0, 21.0)] == [False, True]


def test_a_joint_of_a_piece_with_itself() -> None:
    bars = [a_bar((0, 0, 0), (200, 0, 0)), a_bar((200, 0, 0), (200, 100, 0), name="b")]
    (told,) = (
        f.says
        for f in structure_findings(structure_of(bars, [WALL], wanted=[Wanted(("bar", "bar"))]))
        if f.level == "stop"
    )
    assert told == "bar is to be joined to itself."


def test_an_end_that_touches_its_own_bar() -> None:
    # A ring of 40 mm out of a straight, 40 mm across, back to the straight; a hook that stops short of it.
    def told(turn: float) -> list[str]:
        line = Centreline(BendTable((200.0, 0.0), (Bend(40.0, turn),)))
        hook = Bar("hook", line, Round(10.0), an_aluminium())
        wall = Fixing("wall", "hook", (0, 0, 0), FIXED)
        return [f.says for f in structure_findings(structure_of([hook], [wall])) if f.code == "bar-meets-itself"]

    assert told(350.0) == ["End B of hook touches hook itself at {at}."]
    assert told(250.0) == []


def test_springs_as_good_as_nothing() -> None:
    # EI/L^3 of the bar: 70000 x 491/400^3 = 0.54 N/mm.
    def told(spring: float) -> bool:
        foot = Fixing("foot", "bar", (0, 0, 0), (spring,) * 3 + (spring * 1e5,) * 3)
        return "stiffness-far-apart" in codes(structure_of([a_bar((0, 0, 0), (400, 0, 0))], [foot]))

    assert [told(spring) for spring in (1.0, 1e-6, 1e-9)] == [False, False, True]


def test_stiffnesses_far_apart() -> None:
    bars = [a_bar((0, 0, 0), (100, 0, 0), Round(100.0)), a_bar((100, 50, 0), (100, 3000, 0), Round(2.0), name="wire")]
    assert codes(structure_of(bars, [WALL]))["stiffness-far-apart"] == "watch"
    even, odd = (Fixing("foot", "bar", (0, 0, 0), (1e6, soft, 1e6, 1e9, 1e9, 1e9)) for soft in (1e3, 1e-3))
    assert "stiffness-far-apart" not in codes(structure_of([a_bar((0, 0, 0), (400, 0, 0))], [even]))
    assert codes(structure_of([a_bar((0, 0, 0), (400, 0, 0))], [odd]))["stiffness-far-apart"] == "watch"


def test_a_frame_that_moves_too_far_for_what_is_reckoned() -> None:
    thin = a_bar((0, 0, 0), (400, 0, 0), Round(3.0), an_aluminium())
    for mass, too_far in ((0.02, False), (0.2, True)):
        payload = Payload(mass, (400.0, 0.0, 0.0), ("bar",), at=((400.0, 0.0, 0.0),))
        found = judge(structure_of([thin], [WALL], payload), [LoadCase("standing", "static")], ())
        # P L^3 / 3 EI with EI = 70,000 times 3.976 mm4: 15 mm and 150 mm, and a little for its own weight.
        assert (found.sags[0].mm > 40.0) == too_far
        assert ("moves-too-far" in [one.code for one in found.findings]) == too_far


def test_a_metal_that_is_not_welded() -> None:
    strong = materials()["7075-T6"]
    bars = [a_bar((0, 0, 0), (100, 0, 0)), a_bar((100, 5, 0), (100, 300, 0), material=strong, name="b")]
    assert codes(structure_of(bars, [WALL]))["not-to-be-welded"] == "stop"
    bolted = structure_of(bars, [WALL], wanted=[Wanted(("bar", "b"), "bolted", bolts=2)])
    assert "not-to-be-welded" not in codes(bolted)


def test_holes_and_threads() -> None:
    bolt = Bolt(5.0, thickness=4.0, tapped=True, end_distance=6.0, side_distance=20.0)
    held = Fixing("wall", "bar", (0, 0, 0), FIXED, bolt=bolt)
    found = codes(structure_of([a_bar((0, 0, 0), (100, 0, 0))], [held]))
    assert found["hole-close-to-edge"] == "watch"
    assert found["thread-too-short"] == "watch"
    ample = Fixing("wall", "bar", (0, 0, 0), FIXED, bolt=Bolt(5.0, thickness=8.0, tapped=True, end_distance=11.0))
    assert codes(structure_of([a_bar((0, 0, 0), (100, 0, 0))], [ample])) == {}


def test_a_bar_on_one_pin_can_turn_three_ways() -> None:
    structure = structure_of([a_bar((0, 0, 0), (100, 0, 0))], [Fixing("pin", "bar", (0, 0, 0), PINNED)])
    found = moves(structure)
    assert len(found) == 3
    assert all(motion.turns for motion in found)
    assert all(math.dist(motion.through, (0, 0, 0)) < 1e-6 or motion.direction[0] ** 2 > 0.99 for motion in found)
    told = movement_findings(structure, found)
    assert {f.code for f in told} == {"frame-can-move"}
    assert all("bar can turn about a line along" in f.says for f in told)


def test_a_bar_that_slides() -> None:
    slot = (0.0, math.inf, math.inf, math.inf, math.inf, math.inf)
    structure = structure_of([a_bar((0, 0, 0), (100, 0, 0))], [Fixing("slot", "bar", (0, 0, 0), slot)])
    (motion,) = moves(structure)
    assert not motion.turns
    assert [f.says for f in movement_findings(structure, [motion])] == ["bar can slide along x."]


def test_an_arm_on_one_bolt_turns_about_it() -> None:
    bars = [a_bar((0, 0, 0), (200, 0, 0)), a_bar((100, -20, 10), (100, 300, 10), name="arm")]
    loose = structure_of(bars, [WALL], wanted=[Wanted(("bar", "arm"), "bolted")])
    (motion,) = moves(loose)
    assert motion.turns
    assert abs(motion.direction[2]) == pytest.approx(1.0)
    assert motion.through[:2] == pytest.approx((100.0, 0.0), abs=1e-6)
    assert "arm can turn about a line along z" in movement_findings(loose, [motion])[0].says
    tight = structure_of(bars, [WALL], wanted=[Wanted(("bar", "arm"), "bolted", bolts=2)])
    assert isinstance(analyse(tight, [STILL]), Analysed)


def test_no_case_is_no_reckoning() -> None:
    with pytest.raises(ValueError, match="at least one load case"):
        analyse(shelf(), [])
