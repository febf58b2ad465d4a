"""The welding plan of a job: its welds, their order, clamps, spacers, seams, vents, what stops it."""

from __future__ import annotations

import math
import re

import pytest

from bentwork.door.example import example_bytes
from bentwork.files.job_file import parse_job
from bentwork.jobs.consumed import welds_of
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.welding import WeldingPlan, frame_structure, welding, with_welding
from bentwork.jobs.welding_told import side_words, welding_parts
from bentwork.jobs.work import Result, work
from bentwork.units import Ruler

TROLLEY = """\
format = 1

[stock.tube]
section = "tube"
diameter = 25
wall = 2
material = "S235"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[piece.rail]
stock = "tube"
points = [[0, 0, 0], [600, 0, 0]]
at = [[0, 0, 0], [0, 400, 0]]

[piece.rung]
stock = "tube"
points = [[100, 12.5, 0], [100, 387.5, 0]]
at = [[0, 0, 0], [200, 0, 0], [400, 0, 0]]
"""


def result_of(text: str) -> Result:
    return work(parse_job(text.encode(), "trolley.toml"))


def plan_of(text: str) -> WeldingPlan:
    return welding(result_of(text))


def example() -> WeldingPlan:
    return welding(work(parse_job(example_bytes(), "crate-shelf.toml")))


def test_every_weld_of_the_example_stands_in_the_order_once() -> None:
    plan = example()
    where = [step.line.where for step in plan.steps]
    assert len(set(where)) == len(where) == 9  # a seam, three crossbars with two ends, two stays
    assert where[0] == "the seam of loop"
    assert not any("bracket" in one for one in where)  # it is bolted
    assert {"crossbar 2" in one for one in where[1:3]} == {True}  # the middle one first
    assert [step.number for step in plan.steps] == list(range(1, 10))


def test_the_order_is_that_of_the_frame_and_not_of_the_file() -> None:
    first, last = TROLLEY.split("[piece.rail]")[0], "[piece.rail]" + TROLLEY.split("[piece.rail]")[1]
    rail, rung = last.split("[piece.rung]")
    places = [step.line.place for step in plan_of(TROLLEY).steps]
    turned = [step.line.place for step in plan_of(f"{first}[piece.rung]{rung}{rail}").steps]
    assert [[round(c, 6) for c in place] for place in places] == [[round(c, 6) for c in place] for place in turned]


def test_from_the_middle_rung_outwards() -> None:
    steps = plan_of(TROLLEY).steps
    assert len(steps) == 6
    assert {round(step.line.place[0]) for step in steps[:2]} == {300}
    assert steps[0].line.place[1] != pytest.approx(steps[1].line.place[1], abs=1.0)  # from one rail to the other
    assert math.dist(steps[1].line.place, steps[2].line.place) > 400.0  # right across


def test_welds_are_the_ones_that_filler_is_bought_for() -> None:
    result = result_of(TROLLEY)
    bought = welds_of(result, frame_structure(result), small_parts(result))
    assert sorted(weld.length for weld in bought) == sorted(step.line.length for step in welding(result).steps)
    assert all(weld.length == pytest.approx(math.pi * 25.0) for weld in bought)


def test_two_welds_of_the_same_bars_have_different_names() -> None:
    told = [step.line.where for step in example().steps]
    assert "loop and crossbar 2, side 1 of loop" in told
    assert "loop and crossbar 2, side 5 of loop" in told


def test_closed_tubes_are_vented_first() -> None:
    plan = plan_of(TROLLEY)
    assert {vent.bar for vent in plan.vents} == {"rung 1", "rung 2", "rung 3"}  # the rails are open
    (one,) = (one for one in plan.findings if one.code == "closed-tube")  # gathered: one finding names them all
    assert one.level == "watch"
    says, _, do = one.told(Ruler())
    assert says == "3 tubes are closed at both ends by welds: rung 1, rung 2, rung 3."
    assert "Drill a hole of 3 mm through one wall of each, 10 mm from one end" in do
    assert "1/8 in" in one.told(Ruler("in"))[2]
    solid = TROLLEY.replace('stock = "tube"\npoints = [[100', 'stock = "rod"\npoints = [[100')
    assert plan_of(solid).vents == ()
    said = plan_of(TROLLEY + "[finish]\nvented = true\n")
    assert "closed-tube" not in {one.code for one in said.findings}
    assert said.vents == plan.vents  # where they are drilled is told all the same
    assert example().vents == ()


