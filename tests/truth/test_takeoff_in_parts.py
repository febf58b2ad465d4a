"""A model read in parts by several readers, against the same model read by one."""

from __future__ import annotations

import os
import random
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from OCP.gp import gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff import kernel, reading
from bentwork.takeoff.in_parts import begin_apart, order_of, read_in_parts, readers_for
from bentwork.takeoff.kernel_lost import lost_solids, solids_named
from tests.takeoff_models import cases
from tests.takeoff_models.files import write_assembly, write_step
from tests.takeoff_models.frames import mitred_cases
from tests.truth.test_takeoff_models import random_part

Answers = list[dict[str, Any]]


def whole(path: Path) -> Answers:
    """What one reader answers for a file."""
    told: Answers = []
    reader, _ = kernel.open_model(path)
    bodies = kernel.bodies(reader)
    bodies += lost_solids(reader, path, bodies)
    told.append({"total": len(bodies), "units": list(kernel.file_units(reader))})
    reading.read_bodies(bodies, 1, told.append)
    return [answer for answer in told if "at" not in answer] + [{"done": True}]


def parted(path: Path, count: int = 2) -> Answers | None:
    """What several readers answer for it; None when it is to be read as a whole."""
    told: Answers = []
    apart = begin_apart(path, count)
    files = apart.parts()
    assert len(files) in (0, count)
    left = read_in_parts(files, solids_named(path), told.append) if files else None
    if files:
        apart.drop()
    if told[:1] == [{"stage": "building"}]:
        told.pop(0)
    assert (left is None) == (told == [])
    return None if left is None else told + [left] * bool(left)


def parts(count: int = 14) -> list[tuple[str, TopoDS_Shape]]:
    chance = random.Random(4)
    return [(f"part {k}", random_part(chance)[0]) for k in range(count)]


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_step(tmp_path_factory.mktemp("parts") / "parts.step", parts())


@pytest.mark.parametrize("count", [2, 3])
def test_every_kind_of_model_comes_back_as_from_one_reader(tmp_path: Path, count: int) -> None:
    made = [(name, shape) for build in (cases.all_cases, mitred_cases) for name, shape, _ in build()]
    path = write_step(tmp_path / "all.step", made)
    answers = parted(path, count)
    assert answers is not None
    assert len(answers) > 120
    assert answers == whole(path)


def test_instances_stand_where_they_stand(tmp_path: Path) -> None:
    drawn = parts(10)
    places = []
    for k in range(30):
        where = gp_Trsf()
        where.SetTranslationPart(gp_Vec(10.0 * k, -3.0 * k, k))
        places.append((f"bar {k}", drawn[k % 10][0], where))
    path = write_assembly(tmp_path / "frame.step", drawn, places)
    answers = parted(path)
    assert answers is not None
    assert len(answers) >= 32
    assert answers == whole(path)


def test_sheets_and_wires_between_solids_are_told_once(tmp_path: Path) -> None:
    sheet = TopExp_Explorer(parts(1)[0][1], TopAbs_ShapeEnum.TopAbs_FACE).Current()
    wire = TopExp_Explorer(parts(1)[0][1], TopAbs_ShapeEnum.TopAbs_WIRE).Current()
    some = parts()
    path = write_step(tmp_path / "a.step", [*some[:5], ("sheet", sheet), *some[5:9], ("wire", wire), *some[9:]])
    answers = parted(path)
    assert answers is not None
    assert len(answers) == 18
    assert answers == whole(path)


def test_a_solid_of_which_nothing_is_made_sends_it_back_to_one_reader(tmp_path: Path, model: Path) -> None:
    text = model.read_text()
    shell = re.search(r"(#\d+) = CLOSED_SHELL\('',\([^)]*\)\);", text)
    assert shell
    path = tmp_path / "lost.step"
    path.write_text(text.replace(shell[0], f"{shell[1]} = CLOSED_SHELL('',());"))
    assert parted(path) is None


