"""How near things come, where the answer can be worked out on paper."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.clearance.bodies import Solid, bodies_of
from bentwork.clearance.lever import lever_gaps
from bentwork.clearance.step import StepClearance, step_clearance
from bentwork.clearance.workpiece import Workpiece, workpiece
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.stock.section import Flat, Round, Section, Square
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Plate
from bentwork.tooling.fittings import Rollers
from bentwork.tooling.shop import Bench, Body, Mounting, Vise

R, D = 50.0, 10.0
BARE = Bender("lever", "wrap", R)
CHORDS = 0.5  # mm; what arcs are told too near at most


def bar(
    straights: tuple[float, ...] = (200.0, 300.0), *bends: Bend, over: float = 1.0, section: Section | None = None
) -> Workpiece:
    table = BendTable(straights, bends or (Bend(R, 90.0),))
    pulls = [over * bend.angle for bend in table.bends]
    return workpiece(table, pulls, section or Round(D), "easy", 0.0, BARE)


def near(clearance: StepClearance, body: str, by: str, when: str = "bending") -> float:
    return next(one.gap for one in clearance.nears if (one.body, one.by, one.when) == (body, by, when))


def room(*bodies: Body, vise: Vise | None = None, bench: Bench | None = None, floor: float | None = None) -> Mounting:
    return Mounting("room", "lever", vise, bench, floor, bodies)


def post(x: float, y: float, radius: float) -> Body:
    return Body("post", "cylinder", start=(x, y, -500.0), end=(x, y, 500.0), radius=radius)


def test_nothing_round_a_bare_bender_comes_near() -> None:
    found = step_clearance(bar(), BARE, None, 0, "A")
    assert found.gap == math.inf
    assert found.nearest is None
    assert found.moving is None


def test_a_vise_below_is_as_far_as_it_is_below_all_the_time() -> None:
    vise = Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0)
    found = step_clearance(bar(), BARE, room(vise=vise), 0, "A")
    assert near(found, "vise", "held") == pytest.approx(24.0 - D / 2, abs=1e-9)
    assert near(found, "vise", "free") == pytest.approx(24.0 - D / 2, abs=1e-9)


def test_a_wall_behind_the_held_side_is_a_fixed_gap() -> None:
    wall = Body("wall", "box", x=(-340.0, -320.0), y=(-900.0, 900.0), z=(-300.0, 800.0))
    found = step_clearance(bar(), BARE, room(wall), 0, "A")
    assert near(found, "wall", "held") == pytest.approx(120.0 - D / 2, abs=1e-9)


def test_the_far_end_of_the_free_side_sweeps_where_it_should() -> None:
    # the free end rolls from (R pi/2 + 300, -R) to (R, 300): a post further out than its path is missed by the rest
    end = (R * math.sin(0.5) + (R * (math.pi / 2 - 0.5) + 300.0) * math.cos(0.5),
           -R * math.cos(0.5) + (R * (math.pi / 2 - 0.5) + 300.0) * math.sin(0.5))  # fmt: skip
    out = (end[0] + 20.0 * math.cos(0.5), end[1] + 20.0 * math.sin(0.5))
    found = step_clearance(bar(), BARE, room(post(*out, 2.0)), 0, "A")
    lengths = [
        math.hypot(
            R * math.sin(t) + (R * (math.pi / 2 - t) + 300.0) * math.cos(t) - out[0],
            -R * math.cos(t) + (R * (math.pi / 2 - t) + 300.0) * math.sin(t) - out[1],
        )
        for t in (i * math.pi / 2 / 100000 for i in range(100001))
    ]
    assert near(found, "post", "free") == pytest.approx(min(lengths) - 2.0 - D / 2, abs=0.03)
    assert near(found, "post", "free") <= min(lengths) - 2.0 - D / 2 + 1e-9


@pytest.mark.parametrize("angle", [3.7, 12.4, 41.3, 77.7])
def test_a_thin_post_between_two_sampled_angles_is_hit(angle: float) -> None:
    # 6 mm post, met by the last 2 mm of the bar for a moment only
    t = math.radians(angle)
    far = R * (math.pi / 2 - t) + 300.0
    x, y = R * math.sin(t) + far * math.cos(t), -R * math.cos(t) + far * math.sin(t)
    found = step_clearance(bar(), BARE, room(post(x, y, 3.0)), 0, "A")
    assert near(found, "post", "free") == -D / 2  # the centreline goes through it


def test_two_legs_of_a_return_are_two_radii_apart() -> None:
    found = step_clearance(bar((200.0, 200.0), Bend(R, 180.0)), BARE, None, 0, "A")
    assert near(found, "bar", "free") == pytest.approx(2 * R - D, abs=0.1)
    assert near(found, "bar", "free") <= 2 * R - D


def test_a_bar_that_is_bent_back_on_itself_hits_itself() -> None:
    piece = bar((60.0, 60.0, 300.0, 200.0), Bend(R, 90.0), Bend(R, 90.0), Bend(R, 180.0))
    found = step_clearance(piece, BARE, None, 1, "A", made=(0, 2))
    assert found.nearest is not None
    assert found.nearest.body == "bar"


def test_the_run_beside_the_die_touches_it_by_design() -> None:
    bender = replace(
        BARE,
        die=Die(24.0, 5.0),
        hook=Hook(12.0, 30.0, 16.0, 30.0),
        follower=Follower("roller", 24.0, 22.0, radius=18.0),
    )
    found = step_clearance(bar(), bender, None, 0, "A")
    assert found.gap == math.inf


def test_a_bend_too_near_runs_into_the_follower() -> None:
    bender = replace(BARE, follower=Follower("roller", 24.0, 60.0, radius=18.0))
    # behind the bend being made 40 mm of straight bar, then a bend the other way: into the roller that stands 60 ahead
    piece = bar((200.0, 40.0, 200.0), Bend(R, 90.0), Bend(R, 90.0, 180.0))
    assert near(step_clearance(piece, bender, None, 0, "A", made=(1,)), "follower", "free") <= -D / 2
    assert step_clearance(piece, bender, None, 0, "A").gap == math.inf


def test_a_bar_under_a_shelf_is_lifted_off_sideways_or_not_at_all() -> None:
    shelf = Body("shelf", "box", x=(-400.0, 400.0), y=(-400.0, 400.0), z=(60.0, 70.0))
    found = step_clearance(bar(), BARE, room(shelf), 0, "A")
    (put_on,) = (one for one in found.nears if one.when == "put on")
    assert put_on.way == "aside"
    assert put_on.gap == pytest.approx(55.0, abs=0.01)
    fence = Body("fence", "box", x=(-400.0, 400.0), y=(-220.0, -200.0), z=(-100.0, 70.0))
    barred = step_clearance(bar(), BARE, room(shelf, fence), 0, "A")
    assert barred.gap == -D / 2
    assert barred.nearest is not None
    assert barred.nearest.when in ("put on", "lifted off")


def test_follower_and_arm_meet_what_stands_in_their_way() -> None:
    bender = replace(
        BARE, follower=Follower("roller", 24.0, 22.0, radius=18.0), arm=Arm("above", 14.0, 10.0, 40.0, 600.0)
    )
    low = Mounting("low", "lever", vise=Vise((-75.0, 75.0), (-60.0, 140.0), -20.0, -150.0))
    gaps = {(body, part): gap for body, gap, part, _ in lever_gaps(bender, low, D, math.radians(90.0))}
    assert gaps["vise", "follower"] == pytest.approx(20.0 - 12.0)
    assert gaps["vise", "arm"] == pytest.approx(20.0 + 14.0)
    wall = Mounting(
        "wall", "lever", bodies=(Body("wall", "box", x=(300.0, 320.0), y=(-900.0, 900.0), z=(-10.0, 800.0)),)
    )
    met = {part: (gap, angle) for _, gap, part, angle in lever_gaps(bender, wall, D, math.radians(90.0))}
    assert met["arm"][0] == 0.0
    assert met["follower"][0] == pytest.approx(300.0 - math.hypot(22.0, R + D / 2 + 18.0) - 18.0, abs=0.03)


def test_a_turning_die_takes_the_held_side_through_the_room() -> None:
    draw = replace(BARE, kind="draw")
    # in the room the held side turns clockwise about the die's axis and comes to stand along y
    there = step_clearance(bar(), draw, room(post(-R, 150.0, 3.0)), 0, "A")
    assert near(there, "post", "held") == pytest.approx(-D / 2)
    still = step_clearance(bar(), BARE, room(post(-R, 150.0, 3.0)), 0, "A")
    assert near(still, "post", "held") == pytest.approx(150.0 + R - 3.0 - D / 2)


def test_a_former_swings_both_legs() -> None:
    ram = Bender("lever", "ram", R, rollers=Rollers(240.0, 15.0))
    table = BendTable((200.0, 200.0), (Bend(R, 90.0),))
    piece = workpiece(table, [90.0], Round(D), "easy", 0.0, ram)
    for x in (-120.0, 120.0):
        found = step_clearance(piece, ram, room(post(x, 100.0, 3.0)), 0, "A")
        other = step_clearance(piece, ram, room(post(-x, 100.0, 3.0)), 0, "B")
        assert found.gap == pytest.approx(other.gap, abs=1e-6)


def test_a_right_hand_bender_is_the_mirror_image() -> None:
    table = BendTable((120.0, 80.0, 90.0, 150.0), (Bend(R, 90.0), Bend(R, 60.0, 45.0), Bend(R, 90.0, -120.0)))
    left = replace(BARE, die=Die(24.0, 5.0), plate=Plate((-110.0, 90.0), (-90.0, 70.0), 14.0, 10.0))
    right = replace(left, hand="right", plate=Plate((-110.0, 90.0), (-70.0, 90.0), 14.0, 10.0))
    pulls = [93.0, 62.0, 93.0]
    for bend, made in ((0, (1, 2)), (1, (0,)), (2, (1,))):
        one = step_clearance(
            workpiece(table, pulls, Round(D), "easy", 0.0, left), left, room(post(60.0, 150.0, 3.0)), bend, "A", made
        )
        two = step_clearance(
            workpiece(table.mirrored(), pulls, Round(D), "easy", 0.0, right),
            right,
            room(post(60.0, -150.0, 3.0)),
            bend,
            "A",
            made,
        )
        assert [(n.body, n.by, n.when) for n in one.nears] == [(n.body, n.by, n.when) for n in two.nears]
        assert [n.gap for n in one.nears] == pytest.approx([n.gap for n in two.nears], abs=1e-9)


def test_a_flat_bar_is_no_rod_of_its_width() -> None:
    strap = Flat(30.0, 4.0)
    wall = Body("wall", "box", x=(-400.0, 400.0), y=(-100.0, -80.0), z=(-300.0, 300.0))
    found = step_clearance(bar(section=strap), BARE, room(wall), 0, "A")
    gap = 30.0 - 2.0  # centreline to wall, less half the thickness
    assert gap - 2.5 < near(found, "wall", "held") <= gap
    vise = Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0)
    assert (
        24.0 - 15.0 - 1.0
        < near(step_clearance(bar(section=strap), BARE, room(vise=vise), 0, "A"), "vise", "held")
        <= 9.0
    )
    assert bar(section=Square(10.0, 10.0)).thick == pytest.approx(math.hypot(5.0, 5.0))


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="bend 3 of 1"):
        step_clearance(bar(), BARE, None, 3, "A")
    with pytest.raises(ValueError, match="bend 0 of 1"):
        step_clearance(bar(), BARE, None, 0, "A", made=(0,))
    with pytest.raises(ValueError, match="vise needs sizes above 0"):
        bodies_of(BARE, room(vise=Vise((75.0, -75.0), (-60.0, 140.0), -24.0, -150.0)), D)
    with pytest.raises(ValueError, match="die needs sizes above 0"):
        bodies_of(replace(BARE, radius=4.0, die=Die(24.0, 0.0)), None, D)
    with pytest.raises(ValueError, match="must stand somewhere"):
        Solid("ghost", "box", (1.0, 1.0, 1.0), (math.nan, 0.0, 0.0))
    with pytest.raises(ValueError, match="one point"):
        bodies_of(BARE, room(Body("post", "cylinder", start=(0, 0, 0), end=(0, 0, 0), radius=1.0)), D)
    with pytest.raises(ValueError, match="every bend needs a pull"):
        replace(bar(), pulls=(1.6, 1.6))
