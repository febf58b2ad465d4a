"""A slip of a digit makes a bar of a hundred metres: it is still worked out at once, and still right."""

from __future__ import annotations

import math

import pytest

from bentwork.carry.buckling import buckling
from bentwork.carry.cases import LoadCase, Push
from bentwork.carry.fine import fine_frame
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.structure import structure_of
from tests.frames import a_bar

EI = 70000.0 * math.pi * 10.0**4 / 64.0
LENGTH = 100_000.0


def test_a_bar_of_a_hundred_metres_is_cut_into_hundreds_of_elements_not_thousands() -> None:
    bar = a_bar((0, 0, 0), (LENGTH, 0, 0))
    found = fine_frame(structure_of([bar], [Fixing("foot", "bar", (0, 0, 0), FIXED)]))
    assert found is not None
    assert 250 <= len(found.built.frame.elements) <= 350
    pressed = buckling(found, [LoadCase("pressed", "static", down=0.0, pushes=(Push(0, LENGTH, (-1.0, 0, 0)),))])[0]
    assert pressed.factor == pytest.approx(0.25 * math.pi**2 * EI / LENGTH**2, rel=1e-4)  # Euler
