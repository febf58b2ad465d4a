"""What the frame must fit, from a job to its findings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.jobs.carried import carried
from bentwork.jobs.carried_seen import seen_bars
from bentwork.jobs.fit_round import FitRound, fit_round, with_fit_round
from bentwork.jobs.fit_told import end_words, going_words, pair_words, room_words, stay_words, way_words
from bentwork.jobs.measure_papers import measure_subject
from bentwork.jobs.room_left import turned_sides
from bentwork.jobs.work import work
from bentwork.sheets.measure_sheet import measure_sheet
from bentwork.sheets.subject import A4
from bentwork.units import Ruler
from tests.unit.files.job_texts import job, swapped
from tests.unit.files.measured_texts import BOAT

MM = Ruler()


def fitted(text: str = BOAT) -> FitRound:
    return fit_round(work(job(text)))


def codes(found: FitRound) -> list[str]:
    return [one.code for one in found.findings]


def test_left_is_higher_than_right() -> None:
    found = fitted()
    assert found.points is not None
    assert found.points.sides is not None
    only = found.points.sides.differences[0]
    assert only.up == pytest.approx(4.0, abs=0.5)  # 370 against 366 above the ground
    assert "left-and-right-differ" in codes(found)
    told = next(one for one in found.findings if one.code == "left-and-right-differ")
    assert told.says == "left lug is {off} higher than right lug."


def test_a_straight_stay() -> None:
    found = fitted()
    left = found.stays[0]
    assert left.bends == 0
    assert left.straight == pytest.approx(math.dist(left.laid.start, left.laid.end))
    # cut: from the surface of the hoop to a hole's end beyond the hole
    assert left.cut_length == pytest.approx(left.straight - left.laid.cut_back[0] + 13.2, abs=3e-3)
    assert left.plan is not None
    assert 0.5 < left.moved.length < 3.0
    assert left.slot is not None
    assert left.slot > 6.6 + 2.0 * left.moved.length  # 95 in a hundred is further than one standard deviation
    assert left.tongues[1] == pytest.approx(
        math.degrees(math.asin(abs(left.laid.end[1] - 300.0) / left.straight)), abs=1e-3
    )
    assert left.pair is not None
    assert left.pair.other == "right brace"
    assert any("hole to hole" in line or "to the hole" in line for line in stay_words(left, MM))
    assert "pressed flat" in end_words(left, 1, MM)
    assert "welded on" in end_words(left, 0, MM)
    assert "right brace" in pair_words(left, MM)


def test_a_misread_tape_shows() -> None:
    text = swapped('"right lug"], reads = 660, accuracy = 1', '"right lug"], reads = 690, accuracy = 1', BOAT)
    found = fitted(text)
    odd = [one for one in found.findings if one.code == "reading-in-doubt"]
    assert odd
    assert "disagrees with the rest" in odd[0].says


def test_what_is_not_told_stops_its_stay() -> None:
    text = swapped('  { kind = "distance", of = ["stern", "left lug"], reads = 537.4 },\n', "", BOAT)
    text = swapped('  { kind = "slope", of = ["left lug", "right lug"], reads = 660, accuracy = 1 },\n', "", text)
    line = '  { kind = "string", of = ["left lug", "right lug", "stern"], along = 330, off = 424.3 },\n'
    text = swapped(line, "", text)
    found = fitted(text)
    assert "point-not-told" in codes(found)
    stopped = next(one for one in found.findings if one.code == "stay-not-told")
    assert stopped.level == "stop"
    assert "left brace" in stopped.says
    assert found.points is not None
    assert found.points.missing
    assert "left lug" in found.points.missing[0].points


def test_a_point_far_from_its_sketch_is_told() -> None:
    assert "far-from-sketch" not in codes(fitted())
    moved = swapped("near = [420, 330, 60]", "near = [420, 330, 260]", BOAT)
    told = next(one for one in fitted(moved).findings if one.code == "far-from-sketch")
    assert told.lengths["away"] == pytest.approx(200.0, abs=10.0)
    assert told.at is not None


IN_THE_WAY = """
[keepout.thwart]
shape = "box"
x = [150, 260]
y = [-420, 420]
z = [230, 260]
clearance = 10
"""


def test_a_stay_goes_round() -> None:
    found = fitted(BOAT + IN_THE_WAY)
    left, right = found.stays
    assert left.bends == 1  # it has a radius
    assert left.developed > left.straight
    assert left.laid.way.clear
    assert right.bends == 0  # it has none
    assert not right.laid.way.clear
    by_code = {one.code: one for one in found.findings}
    assert by_code["stay-bent-round"].piece == "left brace"
    assert by_code["stay-fouls"].level == "stop"
    assert by_code["stay-fouls"].piece == "right brace"
    assert by_code["in-keep-out"].level == "stop"
    room = {one.out.name: one for one in found.rooms}
    assert room["thwart"].drawn.bar == "right brace"
    # without the one that cannot be bent, the bent one clears what is wanted
    alone = BOAT[: BOAT.index('[stay."right brace"]')] + BOAT[BOAT.index("[keepout.lid]") :] + IN_THE_WAY
    clear = {one.out.name: one for one in fitted(alone).rooms}["thwart"]
    assert clear.drawn.near.gap >= 10.0 - 0.05


def test_the_lid_swings_past_the_hoop() -> None:
    found = fitted()
    room = found.rooms[0]
    # At 95 degrees the lid's upper edge leans back over the hoop; by hand: it stands at x = 30 - 220 sin 5 - …
    assert room.drawn.bar == "hoop"
    assert room.drawn.near.angle == pytest.approx(95.0)
    assert room.drawn.near.gap < 12.0
    assert "near-keep-out" in codes(found)
    assert "swung by 95°" in room_words(room, MM)


def test_the_door() -> None:
    found = fitted()
    way = found.ways[0]
    assert way.passed.spare > 0.0
    assert "left" in way_words(way, MM)
    assert "going towards" in way_words(way, MM)
    assert "[" not in way_words(way, MM)
    narrow = fitted(swapped("width = 640", "width = 300", BOAT))
    assert "does-not-pass" in codes(narrow)


@pytest.mark.parametrize(
    ("along", "words"),
    [
        ((-1.0, 0.0, 0.0), "towards x −"),
        ((0.0, 0.0, 7.0), "towards z +"),
        ((0.02, -1.0, 0.0), "towards y −"),
        ((1.0, 1.0, 0.0), "towards x +, turned 45° to y +"),
        ((3.0, -4.0, 12.0), "towards z +, turned 23° to y − and x +"),  # a box of 3, 4, 12 is 13 long; acos 12/13
    ],
)
def test_a_way_is_told_in_words(along: tuple[float, float, float], words: str) -> None:
    assert going_words(along) == words


LOADED = """
[payload]
name = "outboard"
mass = 60
centre = [0, 0, 430]
on = ["hoop"]

