"""The work at the bender as it is seen: key places, the nearest approach, every kind of bender and either hand."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.clearance.bodies import bodies_of
from bentwork.files.job_file import parse_job
from bentwork.jobs.motion import StepMotion, heat_of, motion_of, orders_of
from bentwork.jobs.motion_bodies import SeenBody, bodies_seen
from bentwork.jobs.motion_keys import KEY_ERROR, Key, key_at, keys_of
from bentwork.jobs.motion_skin import bar_skin, outline
from bentwork.jobs.work import PiecePlan, Result, work
from bentwork.planning.near_in_step import NearInStep
from bentwork.planning.pulling import Moment, Pulling
from bentwork.stock.section import Flat, Round
from tests.desk import EXAMPLE
from tests.twins.tight_problems import a_problem

KINDS = ("wrap", "draw", "ram", "vee")


@pytest.fixture(scope="module")
def result() -> Result:
    return work(parse_job(EXAMPLE.encode(), "crate-shelf.toml"))


@pytest.fixture(scope="module")
def right_handed() -> Result:
    return work(parse_job(EXAMPLE.replace('hand = "left"', 'hand = "right"').encode(), "crate-shelf.toml"))


def of(result: Result, piece: str) -> tuple[PiecePlan, tuple[StepMotion, ...]]:
    plan = next(plan for plan in result.pieces if plan.spec.name == piece)
    mountings = [one for one in result.job.mountings.values() if one.bender == plan.spec.bender]
    return plan, motion_of(plan, mountings, orders_of(plan)[0])


def a_pulling(seed: int, kind: str) -> Pulling:
    rng = np.random.default_rng(seed)
    while True:
        problem = a_problem(rng)
        if problem.bender.kind == kind:
            bend = int(rng.integers(0, problem.piece.bends))
            made = frozenset(k for k in range(problem.piece.bends) if k != bend and rng.random() < 0.6)
            return Pulling(problem.piece, problem.bender, bend, "A" if rng.random() < 0.5 else "B", made)


def half_way(a: Key, b: Key) -> NDArray[np.float64]:
    return 0.5 * (a.bar + b.bar)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(5))
def test_between_two_keys_nothing_is_far_from_where_it_is(kind: str, seed: int) -> None:
    """Not only the bend: the far ends of the bar, carried by the places that they hang on."""
    pulling = a_pulling(seed, kind)
    near = NearInStep(pulling, ())
    for a, b in pairwise(keys_of(pulling, "up", "up")):
        if a.moment.when != b.moment.when or a.moment.when not in ("bending", "opening"):
            continue
        moment = Moment(a.moment.when, 0.5 * (a.moment.angle + b.moment.angle))
        true, told = key_at(pulling, moment), half_way(a, b)
        assert np.hypot(*(true.bar - told)[:, :2].T).max() <= 1.05 * KEY_ERROR
        assert abs(true.die[1] - 0.5 * (a.die[1] + b.die[1])) <= 1.05 * KEY_ERROR
        for side, place, was in (("held", told[0], true.bar[0]), ("free", told[-1], true.bar[-1])):
            tip = near.in_room(side, moment)[-1, 1, :2]
            arm = float(np.linalg.norm(tip - was[:2]))
            off = float(np.linalg.norm(place[:2] - was[:2])) + arm * abs(math.radians(place[2] - was[2]))
            assert off <= 1.05 * KEY_ERROR


@pytest.mark.parametrize("kind", KINDS)
def test_the_bar_keeps_its_length_in_every_frame(kind: str) -> None:
    """Between two places of a frame lies an arc or a straight: their true lengths are the same in all frames."""
    pulling = a_pulling(1, kind)
    for key in keys_of(pulling, "up", "up"):
        steps = np.diff(key.bar[:, :2], axis=0)
        chords, turned = np.linalg.norm(steps, axis=1), np.radians(np.diff(key.bar[:, 2]))
        half = np.where(np.abs(turned) > 1e-9, 0.5 * turned, 1e-9)
        arcs = chords * half / np.sin(half)  # an arc over its chord; where the bar leaves the die it is both
        assert float(arcs.sum()) == pytest.approx(pulling.length, abs=2e-2)


def test_every_step_of_the_plan_is_there_with_its_clearance(result: Result) -> None:
    plan, steps = of(result, "loop")
    assert [step.bend for step in steps] == [step.bend for step in plan.steps]
    for seen, told in zip(steps, plan.steps, strict=True):
        assert seen.closest is not None
        assert seen.closest.near.body == told.nearest
        assert seen.closest.near.gap == pytest.approx(told.clearance)
        apart = math.dist(seen.closest.one, seen.closest.other)
        assert seen.closest.near.gap - 1e-6 <= apart <= seen.closest.near.gap + 0.03
        assert seen.keys[seen.closest.key].moment.angle == pytest.approx(seen.closest.near.angle)
        assert [key.moment.when for key in seen.keys if key.moment.away > 0.0] != []
        assert max(key.moment.angle for key in seen.keys) == pytest.approx(told.bend_to)
        assert seen.keys[-1].moment.angle == pytest.approx(told.bend_to - told.springback)


def test_as_drawn_the_loop_hits_what_the_finding_says(result: Result) -> None:
    plan = result.pieces[0]
    steps = motion_of(plan, list(result.job.mountings.values()), "drawn")
    assert [step.bend for step in steps] == list(range(1, 9))
    finding = next(one for one in result.findings if one.code == "order-not-as-drawn")
    first = next(step for step in steps if step.hits)
    assert f"bend {first.bend} " in finding.why
    assert first.hits[0].body in finding.why
    assert finding.lengths["depth"] == pytest.approx(plan.spec.required_clearance - first.hits[0].gap)
    assert first.closest is not None
    assert first.closest.gaps.min() < 0.0


def test_a_right_hand_bender_is_seen_as_the_mirror_image(result: Result, right_handed: Result) -> None:
    """The stay lies in a plane: on the other hand all is mirrored in y = 0, but the room stands where it does."""
    (_, left), (_, right) = of(result, "stay"), of(right_handed, "stay")
    for a, b in zip(left[0].keys, right[0].keys, strict=False):
        assert b.bar == pytest.approx(a.bar * np.array([1.0, -1.0, -1.0]), abs=1e-9)
        assert b.arm == pytest.approx((a.arm[0], -a.arm[1], -a.arm[2]))
    rings, image = left[0].skin.free, right[0].skin.free
    assert image[:, 0] == pytest.approx(rings[:, 0] * np.array([1.0, -1.0, 1.0]))
    for one in (rings, image):
        along = np.cross(one[:, 1], one[:, 2])
        step = np.diff(one[:, 0], axis=0)
        assert (np.einsum("ij,ij->i", along[:-1], step) > 0.0).all()
    (vise,) = [body for body in right[0].bodies if body.name == "vise"]
    assert vise.middle == pytest.approx((0.0, 40.0, -87.0))  # where the job file puts it: y from -60 to 140
    (hook,) = [body for body in right[0].bodies if body.name == "hook"]
    assert hook.middle[1] > 0.0


@pytest.mark.parametrize("side", ["held", "free"])
def test_the_skin_follows_the_middle_of_the_bar(result: Result, side: str) -> None:
    """Rings lie on the lines that clearance measures, within the chords of those, square to the bar."""
    plan, steps = of(result, "loop")
    step = steps[-1]
    rings = getattr(step.skin, side)
    length = float(np.linalg.norm(np.diff(rings[:, 0], axis=0), axis=1).sum())
    whole = plan.cut_length - plan.more_bar
    others = np.linalg.norm(np.diff(step.skin.held[:, 0], axis=0), axis=1).sum()
    others += np.linalg.norm(np.diff(step.skin.free[:, 0], axis=0), axis=1).sum()
    assert length > 0.0
    bend = 50.0 * math.radians(plan.steps[-1].bend_to)
    assert float(others) + bend == pytest.approx(whole, rel=2e-3)  # chords are a little shorter than arcs


def test_a_flat_bar_lies_on_edge_or_flat_as_it_is_bent(result: Result) -> None:
    """30 by 4 mm bent the easy way: 30 along the axis of the punch, 4 in the plane of the bend."""
    _, steps = of(result, "bracket")
    for step in steps:
        assert abs(step.skin.wide[2]) == pytest.approx(1.0)
        assert abs(step.skin.high[1]) == pytest.approx(1.0)
        assert {body.name for body in step.bodies if body.sketched} == {"punch", "block"}
        assert all(abs(key.die[1]) > 0.0 for key in step.keys if key.moment.when == "opening")


@pytest.mark.parametrize("kind", KINDS)
def test_bodies_move_with_what_they_are_fixed_to(kind: str) -> None:
    pulling = a_pulling(3, kind)
    seen = bodies_seen(pulling.bender, pulling.piece, bodies_of(pulling.bender, None, pulling.piece.depth), 1.0)
    moves = {body.name: body.moves for body in seen}
    assert moves["die"] == "die"
    wanted = {"wrap": ("arm", "arm", "room"), "draw": ("room", "die", "room"), "ram": ("room", "", "room")}
    follower, arm, plate = wanted["ram" if kind == "vee" else kind]
    for name, with_what in (("follower", follower), ("arm", arm), ("plate", plate)):
        if name in moves:
            assert moves[name] == with_what


def test_the_outline_of_a_section_has_its_area_and_normals_out_of_it() -> None:
    for section, loops in ((Round(12.0), 1), (Flat(30.0, 4.0), 1)):
        found = outline(section)
        assert len(found) == loops
        x, y, across, up = found[0].T
        area = 0.5 * abs(float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()))
        assert area == pytest.approx(section.area, rel=0.05)
        assert np.hypot(across, up) == pytest.approx(np.ones(len(x)))
        assert (x * across + y * up > 0.0).all()


def test_closeness_runs_through_the_colours_of_hot_steel() -> None:
    gaps = (-0.1, 0.0, 3.9, 4.0, 7.9, 8.0, 16.9, 17.0, 500.0)
    assert [heat_of(gap, 2.0) for gap in gaps] == [
        "hit", "blue", "blue", "purple", "purple", "brown", "brown", "straw", "straw",
    ]  # fmt: skip


def test_a_piece_that_is_not_bent_has_no_order(result: Result) -> None:
    crossbar = next(plan for plan in result.pieces if plan.spec.name == "crossbar")
    assert orders_of(crossbar) == ()
    with pytest.raises(ValueError, match="no order"):
        motion_of(crossbar, (), "plan")


def test_a_key_of_the_nearest_approach_is_put_where_it_belongs() -> None:
    pulling = a_pulling(2, "wrap")
    for moment in (Moment("put on", 0.0, 31.0), Moment("bending", 17.3), Moment("lifted off", pulling.wanted, 400.0)):
        moments = [key.moment for key in keys_of(pulling, "up", "up", moment)]
        assert moment in moments
        aways = [m.away for m in moments if m.when == moment.when]
        angles = [m.angle for m in moments if m.when == "bending"]
        assert angles == sorted(angles)
        assert aways == sorted(aways, reverse=moment.when == "put on")


def test_ways_that_are_blocked_are_shown_with_what_is_in_the_way() -> None:
    text = EXAMPLE.replace("top = -24, bottom = -150 }", "top = 40, bottom = -150 }")
    stopped = work(parse_job(text.encode(), "crate-shelf.toml"))
    plan = next(plan for plan in stopped.pieces if plan.spec.name == "loop")
    assert orders_of(plan) == ("blocked", "drawn")
    assert plan.order is not None
    steps = motion_of(plan, list(stopped.job.mountings.values()), "blocked")
    assert [(step.bend, step.held, step.blocked) for step in steps] == [
        (one.bend, one.held, one) for one in plan.order.blocked
    ]
    for step in steps:
        assert step.blocked is not None
        if step.blocked.near is not None:
            assert step.closest is not None
            assert step.closest.near.gap == pytest.approx(step.blocked.near.gap, abs=0.03)


def test_skins_of_either_hand_are_right_handed() -> None:
    pulling = a_pulling(4, "wrap")
    for sign in (1.0, -1.0):
        skin = bar_skin(replace(pulling), Round(10.0), "easy", sign)
        assert np.cross(skin.wide, skin.high)[0] == pytest.approx(1.0)


def in_place(points: NDArray[np.float64], place: tuple[float, float, float]) -> NDArray[np.float64]:
    """Points of a frame that has been turned about the die's axis and moved."""
    c, s = math.cos(math.radians(place[2])), math.sin(math.radians(place[2]))
    turned: NDArray[np.float64] = points @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    turned += np.array([place[0], place[1], 0.0])
    return turned


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("order", ["plan", "drawn"])
def test_the_line_of_the_gap_runs_from_the_bar_that_is_drawn_to_the_body_that_is_drawn(
    result: Result, right_handed: Result, hand: str, order: str
) -> None:
    told = result if hand == "left" else right_handed
    plan = told.pieces[0]
    seen = 0
    for step in motion_of(plan, list(told.job.mountings.values()), order):  # type: ignore[arg-type]
        near = step.closest
        assert near is not None
        key = step.keys[near.key]
        bodies = [body for body in step.bodies if body.name == near.near.body]
        assert min(to_body(np.array(near.other), body, key) for body in bodies) < 1e-3
        if near.near.by in ("held", "free"):
            rings = step.skin.held if near.near.by == "held" else step.skin.free
            bar = key.bar[0 if near.near.by == "held" else -1]
            middle = in_place(rings[:, 0], (bar[0], bar[1], bar[2])) + np.array(key.lift)
            # Clearance holds an arc in chords that lie up to 0.25 mm off it, and adds as much to the bar's radius.
            assert to_chain(np.array(near.one), middle) == pytest.approx(6.0 if near.near.gap > 0.0 else 0.0, abs=0.6)
            seen += 1
    assert seen > 0


