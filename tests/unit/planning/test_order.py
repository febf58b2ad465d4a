"""Orders whose best is known, those that do not exist, and what is asked in vain."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace

import pytest

from bentwork.files.job_file import parse_job
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.corners import Corners
from bentwork.planning.order import find_order
from bentwork.planning.order_beam import felt_forward, seconds_for
from bentwork.planning.order_path import MOUNTINGS, REVERSALS, TURNS, parts
from bentwork.planning.order_problem import OrderProblem, default_weights
from bentwork.planning.order_remedies import remedies_for
from bentwork.planning.order_warm_up import warm_up
from bentwork.stock.section import Round
from bentwork.tooling.bender import Bender, Die, Follower, Hook, Needs
from bentwork.tooling.shop import Bench, Body, Mounting, Vise

R = 36.0
LEVER = Bender("lever", "wrap", R, die=Die(24.0, 6.0))
U = BendTable((120.0, 150.0, 120.0), (Bend(R, 90.0), Bend(R, 90.0)))


def problem(table: BendTable = U, bender: Bender = LEVER, *mountings: Mounting, **more: object) -> OrderProblem:
    pulls = tuple(1.03 * bend.angle for bend in table.bends)
    return OrderProblem(table, pulls, Round(12.0), bender, mountings, **more)  # type: ignore[arg-type]


def test_a_u_needs_no_turn_and_no_reversal() -> None:
    order = find_order(problem())
    assert order.feasible
    assert order.proven
    assert [(step.bend, step.held, step.turn) for step in order.steps] == [(1, "A", 0.0), (2, "A", 0.0)]
    assert (order.reversals, order.changes, order.turns) == (0, 0, 0)


def test_a_z_takes_one_half_turn_and_the_turn_of_the_drawing_is_against_the_rotation() -> None:
    table = BendTable((120.0, 150.0, 150.0, 120.0), (Bend(R, 90.0), Bend(R, 60.0, 50.0), Bend(R, 90.0, -20.0)))
    order = find_order(problem(table, weights=(3.0, 2.0, 1.0)))
    assert [step.bend for step in order.steps] == [1, 2, 3]
    assert [step.turn for step in order.steps] == pytest.approx([0.0, -50.0, 20.0])
    assert order.turns == 2


def test_what_throws_furthest_is_bent_first() -> None:
    assert [step.bend for step in find_order(problem(weights=(1.0, 2.0))).steps] == [2, 1]
    # from the middle of a 90 degree arc of radius 36: 36 (1 - cos 45) aside, 36 sin 45 + 100 along
    aside, along = R * (1.0 - math.cos(math.pi / 4)), R * math.sin(math.pi / 4) + 100.0
    assert default_weights(BendTable((100.0, 60.0), (Bend(R, 90.0),))) == pytest.approx([math.hypot(aside, along)])


def test_too_little_straight_beside_a_bend_forces_the_order() -> None:
    # 30 mm between the bends: the hook takes 42, the follower 22; so the second bend is only made from end B, or first
    needs = Needs(straight_held=42.0, straight_free=22.0)
    table = BendTable((200.0, 30.0, 200.0), (Bend(R, 90.0), Bend(R, 90.0)))
    order = find_order(problem(table, replace(LEVER, needs=needs)))
    assert [(step.bend, step.held) for step in order.steps] in ([(1, "B"), (2, "B")], [(2, "A"), (1, "A")])
    assert order.reversals == 0
    both = find_order(problem(table, replace(LEVER, needs=Needs(straight_held=42.0, straight_free=42.0))))
    assert not both.feasible
    assert {one.body for one in both.blocked} == {"straight"}
    assert {round(one.depth, 6) for one in both.blocked} == {12.0}


def test_a_short_end_forces_the_bar_round() -> None:
    needs = Needs(end_held=60.0, end_free=20.0)
    table = BendTable((40.0, 300.0), (Bend(R, 90.0),))
    assert [step.held for step in find_order(problem(table, replace(LEVER, needs=needs))).steps] == ["B"]
    assert [step.held for step in find_order(problem(table, replace(LEVER, needs=needs), trim=20.0)).steps] == ["A"]


def test_the_mounting_that_lets_it_through_is_picked_and_changes_are_few() -> None:
    low = Mounting("low bench", "lever", bench=Bench((-700.0, 700.0), (-700.0, 700.0), -300.0, 40.0))
    high = Mounting("high bench", "lever", bench=Bench((-700.0, 700.0), (-700.0, 700.0), -40.0, 40.0))
    table = BendTable((120.0, 100.0, 120.0), (Bend(R, 90.0), Bend(R, 90.0, 90.0)))
    order = find_order(problem(table, LEVER, high, low))
    assert order.feasible
    assert order.changes == 0
    assert find_order(problem(table, LEVER, low)).feasible


def test_bends_that_are_made_are_not_made_again() -> None:
    order = find_order(problem(made=frozenset({1})))
    assert [(step.bend, step.turn) for step in order.steps] == [(2, 0.0)]
    done = find_order(problem(made=frozenset({1, 2})))
    assert done.feasible
    assert done.steps == ()


def test_a_straight_bar_has_nothing_to_order() -> None:
    order = find_order(OrderProblem(BendTable((300.0,)), (), Round(12.0), LEVER))
    assert order.feasible
    assert order.steps == ()


def test_the_shelf_of_the_demo_is_bent_in_an_order_that_clears() -> None:
    from importlib.resources import files

    job = parse_job(files("bentwork").joinpath("data", "crate-shelf.toml").read_bytes(), "crate-shelf.toml")
    spec = next(piece for piece in job.pieces if piece.name == "loop")
    assert isinstance(spec.shape, Corners)
    table = spec.shape.centreline(spec.seam).table
    asked = OrderProblem(
        table,
        tuple(1.04 * bend.angle for bend in table.bends),
        job.stocks["rod"].section,
        job.benders["lever"],
        (job.mountings["vise"],),
        trim=spec.trim,
        required_clearance=2.0,
    )
    order = find_order(asked)
    assert order.feasible
    assert sorted(step.bend for step in order.steps) == list(range(1, 9))
    assert all(step.clearance >= 2.0 for step in order.steps)


CAGE = Mounting("cage", "lever", bodies=(Body("fence", "box", x=(150.0, 170.0), y=(-500.0, 500.0), z=(-500.0, 500.0)),))


def test_no_order_names_what_is_in_the_way_in_every_way_tried() -> None:
    order = find_order(problem(U, LEVER, CAGE))
    assert not order.feasible
    assert order.proven
    assert order.steps == ()
    stays = [number for number in (1, 2) if number not in order.reached]
    assert [(one.bend, one.held) for one in order.blocked] == [(n, held) for n in stays for held in ("A", "B")]
    assert {one.body for one in order.blocked} == {"fence"}
    assert all(one.depth > 0.0 for one in order.blocked)


def test_a_riser_is_found_and_does_what_it_says() -> None:
    table = BendTable((120.0, 100.0, 120.0), (Bend(R, 90.0), Bend(R, 90.0, 180.0)))
    sill = Bench((-700.0, 700.0), (-700.0, 700.0), -15.0, 40.0)
    asked = problem(table, LEVER, Mounting("sill", "lever", bench=sill), required_clearance=12.0)
    assert not find_order(asked).feasible
    riser = next(remedy for remedy in remedies_for(asked) if remedy.kind == "riser")
    assert riser.value == 10.0  # the bar's underside is 9 above the bench; 12 are wanted
    assert riser.orders[0].feasible
    assert riser.orders[0].clearance == pytest.approx(15.0 + 10.0 - 6.0, abs=0.5)
    assert riser.orders[0].clearance <= 15.0 + 10.0 - 6.0
    assert riser.says.format(value="10 mm") == "Put a riser of 10 mm under the die."


@pytest.mark.parametrize(
    ("bender", "kind"),
    [
        (replace(LEVER, hook=Hook(12.0, 60.0, 16.0, 30.0)), "shorter-hook"),
        (replace(LEVER, needs=Needs(end_held=150.0, end_free=150.0)), "longer-ends"),
    ],
)
def test_other_remedies(bender: Bender, kind: str) -> None:
    table = BendTable((120.0, 50.0, 120.0), (Bend(R, 90.0), Bend(R, 90.0)))
    if kind == "shorter-hook":
        bender = replace(bender, follower=Follower("shoe", 24.0, 40.0, length=40.0, width=20.0))
    asked = problem(table, bender)
    assert not find_order(asked).feasible
    found = {remedy.kind: remedy for remedy in remedies_for(asked)}
    assert kind in found
    assert all(order.feasible for remedy in found.values() for order in remedy.orders)


def test_a_piece_can_be_split_and_each_half_has_its_order() -> None:
    asked = problem(U, replace(LEVER, needs=Needs(straight_held=160.0, straight_free=160.0)), trim=60.0)
    assert not find_order(asked).feasible
    needs = Needs(straight_held=160.0, straight_free=160.0, end_held=40.0, end_free=40.0)
    asked = replace(asked, bender=replace(LEVER, needs=needs))
    split = next(remedy for remedy in remedies_for(asked) if remedy.kind == "split")
    assert split.value == 2.0
    assert [len(order.steps) for order in split.orders] == [1, 1]


def test_forty_bends_get_an_order_that_is_felt_for_and_not_called_proven() -> None:
    bends = tuple(Bend(R, 8.0, 0.0) for _ in range(40))
    order = find_order(problem(BendTable((60.0,) * 41, bends)))
    assert order.feasible
    assert not order.proven
    assert sorted(step.bend for step in order.steps) == list(range(1, 41))
    assert seconds_for(40) > 86400.0


def test_a_search_that_is_stopped_gives_what_it_has() -> None:
    table = BendTable((60.0,) * 7, tuple(Bend(R, 30.0, 0.0) for _ in range(6)))
    calls: list[tuple[int, int]] = []

    def stop(done: int, of: int) -> bool:
        calls.append((done, of))
        return True

    order = find_order(problem(table), stop)
    assert calls == [(6, 6)]
    assert order.feasible
    assert not order.proven
    assert len(order.steps) == 6


def test_what_is_felt_for_is_never_better_than_what_is_proven() -> None:
    table = BendTable((90.0, 70.0, 60.0, 80.0, 90.0), tuple(Bend(R, 90.0, turn) for turn in (0.0, 90.0, 180.0, 90.0)))
    vise = Mounting("vise", "lever", vise=Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0))
    asked = problem(table, LEVER, vise)
    best, felt = find_order(asked), felt_forward(asked)
    assert (best.reversals, best.changes, best.turns) <= (felt.reversals, felt.changes, felt.turns)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="2 bends need 2 angles"):
        OrderProblem(U, (90.0,), Round(12.0), LEVER)
    with pytest.raises(ValueError, match="is a mounting of other"):
        problem(U, LEVER, Mounting("bench", "other"))
    with pytest.raises(ValueError, match="the clearance wanted"):
        problem(required_clearance=-1.0)
    with pytest.raises(ValueError, match="numbered from 1 to 2"):
        problem(made=frozenset({3}))
    with pytest.raises(ValueError, match="at most 8 mountings"):
        problem(U, LEVER, *(Mounting(f"m{i}", "lever") for i in range(9)))
    with pytest.raises(ValueError, match="weights"):
        problem(weights=(1.0,))
    with pytest.raises(ValueError, match="die needs sizes above 0"):
        find_order(problem(U, replace(LEVER, radius=5.0, die=Die(24.0, 0.0))))


def test_contradictory_needs_end_and_say_so() -> None:
    order = find_order(problem(U, replace(LEVER, needs=Needs(1e6, 1e6, 1e6, 1e6))))
    assert not order.feasible
    assert {one.body for one in order.blocked} == {"end"}


def test_warming_up_runs_both_ways_out() -> None:
    free, barred = warm_up()
    assert free.feasible
    assert not barred.feasible


_ENTRIES = """
import sys
from bentwork.planning import order_bar, order_furthest, order_itself, order_path, order_sides, order_ways
from bentwork.planning.order_warm_up import warm_up, warm_up_rare
warm_up()
warm_up_rare()
entries = {
    order_bar: ("pair_masks", "stretches"),
    order_furthest: ("_furthest",),
    order_itself: ("_hits",),
    order_path: ("_fill", "_renew", "columns", "combined", "take_out"),
    order_sides: ("side_masks",),
    order_ways: ("first_way", "tied_ways", "way_renewed", "widest_way"),
}
names = [(module, name) for module, names in entries.items() for name in names]
sys.exit(", ".join(name for module, name in names if not getattr(vars(module)[name], "signatures", True)) or None)
"""


def test_nothing_of_the_search_is_left_to_compile_after_warming_up() -> None:
    done = subprocess.run([sys.executable, "-c", _ENTRIES], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_cost_comes_apart_again() -> None:
    assert parts(3 * REVERSALS + 2 * MOUNTINGS + 5 * TURNS + 77) == (3, 2, 5, 77)