[fixing.left]
piece = "hoop"
at = [0, 300, 260]
held = "fixed"

[fixing.right]
piece = "hoop"
at = [0, -300, 260]
held = "fixed"

[keepout.tiller]
shape = "capsule"
from = [0, -20, 401]
to = [0, 20, 401]
radius = 10
clearance = 0.5
"""


def test_a_loaded_frame_comes_nearer() -> None:
    """Under a load on it the hoop sags; below it is the tiller."""
    alone = BOAT[: BOAT.index("[measured]")] + LOADED
    room = next(one for one in fitted(alone).rooms if one.out.name == "tiller")
    assert room.drawn.near.gap == pytest.approx(1.0, abs=0.05)  # 420 - 8 - 411
    assert room.loaded is not None
    assert room.loaded.near.gap < room.drawn.near.gap - 0.1
    assert room.worst.case is not None


def test_findings_join_those_of_the_job() -> None:
    result = work(job(BOAT))
    more = with_fit_round(result).findings
    assert len(more) == len(result.findings) + len(fit_round(result).findings)


def test_a_job_without_any_of_it() -> None:
    found = fitted(BOAT[: BOAT.index("[measured]")])
    assert not found.any
    assert found.findings == ()


def test_the_paper() -> None:
    subject = measure_subject(work(job(BOAT)), "1 May")
    pages = measure_sheet(subject, A4)
    words = " ".join(item.text for page in pages for item in page.items if hasattr(item, "text"))
    for wanted in ("left lug", "measuring", "Stay left brace", "Room to be left", "shed door"):
        assert wanted in words


TIE = """
[stock.strap]
section = "flat"
width = 20
height = 4
material = "S235"

