"""Kinds of bender with sizes to start from: they are benders that every reader and every check takes."""

from __future__ import annotations

import math
import tomllib
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.bending.known import known
from bentwork.bending.set_up import SetUp
from bentwork.clearance.bodies import bodies_of
from bentwork.files.bender_text import bender_text, part_tables
from bentwork.files.job_build_bender import bender_from
from bentwork.files.job_faults import Faults
from bentwork.findings import Finding
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.limits import bender_findings
from bentwork.planning.marks import marks_for
from bentwork.planning.metal import tool_findings
from bentwork.planning.steps import as_drawn
from bentwork.stock.section import Flat, Round
from bentwork.tooling.archetypes import ARCHETYPES, Start
from bentwork.tooling.bender import Bender
from bentwork.tooling.sizes import sizes_of
from bentwork.units import INCH, Ruler
from tests.make import a_steel

NAMES = list(ARCHETYPES)
Units = Literal["mm", "in"]


def usual(name: str) -> Start:
    if name == "lever-shoe":
        return Start(8.0, 32.0)  # no person bends 12 mm of solid steel between two handles
    return Start(12.0, 50.0) if ARCHETYPES[name].bar == "diameter" else Start(4.0, 10.0)


def read(text: str, units: Units) -> Bender:
    """What the job file's own reader makes of a table."""
    data = tomllib.loads(text)
    faults = Faults(text, data)
    bender = bender_from("lever", data["bender"]["lever"], {}, dict, Ruler(units), faults)
    faults.raise_if_any("a table")
    assert bender is not None
    return bender


def same(one: Bender, other: Bender) -> bool:
    values = [[size.value for size in sizes_of(bender)] for bender in (one, other)]
    paths = [[size.path for size in sizes_of(bender)] for bender in (one, other)]
    return paths[0] == paths[1] and values[0] == pytest.approx(values[1], abs=1e-4)


@pytest.mark.parametrize("name", NAMES)
@given(st.floats(1.0, 60.0), st.floats(1.01, 40.0), st.sampled_from(["left", "right"]), st.sampled_from(["mm", "in"]))
def test_the_job_files_reader_gives_the_same_bender_back(
    name: str, bar: float, times: float, hand: Literal["left", "right"], units: Units
) -> None:
    start = Start(bar, bar / 2.0 * times, "lever", hand, INCH / 16.0 if units == "in" else 1.0)
    bender = ARCHETYPES[name].build(start)
    again = read(bender_text(ARCHETYPES[name], start, Ruler(units)), units)
    assert same(bender, again)
    assert (again.kind, again.name) == (bender.kind, "lever")
    lines = "\n".join(["[bender.lever]", f'kind = "{bender.kind}"', "radius = 1", *part_tables(bender, Ruler(units))])
    short = read(lines, units)
    assert [size.value for size in sizes_of(short)][1:] == pytest.approx(
        [s.value for s in sizes_of(bender)][1:], abs=1e-4
    )


@pytest.mark.parametrize("name", NAMES)
def test_sizes_grow_with_the_bar(name: str) -> None:
    start = usual(name)
    small = ARCHETYPES[name].build(start)
    large = ARCHETYPES[name].build(Start(2.0 * start.bar, 2.0 * start.radius))
    sizes = {size.path: size.value for size in sizes_of(small)}
    for size in sizes_of(large):
        assert abs(size.value) >= abs(sizes[size.path]), size.key
        assert abs(size.value) <= 2.0 * abs(sizes[size.path]) + 2.0, size.key


@pytest.mark.parametrize("name", NAMES)
@given(st.floats(3.0, 40.0), st.floats(1.5, 8.0))
def test_the_parts_of_a_bender_do_not_stand_in_one_another(name: str, bar: float, times: float) -> None:
    if ARCHETYPES[name].kind == "vee":
        bar = bar / 5.0
    bender = ARCHETYPES[name].build(Start(bar, times * bar))
    solids = {solid.name: solid for solid in bodies_of(bender, None, bar)}
    if "plate" in solids:
        top = solids["plate"].heights[1]
        assert all(solid.heights[0] >= top - 1e-9 for name, solid in solids.items() if name != "plate")
    if "arm" in solids and "follower" in solids:
        arm, follower = solids["arm"].heights, solids["follower"].heights
        assert arm[0] >= follower[1] - 1e-9 or arm[1] <= follower[0] + 1e-9
    assert all(solid.half > (0.0, 0.0, 0.0) for solid in solids.values())


