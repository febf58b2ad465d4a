"""What the frame must fit, from a job to its findings."""

from __future__ import annotations

import math

import pytest

from bentwork.jobs.fit_round import FitRound, fit_round, with_fit_round
from bentwork.jobs.fit_told import end_words, pair_words, room_words, stay_words, way_words
from bentwork.jobs.measure_papers import measure_subject
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
    narrow = fitted(swapped("width = 640", "width = 300", BOAT))
    assert "does-not-pass" in codes(narrow)


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
