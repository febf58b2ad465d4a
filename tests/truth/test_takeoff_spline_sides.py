"""Square, rectangular and flat bar whose every side is one spline over all of its bends, and bars turned into splines.

The truth is the bend table that the CAD kernel was given; how exact its splines are it says itself, 1e-3 mm and less.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Flat, Section, Square, SquareTube
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases
from tests.takeoff_models.curves import one_curve, through, wave
from tests.takeoff_models.files import rounded, write_step
from tests.takeoff_models.solids import as_splines, built
from tests.takeoff_models.sweeps import swept
from tests.takeoff_models.truth import Expected, Truth, differences
from tests.truth.test_takeoff_models import HOME_POSES, keeps_clear, wrong_with

SECTIONS = (Square(16.0, 16.0), Flat(25.0, 5.0), SquareTube(30.0, 30.0, 2.0), SquareTube(40.0, 20.0, 2.0, 4.0))


def bar(chance: random.Random, depth: float, least: float = 5.0) -> Centreline:
    """Up to six bends of so many degrees at least, each turned about the bar from the one before; some touch it."""
    while True:
        bends = tuple(
            Bend(
                chance.uniform(2.5, 8.0) * depth,
                chance.uniform(least, 150.0),
                chance.choice((90.0, -90.0, 180.0)) if k else 0.0,
            )
            for k in range(chance.randint(2, 6))
        )
        inner = (0.0 if chance.random() < 0.3 else chance.uniform(20.0, 250.0) for _ in bends[1:])
        ends = (chance.uniform(3.0 * depth, 300.0) for _ in range(2))
        line = Centreline(BendTable((next(ends), *inner, next(ends)), bends), chance.choice(HOME_POSES))
        if keeps_clear(line, depth):
            return line


def way_of(line: Centreline, section: Section) -> str | None:
    if getattr(section, "width", 0.0) == getattr(section, "height", 0.0):
        return None
    turned = {abs(direction) == 90.0 for direction in line.table.directions}
    return "both" if len(turned) > 1 else "easy"


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: f"{one.kind} {one.width:g}")
def test_every_side_one_spline(section: Section, tmp_path: Path) -> None:
    chance = random.Random(section.depth())
    lines = [bar(chance, section.depth("hard")) for _ in range(6)]
    gentle = Centreline(BendTable((300.0, 400.0), (Bend(90.0, 10.0),)), cases.PLACE)
    opposite = Centreline(BendTable((200.0, 0.0, 300.0), (Bend(200.0, 30.0), Bend(200.0, 12.0, 180.0))), cases.PLACE)
    lines += [gentle, opposite]
    made = [(str(k), swept(one_curve(line), section, line.start.inward)) for k, line in enumerate(lines)]
    found = take_off(write_step(tmp_path / "sides.step", made)).solids
    wrong = {}
    for line, solid in zip(lines, found, strict=True):
        told = wrong_with(Expected("piece", (Truth(line, section, way_of(line, section)),), 5e-3), solid)
        if told:
            wrong[solid.name] = told
    assert wrong == {}


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: f"{one.kind} {one.width:g}")
def test_turned_into_splines_and_rounded(section: Section, tmp_path: Path) -> None:
    """Three decimals leave the radius of a bend of a few degrees open: it has 20 at least."""
    chance = random.Random(7.0 + section.depth())
    lines = [bar(chance, section.depth("hard"), 20.0) for _ in range(6)]
    made = [(str(k), as_splines(built(line, section))) for k, line in enumerate(lines)]
    found = take_off(rounded(write_step(tmp_path / "rounded.step", made))).solids
    wrong = {}
    for line, solid in zip(lines, found, strict=True):
        told = wrong_with(Expected("piece", (Truth(line, section, way_of(line, section)),), 5e-3), solid)
        if told:
            wrong[solid.name] = told
    assert wrong == {}


def test_a_free_sweep_turned_into_splines_is_the_same_curve(tmp_path: Path) -> None:
    arch = swept(through(wave()), Flat(25.0, 6.0), (0.0, 0.0, 1.0))
    found = take_off(write_step(tmp_path / "arch.step", [("as it is", arch), ("splines", as_splines(arch))])).solids
    assert [solid.kind for solid in found] == ["curve", "curve"]
    (one,), (two,) = (solid.bars for solid in found)
    assert two.section == one.section
    assert differences(two, Truth(one.line, one.section, one.way)) == []  # type: ignore[arg-type]
