"""The finish plan of a job: surfaces, masks, vents, metals that touch; its findings where a finish is asked for."""

from __future__ import annotations

import math

import pytest

from bentwork.door.example import example_bytes
from bentwork.files.job_file import parse_job
from bentwork.jobs.buying import buying
from bentwork.jobs.finish import FinishPlan, finish, with_finish
from bentwork.jobs.finish_told import finish_parts, system_words
from bentwork.jobs.whole import whole
from bentwork.jobs.work import Result, work
from bentwork.units import Ruler
from tests.brackets import bracket_job
from tests.unit.jobs.test_welding_plan import TROLLEY

EXAMPLE = example_bytes().decode()


def result_of(text: str) -> Result:
    return work(parse_job(text.encode(), "job.toml"))


def plan_of(text: str) -> FinishPlan:
    return finish(result_of(text))


def codes(plan: FinishPlan) -> set[tuple[str, str]]:
    return {(one.level, one.code) for one in plan.findings}


def test_surface_is_what_paint_is_bought_for() -> None:
    result = result_of(EXAMPLE)
    plan = finish(result)
    assert plan.surface == buying(result).surface
    assert plan.surface == pytest.approx(math.fsum(one.each * one.count for one in plan.surfaces) + plan.tabs)
    crossbar = next(one for one in plan.surfaces if one.name == "crossbar")
    # a rod of 12 by 288 mm: pi d L and both ends
    assert crossbar.each == pytest.approx((math.pi * 12.0 * 288.0 + 2.0 * math.pi * 36.0) * 1e-6)
    assert crossbar.count == 3


def test_each_metal_has_its_own_steps() -> None:
    plan = plan_of(EXAMPLE)
    told = {one.group: " ".join(step.words for step in one.steps) for one in plan.metals}
    assert set(told) == {"aluminium", "steel"}
    assert "Etch primer" in told["aluminium"]
    assert "Etch primer" not in told["steel"]
    assert next(one for one in plan.metals if one.group == "steel").pieces == ("bracket",)


def test_the_example_says_nothing_of_a_finish_in_its_findings() -> None:
    result = result_of(EXAMPLE)
    assert with_finish(result) is result
    assert not {"metals-touch", "finish-does-not-suit"} & {one.code for one in whole(result).findings}


def test_steel_bolts_in_aluminium() -> None:
    text = EXAMPLE + '\n[finish]\nsystem = "powder"\n'
    found = whole(result_of(text)).findings
    said = [one for one in found if one.code == "metals-touch"]
    assert [one.level for one in said] == ["watch", "watch"]  # bracket on crossbar, bolts in crossbar
    assert "crossbar and bracket" in said[0].says
    assert "nylon" in said[0].do


def test_aluminium_bolted_to_aluminium_with_steel_says_only_the_bolt() -> None:
    head, strap = EXAMPLE.split("[stock.strap]")
    text = head + "[stock.strap]" + strap.replace('"S235"', '"6082-T6"', 1)
    plan = plan_of(text)
    assert {one.by for one in plan.touching} == {"stainless bolts"}


def test_masks() -> None:
    plan = plan_of(EXAMPLE)
    faces = [one.what for one in plan.masks if one.sort == "face"]
    assert any("crossbar where bracket is bolted" in one for one in faces)
    assert any("left foot" in one for one in faces)
    threads = [one.what for one in plan_of(bracket_job("{ along = 20, thread = 'M4' }")).masks if one.sort == "thread"]
    assert threads == ["M4 in bracket, hole 1"]


def test_masks_are_those_that_the_finish_stands() -> None:
    tapped = bracket_job("{ along = 20, thread = 'M4' }")

    def hows(system: str, text: str = tapped) -> str:
        return " ".join(one.how for one in plan_of(f'{text}\n[finish]\nsystem = "{system}"\n').masks)

    assert "greased bolt" in hows("paint")
    assert "without any grease" in hows("powder")  # grease comes out before the oven, its caution says
    assert "plug stands molten zinc" in hows("galvanised")
    assert "tap" in hows("galvanised")
    assert hows("bare") == ""
    assert "tape" not in hows("galvanised") + hows("anodised")
    bath = plan_of(f'{tapped}\n[finish]\nsystem = "galvanised"\n')
    assert "Threads and faces, after the bath" in [part.title for part in finish_parts(bath, Ruler())]
    shelf = EXAMPLE + '\n[finish]\nsystem = "powder"\n'
    assert "200 °C" in " ".join(line for part in finish_parts(plan_of(shelf), Ruler()) for line in part.lines)