[stay.tie]
stock = "strap"
from = "left lug"
to = "right lug"
ends = ["drilled", "drilled"]
hole = 8
"""


def test_a_stay_between_two_measured_points() -> None:
    tie = fitted(BOAT + TIE).stays[-1]
    assert tie.straight == pytest.approx(660.0, abs=1.0)  # as the tape along the slope read it
    assert tie.cut_length == pytest.approx(tie.straight + 2.0 * 16.0, abs=3e-3)
    # Both ends are found together: their distance, read to 1 mm, is surer than either place.
    assert tie.moved.length < 1.0
    assert tie.laid.off is None
    assert end_words(tie, 0, MM).startswith("hole 8 mm")


def test_a_stay_of_both_hands() -> None:
    other = '[stay."right brace"]'
    text = BOAT[: BOAT.index(other)] + BOAT[BOAT.index("[keepout.lid]") :]
    text = swapped("radius = 40\n\n[keep", 'radius = 40\nmirror_in = { axis = "y", at = 0 }\n\n[keep', text)
    spec = job(text).pieces[-1]
    assert spec.mirror
    assert spec.copy_names == ("left brace left", "left brace right")


STRAP = """
[stock.strap]
section = "flat"
width = 40
height = 6
material = "S235"

[piece.strap]
stock = "strap"
points = [[-200, 900, 100], [200, 900, 100]]
way = "WAY"

[keepout.lamp]
shape = "capsule"
from = [0, 900, 160]
to = [0, 900, 200]
radius = 20
clearance = 30
"""


@pytest.mark.parametrize(("way", "gap"), [("easy", 37.0), ("hard", 20.0)])
def test_flat_bar_counts_with_its_real_sides(way: str, gap: float) -> None:
    # the lamp's lower end stands 160 - 20 = 140 high, 40 above the middle of the strap: 37 above its face where it
    # lies flat, 20 above its edge where it stands on edge
    found = fitted(BOAT + STRAP.replace("WAY", way))
    room = next(one for one in found.rooms if one.out.name == "lamp")
    assert room.drawn.bar == "strap"
    assert room.drawn.near.gap == pytest.approx(gap, abs=0.05)
    assert ("near-keep-out" in [one.code for one in found.findings if one.piece == "strap"]) == (gap < 30.0)


TWISTED = """
format = 1
name = "Shelf board over a workshop bench"

[stock.strap]
section = "flat"
width = 40
height = 6
material = "S235"

[stock.rod]
section = "round"
diameter = 16
material = "S235"

[piece.strap]
stock = "strap"
points = [[-300, 0, 0], [300, 0, 0]]

[piece.arm]
stock = "rod"
points = [[0, 0, 0], [0, 150, 0]]

[payload]
mass = 5
centre = [0, 100, 30]
size = [10, 10, 40]
on = ["arm"]

[fixing.left]
piece = "strap"
at = [-300, 0, 0]
held = "fixed"

[fixing.right]
piece = "strap"
at = [300, 0, 0]
held = "fixed"

[keepout.vise]
shape = "box"
x = [-20, 20]
y = [-100, 30]
z = [-80, -20]
"""


def test_under_load_the_sides_turn_with_the_bar() -> None:
    result = work(job(TWISTED))
    (room,) = fit_round(result).rooms
    assert room.drawn.near.gap == pytest.approx(min(20.0 - 8.0, 17.0), abs=0.05)  # the arm, of round bar, is nearer
    assert room.loaded is not None
    found = carried(result)
    assert found is not None
    # by hand: the lower edge of the strap on the side of the load, over the vise, and the arm where it stands out
    (strap, arm) = (next(one for one in seen_bars(found, 0) if one.name == name) for name in ("strap", "arm"))
    middle = int(np.argmin(np.abs(strap.places[:, 0])))
    twist = strap.turns[middle, 0]
    assert abs(twist) > math.radians(0.2)
    edge = strap.moves[middle, 2] - 20.0 * abs(math.sin(twist)) - 3.0 * math.cos(twist)
    below = [at[2] + move[2] - 8.0 for at, move in zip(arm.places, arm.moves, strict=True) if at[1] <= 30.0]
    assert room.loaded.near.gap <= min(edge, *below) + 20.0 + 0.05
    assert room.loaded.case == found.cases[0].name
    # without the arm only the strap's own edge is there: as low as its turn takes it
    there = strap.places + strap.moves
    sides = turned_sides(strap, (20.0, 3.0))
    corners = [there[middle] + p * sides.wide[middle] + q * sides.high[middle] for p in (-1, 1) for q in (-1, 1)]
    assert min(corner[2] for corner in corners) == pytest.approx(edge, abs=0.01)
