"""From an order to steps and findings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bentwork.bending.known import known
from bentwork.bending.set_up import SetUp
from bentwork.files.catalogue import materials
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import marks_for
from bentwork.planning.order import find_order
from bentwork.planning.order_problem import Order, OrderProblem
from bentwork.planning.ordered import drawn_order_findings, in_order, is_described, order_findings
from bentwork.stock.section import Round
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Needs
from bentwork.tooling.shop import Body, Mounting
from bentwork.units import Ruler

BENDER = Bender(
    "lever",
    "wrap",
    50.0,
    springback=1.05,
    die=Die(24.0, 6.0),
    hook=Hook(12.0, 30.0, 16.0, 30.0),
    follower=Follower("roller", 24.0, 22.0, radius=18.0),
    arm=Arm("above", 14.0, 10.0, 40.0, 600.0),
)
ROD = Round(12.0)
Z = BendTable((150.0, 160.0, 150.0), (Bend(50.0, 90.0), Bend(50.0, 90.0, 180.0)))


def problem(
    table: BendTable = Z, bender: Bender = BENDER, *mountings: Mounting, clearance: float = 0.0
) -> OrderProblem:
    pulls = tuple(1.05 * bend.angle for bend in table.bends)
    return OrderProblem(table, pulls, ROD, bender, mountings, required_clearance=clearance)


def test_steps_carry_order_marks_turns_and_gaps() -> None:
    asked = problem()
    order = find_order(asked)
    what = known(SetUp(ROD, materials()["S235"], BENDER))
    marks = marks_for(Z)
    steps = in_order(order, asked, marks, what)
    assert sorted(step.bend for step in steps) == [1, 2]
    assert [step.step for step in steps] == [1, 2]
    by_bend = {mark.bend: mark for mark in marks}
    for step in steps:
        mark = by_bend[step.bend]
        assert step.mark == (mark.start if step.held == "A" else mark.end)
        assert step.bend_to == pytest.approx(94.5)
        assert step.clearance is None or step.clearance >= 0.0
    assert steps[0].turn == 0.0
    assert abs(steps[1].turn) == 180.0
    assert order_findings(order, asked) == ()


def test_a_bend_that_nothing_lets_be_made_names_what_is_in_the_way() -> None:
    table = BendTable((150.0, 150.0), (Bend(50.0, 90.0),))
    walls = tuple(Body(name, "box", x=(40.0, 400.0), y=y, z=(-50.0, 50.0)) for name, y in (("wall", (60.0, 90.0)),))
    asked = problem(table, BENDER, Mounting("corner", "lever", bodies=walls))
    order = find_order(asked)
    assert not order.feasible
    (finding,) = order_findings(order, asked)
    assert (finding.level, finding.code, finding.bend) == ("stop", "hits-tool", 1)
    says, why, _ = finding.told(Ruler())
    assert "hits the wall" in says
    assert "Held at A on corner, it comes" in why
    assert "Held at B on corner" in why


def test_a_gap_that_is_small_is_watched() -> None:
    table = BendTable((150.0, 150.0), (Bend(50.0, 90.0),))
    # Bent 94.5 degrees, the free leg comes nearest to a post behind where it ends its sweep.
    post = Body("post", "cylinder", start=(29.5, 130.0, -60.0), end=(29.5, 130.0, 60.0), radius=3.0)
    asked = problem(table, BENDER, Mounting("bench", "lever", bodies=(post,)))
    order = find_order(asked)
    assert order.feasible
    assert 0.0 <= order.clearance < 2.0
    (finding,) = order_findings(order, asked)
    assert (finding.level, finding.code) == ("watch", "comes-close")
    assert "the post" in finding.says


def test_the_drawings_order_is_compared_where_it_differs() -> None:
    """A hook: bent from A on, the second bend swings the first leg round into a wall that stands where it passes."""
    table = BendTable((260.0, 100.0, 120.0), (Bend(50.0, 90.0), Bend(50.0, 90.0)))
    wall = Body("wall", "box", x=(-400.0, -110.0), y=(20.0, 60.0), z=(-60.0, 60.0))
    asked = problem(table, BENDER, Mounting("wall side", "lever", bodies=(wall,)))
    order = find_order(asked)
    assert order.feasible
    assert [(step.bend, step.held) for step in order.steps] == [(2, "A"), (1, "A")]
    (finding,) = drawn_order_findings(order, asked)
    assert finding.code == "order-not-as-drawn"
    assert "bend 2 comes" in finding.why
    assert "the wall" in finding.told(Ruler())[1]


def test_what_is_known_of_a_bender_decides_whether_an_order_is_sought() -> None:
    bare = Bender("lever", "wrap", 50.0)
    assert not is_described(bare, ())
    assert is_described(bare, (Mounting("vise", "lever"),))
    assert is_described(replace(bare, needs=Needs(straight_held=10.0)), ())
    assert is_described(replace(bare, die=Die(24.0)), ())


def test_spare_ends_of_a_closed_piece_are_in_each_others_way() -> None:
    loop = BendTable((80.0, 160.0, 160.0, 160.0, 80.0), (Bend(50.0, 90.0),) * 4, closed=True)
    pulls = (94.5,) * 4
    asked = OrderProblem(loop, pulls, ROD, BENDER, trim=15.0)
    order = Order((), True, True, 0, 0, 0)
    assert [finding.code for finding in order_findings(order, asked)] == ["ends-pass"]
    assert order_findings(order, replace(asked, trim=0.0)) == ()


def test_an_order_that_was_only_felt_for_is_not_called_the_best() -> None:
    (finding,) = order_findings(Order((), True, False, 3, 0, 0), problem())
    assert (finding.level, finding.code) == ("note", "order-unproven")
    assert "would take about a second" in finding.why
    comb = BendTable((150.0,) + (160.0,) * 39 + (150.0,), (Bend(50.0, 90.0),) * 40)
    (finding,) = order_findings(Order((), True, False, 3, 0, 0), problem(comb))
    # Every bend more doubles it: 24 more than 16 bends are 16.8 million times as long.
    assert "of 40 bends would take about" in finding.why
    assert "days" in finding.why or "years" in finding.why
    assert "Divide the piece" in finding.do
    (finding,) = order_findings(Order((), False, False, 0, 0, 0), problem())
    assert (finding.level, finding.code) == ("stop", "hits-tool")  # a piece without an order never passes for one with
