"""The best way on with a bar: what is read, what is told, and that it is right on a bar walked along by itself."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from importlib.resources import files

import numpy as np
import pytest
from scipy.stats import norm

from bentwork.files.bench_json import next_document
from bentwork.files.job_file import parse_job
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, STRETCH
from bentwork.fitup.readings import Reading
from bentwork.jobs.as_made import _by_hand
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.bench import bench
from bentwork.jobs.far_off import far_off
from bentwork.jobs.fitting import Fitting, fitting_of, left_by
from bentwork.jobs.going_on import GoingOn, going_on
from bentwork.jobs.measured import MadeBend, Measured, MeasuredSize
from bentwork.jobs.sizes import readable, reading_of
from bentwork.jobs.work import Result, work
from bentwork.piece.centreline import Centreline
from bentwork.sheets.outlook_words import gap_words, moved_words
from bentwork.units import INCH
from tests.virtual_workshop import _laid_on

DEMO = files("bentwork").joinpath("data", "crate-shelf.toml").read_text("utf-8")
BARE = """
format = 1
name = "Oar rest"
units = "mm"
[stock.rod]
section = "round"
diameter = 12
material = "S235"
bar_length = 3000
price = 6.0
[bender.lever]
kind = "wrap"
radius = 36
springback = 1.05
accuracy = { angle = 1.0, rotation = 1.5, position = 0.7 }
[piece.rest]
stock = "rod"
bender = "lever"
straights = [150, 200, 180, 160]
bends = [[36, 90, 0], [36, 60, 90], [36, 90, -90]]
trim = 10
"""


def chance() -> np.random.Generator:
    return np.random.default_rng(20)


@cache
def worked(text: str = BARE) -> Result:
    return work(parse_job(text.encode(), "job.toml"))


def on(*logged: Measured, text: str = BARE, piece: str = "rest") -> GoingOn:
    result = worked(text)
    mountings = result.job.mountings_of("lever")
    return going_on(bench(result, Bar(piece), logged), chance, None, mountings)


def fitting(text: str = BARE) -> Fitting:
    found = fitting_of(plan_of(worked(text), Bar("rest")))
    assert found is not None
    return found


def test_before_the_first_bend_the_steps_are_those_of_the_plan() -> None:
    found = on()
    assert found.bench.ahead == worked().pieces[0].steps
    assert found.bench.outlook.advice == "carry on"
    assert found.bench.outlook.expected_gap is not None


def test_what_comes_out_as_drawn_leaves_the_rest_as_planned() -> None:
    steps = worked().pieces[0].steps
    found = on(MadeBend(1, 90.0, "A", pulled=94.5))
    assert [step.mark for step in found.bench.ahead] == pytest.approx([step.mark for step in steps[1:]], abs=1.0)
    assert [step.bend_to for step in found.bench.ahead] == pytest.approx([step.bend_to for step in steps[1:]], abs=0.6)
    assert found.bench.outlook.advice == "carry on"


def test_the_pull_and_what_is_left_of_it_are_one_anothers_opposite() -> None:
    what = fitting().what
    assert left_by(what, what.bend_to(73.0)) == pytest.approx(73.0, abs=1e-6)
    assert left_by(what, 94.5) == pytest.approx(90.0, abs=1e-6)  # 94.5 / 1.05


def test_a_turn_that_went_wrong_is_taken_back_by_the_next() -> None:
    """Bend 2 was turned 3 degrees too far: the next turn is 3 degrees less, up to what other bends make up for."""
    first = (MadeBend(1, 90.0, "A", pulled=94.5),)
    before = on(*first, MadeBend(2, 60.0, "A", rotation=90.0, pulled=63.0)).bench.next
    after = on(*first, MadeBend(2, 60.0, "A", rotation=93.0, pulled=63.0)).bench.next
    assert before is not None
    assert after is not None
    assert 0.5 < after.turn - before.turn < 6.0  # the bender turns the other way than the piece


def _bent(found: GoingOn, errors: tuple[float, float, float], real: np.ndarray, log: list[Measured]) -> None:
    """Make the step that is next, with errors of angle, rotation and place, and log what came out."""
    step, fit = found.bench.next, found.fitting
    assert step is not None
    assert fit is not None
    k = step.bend - 1
    last = log[-1].bend - 1 if log and isinstance(log[-1], MadeBend) else None
    real[ANGLE, k] = left_by(fit.what, step.bend_to) + errors[0]
    real[DIRECTION, k] = 0.0 if last is None else real[DIRECTION, last] - step.turn + errors[1]
    real[PLACE, k] = fit.place(step.bend, step.mark) + errors[2]
    rotation = real[DIRECTION, k] - real[DIRECTION, last] if last is not None and last == k - 1 else None
    rotation = None if rotation is None else math.remainder(rotation, 360.0)
    log.append(MadeBend(step.bend, real[ANGLE, k], step.held, rotation, real[PLACE, k] + 10.0, pulled=step.bend_to))


def missed(seed: int, *, mend: bool) -> float:
    """By how much the worst corner or end of a real bar is off; its truth goes by ``Centreline``, laid on by SVD."""
    rng = np.random.default_rng(seed)
    errors = [(rng.normal(0.0, 2.0), rng.normal(0.0, 3.0), rng.normal(0.0, 1.0)) for _ in range(2)]
    log: list[Measured] = []
    real = np.zeros((5, 3))
    fit = fitting()
    real[[RADIUS, STRETCH]] = fit.start[[RADIUS, STRETCH]]
    for error in (*errors, (0.0, 0.0, 0.0)):
        found = on(*log)
        _bent(found if mend else replace(found, bench=bench(worked(), Bar("rest"), log)), error, real, log)
    wanted = np.array(Centreline(fit.bar.table()).corners)
    points = np.array(Centreline(fit.bar.with_values(real).table()).corners)
    return float(np.linalg.norm(_laid_on(points, wanted) - wanted, axis=1).max())


def test_mended_steps_bring_real_bars_nearer_to_their_drawing_than_those_of_the_plan() -> None:
    """Marks, turns and pulls alone pass to the maker; the first two bends of three go wrong."""
    plain = [missed(seed, mend=False) for seed in range(12)]
    mended = [missed(seed, mend=True) for seed in range(12)]
    assert sum(mended) < 0.9 * sum(plain)
    assert sum(one < other for one, other in zip(mended, plain, strict=True)) >= 9


def test_a_bend_far_over_is_set_by_hand_and_counted_when_it_is_measured_again() -> None:
    made = [MadeBend(1, 90.0, "A", pulled=94.5), MadeBend(2, 60.0, "A", 90.0, pulled=63.0)]
    last = MadeBend(3, 93.0, "A", -90.0, pulled=94.5)
    found = on(*made, last)
    told = found.bench.outlook
    assert told.advice == "correct"
    assert dict(told.correct or ())[3] < -1.0
    assert "set-by-hand" in {finding.code for finding in found.bench.findings}
    by = dict(told.correct or ())[3]
    again = on(*made, last, MadeBend(3, 93.0 + by, "A"))
    assert again.made is not None
    assert again.made.so_far.set_times[2] == 1
    assert again.made.so_far.set_by[2] == pytest.approx(-by, abs=0.1)
    assert again.made.found.values[ANGLE, 2] == pytest.approx(93.0 + by, abs=0.4)
    assert abs(dict(again.bench.outlook.correct or ()).get(3, 0.0)) < 1.0


@pytest.mark.parametrize(("over", "code"), [(0.2, "as-near-as-it-comes"), (0.6, "set-by-hand"), (0.0, None)])
def test_what_is_finer_than_a_hand_sets_is_said_and_not_asked(over: float, code: str | None) -> None:
    """Half a millimetre at the end of a leg of 336 is a twelfth of a degree; no hand sets a fifth of one."""
    text = BARE[: BARE.index("straights")] + "straights = [200, 300]\nbends = [[36, 90, 0]]\n"
    text += "tolerance = { position = 0.5 }\n"
    start = worked(text).pieces[0].marks[0].start
    made = MadeBend(1, 90.0 + over, "A", position=start, pulled=94.5, angle_sd=0.05, position_sd=0.05)
    legs = [MeasuredSize("leg", 36.0 + one, k, k + 1, "middle", 0.1) for k, one in enumerate((200.0, 300.0))]
    found = on(made, *legs, text=text).bench
    assert [one.code for one in found.findings] == ([] if code is None else [code])
    if code == "as-near-as-it-comes":
        (said,) = found.findings
        assert found.outlook.advice == "carry on"
        assert found.outlook.correct == ()
        assert said.why == "Nearer still were to open bend 1 by 0.2°; less than 0.5° is no more than luck."
        assert said.do == "Set nothing: leave it as it is."


def test_a_bend_measured_twice_the_same_was_not_set_by_hand() -> None:
    found = on(MadeBend(1, 90.4, "A", pulled=94.5), MadeBend(1, 90.2, "A", pulled=94.5))
    assert found.made is not None
    assert found.made.so_far.set_times == (0, 0, 0)


def test_what_was_told_is_taken_as_done_where_the_reading_does_not_speak_against_it() -> None:
    """Not told again because a finder reads less of it: done twice it would spoil the bar (ours, no source)."""
    made = [MadeBend(1, 90.0, "A", pulled=94.5), MadeBend(2, 60.0, "A", 90.0, pulled=63.0)]
    made.append(MadeBend(3, 93.0, "A", -90.0, pulled=94.5))
    by = dict(on(*made).bench.outlook.correct or ())[3]
    for share, times in ((0.65, 1), (0.0, 0)):
        again = on(*made, MadeBend(3, 93.0 + share * by, "A"))
        assert again.made is not None
        assert again.made.so_far.set_times[2] == times


@pytest.mark.parametrize(("change", "odds", "done"), [(0.6, 9.0, True), (0.6, 1.0, False), (-0.4, 9.0, False)])
def test_a_straight_that_a_poor_finder_reads_is_judged_by_odds_and_densities(
    change: float, odds: float, done: bool
) -> None:
    """Told 1.7 degrees, read to 0.8: odds times the ratio of the densities that scipy gives."""
    ratio = norm.pdf(change, 1.7, 0.8) / norm.pdf(change, 0.0, 0.8)
    assert (odds * ratio > 1.0) == done
    assert (_by_hand(change, 1.7, 0.8, odds) == 1.7) == done


def test_digits_swapped_are_asked_about() -> None:
    made = [MadeBend(1, 98.0, "A", pulled=94.5)]
    doubts = [finding for finding in on(*made).bench.findings if finding.code == "reading-in-doubt"]
    assert len(doubts) == 1
    assert "Did you mean" in doubts[0].says


def test_start_again_is_said_of_a_lost_bar_only() -> None:
    """Bends 10 degrees over, all three read well, cannot be set by the 3 degrees that soft bar stands."""
    fine = on(*(MadeBend(k, angle, "A", pulled=1.05 * angle) for k, angle in ((1, 90.0), (2, 60.0), (3, 92.0))))
    assert fine.bench.outlook.advice != "start again"
    lost = on(
        *(
            MadeBend(k, angle + 12.0, "A", pulled=1.05 * (angle + 12.0))
            for k, angle in ((1, 90.0), (2, 60.0), (3, 90.0))
        )
    )
    assert lost.bench.outlook.advice == "start again"
    assert "start-again" in {finding.code for finding in lost.bench.findings}


def test_a_loop_whose_rotations_nobody_measured_is_to_be_measured_before_it_is_set() -> None:
    log: list[Measured] = []
    for _ in range(8):
        found = on(*log, text=DEMO, piece="loop")
        step = found.bench.next
        assert step is not None
        table = found.bench.plan.table
        assert table is not None
        log.append(MadeBend(step.bend, table.bends[step.bend - 1].angle, step.held, pulled=step.bend_to))
    found = on(*log, text=DEMO, piece="loop")
    assert "measure-first" in {finding.code for finding in found.bench.findings}
    assert found.bench.outlook.correct == ()


def test_the_outside_of_a_leg_is_longer_by_half_the_bar_at_a_right_angle() -> None:
    """Worked out by hand: outside of a square corner of 12 mm bar lies 6 mm beyond where the middles meet."""
    outside = reading_of(MeasuredSize("leg", 192.0, 0, 1, "outside"), fitting(), [1])
    inside = reading_of(MeasuredSize("leg", 180.0, 0, 1, "inside"), fitting(), [1])
    middle = reading_of(MeasuredSize("leg", 186.0, 0, 1, "middle"), fitting(), [1])
    assert outside is not None
    assert inside is not None
    assert middle is not None
    # From the end to the corner along the leg: the skin's corner also lies 6 mm to the side.
    assert outside.value == pytest.approx(186.0, abs=0.15)
    assert inside.value == pytest.approx(186.0, abs=0.15)
    assert (middle.value, middle.number) == (186.0, 1)


def test_what_is_not_there_cannot_be_measured() -> None:
    assert readable(MeasuredSize("gap", 1.0), 3, [1, 2, 3], closed=False)
    assert readable(MeasuredSize("gap", 1.0), 3, [1, 2], closed=True)
    assert "bend 2" in readable(MeasuredSize("leg", 200.0, 1, 2), 3, [1], closed=False)
    assert not readable(MeasuredSize("leg", 200.0, 1, 2), 3, [1, 2], closed=False)
    assert not readable(MeasuredSize("gap", 1.0), 3, [1, 2, 3], closed=True)
    for size in (
        MeasuredSize("across", 500.0, 0, 4),
        MeasuredSize("leg", 100.0, 2, 4),
        MeasuredSize("height", 9.0, 1, 4),
    ):
        assert "is cut when every bend is made" in readable(size, 3, [1, 2], closed=True)
        assert "is cut" not in readable(size, 3, [1, 2], closed=False)
    assert not readable(MeasuredSize("across", 500.0, 0, 4), 3, [1, 2, 3], closed=True)


def test_a_small_gap_does_not_hide_what_fails() -> None:
    ruler = worked().job.ruler
    said = gap_words(1.5, 0.4, 0.07, ruler, closed=True, fails="corner 4")
    assert said.startswith("gap at the ends 1.5 mm ± 0.4 mm, good in at most 7% of cases; else ")
    assert said.endswith("else it is mostly corner 4 that is too far out")
    short = gap_words(1.5, 0.4, 0.07, ruler, closed=True, fails="offset", short=True)
    assert short == "gap 1.5 ± 0.4 mm, good at most 7%, else the offset of the ends is out"
    assert "else" not in gap_words(1.5, 0.4, 0.97, ruler, closed=True, fails="corner 4")
    found = on(*(MadeBend(k, angle, "A", pulled=1.05 * angle) for k, angle in ((1, 90.0), (2, 60.0), (3, 97.0))))
    assert found.mend is not None
    assert found.bench.outlook.fails == found.mend.after.fails


def test_a_leg_that_was_measured_short_says_where_its_bend_lies() -> None:
    """The leg to bend 1 is 186 mm as drawn (150 + 36 tan 45°); measured 2 mm short, the bend began earlier."""
    plain = on(MadeBend(1, 90.0, "A", pulled=94.5)).made
    short = on(MadeBend(1, 90.0, "A", pulled=94.5), MeasuredSize("leg", 184.0, 0, 1, "middle", 0.2)).made
    assert plain is not None
    assert short is not None
    assert short.found.values[PLACE, 0] < plain.found.values[PLACE, 0] - 0.8


STRAIGHT = (MadeBend(1, 90.0, "A", pulled=94.5), MadeBend(2, 60.0, "A", 90.0, pulled=63.0))


def test_a_reading_that_was_questioned_and_is_right_counts_as_it_is() -> None:
    """98 for 90 is left out; said to be right, the bend is taken to be 8° over, and no other is doubted for it."""
    odd, sure = MadeBend(1, 98.0, "A", pulled=94.5), MadeBend(1, 98.0, "A", pulled=94.5, sure=True)
    left_out, counts = on(odd), on(sure)
    assert left_out.made is not None
    assert counts.made is not None
    assert left_out.made.found.values[ANGLE, 0] < 92.0
    assert counts.made.found.values[ANGLE, 0] == pytest.approx(98.0, abs=0.4)
    assert not [one for one in counts.bench.findings if one.code == "reading-in-doubt"]
    far = next(one for one in counts.bench.findings if one.code == "far-from-drawn")
    assert far.says == "Bend 1 is 8° too far."
    assert "it counts" in far.why
    with_others = on(sure, STRAIGHT[1])
    assert with_others.made is not None
    assert not [one for one in with_others.made.doubts if one.doubt.left_out]


def test_a_doubtful_reading_that_comes_twice_is_no_slip() -> None:
    odd = MadeBend(1, 98.0, "A", pulled=94.5)
    twice, otherwise = on(odd, MadeBend(1, 97.6, "A")), on(odd, MadeBend(1, 89.4, "A"))
    assert twice.made is not None
    assert otherwise.made is not None
    assert twice.made.found.values[ANGLE, 0] == pytest.approx(97.6, abs=0.5)
    assert otherwise.made.found.values[ANGLE, 0] == pytest.approx(89.5, abs=0.6)
    assert otherwise.made.so_far.set_times == (0, 0, 0)  # measured again, not set by hand


def test_a_place_that_is_measured_twice_is_no_slip_either() -> None:
    """25 mm off the mark is left out until it is settled; found there once more it counts, found on it that counts."""
    start = worked().pieces[0].marks[0].start
    odd = MadeBend(1, 90.0, "A", pulled=94.5, position=start + 25.0)
    (asked,) = (one for one in on(odd).bench.findings if one.code == "reading-in-doubt")
    assert "25 mm off its mark towards end B" in asked.told(worked().job.ruler)[0]
    found = {}
    for again in (24.5, 0.4):
        made = on(odd, MadeBend(1, 90.0, "A", position=start + again)).made
        assert made is not None
        assert not [one for one in made.doubts if one.doubt.left_out]
        found[again] = float(made.found.values[PLACE, 0])
    assert found[24.5] - found[0.4] == pytest.approx(24.0, abs=1.0)


def test_a_size_is_told_of_the_bar_as_it_was_when_it_was_read() -> None:
    """From end A to end B with bend 1 alone: bends made later do not make it a slip of the tape.

    By hand: one square bend, its legs 150 + 36 mm and what is left of the bar, straight, with a setback of 36 mm.
    """
    fit = fitting()
    legs = 150.0 + 36.0, fit.bar.length - 150.0 - math.pi / 2.0 * 36.0 + 36.0
    across = MeasuredSize("across", math.hypot(*legs), 0, 4, "middle")
    first, *later = STRAIGHT
    found = on(first, across, *later)
    assert found.made is not None
    assert not found.made.doubts
    assert found.made.found.values[ANGLE, 1] == pytest.approx(60.0, abs=0.3)
    after = on(first, *later, across)  # read with both bends made, that cannot be
    assert after.made is not None
    assert [one.doubt.left_out for one in after.made.doubts] == [True]


def test_where_a_bend_begins_says_less_of_a_bend_that_is_held_by_end_b() -> None:
    """What is lined up is then its end, which lies behind it by the bar it took: that is not known to half a mm."""
    start = next(mark.start for mark in worked().pieces[0].marks if mark.bend == 3)
    by_a, by_b = (on(MadeBend(3, 90.0, held, position=start + 1.0, pulled=94.5)) for held in ("A", "B"))
    assert by_a.made is not None
    assert by_b.made is not None
    value, _ = by_b.made.found.foretold(Reading("begins", 0.0, 3))
    assert value == pytest.approx(start + 1.0 - 10.0, abs=0.5)
    assert by_b.made.found.sd[PLACE, 2] > 1.3 * by_a.made.found.sd[PLACE, 2]


def test_bends_that_were_set_together_are_each_counted_when_they_are_measured() -> None:
    """Two are told to be set; both are, and then measured one after the other."""
    made = [MadeBend(1, 90.0, "A", pulled=94.5), MadeBend(2, 62.8, "A", 90.0, pulled=63.0)]
    made.append(MadeBend(3, 93.0, "A", -90.0, pulled=94.5))
    told = dict(on(*made).bench.outlook.correct or ())
    assert set(told) >= {2, 3}
    again = on(*made, MadeBend(2, 62.8 + told[2], "A"), MadeBend(3, 93.0 + told[3], "A"))
    assert again.made is not None
    assert again.made.so_far.set_times[1:] == (1, 1)
    assert again.made.found.values[ANGLE, 1:] == pytest.approx([62.8 + told[2], 93.0 + told[3]], abs=0.5)


def test_what_was_set_and_turned_is_taken_from_the_log_where_it_is_there() -> None:
    plan = worked().pieces[0].steps
    usual = on(MadeBend(1, 90.0, "A", pulled=94.5, mark=plan[0].mark))
    later = on(MadeBend(1, 90.0, "A", pulled=94.5, mark=plan[0].mark + 3.0))
    assert usual.made is not None
    assert later.made is not None
    assert later.made.meant[PLACE, 0] == pytest.approx(usual.made.meant[PLACE, 0] + 3.0)
    turned = on(STRAIGHT[0], MadeBend(2, 60.0, "A", pulled=63.0, turn=plan[1].turn - 4.0))
    assert turned.made is not None
    assert turned.made.meant[DIRECTION, 1] == pytest.approx(94.0, abs=1e-6)


def test_a_mark_that_moved_says_by_how_much_and_why() -> None:
    """Bend 1 found 4 mm late: the bend after it is moved, and it says so."""
    start = next(mark.start for mark in worked().pieces[0].marks if mark.bend == 1)
    bench_now = on(MadeBend(1, 90.0, "A", position=start + 4.0, pulled=94.5)).bench
    sheet = {step.bend: step.mark for step in worked().pieces[0].steps}
    assert bench_now.moved
    for one in bench_now.moved:
        step = next(step for step in bench_now.ahead if step.bend == one.bend)
        assert one.by == pytest.approx(step.mark - sheet[one.bend], abs=1e-6)
    first = bench_now.moved[0]
    ruler = worked().job.ruler
    words = moved_words(first.by, first.why, first.of, first.off, ruler)
    assert "than the sheet: " in words
    assert first.why in ("place", "begins")
    assert moved_words(1.5, "drawn in", 1, -0.8, ruler) == "1.5 later than the sheet: bend 1 drew in less"


def test_what_is_best_measured_takes_most_of_what_is_not_known() -> None:
    """Bends that begin on their marks, no rotation read: it, or a tape across, tells most; read, it tells little."""
    starts = {mark.bend: mark.start for mark in worked().pieces[0].marks}
    made = [replace(one, position=starts[one.bend], position_sd=0.05) for one in STRAIGHT]
    bare, known = on(made[0], replace(made[1], rotation=None)), on(*made)
    best = bare.bench.measure[0]
    assert best.tells == max(one.tells for one in bare.bench.measure)
    assert (best.kind, best.start) in {("rotation", 2), ("across", 0), ("across", 1)}
    told = {(one.kind, one.start, one.end): one.tells for one in known.bench.measure}
    assert told.get((best.kind, best.start, best.end), 0.0) < best.tells
    assert next_document(worked().job, bare.bench)["measure"][0]["kind"] == best.kind


def test_a_job_in_inches_is_asked_about_slips_of_a_tape_in_inches() -> None:
    text = BARE.replace('"mm"', '"in"').replace("diameter = 12", 'diameter = "1/2"').replace("= 3000", "= 120")
    text = (
        text.replace("36", "1.5").replace("[150, 200, 180, 160]", "[6, 8, 7, 6.5]").replace("trim = 10", "trim = 0.5")
    )
    result = worked(text)
    first, second = plan_of(result, Bar("rest")).marks[:2]
    # Bend 2 begins at a place that the maker reads to a sixteenth, and keys in with two figures changed over.
    place = round(second.start / INCH * 16) / 16
    figures = f"{int(place):02d}"
    swapped = int(figures[::-1]) + place % 1.0
    assert figures != figures[::-1]
    bends = [MadeBend(1, 90.0, position=first.start), MadeBend(2, 60.0, position=swapped * INCH)]
    asked = [one.told(result.job.ruler) for one in on(*bends, text=text).bench.findings]
    words = " ".join(part for told in asked for part in told)
    assert f"at {result.job.ruler.length(place * INCH)} (digits swapped)" in words
    as_mm = " ".join(
        part for one in far_off(plan_of(result, Bar("rest")), bends, "mm") for part in one.told(result.job.ruler)
    )
    assert "digits swapped" not in as_mm
