"""Joints and fixings by hand: where a weld softens, what bolts and welds of one node each hand on."""

from __future__ import annotations

import pytest

from bentwork.carry.cases import LoadCase
from bentwork.carry.fasteners import Bolt
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.limits import limits_of
from bentwork.carry.payload import Payload
from bentwork.carry.strength import welds_of
from bentwork.carry.structure import structure_of
from bentwork.stock.section import Round
from tests.frames import a_bar, analysed

STILL = LoadCase("standing still", "static")


def test_a_bar_drawn_to_the_middle_line_is_softened_from_the_surface() -> None:
    # 12 mm by TIG: 40 mm (``softened_length``) from where the weld is, 30 mm from the post's middle line.
    post = a_bar((0, 0, -50), (0, 0, 50), Round(60.0), name="post")
    for start, reach in ((0.0, 70.0), (30.0, 40.0)):
        arm = a_bar((start, 0, 0), (230, 0, 0), Round(12.0), name="arm")
        structure = structure_of([post, arm], [Fixing("foot", "post", (0, 0, -50), FIXED)])
        assert [(one.station, one.softens) for one in welds_of(structure) if one.bar == 1] == [(0.0, reach)]


def test_a_fixing_at_a_joint_holds_both_bars_and_its_weld_only_one() -> None:
    # Two arms meet end to end where the fixing holds the first. Its four bolts bear either, (V + M/lever)/4 against
    # 0.9 f_ub A_s/1.25 (EN 1993-1-8); the weld bears only what hangs on the second one.
    left, right = a_bar((0, 0, 0), (-400, 0, 0), name="left"), a_bar((0, 0, 0), (400, 0, 0), name="right")
    held = Fixing("wall", "right", (0, 0, 0), FIXED, along=(0, 0, 1), bolt=Bolt(8.0), bolts=4)

    def uses(x: float) -> dict[str, float]:
        structure = structure_of([right, left], [held], Payload(20.0, (x, 0, 0), at=((x, 0, 0),)))
        return {one.what: one.use for one in limits_of(analysed(structure, [STILL])).found if one.what != "metal"}

    near, far = uses(400.0), uses(-400.0)
    assert far["bolt"] == pytest.approx(near["bolt"], rel=1e-6)
    pull = ((20.0 + 2 * left.mass) * 9.80665 + 20.0 * 9.80665 * 400 / 5) / 4
    assert near["bolt"] == pytest.approx(1.5 * pull / (0.9 * 800 * 36.609 / 1.25), rel=1e-4)
    assert far["weld"] > 20.0 * near["weld"]