def findings_for(name: str, angle: float) -> list[Finding]:
    """What planning says of a piece with three bends and plenty of straight bar."""
    start = usual(name)
    bender = ARCHETYPES[name].build(start)
    section = Round(start.bar) if ARCHETYPES[name].bar == "diameter" else Flat(30.0, start.bar)
    table = BendTable((300.0,) * 4, (Bend(start.radius, angle), Bend(start.radius, angle), Bend(start.radius, angle)))
    what = known(SetUp(section, a_steel(), bender))
    steps = as_drawn(table, marks_for(table, 15.0, None), bender, what=what)
    return [*bender_findings(table, steps, bender, 15.0), *tool_findings(what, table.bends, ())]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("angle", [30.0, 90.0])
def test_a_plain_piece_of_soft_steel_can_be_made_on_each(name: str, angle: float) -> None:
    found = findings_for(name, angle)
    assert not [finding for finding in found if finding.level == "stop"]
    assert not {"rollers-do-not-suit", "block-makes-another-radius", "other-radius"} & {f.code for f in found}


def test_a_guess_that_is_wrong_would_be_seen() -> None:
    bender = ARCHETYPES["plate-roller"].build(usual("plate-roller"))
    table = BendTable((300.0, 10.0, 300.0), (Bend(50.0, 90.0), Bend(50.0, 90.0)))
    steps = as_drawn(table, marks_for(table, 0.0, None), bender)
    assert [finding.code for finding in bender_findings(table, steps, bender)] == ["straight-too-short"]


def test_the_usual_plate_roller_in_numbers() -> None:
    sizes = {size.key: size.value for size in sizes_of(ARCHETYPES["plate-roller"].build(Start(12.0, 50.0)))}
    assert sizes["die.thickness"] == 24.0
    assert sizes["hook.length"] == 30.0
    assert sizes["follower.radius"] == 18.0
    assert sizes["arm.length"] == 600.0
    assert sizes["plate.x, first"] == -68.0
    right = {s.key: s.value for s in sizes_of(ARCHETYPES["plate-roller"].build(Start(12.0, 50.0, hand="right")))}
    assert (right["plate.y, first"], right["plate.y, second"]) == (-sizes["plate.y, second"], -sizes["plate.y, first"])


@given(st.floats(1.0, 60.0))
def test_inches_come_out_in_sixteenths(bar: float) -> None:
    sizes = sizes_of(ARCHETYPES["lever-shoe"].build(Start(bar, 4.0 * bar, step=INCH / 16.0)))
    for size in sizes:
        if size.path not in (("radius",), ("die", "groove_depth")):
            assert math.isclose(size.value * 16.0 / INCH, round(size.value * 16.0 / INCH), abs_tol=1e-6), size.key


@pytest.mark.parametrize(
    ("bar", "radius", "step"),
    [(0.0, 50.0, 1.0), (12.0, -1.0, 1.0), (12.0, 6.0, 1.0), (math.nan, 50.0, 1.0), (12.0, 50.0, 0.0)],
)
def test_sizes_that_make_no_bender(bar: float, radius: float, step: float) -> None:
    with pytest.raises(ValueError, match=r"above 0|more than half"):
        Start(bar, radius, step=step)


def test_every_size_tells_what_it_is_and_how_to_measure_it() -> None:
    for name in NAMES:
        for hand in ("left", "right"):
            start = usual(name)
            for size in sizes_of(ARCHETYPES[name].build(Start(start.bar, start.radius, hand=hand))):
                assert size.says
                assert size.measure.endswith(".")