def to_body(point: NDArray[np.float64], body: SeenBody, key: Key) -> float:
    """How far a point lies outside a box or upright cylinder that is drawn."""
    place = {"die": key.die, "arm": key.arm, "room": (0.0, 0.0, 0.0)}[body.moves]
    middle = in_place(np.array([body.middle]), place)[0]
    axes = in_place(np.array(body.axes), (0.0, 0.0, place[2]))
    local = axes @ (point - middle)
    if body.shape == "box":
        return float(np.maximum(np.abs(local) - np.array(body.half), 0.0).max())
    return float(max(math.hypot(local[0], local[1]) - body.half[0], abs(local[2]) - body.half[2], 0.0))


def to_chain(point: NDArray[np.float64], chain: NDArray[np.float64]) -> float:
    """Distance from a point to a chain of straight lines."""
    least = math.inf
    for a, b in pairwise(chain):
        share = float(np.clip((point - a) @ (b - a) / max(float((b - a) @ (b - a)), 1e-12), 0.0, 1.0))
        least = min(least, float(np.linalg.norm(point - a - share * (b - a))))
    return least


def test_what_is_taken_away_is_near_nothing_while_the_bar_is_carried(result: Result) -> None:
    _, steps = of(result, "loop")
    closest = steps[0].closest
    assert closest is not None
    assert closest.near.by == "follower"
    for key, gap in zip(steps[0].keys, closest.gaps, strict=True):
        assert (gap == math.inf) == (key.moment.when in ("put on", "lifted off"))
