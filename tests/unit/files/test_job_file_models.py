"""``takeoff = { file = …, solid = … }``: what the job makes of a bar that a model holds, and what it says of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from bentwork.errors import Fault, InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.job import Job, Placed
from bentwork.jobs.modelled import Modelled, ModelPart
from bentwork.jobs.work import work
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose
from bentwork.stock.section import Flat, Round, Section, SquareTube, Tube
from tests.unit.files.job_texts import bent

LINE = Centreline(
    BendTable((120.0, 90.0), (Bend(50.0, 90.0),)), Pose((10.0, 20.0, 30.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
)
BAR = Modelled("solid 3 (stay) of frame.step", LINE, Round(12.0), code="a1")
TAKEN = 'takeoff = { file = "models/frame.step", solid = 3 }'


def read(lines: str = TAKEN, bar: Modelled = BAR) -> Job:
    return parse_job(bent(lines).encode(), "hoop.toml", models=lambda part: bar)


def faults(lines: str, models: Callable[[ModelPart], Modelled]) -> list[Fault]:
    with pytest.raises(InputError) as caught:
        parse_job(bent(lines).encode(), "hoop.toml", models=models)
    return list(caught.value.faults)


def codes(bar: Modelled, lines: str = TAKEN) -> dict[str, tuple[str, str, str]]:
    job = read(lines, bar)
    return {one.code: one.told(job.ruler) for one in work(job).findings if one.code.startswith("model-")}


def test_the_piece_is_the_bar_where_it_stands_in_the_model() -> None:
    asked: list[ModelPart] = []

    def models(part: ModelPart) -> Modelled:
        asked.append(part)
        return BAR

    job = parse_job(bent(TAKEN).encode(), "hoop.toml", models=models)
    assert asked == [ModelPart("models/frame.step", 3, None, None, "mm")]
    (piece,) = job.pieces
    assert piece.shape == Placed(LINE.table, LINE.start)
    (plan,) = work(job).pieces
    assert plan.length == pytest.approx(LINE.table.length)
    assert codes(BAR) == {}


def test_member_and_radius_are_passed_on_in_mm() -> None:
    asked: list[ModelPart] = []

    def models(part: ModelPart) -> Modelled:
        asked.append(part)
        return BAR

    lines = 'takeoff = { file = "hook.csv", solid = 2, member = 4, radius = "2 in" }'
    parse_job(bent(lines).encode(), "hoop.toml", models=models)
    (part,) = asked
    assert replace(part, radius=None) == ModelPart("hook.csv", 2, 4, None, "mm")
    assert part.radius == pytest.approx(50.8)


@pytest.mark.parametrize("key", ["file", "solid", "member"])
def test_what_is_wrong_with_a_model_is_a_fault_of_the_key_that_says_it(key: str) -> None:
    def models(part: ModelPart) -> Modelled:
        raise InputError("takeoff", [Fault(key, "this", "that", "Do so.")])

    lines = f"count = 2\n{TAKEN[:-2]}, member = 1 }}"
    (fault,) = faults(lines, models)
    assert (fault.where, fault.found, fault.wanted, fault.do) == (f"piece.hoop.takeoff.{key}", "this", "that", "Do so.")
    text = bent(lines).splitlines()
    assert fault.line is not None
    assert text[fault.line - 1].startswith("takeoff")


def test_another_model_is_another_version_of_the_job() -> None:
    again = read(bar=replace(BAR, code="b2"))
    assert read().version == read().version
    assert read().version != again.version
    assert len(again.version) == 6


def test_a_bar_that_no_job_takes() -> None:
    far = replace(BAR, line=Centreline(BendTable((90.0, 90.0), (Bend(50.0, 200.0),))))
    (fault,) = faults(TAKEN, lambda part: far)
    assert (fault.where, "bend 1 turns by 200" in fault.found) == ("piece.hoop.takeoff.solid", True)
    many = BendTable((10.0,) * 202, (Bend(50.0, 5.0),) * 201)
    (fault,) = faults(TAKEN, lambda part: replace(BAR, line=Centreline(many)))
    assert "which has 201" in fault.found


def test_the_way_that_the_model_bends_it() -> None:
    flat = replace(BAR, way="hard")
    assert read(bar=flat).pieces[0].way == "hard"
    assert read(f'{TAKEN}\nway = "hard"', flat).pieces[0].way == "hard"
    (fault,) = faults(f'{TAKEN}\nway = "easy"', lambda part: flat)
    assert (fault.where, fault.found) == ("piece.hoop.way", '"easy"')
    assert '"hard", the way solid 3 (stay) of frame.step is bent' in fault.wanted
    assert "easy way" in codes(replace(BAR, way="both"))["model-bent-both-ways"][0]


@pytest.mark.parametrize(
    ("section", "words"),
    [
        (Tube(25.0, 2.0), "tube 25 mm × 2 mm"),
        (Round(12.2), "round 12.2 mm"),
        (SquareTube(20.0, 20.0, 2.0, 3.0), "square tube 20 mm × 20 mm × 2 mm"),
        (Flat(30.0, 4.0), "flat 30 mm × 4 mm"),
    ],
)
def test_another_bar_than_the_stock_is_told_with_both(section: Section, words: str) -> None:
    says, _, _ = codes(replace(BAR, section=section))["model-of-other-bar"]
    assert says == f"Solid 3 (stay) of frame.step is {words}; the stock of the piece is round 12 mm."


@pytest.mark.parametrize("section", [None, Round(12.0), Round(12.04)])
def test_the_same_bar_is_no_finding(section: Section | None) -> None:
    assert "model-of-other-bar" not in codes(replace(BAR, section=section))


def test_a_free_curve_says_how_near_its_arcs_come() -> None:
    says, why, _ = codes(replace(BAR, curve=True, deviation=0.17))["model-is-a-curve"]
    assert says == "Solid 3 (stay) of frame.step is a free curve; the piece is the arc nearest to it."
    assert "0.17" in why


def test_a_mitre_that_the_spare_length_does_not_hold() -> None:
    cut = replace(BAR, beyond=(6.0, 0.0))
    says, _, do = codes(cut)["model-cut-reaches-beyond"]
    assert "end A reaches 6 mm beyond" in says
    assert "trim = 6 mm" in do
    assert codes(cut, f"{TAKEN}\ntrim = 6") == {}


def test_names_of_files_are_no_templates() -> None:
    strange = replace(BAR, of="solid 3 of {length}.step", section=Round(20.0))
    assert "(length).step" in codes(strange)["model-of-other-bar"][0]
