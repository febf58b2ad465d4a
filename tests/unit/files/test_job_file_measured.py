"""What a job file says of what the frame must fit: read, in mm and inches, and every fault on its line."""

from __future__ import annotations

import pytest

from bentwork.parts.survey_reading import ACCURACY
from tests.unit.files.job_texts import faults, job, only_fault, swapped
from tests.unit.files.measured_texts import BOAT


def test_points_and_readings() -> None:
    asked = job(BOAT).survey
    assert asked is not None
    assert [spot.name for spot in asked.spots] == ["stern", "left lug", "right lug"]
    assert asked.spots[0].at == (0.0, 0.0, 0.0)
    assert asked.spots[1].near == (420.0, 330.0, 60.0)
    assert [one.kind for one in asked.readings[-3:]] == ["along", "offset", "level"]
    assert [one.number for one in asked.readings[-3:]] == [7, 7, 8]
    assert asked.readings[2].accuracy == 1.0
    assert asked.readings[0].accuracy == ACCURACY["distance"]
    assert len(asked.used) == len(asked.readings) - 1  # the level is left out
    assert asked.pairs == (("left lug", "right lug"),)
    assert asked.good == 2.0


def test_stays_become_pieces() -> None:
    found = job(BOAT)
    assert [spec.name for spec in found.pieces] == ["hoop", "left brace", "right brace"]
    left, right = found.stays
    assert left.asked.ends[1].hole == 6.6
    assert left.asked.ends[1].beyond == pytest.approx(13.2)
    assert right.asked.ends[1].beyond == 14.0
    assert right.asked.sure == 0.9
    assert left.cut_back[0] > 5.0  # it sits on the tube of 16, leaning forward
    assert found.keepouts[0].swing is not None
    assert found.openings[0].upright


def test_inches() -> None:
    text = BOAT.replace("format = 1", 'format = 1\nunits = "in"').replace("reads = 537.4", 'reads = "21 1/8"')
    found = job(text.replace("[420, 330, 60]", '["16 1/2", 13, 2.5]')).survey
    assert found is not None
    assert found.readings[0].value == pytest.approx(21.125 * 25.4)
    assert found.spots[1].near == pytest.approx((16.5 * 25.4, 13 * 25.4, 2.5 * 25.4))
    assert found.readings[0].accuracy == ACCURACY["distance"]


@pytest.mark.parametrize(
    ("old", "new", "where", "wanted"),
    [
        ('of = ["stern", "left lug"]', 'of = ["stern"]', "measured.readings[1].of", "two"),
        ('of = ["stern", "left lug"]', 'of = ["stern", "left lag"]', "measured.readings[1].of[2]", "name of a point"),
        ('"left lug"], reads = 537.4 }', '"left lug"] }', "measured.readings[1].reads", "what was read"),
        ('"left lug"], reads = 537.4 }', '"left lug"], reads = -2 }', "measured.readings[1].reads", "above 0"),
        ("along = 330, off = 424.3", "reads = 3", "measured.readings[7].reads", "off = … or along"),
        ('"right lug"], leave_out', '"right lug"], reads = 3, leave_out', "measured.readings[8].reads", "no number"),
        ('kind = "slope"', 'kind = "slop"', "measured.readings[3].kind", '"slope"'),
        ("at = [0, 0, 0] }", "at = [0, 0, 0], near = [0, 0, 0] }", "measured.points[1].near", "either near or at"),
        (", along = 330, off = 424.3", "", "measured.readings[7].off", "off the string"),
        ("points = [\n", 'points = [\n  { name = "stern" },\n', "measured.points[2].name", "no other point"),
        ('to = "left lug"\n', 'to = "left lag"\n', 'stay."left brace".to', "name of a measured point"),
        ('"hoop"\nfrom = [0, 300', '"hop"\nfrom = [0, 300', 'stay."left brace".piece', "name of a piece"),
        ('"left brace"]\nstock = "thin"', '"left brace"]', 'stay."left brace".stock', "text"),
        ('hole = "M6"\naxes', "axes", 'stay."left brace".hole', "its hole"),
        ("hole = 6.6\nend = 14", "hole = 6.6\nend = 3", 'stay."right brace".end', "more than half the hole"),
        ("sure = 0.9", "sure = 0.4", 'stay."right brace".sure', "share"),
        ("z = [290, 300]", "", "keepout.lid.z", "two lengths in brackets"),
        ("to = 95", "to = -10", "keepout.lid.swing", "above from"),
        ("width = 640\n", "", 'opening."shed door".width', "a length above 0"),
        ('[stay."left brace"]', "[stay.hoop]", "stay.hoop", "no piece has"),
    ],
)  # fmt: skip
def test_faults(old: str, new: str, where: str, wanted: str) -> None:
    found = only_fault(swapped(old, new, BOAT))
    assert found.where == where
    assert wanted in found.wanted
    assert found.line is not None


def test_readings_without_points_are_told_once() -> None:
    text = BOAT[: BOAT.index("points = [\n")] + BOAT[BOAT.index("readings = [") :]
    assert any(fault.where == "measured.points" for fault in faults(text))


def test_a_stay_to_nothing_measured() -> None:
    text = BOAT[: BOAT.index("[measured]")] + BOAT[BOAT.index('[stay."left brace"]') :]
    assert {fault.where for fault in faults(text)} >= {'stay."left brace".to'}
