"""A model read in parts by several readers, against the same model read by one."""

from __future__ import annotations

import os
import random
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff import kernel, plain_reading, reading
from bentwork.takeoff.bar import Solid
from bentwork.takeoff.in_parts import Made, begin_apart, order_of, read_in_parts, readers_for
from bentwork.takeoff.kernel_lost import lost_solids, solids_named
from bentwork.takeoff.shape import Shape
from bentwork.takeoff.standing import looked_at
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
    left = read_in_parts(apart, files, solids_named(path), told.append) if files else None
    apart.drop()
    if told[:1] == [{"stage": "building"}]:
        told.pop(0)
    assert (left is None) == (told == [])
    return None if left is None else told + [left] * bool(left)


def alike(told: Answers, wanted: Answers) -> None:
    """Assert that two readers told the same; of equal members or ways round either may come first."""
    assert len(told) == len(wanted)
    assert told[0] == wanted[0]
    assert told[-1] == wanted[-1]
    for a, b in zip(told, wanted, strict=True):
        if numbers(a) != approx(numbers(b)):
            one, other = a["solid"], b["solid"]
            assert one["closed"] or one["members"], "this one has a first end, or no other beside it"
            assert all_round(one) == approx(all_round(other))
    for a, b in zip(told, wanted, strict=True):
        assert words(a) == words(b)


def all_round(solid: dict[str, Any]) -> list[float]:
    """What a solid is whichever of its members comes first, or wherever a closed one begins."""
    rows = []
    for bar in solid["members"] or [solid]:
        straights = bar["straights_mm"]
        # Of a closed one the first and the last are the two halves of one straight.
        sides = [straights[0] + straights[-1], *straights[1:-1]] if bar["closed"] else straights
        bends = [number for key in ("radius_mm", "angle_deg") for number in sorted(bend[key] for bend in bar["bends"])]
        rows.append([*sorted(sides), *bends, *numbers(bar["section"])])
    return [*(number for row in sorted(rows) for number in row), solid["volume_mm3"]]


def approx(some: list[float]) -> object:
    return pytest.approx(some, rel=1e-6, abs=1e-6)


def numbers(told: object) -> list[float]:
    """All numbers of an answer, in order."""
    if isinstance(told, dict | list):
        return [number for one in (told.values() if isinstance(told, dict) else told) for number in numbers(one)]
    return [told] if isinstance(told, int | float) and not isinstance(told, bool) else []


def words(told: object) -> list[object]:
    """Everything else of it."""
    if isinstance(told, dict):
        return [*told, *(word for one in told.values() for word in words(one))]
    if isinstance(told, list):
        return [word for one in told for word in words(one)]
    return [told] if isinstance(told, str | bool | None) else []


@pytest.fixture
def by_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    """All is left for the kernel."""
    monkeypatch.setattr(plain_reading, "plain_solids", lambda statements, shells: [None] * len(shells))


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
    alike(answers, whole(path))


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
    alike(answers, whole(path))


def test_sheets_and_wires_between_solids_are_told_once(tmp_path: Path) -> None:
    sheet = TopExp_Explorer(parts(1)[0][1], TopAbs_ShapeEnum.TopAbs_FACE).Current()
    wire = TopExp_Explorer(parts(1)[0][1], TopAbs_ShapeEnum.TopAbs_WIRE).Current()
    some = parts()
    path = write_step(tmp_path / "a.step", [*some[:5], ("sheet", sheet), *some[5:9], ("wire", wire), *some[9:]])
    answers = parted(path)
    assert answers is not None
    assert len(answers) == 18
    alike(answers, whole(path))


def test_rings_and_balls_are_no_marks(tmp_path: Path, model: Path) -> None:
    made = [("ring", BRepPrimAPI_MakeTorus(30.0, 10.0).Solid()), ("ball", BRepPrimAPI_MakeSphere(10.0).Solid())]
    path = write_step(tmp_path / "a.step", [*parts(), *made])
    answers = parted(path)
    assert answers is not None
    alike(answers, whole(path))
    text = path.read_text()
    # A ring round one point alone is another way to write it.
    ring = re.search(r"FACE_BOUND\('',(#\d+),\.[TF]\.\);", text[text.index("'ring'") :])
    assert ring
    loop = "VERTEX_LOOP('',#999990);\n#999990=VERTEX_POINT('',#999991);\n#999991=CARTESIAN_POINT('',(40.,0.,0.));"
    path.write_text(re.sub(rf"{ring[1]} = EDGE_LOOP\([^;]*;", f"{ring[1]} = {loop}", text))
    answers = parted(path)
    if answers is not None:
        alike(answers, whole(path))


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


@pytest.mark.usefixtures("by_kernel")
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


@pytest.mark.usefixtures("by_kernel")
def test_a_reader_that_breaks_down_before_sends_it_back_to_one(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernel, "bodies", lambda reader, part: os._exit(3) if part else [])
    assert parted(model) is None