def test_the_bath_has_its_own_caution_for_closed_tubes() -> None:
    def cautions(system: str) -> str:
        parts = finish_parts(plan_of(TROLLEY + f'\n[finish]\nsystem = "{system}"\n'), Ruler())
        return " ".join(next(part for part in parts if part.title.startswith("Vents")).cautions)

    assert "molten zinc" in cautions("galvanised")
    assert "oven" not in cautions("galvanised")
    assert "oven" in cautions("powder")


def test_pickling_paste_is_warned_of() -> None:
    text = TROLLEY.replace("S235", "316L") + '\n[finish]\nsystem = "bare"\n'
    cautions = " ".join(caution for part in finish_parts(plan_of(text), Ruler()) for caution in part.cautions)
    assert "hydrofluoric" in cautions
    assert "calcium gluconate" in cautions


def test_a_closed_tube_stops_an_oven_until_it_is_vented() -> None:
    oven = TROLLEY + '\n[finish]\nsystem = "powder"\n'
    assert ("stop", "closed-tube") in codes(plan_of(oven))
    assert ("stop", "closed-tube") not in codes(plan_of(oven + "vented = true\n"))
    assert ("stop", "closed-tube") not in codes(plan_of(TROLLEY))  # brushed paint heats nothing
    assert whole(result_of(oven)).stopped
    (gathered,) = (one for one in plan_of(oven).findings if one.code == "closed-tube")
    assert gathered.told(Ruler())[0] == (
        "3 tubes are closed at both ends, and go into an oven: rung 1, rung 2, rung 3."
    )


def test_a_zinc_bath_wants_larger_holes_and_steel() -> None:
    bath = plan_of(TROLLEY + '\n[finish]\nsystem = "galvanised"\n')
    assert {(vent.holes, vent.diameter) for vent in bath.vents} == {(2, 10.0)}
    light = plan_of(TROLLEY.replace("S235", "6082-T6") + '\n[finish]\nsystem = "galvanised"\n')
    assert ("stop", "finish-does-not-suit") in codes(light)
    assert ("stop", "finish-does-not-suit") in codes(plan_of(TROLLEY + '\n[finish]\nsystem = "anodised"\n'))


def test_isocyanate() -> None:
    plan = plan_of(TROLLEY + '\n[finish]\nsystem = "paint"\ntwo_pack = true\n')
    assert ("watch", "isocyanate-paint") in codes(plan)
    cautions = " ".join(caution for part in finish_parts(plan, Ruler()) for caution in part.cautions)
    assert "air-fed" in cautions
    plain = plan_of(TROLLEY)
    assert "air-fed" not in " ".join(caution for part in finish_parts(plain, Ruler()) for caution in part.cautions)


def test_galvanised_and_black_steel_are_told_apart() -> None:
    text = TROLLEY.replace('[piece.rung]\nstock = "tube"', '[piece.rung]\nstock = "rod"')
    plan = plan_of(text + '\n[finish]\ngalvanised = ["tube"]\n')
    assert [(one.group, one.zinc, one.pieces) for one in plan.metals] == [
        ("steel", True, ("rail",)),
        ("steel", False, ("rung",)),
    ]


def test_dust_of_aluminium_is_told_where_there_is_aluminium() -> None:
    cautions = {
        name: " ".join(caution for part in finish_parts(plan_of(text), Ruler()) for caution in part.cautions)
        for name, text in (("shelf", EXAMPLE), ("trolley", TROLLEY))
    }
    assert "Dust of aluminium" in cautions["shelf"]
    assert "Dust of aluminium" not in cautions["trolley"]
    assert "Sparks" in cautions["trolley"]


def test_words() -> None:
    plan = plan_of(TROLLEY + '\n[finish]\ncolour = "slate grey"\ntwo_pack = true\n')
    assert system_words(plan) == "paint, two-pack, slate grey"
    assert Ruler().surface(0.1234) == "0.123 m²"
    assert Ruler().surface(0.0123) == "123 cm²"
    titles = [part.title for part in finish_parts(plan, Ruler())]
    assert titles[0] == "Finish: paint, two-pack, slate grey"
    assert titles[1] == "Vents in closed tubes, before any heat"
    assert any("no [finish]" in line for part in finish_parts(plan_of(TROLLEY), Ruler()) for line in part.lines)


def test_the_coats_of_the_job_count() -> None:
    text = TROLLEY + "\n[paint.primer]\ncoverage = 8\ncoats = 2\n\n[paint.enamel]\ncoverage = 12\ncoats = 3\n"
    told = " ".join(line for part in finish_parts(plan_of(text), Ruler()) for line in part.lines)
    assert "primer: 2 coats" in told
    assert "3 coats. Then: 4 to 24 hours between coats" in told
