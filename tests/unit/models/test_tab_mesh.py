"""A tab as a body: closed, as much metal as its outline less its hole, where it stands."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bentwork.models.tab_mesh import tab_mesh
from bentwork.parts.tab import Tab

HOLE = (10.0, 20.0, 30.0)


def a_tab(*, rounded: bool) -> Tab:
    """24 mm long from the bar to the middle of its hole, 20 wide, 5 thick, its hole 6.5."""
    edge = ((-24.0, -10.0), (-24.0, 10.0))
    ways = ((0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    return Tab(5.0, 20.0, 6.5, 10.0, rounded, edge, 0.0, 0.0, 0.0, 0.0, (10.0, 20.0, 54.0), ways)


@pytest.mark.parametrize("rounded", [False, True])
def test_its_metal(rounded: bool) -> None:
    mesh = tab_mesh(a_tab(rounded=rounded), HOLE, 0.001)
    outline = 24.0 * 20.0 + (math.pi * 100.0 / 2.0 if rounded else 200.0)
    assert mesh.open_edges == 0
    assert mesh.volume == pytest.approx(5.0 * (outline - math.pi * 6.5**2 / 4.0), rel=1e-3)


def test_it_stands_about_its_hole_and_runs_back_to_the_bar() -> None:
    mesh = tab_mesh(a_tab(rounded=True), HOLE, 0.1)
    assert mesh.points.min(axis=0) == pytest.approx(np.array((7.5, 10.0, 20.0)))
    assert mesh.points.max(axis=0) == pytest.approx(np.array((12.5, 30.0, 54.0)))
    off = np.hypot(mesh.points[:, 1] - 20.0, mesh.points[:, 2] - 30.0)
    assert off.min() == pytest.approx(3.25), "the hole is free"


def test_an_end_that_is_hollowed_for_a_round_bar() -> None:
    edge = tuple((-24.0 + math.sqrt(144.0 - y * y) - 12.0, float(y)) for y in range(-10, 11))
    tab = replace(a_tab(rounded=True), edge=edge)
    mesh = tab_mesh(tab, HOLE, 0.01)
    assert mesh.open_edges == 0
    assert mesh.volume < tab_mesh(a_tab(rounded=True), HOLE, 0.01).volume + 5.0 * 20.0 * 12.0