@pytest.mark.usefixtures("by_kernel")
def test_no_room_for_more_processes_sends_it_back_to_one(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    apart = begin_apart(model, 2)
    files = apart.parts()
    told: Answers = []

    def fork() -> int:
        raise BlockingIOError("Resource temporarily unavailable")

    monkeypatch.setattr(os, "fork", fork)
    assert read_in_parts(apart, files, 14, told.append) is None
    apart.drop()
    assert told == []


@pytest.mark.usefixtures("by_kernel")
def test_memory_that_runs_out_is_told(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def runs_out(bodies: Sequence[kernel.Body], first: int, say: Callable[[dict[str, Any]], None]) -> None:
        raise MemoryError

    monkeypatch.setattr(reading, "read_bodies", runs_out)
    answers = parted(model)
    assert answers is not None
    assert [list(answer) for answer in answers] == [["total", "units"], ["error"]]
    assert answers[1] == {"error": "memory"}


def test_parts_that_do_not_go_together_are_not_put_together() -> None:
    bar = Made(0, "solid", "bar", 1)
    absent = [Made(place, "elsewhere", name, 9) for place, name in ((0, "bar"), (1, "rail"))]
    rail = Made(1, "solid", "rail", 2)
    assert order_of([[bar, absent[1]], [absent[0], rail]], 2) == [(0, 1, bar), (1, 1, rail)]
    assert order_of([[bar, rail], [bar, absent[1]]], 2) == [(0, 1, bar), (0, 2, rail)], (
        "what two have is the first one's"
    )
    assert order_of([[bar, absent[1]], [absent[0], rail]], 3) is None, "one is lost"
    assert order_of([[bar, absent[1]], [absent[0], rail]][::-1], 2) == [(1, 1, bar), (0, 1, rail)]
    assert order_of([[bar, absent[1]], [absent[0]]], 2) is None, "one place more"
    assert order_of([[bar, absent[1]], absent], 1) is None, "nobody has the rail"
    assert order_of([[bar, absent[1]], [Made(0, "elsewhere", "stay", 9), rail]], 2) is None, "other names"


def test_what_no_kernel_has_is_left_to_those_who_read_without() -> None:
    bar, rail = Made(0, "elsewhere", "bar", 1, 4), Made(1, "solid", "rail", 2)
    sheet, stay = Made(2, "sheet", "sheet", 3), Made(3, "elsewhere", "stay", 1, 4)
    order = [(0, 0, bar), (0, 1, rail), (0, 0, stay), (0, 2, sheet)]
    assert order_of([[bar, rail, sheet, stay]], 3) == order
    assert order_of([[bar, rail, sheet, stay]], 4) is None, "two stand for one solid"


def test_no_process_is_left(model: Path) -> None:
    def left() -> tuple[set[str], int]:
        children = (task.joinpath("children").read_text().split() for task in Path("/proc/self/task").iterdir())
        return {child for some in children for child in some}, len(list(Path("/proc/self/fd").iterdir()))

    before = left()  # tests of the page leave a browser's driver behind
    assert parted(model) is not None
    assert left() == before


@pytest.mark.usefixtures("by_kernel")
def test_there_are_no_more_parts_than_the_solids_are_worth(model: Path) -> None:
    apart = begin_apart(model, 9)
    assert len(apart.parts()) == 3
    apart.drop()


def test_nothing_is_left_to_the_kernel_but_the_tree_where_all_solids_are_plain(model: Path) -> None:
    apart = begin_apart(model, 9)
    (file,) = apart.parts()
    text = Path(f"/proc/self/fd/{file}").read_text()
    apart.drop()
    assert len(text) < 100_000
    assert text.count("MANIFOLD_SOLID_BREP") == text.count("TOROIDAL_SURFACE") == 14
    assert "EDGE_CURVE" not in text


def test_a_plain_reader_that_breaks_down_ends_before_that_solid(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:

    def breaks_down(read: Callable[[], Shape]) -> Solid:
        found = looked_at(read)
        return found if len(found.bars[0].line.table.bends) < 5 else os._exit(3)

    wanted = whole(model)
    monkeypatch.setattr(plain_reading, "looked_at", breaks_down)
    answers = parted(model)
    assert answers is not None
    assert 1 < len(answers) < 15
    for told, known in zip(answers[1:], wanted[1:], strict=False):
        assert numbers(told) == approx(numbers(known))


def test_memory_that_runs_out_without_the_kernel_is_told(model: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def runs_out(read: Callable[[], Shape]) -> Solid:
        raise MemoryError

    monkeypatch.setattr(plain_reading, "looked_at", runs_out)
    answers = parted(model)
    assert answers is not None
    assert [list(answer) for answer in answers] == [["total", "units"], ["error"]]


def test_small_files_have_one_reader_and_one_processor_none(
    tmp_path: Path, model: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    small = tmp_path / "small.step"
    small.write_bytes(model.read_bytes()[:200_000])
    for processors, few, many in ((8, 1, 4), (2, 1, 2), (1, 0, 0)):
        monkeypatch.setattr(os, "sched_getaffinity", lambda _, count=processors: set(range(count)))
        assert (readers_for(small), readers_for(model)) == (few, many)
