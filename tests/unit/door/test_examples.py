"""The examples: they open, nothing stops them, plans are complete, the large one uses whatever a job file can say."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from bentwork.cli.demo import demo
from bentwork.door.example import EXAMPLES, LARGE, Example, example_bytes, remember_example
from bentwork.door.memory import read_bytes_with
from bentwork.files.job_model import JobTable
from bentwork.jobs.whole import whole
from bentwork.jobs.work import Result, work
from bentwork.workshop.store import open_workshop

TABLE = tomllib.loads(example_bytes(LARGE).decode())
SAID = sorted(set(JobTable.model_fields) - {"fraction"})  # which is for inches


def worked(workshop: Path, which: Example) -> Result:
    job, bends = read_bytes_with(example_bytes(which), f"{which}.toml", workshop)
    return whole(work(job, bends))


@pytest.fixture(scope="module")
def remembered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workshop with the test bends of both."""
    folder = tmp_path_factory.mktemp("workshop")
    for which in EXAMPLES:
        remember_example(folder, which)
    return folder


@pytest.fixture(scope="module")
def rack(remembered: Path) -> Result:
    """The large one, with its test bends."""
    return worked(remembered, LARGE)


def test_nothing_stops_the_large_one_and_what_is_to_be_watched_is_meant(rack: Result) -> None:
    told = {(one.level, one.code) for one in rack.findings if one.level != "note"}
    assert told == {("watch", "shakes-with-the-road")}


def test_nor_before_its_test_bends_are_known(tmp_path: Path) -> None:
    found = worked(tmp_path, LARGE)
    assert not found.stopped
    codes = {one.code for one in found.findings if one.level == "watch"}
    assert codes == {"springback-from-handbook", "shakes-with-the-road"}


def test_every_bend_of_it_has_its_step_and_keeps_clear(rack: Result) -> None:
    for plan in rack.pieces:
        assert plan.table is not None
        assert sorted(step.bend for step in plan.steps) == list(range(1, len(plan.table.bends) + 1)), plan.spec.name
        for step in plan.steps:
            assert step.clearance is None or step.clearance >= plan.spec.required_clearance


def test_it_carries_more_than_it_is_asked_to(rack: Result) -> None:
    carried = next(one for one in rack.findings if one.code == "carries")
    assert carried.level == "note"


@pytest.mark.parametrize("sort", SAID)
def test_the_large_one_has_every_sort_of_table(sort: str) -> None:
    assert TABLE.get(sort), f"{LARGE}.toml has no [{sort}]"


KEYS = {
    "stock": "section diameter wall width height material bar_length price bars offcuts",
    "material": "group source sure elastic_modulus proof_stress tensile_strength elongation density "
    "welded_proof_stress welded_strength",
    "bender": "kind radius hand max_angle accuracy die hook follower arm plate needs rated parts block",
    "mounting": "bender bench floor bodies",
    "piece": "stock bender points closed seam straights bends start along towards trim required_clearance ends mirror "
    "mirror_in hand tolerance count at holes",
    "crossbar": "stock between count spacing from ends off",
    "tab": "piece at fixing off axis runs stock thickness width material hole thread grade end rounded",
    "stay": "stock piece from to ends hole end axes clearance",
    "keepout": "shape x y z from to radius bodies clearance swing",
    "opening": "width height clearance",
    "fixing": "piece at held along bolt",
    "joint": "pieces made axis bolt throat",
    "paint": "coverage coats loss price",
}
SINGLE = {
    "load": "use leaning welding road km cases",
    "payload": "name mass centre on size straps",
    "shop": "kerf bar_ends blocks spares filler_price disc_price",
    "finish": "system colour vented galvanised",
    "measured": "ground good points readings",
    "tolerance": "gap offset twist position",
}


@pytest.mark.parametrize("sort", KEYS)
def test_its_tables_show_how_the_keys_are_written(sort: str) -> None:
    used = {key for table in TABLE[sort].values() for key in table}
    assert set(KEYS[sort].split()) <= used


@pytest.mark.parametrize("sort", SINGLE)
def test_so_do_those_that_stand_alone(sort: str) -> None:
    assert set(SINGLE[sort].split()) <= set(TABLE[sort])


def test_it_has_holes_of_every_kind() -> None:
    used = {key for hole in TABLE["piece"]["cradle"]["holes"] for key in hole}
    assert {"along", "side", "across", "at", "diameter", "slot", "runs", "thread"} <= used
    kinds = {reading["kind"] for reading in TABLE["measured"]["readings"]}
    assert {"distance", "height", "string", "slope"} <= kinds


def test_test_bends_are_entered_once(remembered: Path) -> None:
    with open_workshop(remembered) as workshop:
        before = len(workshop.test_bends.all())
    assert before > 3
    remember_example(remembered, LARGE)
    with open_workshop(remembered) as workshop:
        assert len(workshop.test_bends.all()) == before


def test_the_command_offers_all_of_them() -> None:
    (option,) = [one for one in demo.params if one.name == "which"]
    assert tuple(option.type.choices) == EXAMPLES  # type: ignore[attr-defined]


def test_every_comment_says_something_about_the_job() -> None:
    text = example_bytes(LARGE).decode()
    named = re.findall(r"bentwork (\w+) gear-rack", text)
    assert {"check", "measure", "plan", "carry", "parts", "buy", "weld", "paper"} <= set(named)
