"""How long a take-off takes: 200 bars end to end, and one solid at a time, beside what the CAD kernel alone needs.

The peer does less: it reads the same file in a process of its own and integrates the volume of every solid, or reads it
and no more, which says nothing of bends, sections or ends.

    python3 bootstrap.py bench takeoff
"""

from __future__ import annotations

import gc
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path

from _takeoff_bodies import as_splines, bars, flat_bars, rod, springs, sweeps, tube, write
from _takeoff_text import by_text
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.kernel import bodies, open_model
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.recognise import recognise
from bentwork.takeoff.shape import Shape
from bentwork.takeoff.take import take_off

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.takeoff_models.cases import end_cases, hole_cases, slot_cases
from tests.truth.test_takeoff_models import random_part

COUNT, ROUNDS, TRIES, SEED = 200, 5, 3, 1

PEER = """
import sys
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.Standard import Standard_DomainError
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
reader = STEPControl_Reader()
reader.ReadFile(sys.argv[1])
reader.TransferRoots()
if sys.argv[2:]:
    raise SystemExit
explorer = TopExp_Explorer(reader.OneShape(), TopAbs_ShapeEnum.TopAbs_SOLID)
while explorer.More():
    BRepGProp.VolumeProperties_s(explorer.Current(), GProp_GProps(), 1e-5)
    explorer.Next()
"""


def seconds(run: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Median time of a run, s."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def out_of_a_file(shapes: Sequence[TopoDS_Shape]) -> list[TopoDS_Shape]:
    """The same solids as the reader gets them: written to a STEP file and read from it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "solids.step"
        write(path, shapes)
        reader, _ = open_model(path)
        return [body.shape for body in bodies(reader) if body.kind == "solid"]


def by_kernel(shapes: Iterable[TopoDS_Shape]) -> Iterator[Callable[[], Shape]]:
    """Yield what reads each solid from the kernel."""
    for shape in shapes:
        yield partial(shape_of, TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID).Current())


def from_text(shapes: Sequence[TopoDS_Shape]) -> tuple[list[Callable[[], Shape]], float]:
    """Return what gives each solid that is read from text, and what their volumes took for each before, ms."""
    reads, before = by_text(shapes)
    return [read for read in reads if read is not None], before


def each(reads: Iterable[Callable[[], Shape]], kind: str, before: float = 0.0) -> list[float]:
    """Times of the processor for one solid at a time, ms, sorted; what each took before is added.

    As in the reader's own process no rings of garbage are looked for, and each is asked three times: what else the
    machine does in between is no part of it, so the least counts.
    """
    times = []
    gc.disable()
    for read in reads:
        tries = []
        for _ in range(TRIES):
            start = time.process_time()
            verdict = recognise(read())
            tries.append(1000.0 * (time.process_time() - start))
        times.append(before + min(tries))
        if verdict.kind != kind:
            raise SystemExit(f"a bar was not recognised: {verdict.reason}")
    gc.enable()
    return sorted(times)


def end_to_end(shapes: Sequence[TopoDS_Shape], wanted: float) -> list[float]:
    """Return how long bars take whose lengths come to so much, mm; the kernel alone with volumes, and reading alone, s.

    They take turns; medians.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bars.step"
        write(path, shapes)
        found = sum(solid.bars[0].length for solid in take_off(path).solids)
        if abs(found - wanted) > 1e-2:
            raise SystemExit(f"the lengths do not agree: {found} and {wanted}")
        command = [sys.executable, "-c", PEER, str(path)]

        def peer(*more: str) -> None:
            subprocess.run([*command, *more], check=True, stdout=subprocess.DEVNULL)

        runs = (lambda: take_off(path), peer, lambda: peer("read"))
        times = [[seconds(run, 1) for run in runs] for _ in range(ROUNDS)]
        return [statistics.median(column) for column in zip(*times, strict=True)]


def ends_made(count: int) -> Iterator[tuple[TopoDS_Shape, float]]:
    """Yield bars of the tests with ends cut and with holes, one beside the other, and their lengths, mm."""
    drawn = [case for build in (end_cases, hole_cases, slot_cases) for case in build()]
    for k in range(count):
        _, shape, expected = drawn[k % len(drawn)]
        aside = gp_Trsf()
        aside.SetTranslationPart(gp_Vec(0.0, 0.0, 500.0 * (k // len(drawn))))
        yield BRepBuilderAPI_Transform(shape, aside, True).Shape(), expected.bars[0].line.table.length


def main() -> None:
    """Print the tables; the kernel's own words go nowhere."""
    out = os.fdopen(os.dup(1), "w")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    rods, tubes = [rod(line) for line in bars(COUNT)], [tube(line) for line in flat_bars(60)]
    rows = (
        ("round bar of up to six bends", *from_text(rods), "piece"),
        ("the same by the kernel", by_kernel(out_of_a_file(rods)), 0.0, "piece"),
        ("square tube with rounded corners, 82 faces", *from_text(tubes), "piece"),
        ("the same by the kernel", by_kernel(out_of_a_file(tubes)), 0.0, "piece"),
        ("round bar, every face a spline", by_kernel(as_splines(rods, 60)), 0.0, "piece"),
        ("square tube, every face a spline", by_kernel(as_splines(tubes, 20)), 0.0, "piece"),
        ("spring of four turns, one spline face", by_kernel(springs(10)), 0.0, "curve"),
        ("square tube with rounded corners along a free curve, 18 faces", by_kernel(sweeps(10)), 0.0, "curve"),
    )
    chance = random.Random(SEED)
    parts, truths = zip(*(random_part(chance) for _ in range(COUNT)), strict=True)
    made, lengths = zip(*ends_made(COUNT), strict=True)
    files = {
        "round bars of up to six bends": (rods, sum(line.table.length for line in bars(COUNT))),
        "random parts of the tests": (parts, sum(truth.line.table.length for truth in truths)),
        "bars mitred, coped, chamfered, drilled, slotted": (made, sum(lengths)),
    }
    head = f"{COUNT} bars end to end, medians of {ROUNDS} in turns, s"
    print(f"| {head} | take-off | the kernel alone | ratio | reading alone |", file=out)
    print("| --- | --- | --- | --- | --- |", file=out)
    for name, (shapes, wanted) in files.items():
        mine, theirs, reading = end_to_end(shapes, wanted)
        print(f"| {name} | {mine:.2f} | {theirs:.2f} | {theirs / mine:.2f} | {reading:.2f} |", file=out, flush=True)
    print("\n| one solid, ms of processor | median | slowest |\n| --- | --- | --- |", file=out)
    for name, reads, before, kind in rows:
        times = each(reads, kind, before)
        print(f"| {name} | {statistics.median(times):.1f} | {times[-1]:.1f} |", file=out, flush=True)


if __name__ == "__main__":
    main()
