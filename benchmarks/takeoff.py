"""How long a take-off takes: 200 bent bars end to end, and one solid at a time, beside what the CAD kernel alone needs.

The peer does less: it reads the same file in a process of its own and integrates the volume of every solid, which says
nothing of bends, sections or ends.

    python3 bootstrap.py bench takeoff
"""

from __future__ import annotations

import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_NurbsConvert,
)
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt
from OCP.Standard import Standard_DomainError
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.recognise import recognise
from bentwork.takeoff.take import take_off

COUNT, ROUNDS, RADIUS = 200, 5, 6.0

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
explorer = TopExp_Explorer(reader.OneShape(), TopAbs_ShapeEnum.TopAbs_SOLID)
while explorer.More():
    BRepGProp.VolumeProperties_s(explorer.Current(), GProp_GProps(), 1e-5)
    explorer.Next()
"""


def bars(seed: int = 1) -> list[Centreline]:
    """Bars of up to six bends."""
    rng = random.Random(seed)
    found = []
    for _ in range(COUNT):
        count = rng.randint(0, 6)
        bends = tuple(
            Bend(50.0, rng.uniform(20.0, 120.0), 0.0 if k == 0 else rng.uniform(-170.0, 170.0)) for k in range(count)
        )
        found.append(Centreline(BendTable(tuple(rng.uniform(20.0, 200.0) for _ in range(count + 1)), bends)))
    return found


def pipe(line: Centreline) -> TopoDS_Shape:
    """Solid round bar along a centreline."""
    wire = BRepBuilderAPI_MakeWire()
    for run in line.runs:
        a, m, b = (gp_Pnt(*run.pose(run.length * f).origin) for f in (0.0, 0.5, 1.0))
        curve = GC_MakeArcOfCircle(a, m, b).Value() if run.bend else None
        wire.Add((BRepBuilderAPI_MakeEdge(curve) if curve else BRepBuilderAPI_MakeEdge(a, b)).Edge())
    circle = gp_Circ(gp_Ax2(gp_Pnt(*line.start.origin), gp_Dir(*line.start.tangent)), RADIUS)
    face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()).Face()
    return BRepOffsetAPI_MakePipe(wire.Wire(), face).Shape()


def as_splines(shapes: Sequence[TopoDS_Shape], most: int = 60) -> list[TopoDS_Shape]:
    """The first shapes with every face made a spline; the kernel cannot do it for every torus."""
    found: list[TopoDS_Shape] = []
    for shape in shapes:
        with suppress(Standard_DomainError):
            found.append(BRepBuilderAPI_NurbsConvert(shape, True).Shape())
        if len(found) == most:
            break
    return found


def write(path: Path, shapes: Sequence[TopoDS_Shape]) -> None:
    """Write solids into one file; the kernel's own words go nowhere."""
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    writer = STEPControl_Writer()
    writer.Transfer(whole, STEPControl_StepModelType.STEPControl_AsIs)
    writer.Write(str(path))
    os.dup2(kept, 1)


def seconds(run: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Median time of a run, s."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def each(shapes: Sequence[TopoDS_Shape]) -> list[float]:
    """Times of one solid at a time, ms, sorted."""
    times = []
    for shape in shapes:
        explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
        start = time.perf_counter()
        verdict = recognise(shape_of(explorer.Current()))
        times.append(1000.0 * (time.perf_counter() - start))
        if verdict.kind != "piece":
            raise SystemExit(f"a bar was not recognised: {verdict.reason}")
    return sorted(times)


def main() -> None:
    """Print the tables."""
    lines = bars()
    shapes = [pipe(line) for line in lines]
    splines = as_splines(shapes)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bars.step"
        write(path, shapes)
        result = take_off(path)
        found, wanted = (
            sum(lengths)
            for lengths in ([solid.bars[0].length for solid in result.solids], [line.table.length for line in lines])
        )
        if abs(found - wanted) > 1e-6:
            raise SystemExit(f"the lengths do not agree: {found} and {wanted}")
        mine = seconds(lambda: take_off(path))
        command = [sys.executable, "-c", PEER, str(path)]
        theirs = seconds(lambda: subprocess.run(command, check=True, stdout=subprocess.DEVNULL))
    print(f"| {COUNT} bent bars, end to end, start of the reader included | median of {ROUNDS}, s | ratio |")
    print("| --- | --- | --- |")
    print(f"| take-off | {mine:.2f} | 1 |")
    print(f"| the kernel alone: read, volumes | {theirs:.2f} | {theirs / mine:.2f} |")
    print()
    print("| one solid, ms | median | slowest |")
    print("| --- | --- | --- |")
    for name, some in (("faces with a formula", shapes), ("splines", splines)):
        times = each(some)
        print(f"| {name} | {statistics.median(times):.1f} | {times[-1]:.1f} |")


if __name__ == "__main__":
    main()