def test_one_that_stands_nowhere_sends_it_back_to_one_reader(tmp_path: Path, model: Path) -> None:
    path = tmp_path / "lost.step"
    tree = r"ADVANCED_BREP_SHAPE_REPRESENTATION\('',\((#\d+),#\d+\)"
    path.write_text(re.sub(tree, r"SHAPE_REPRESENTATION('',(\1)", model.read_text(), count=1))
    assert parted(path) is None
    assert whole(path)[0]["total"] == 14


def test_a_reader_that_breaks_down_over_a_solid_ends_before_it(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read = reading.read_bodies

    def breaks_down(bodies: Sequence[kernel.Body], first: int, say: Callable[[dict[str, Any]], None]) -> None:
        read([body for body in bodies if int(body.name.split()[1]) < 5], first, say)
        os._exit(3)

    wanted = whole(model)
    monkeypatch.setattr(reading, "read_bodies", breaks_down)
    answers = parted(model)
    assert answers is not None
    names = [answer["solid"]["name"] for answer in answers[1:]]
    assert names == [name for name, _ in parts()][: len(names)]
    assert 2 <= len(names) <= 5
    assert answers == wanted[: len(answers)]


def test_a_reader_that_breaks_down_before_sends_it_back_to_one(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernel, "bodies", lambda reader, part: os._exit(3) if part else [])
    assert parted(model) is None


def test_no_room_for_more_processes_sends_it_back_to_one(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    apart = begin_apart(model, 2)
    files = apart.parts()
    told: Answers = []

    def fork() -> int:
        raise BlockingIOError("Resource temporarily unavailable")

    monkeypatch.setattr(os, "fork", fork)
    assert read_in_parts(files, 14, told.append) is None
    apart.drop()
    assert told == []


def test_memory_that_runs_out_is_told(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def runs_out(bodies: Sequence[kernel.Body], first: int, say: Callable[[dict[str, Any]], None]) -> None:
        raise MemoryError

    monkeypatch.setattr(reading, "read_bodies", runs_out)
    answers = parted(model)
    assert answers is not None
    assert [list(answer) for answer in answers] == [["total", "units"], ["error"]]
    assert answers[1] == {"error": "memory"}


def test_parts_that_do_not_go_together_are_not_put_together() -> None:
    bar = (0, "solid", "bar", 1)
    absent = [(place, "elsewhere", name, 9) for place, name in ((0, "bar"), (1, "rail"))]
    rail = (1, "solid", "rail", 2)
    assert order_of([[bar, absent[1]], [absent[0], rail]], 2) == [(0, 1), (1, 1)]
    assert order_of([[bar, rail], [bar, absent[1]]], 2) == [(0, 1), (0, 2)], "what two have is the first one's"
    assert order_of([[bar, absent[1]], [absent[0], rail]], 3) is None, "one is lost"
    assert order_of([[bar], [absent[0], rail]], 2) is None, "one place more"
    assert order_of([[bar, absent[1]], absent], 1) is None, "nobody has the rail"
    assert order_of([[bar, absent[1]], [(0, "elsewhere", "stay", 9), rail]], 2) is None, "other names"


def test_no_process_is_left(model: Path) -> None:
    def left() -> tuple[set[str], int]:
        children = (task.joinpath("children").read_text().split() for task in Path("/proc/self/task").iterdir())
        return {child for some in children for child in some}, len(list(Path("/proc/self/fd").iterdir()))

    before = left()  # tests of the page leave a browser's driver behind
    assert parted(model) is not None
    assert left() == before


def test_there_are_no_more_parts_than_the_solids_are_worth(model: Path) -> None:
    apart = begin_apart(model, 9)
    assert len(apart.parts()) == 3
    apart.drop()


def test_small_files_have_one_reader(tmp_path: Path, model: Path) -> None:
    small = tmp_path / "small.step"
    small.write_bytes(model.read_bytes()[:200_000])
    assert readers_for(small) == 1
    assert readers_for(model) == min(4, len(os.sched_getaffinity(0)))
