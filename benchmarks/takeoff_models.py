"""How long the take-off looks at one solid: every model of the tests that has no splines, and tubes of ever more bends.

Beside each the same kernel asked for every face and edge, with nothing done about the answers.

    python3 bootstrap.py bench takeoff_models
"""

from __future__ import annotations

import gc
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from _takeoff_bodies import tube
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import SquareTube
from bentwork.takeoff.kernel import bodies, open_model
from bentwork.takeoff.kernel_faces import asked, shape_of
from bentwork.takeoff.recognise import recognise

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.takeoff_models import cases, solids
from tests.takeoff_models.files import write_step
from tests.takeoff_models.frames import impossible_cases, mitred_cases

TRIES = 9
WANTED = 5.0
"""What one solid may take, ms."""
BUILDS = (
    cases.round_cases,
    cases.rectangular_cases,
    cases.closed_cases,
    cases.end_cases,
    cases.hole_cases,
    cases.slot_cases,
    cases.other_cases,
    cases.joined_cases,
    mitred_cases,
    impossible_cases,
)


def least(run: Callable[[], object]) -> float:
    """Least time of the processor of several runs, ms: what else the machine does is no part of it."""
    times = []
    for _ in range(TRIES):
        start = time.process_time()
        run()
        times.append(1000.0 * (time.process_time() - start))
    return min(times)


def out_of_a_file(made: Sequence[tuple[str, TopoDS_Shape]]) -> list[tuple[str, TopoDS_Shape]]:
    """The same solids as the reader gets them."""
    with tempfile.TemporaryDirectory() as folder:
        reader, _ = open_model(write_step(Path(folder) / "models.step", list(made)))
        return [(name, body.shape) for (name, _), body in zip(made, bodies(reader), strict=True)]


def zigzag(bends: int) -> Centreline:
    """A bar in one plane, bent to and fro."""
    made = tuple(Bend(60.0, 45.0, 180.0 if k else 0.0) for k in range(bends))
    return Centreline(BendTable((150.0,) * (bends + 1), made))


def row(name: str, shape: TopoDS_Shape) -> tuple[float, float, int, str, str] | None:
    """Time, time of asking, faces, kind and name; None where there are splines."""
    seen = shape_of(shape)
    if any(face.kind == "free" for face in seen.faces):
        return None
    spent = least(lambda: recognise(shape_of(shape)))
    asking = least(lambda: asked(shape).read_edges())
    return spent, asking, len(seen.faces), recognise(seen).kind, name


def main() -> None:
    """Print the tables; the kernel's own words go nowhere."""
    out = os.fdopen(os.dup(1), "w")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    made = out_of_a_file([(name, shape) for build in BUILDS for name, shape, _ in build()])
    gc.disable()
    for name, shape in made[:20]:  # what is done the first time is done once
        row(name, shape)
    rows = sorted((one for name, shape in made if (one := row(name, shape))), reverse=True)
    over = sum(one[0] > WANTED for one in rows)
    print(
        f"{len(rows)} solids, {over} above {WANTED:g} ms, median {statistics.median(r[0] for r in rows):.1f}\n",
        file=out,
    )
    print(
        "| solid, ms of processor | what it is | faces | take-off | asked only |\n| --- | --- | --- | --- | --- |",
        file=out,
    )
    for spent, asking, faces, kind, name in rows:
        print(f"| {name} | {kind} | {faces} | {spent:.1f} | {asking:.1f} |", file=out)
    print("\n| bends | sharp tube: faces | ms | rounded tube: faces | ms |\n| --- | --- | --- | --- | --- |", file=out)
    sharp = SquareTube(30.0, 30.0, 2.0)
    for bends in range(9):
        line = zigzag(bends)
        pair = out_of_a_file([("sharp", solids.built(line, sharp)), ("rounded", tube(line))])
        (first, _, few, _, _), (second, _, many, _, _) = (one for n, s in pair if (one := row(n, s)))
        print(f"| {bends} | {few} | {first:.1f} | {many} | {second:.1f} |", file=out, flush=True)


if __name__ == "__main__":
    main()
