"""How a bar stands at the bench: what is done, what is next, and what there is to say."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from importlib.resources import files
from itertools import permutations

import pytest

from bentwork.clearance.step import step_clearance
from bentwork.errors import InputError
from bentwork.files.bench_json import next_document
from bentwork.files.job_file import parse_job
from bentwork.files.plan_json import plan_document
from bentwork.jobs.bars import Bar, bar_of, bar_words, bars, plan_of
from bentwork.jobs.bench import Bench, bench
from bentwork.jobs.bench_cards import cards
from bentwork.jobs.far_off import plausible
from bentwork.jobs.measured import MadeBend
from bentwork.jobs.work import Result, order_problem, work

DEMO = files("bentwork").joinpath("data", "crate-shelf.toml").read_text("utf-8")
STUCK = """
format = 1
name = "Oar rest"
units = "mm"
[stock.rod]
section = "round"
diameter = 10
material = "S235"
bar_length = 1000
[bender.lever]
kind = "wrap"
radius = 40
max_angle = 180
needs = { straight_held = 42, straight_free = 35, end_held = 60, end_free = 40 }
[piece.rest]
stock = "rod"
bender = "lever"
straights = [45, 40, 200]
bends = [[40, 60, 0], [40, 60, 0]]
"""


@cache
def worked(text: str = DEMO) -> Result:
    return work(parse_job(text.encode(), "job.toml"))


def loop(*made: MadeBend | int) -> Bench:
    """The loop of the example; a bare number is a bend that came out as drawn."""
    result = worked()
    table = plan_of(result, Bar("loop")).table
    assert table is not None
    logged = [MadeBend(one, table.bends[one - 1].angle) if isinstance(one, int) else one for one in made]
    return bench(result, Bar("loop"), logged)


def at_mark(off: float) -> float:
    """Where bend 3 of the loop begins when it comes out so far off its mark."""
    return next(mark.start for mark in worked().pieces[0].marks if mark.bend == 3) + off


def planned() -> list[int]:
    return [step.bend for step in worked().pieces[0].steps]


def codes(found: Bench) -> list[str]:
    return [finding.code for finding in found.findings]


def test_before_the_first_bend_all_of_the_plan_is_ahead() -> None:
    found = loop()
    assert found.ahead == worked().pieces[0].steps
    assert (found.done, found.finished, found.anew, found.findings) == ((), False, False, ())


def test_bends_made_as_planned_leave_the_rest_of_the_plan() -> None:
    order = planned()
    for count in range(len(order) + 1):
        found = loop(*order[:count])
        assert found.done == tuple(order[:count])
        assert found.ahead == worked().pieces[0].steps[count:]
        assert found.finished == (count == len(order))
        assert not found.anew


def test_a_bend_measured_again_is_not_made_again_and_its_last_reading_counts() -> None:
    first, second = planned()[:2]
    found = loop(MadeBend(first, 80.0, "A"), second, MadeBend(first, 89.0))
    assert found.done == (first, second)
    assert found.made[0] == MadeBend(first, 89.0, "A")


def test_the_same_bends_in_another_order_leave_the_same_rest() -> None:
    order = planned()
    found = loop(order[2], order[0], order[1])
    assert [step.bend for step in found.ahead] == order[3:]
    assert not found.anew


@pytest.mark.parametrize("made", [(6,), (8,), (1, 5), (4, 2), (8, 1, 5, 4)])
def test_after_another_order_every_step_that_is_left_clears_what_stands_round(made: tuple[int, ...]) -> None:
    """Each step is measured anew, with the bends made before it, by the clearance of a single step."""
    found = loop(*made)
    plan, job = found.plan, worked().job
    assert found.anew
    assert "order-planned-anew" in codes(found)
    assert sorted([*made, *(step.bend for step in found.ahead)]) == list(range(1, 9))
    assert plan.what is not None
    assert plan.table is not None
    problem = order_problem(plan.spec, plan.stock, plan.what, job.mountings_of("lever"), plan.table)
    before = [bend - 1 for bend in made]
    for number, step in enumerate(found.ahead, len(made) + 1):
        assert step.step == number
        mounting = job.mountings[step.mounting] if step.mounting else None
        gap = step_clearance(problem.piece, problem.bender, mounting, step.bend - 1, step.held, before).gap
        assert gap >= plan.spec.required_clearance - 1e-9
        before.append(step.bend - 1)


def test_turns_bring_every_bend_into_the_plane_of_the_bender_whatever_was_made_before() -> None:
    """The turns so far, added up, undo the direction of the bend that is made (right-hand rule about A to B)."""
    for made in permutations((3, 8, 1), 2):
        found = loop(*made)
        table = found.plan.table
        assert table is not None
        at = table.directions[made[-1] - 1]
        for step in found.ahead:
            at -= step.turn
            assert math.isclose(math.cos(math.radians(at - table.directions[step.bend - 1])), 1.0, abs_tol=1e-9)


def test_where_no_order_is_left_it_says_so_and_gives_no_step() -> None:
    """Worked out by hand: after bend 2 bend 1 finds 40 mm of straight for the 42 held, 45 of end for 60."""
    result = worked(STUCK)
    assert [step.bend for step in result.pieces[0].steps] == [1, 2]
    found = bench(result, Bar("rest"), [MadeBend(2, 60.0)])
    assert (found.next, found.ahead, found.finished) == (None, (), False)
    assert codes(found)[:2] == ["no-order-left", "hits-tool"]
    assert (found.findings[1].bend, found.findings[1].do) == (1, "")
    assert bench(result, Bar("rest"), [MadeBend(1, 60.0)]).ahead == result.pieces[0].steps[1:]


def test_a_piece_that_cannot_be_made_has_no_next_step() -> None:
    result = worked(STUCK.replace("[45, 40, 200]", "[45, 20, 50]"))
    found = bench(result, Bar("rest"))
    assert found.next is None
    assert not found.finished
    assert "stop" in {finding.level for finding in found.findings}


def test_without_anything_known_of_the_tool_the_order_of_the_drawing_goes_on() -> None:
    bare = "\n".join(line for line in STUCK.splitlines() if not line.startswith("needs"))
    found = bench(worked(bare), Bar("rest"), [MadeBend(2, 60.0)])
    assert [step.bend for step in found.ahead] == [1]
    assert not found.anew


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (MadeBend(3, 98.0), "98° was measured, 90° is drawn."),
        (MadeBend(3, 89.0, rotation=20.0), "A rotation of 20° was measured, 0° is drawn."),
        (MadeBend(3, 90.0, position=700.0), "It was found to begin at 700 mm; its mark is at 588.2 mm."),
    ],
)
def test_a_reading_far_from_the_drawing_is_watched_and_kept(made: MadeBend, told: str) -> None:
    found = loop(made)
    assert found.done == (3,)
    assert [(one.code, one.bend, one.told(worked().job.ruler)[1]) for one in found.findings] == [
        ("far-from-drawn", 3, told)
    ]


@pytest.mark.parametrize(
    ("made", "asked"),
    [
        (MadeBend(3, 98.0), "Did you mean 89° (digits swapped)?"),
        (MadeBend(3, 89.0, rotation=172.0), "Did you mean 8° (the other side of the gauge)?"),
        (MadeBend(3, 90.0, position=at_mark(25.0)), "Did you mean 2.5 mm off it towards end B, at 590.7 mm"),
        (MadeBend(3, 90.0, position=at_mark(-18.0)), "Did you mean 1.8 mm off it towards end A, at 586.4 mm"),
        (MadeBend(3, 135.0), "Measure it again."),  # no slip leads there
    ],
)
def test_a_slip_of_the_hand_is_asked_about_in_plain_words(made: MadeBend, asked: str) -> None:
    (finding,) = loop(made).findings
    assert asked in finding.told(worked().job.ruler)[2]
    assert ("Did you mean" in finding.do) == (made.angle != 135.0)
    (kept,) = loop(replace(made, sure=True)).findings
    assert "Did you mean" not in kept.do


@pytest.mark.parametrize("made", [MadeBend(3, 94.9), MadeBend(3, 85.1), MadeBend(3, 90.0, rotation=-7.9)])
def test_a_reading_that_a_hand_may_well_give_is_not_questioned(made: MadeBend) -> None:
    assert loop(made).findings == ()


def test_a_rotation_is_compared_round_the_circle() -> None:
    plan = plan_of(worked(), Bar("loop"))
    assert plan.table is not None
    turned = next(
        n for n, bend in enumerate(plan.table.bends, 1) if abs(bend.rotation) > 170 or abs(bend.rotation) > 80
    )
    drawn = plan.table.bends[turned - 1]
    span = plausible(plan, turned)
    assert span.rotation[0] < drawn.rotation < span.rotation[1]
    again = MadeBend(turned, drawn.angle, rotation=drawn.rotation - math.copysign(360.0, drawn.rotation))
    assert "far-from-drawn" not in codes(loop(again))


def test_bends_logged_to_another_version_of_the_file_are_told() -> None:
    version = worked().job.version
    assert codes(loop(MadeBend(planned()[0], 90.0, version=version))) == []
    assert codes(loop(MadeBend(planned()[0], 90.0, version="000000"))) == ["job-changed-since"]


def test_every_bar_is_listed_one_by_one() -> None:
    result = worked(DEMO.replace("mirror = true ", "count = 2\nmirror = true "))
    assert [bar_words(bar, 2 if bar.piece == "stay" else 1) for bar in bars(result)] == [
        "loop",
        "stay RIGHT, 1 of 2",
        "stay RIGHT, 2 of 2",
        "stay LEFT, 1 of 2",
        "stay LEFT, 2 of 2",
        "bracket",
    ]
    assert bar_of(result.job, "stay") == Bar("stay", "right", 1)
    assert bar_of(result.job, "stay", "left", 2) == Bar("stay", "left", 2)


def test_a_bar_that_is_not_there_is_refused() -> None:
    job = worked().job
    with pytest.raises(InputError, match="the name of a piece in this job: loop, crossbar, stay, bracket"):
        bar_of(job, "ring")
    with pytest.raises(InputError) as refused:
        bar_of(job, "loop", "left", 4)
    assert [fault.where for fault in refused.value.faults] == ["hand", "number"]


def test_the_other_hand_has_its_own_plan() -> None:
    right, left = (plan_of(worked(), Bar("stay", hand)) for hand in ("right", "left"))
    assert right.opposite is left


def test_the_next_step_has_the_form_of_a_step_of_the_plan() -> None:
    """The contract: the keys of a step, and ``done``, ``finished``, ``advice``, ``correct`` and the expected gap."""
    steps = plan_document(worked())["pieces"][0]["steps"]
    told = next_document(worked().job, loop(planned()[0]))
    assert {key: told[key] for key in steps[1]} == steps[1]
    assert (told["done"], told["finished"]) == ([planned()[0]], False)
    open_keys = ("advice", "correct", "expected_gap_mm", "expected_gap_sd_mm")
    assert [told[key] for key in open_keys] == [None] * 4
    last = next_document(worked().job, loop(*planned()))
    assert last["finished"]
    assert [last[key] for key in steps[0]] == [None] * len(steps[0])


def test_a_card_is_there_for_every_step_made_and_to_come() -> None:
    found = loop(*planned()[:3])
    assert [card.bend for card in cards(worked(), found)] == planned()
    assert [card.step for card in cards(worked(), found)] == list(range(1, 9))


@pytest.mark.parametrize("bar", [Bar("loop"), Bar("stay", "right"), Bar("stay", "left"), Bar("bracket")])
def test_the_picture_rolls_the_line_from_where_it_was_to_where_it_shall_be(bar: Bar) -> None:
    for card in cards(worked(), bench(worked(), bar)):
        view = card.end_view
        if view.line_was is not None:
            apart = view.line_was + view.roll - view.line_at
            assert math.isclose(math.cos(math.radians(apart)), 1.0, abs_tol=1e-9)


@pytest.mark.parametrize(
    ("hand", "held", "rotation", "line_at", "roll", "turn"),
    [
        # By hand, with a piece of cardboard for the bar. The line is on the inside of bend 1: a left-hand bender bends
        # away from the lever (9 o'clock, seen from the held end at the left), a right-hand one towards it (3 o'clock).
        ("left", "A", 90.0, 180.0, -90.0, "Roll it 90° away from you"),
        ("left", "A", -90.0, 0.0, 90.0, "Roll it 90° towards you"),
        ("left", "A", 180.0, 90.0, 180.0, "Turn the bar over"),
        ("left", "B", 90.0, 0.0, 90.0, "Roll it 90° towards you"),
        ("right", "A", 90.0, 0.0, -90.0, "Roll it 90° away from you"),
        ("left", "A", 0.0, 270.0, 0.0, "Do not turn the bar"),
        ("left", "A", 0.4, 269.6, 0.0, "Do not turn the bar"),  # nobody can: then no arrow is drawn either
    ],
)
def test_which_way_to_roll(hand: str, held: str, rotation: float, line_at: float, roll: float, turn: str) -> None:
    text = STUCK.replace("[45, 40, 200]", "[300, 300, 300]").replace(
        "[40, 60, 0], [40, 60, 0]", f"[40, 60, 0], [40, 60, {rotation}]"
    )
    result = worked(text.replace('kind = "wrap"', f'kind = "wrap"\nhand = "{hand}"'))
    found = bench(result, Bar("rest"))
    ahead = tuple(replace(step, held="A" if held == "A" else "B") for step in sorted(found.ahead, key=lambda s: s.bend))
    one, two = ahead
    two = replace(two, turn=-rotation if rotation != 180.0 else 180.0)
    first, second = cards(result, replace(found, ahead=(one, two)))
    assert first.end_view.line_at == (270.0 if hand == "left" else 90.0)
    assert first.end_view.line_was is None
    assert math.isclose(second.end_view.line_at, line_at, abs_tol=1e-6)
    assert abs(second.end_view.roll) == abs(roll)
    assert second.end_view.roll == roll or abs(roll) == 180.0
    assert second.turn == turn


def test_turned_end_for_end_the_picture_says_only_where_the_line_shall_be() -> None:
    found = loop()
    one, two, *rest = found.ahead
    card = cards(worked(), replace(found, ahead=(one, replace(two, held="A"), *rest)))[1]
    assert card.swap
    assert card.turn == "Swap the ends: end A goes into the bender"
    assert (card.end_view.line_was, card.end_view.roll) == (None, 0.0)
    assert cards(worked(), found)[1].line == "line faces down"
    assert card.line == "line faces up"  # with the other end on the left, clockwise is the other way round