def test_a_tube_that_ends_on_a_thin_bar_stays_open() -> None:
    thin = (
        TROLLEY.replace('[piece.rail]\nstock = "tube"', '[piece.rail]\nstock = "rod"')
        .replace("12.5", "6")
        .replace("387.5", "394")
    )
    assert plan_of(thin).vents == ()  # 12 mm does not cover a bore of 21


def test_spacers_are_those_of_the_jig() -> None:
    (row,) = example().rows
    assert row.between == pytest.approx((88.0, 88.0))
    told = " ".join(line for part in welding_parts(example(), Ruler()) for line in part.lines)
    assert "spacers of 88 mm (50 + 20 + 10 + 5 + 3), 2 times" in told


def test_clamps_keep_clear_of_welds_and_bends() -> None:
    plan = example()
    loop = next(one for one in plan.clamped if one.bar == "loop")
    bar = next(bar for bar in plan.structure.bars if bar.name == "loop")
    assert loop.spots
    assert loop.clear == 40.0  # TIG: 10 mm more than the 30 of EN 1999-1-1 up to 12 mm (from memory)
    # sides 1 and 5 are straight from one bend to the other and carry the crossbars, from memory of the drawing
    rungs = {1: (71.12, 171.12, 271.12, 301.12), 5: (71.12, 171.12, 271.12, 41.12)}
    for side, at in loop.spots:
        assert min(abs(at - one) for one in rungs[side]) > 9.0
        assert 10.0 <= at <= 332.3
    assert bar.closed


def test_the_seam_is_told_by_its_side() -> None:
    (seam,) = example().seams
    assert (seam.bar, seam.side) == ("loop", 1)
    assert seam.station == pytest.approx(seam.of / 2.0)


def test_a_weld_on_a_seam_is_told() -> None:
    (said,) = (one for one in example().findings if one.code == "seam-elsewhere")
    assert said.level == "note"
    moved = example_bytes().decode().replace('seam = "auto"', "seam = [3, 0.5]")
    assert "seam-elsewhere" not in {one.code for one in welding(result_of(moved)).findings}


def test_steel_is_not_welded_to_aluminium() -> None:
    mixed = TROLLEY.replace('[stock.rod]\nsection = "round"\ndiameter = 12\nmaterial = "S235"', "").replace(
        '[piece.rung]\nstock = "tube"', '[piece.rung]\nstock = "pipe"'
    )
    mixed += '\n[stock.pipe]\nsection = "tube"\ndiameter = 25\nwall = 2\nmaterial = "6082-T6"\n'
    result = result_of(mixed)
    plan = welding(result)
    assert {(one.level, one.code) for one in plan.findings} >= {("stop", "not-to-be-welded")}
    assert all(step.metals is None for step in plan.steps)
    assert "not-to-be-welded" in {one.code for one in with_welding(result).findings}


def test_a_filler_that_does_not_suit() -> None:
    text = TROLLEY.replace("S235", "5083-H111") + '\n[load]\nfiller = "4043"\n'
    assert "filler-does-not-suit" in {one.code for one in plan_of(text).findings}
    assert "filler-does-not-suit" not in {one.code for one in plan_of(text.replace("4043", "5356")).findings}


def test_zinc_is_told_where_it_is_welded() -> None:
    text = TROLLEY + '\n[finish]\ngalvanised = ["tube"]\n'
    result = result_of(text)
    plan = welding(result)
    assert [one.code for one in plan.findings if one.level == "watch"].count("zinc-fume") == 1
    cautions = " ".join(caution for part in welding_parts(plan, Ruler()) for caution in part.cautions)
    assert "Zinc fume makes fever" in cautions
    assert "zinc-fume" in {one.code for one in with_welding(result).findings}
    unwelded = TROLLEY + '\n[finish]\ngalvanised = ["rod"]\n'
    bolted = plan_of(unwelded)
    assert "zinc-fume" not in {one.code for one in bolted.findings}
    said = " ".join(caution for part in welding_parts(bolted, Ruler()) for caution in part.cautions)
    assert "Zinc fume" not in said, "what is bolted on is not warned of at the arc"


