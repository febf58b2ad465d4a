"""How the sides of a bar move: what is said of a whole motion holds at every instant of it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.clearance import motion
from bentwork.clearance.motion import opening_apart, placed

RADIUS = 50.0


def settings(pull: float, wanted: float, support: float, reach: float) -> np.ndarray:
    return np.array([RADIUS, RADIUS * wanted, pull, wanted, support, reach])


@pytest.mark.parametrize(
    ("up", "down", "support"),
    [
        (motion.ROLLS, motion.OPENS, 0.0),
        (motion.SLIDES, motion.OPENS_SLIDING, 0.0),
        (motion.SWINGS, motion.OPENS_SWINGING, 90.0),
        (motion.PUSHED, motion.OPENS_PUSHED, 90.0),
        (motion.PUSHED, motion.OPENS_PUSHED, 0.0),
    ],
)
def test_springing_back_a_side_lies_no_further_from_its_way_up_than_is_said(up: int, down: int, support: float) -> None:
    most = 0.0
    for pull, spring in ((30.0, 1.0), (92.0, 2.0), (110.0, 20.0), (60.0, 8.0)):
        wanted = math.radians(pull - spring)
        of_bend = settings(math.radians(pull), wanted, support, 71.0)
        allowed = opening_apart(up in (motion.SWINGS, motion.PUSHED), of_bend)
        assert math.isfinite(allowed)
        for t in np.linspace(wanted, math.radians(pull), 41):
            (c, s, x, y, _, _), (c2, s2, x2, y2, _, _) = placed(up, t, of_bend), placed(down, t, of_bend)
            assert (c, s) == pytest.approx((c2, s2))
            assert math.hypot(x - x2, y - y2) <= allowed + 1e-9
            most = max(most, math.hypot(x - x2, y - y2) / allowed)
    assert most > 0.05  # the bound says something