def test_zinc_of_a_welded_tab_is_told_too() -> None:
    text = (
        TROLLEY
        + """
[stock.lug]
section = "flat"
width = 25
height = 5
material = "S235"

[tab.foot]
piece = "rail 1"
at = [300, 0, -40]
axis = [0, 1, 0]
stock = "lug"
thread = "M6"

[finish]
galvanised = ["lug"]
"""
    )
    (told,) = (one for one in plan_of(text).findings if one.code == "zinc-fume")
    assert "tab foot" in told.says
    loose = plan_of(text.replace('thread = "M6"', 'thread = "M6"\nwelded = false'))
    assert "zinc-fume" not in {one.code for one in loose.findings}


def test_cautions_stand_where_they_belong() -> None:
    parts = {part.title: " ".join(part.cautions) for part in welding_parts(example(), Ruler())}
    assert "chlorine" in parts["Before the arc is lit"]
    assert "bottles" in parts["Before the arc is lit"]
    assert re.search("eyes and skin.*Fume", parts["Tack everything, in this order"])
    assert "licensed practice" in parts["Afterwards"]


def test_tabs_are_welded_too() -> None:
    text = (
        TROLLEY
        + """
[tab.foot]
piece = "rail 1"
at = [300, 0, -40]
axis = [0, 1, 0]
thickness = 5
width = 25
material = "S235"
thread = "M6"
"""
    )
    plan = plan_of(text)
    (foot,) = (step for step in plan.steps if step.line.sort == "tab")
    assert foot.line.where == "foot on rail 1"
    assert foot.line.length == pytest.approx(50.0)  # both faces of 25
    assert foot.line.throat == pytest.approx(1.4)  # 0.7 of the thinner metal: the wall of 2, not the tab of 5
    assert foot.line.stations[0] is None
    assert foot.line.stations[1] == pytest.approx(300.0)
    assert foot.line.runs == "pair"
    unwelded = text.replace('thread = "M6"', 'thread = "M6"\nwelded = false')
    assert not any(step.line.sort == "tab" for step in plan_of(unwelded).steps)


def test_sides_have_names() -> None:
    ways = example().structure.directions
    assert side_words((0.0, 0.0, 1.0), ways) == "top"
    assert side_words((0.1, 0.2, -0.9), ways) == "underneath"
    assert side_words((0.0, -1.0, 0.0), ways) == "right side"
    assert side_words((-1.0, 0.0, 0.0), ways) == "back"


def test_nothing_is_welded() -> None:
    alone = TROLLEY.split("[piece.rung]")[0]
    plan = plan_of(alone)
    assert plan.steps == ()
    assert welding_parts(plan, Ruler()) == ()


def test_vents_are_drilled_for_what_the_finish_does_to_them() -> None:
    def drilled(system: str) -> str:
        plan = plan_of(TROLLEY + f'\n[finish]\nsystem = "{system}"\n')
        first = welding_parts(plan, Ruler())[0]
        return next(line for line in first.lines if "closed at both ends" in line)

    assert "drill 3 mm through one wall, 10 mm from one end, on the underside" in drilled("powder")
    # before the first weld as for the bath after the last: 25 mm / 4 is below the least of 10
    assert "drill 2 × 10 mm, one at each end 10 mm from it, through opposite walls" in drilled("galvanised")


def test_clamps_keep_clear_of_the_edges_of_welds_and_of_tabs() -> None:
    tab = """
[tab.eye]
piece = "rail 1"
at = [520, 0, -40]
axis = [0, 1, 0]
thickness = 5
width = 40
material = "S235"
thread = "M6"
"""
    rails = {one.bar: one for one in plan_of(TROLLEY + tab).clamped}
    # rungs of 25 stand at 100, 300 and 500; the tab reaches from 500 to 540
    reach = math.pi * 25.0 / 8.0
    assert [at for _, at in rails["rail 1"].spots] == pytest.approx([100.0 - reach - 30.0, 540.0 + 30.0])
    assert [at for _, at in rails["rail 2"].spots] == pytest.approx([100.0 - reach - 30.0, 500.0 + reach + 30.0])


def test_fume_of_stainless_is_told() -> None:
    def cautions(metal: str) -> str:
        plan = plan_of(TROLLEY.replace("S235", metal))
        return " ".join(caution for part in welding_parts(plan, Ruler()) for caution in part.cautions)

    assert "chromium(VI)" in cautions("316L")
    assert "chromium(VI)" not in cautions("S235")
