"""How long the take-off looks at one solid: models of the tests without splines, frames at random, tubes.

The models are all that the tests have, the frames are made as theirs are, the tubes have ever more bends. Plain ones
are looked at as they are read from the text of a file, where the volumes of all are reckoned together: what
that takes for one is added to each. All others are read from the kernel. Beside each the kernel asked for every face
and edge of it, with nothing done about the answers.

    python3 bootstrap.py bench takeoff_models
"""

from __future__ import annotations

import gc
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

from _takeoff_bodies import tube
from _takeoff_text import by_text
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME
from bentwork.stock.section import SquareTube
from bentwork.takeoff.kernel import bodies, open_model
from bentwork.takeoff.kernel_faces import asked, shape_of
from bentwork.takeoff.recognise import recognise
from bentwork.takeoff.shape import Shape

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.takeoff_models import cases, solids
from tests.takeoff_models.bent_frames import bent_frame, hoops
from tests.takeoff_models.files import write_step
from tests.takeoff_models.frames import impossible_cases, mitred_cases
from tests.takeoff_models.fused import fused_cases, random_frame
from tests.takeoff_models.odd_outlines import cornered_cases, folded_cases
from tests.takeoff_models.through_frames import crossed_hoops, round_frame, square_frame

ROUNDS = 24
"""How often each is looked at, all others between: what else the machine does comes in spells."""
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
    fused_cases,
    partial(cornered_cases, HOME),
    partial(folded_cases, HOME),
)
FRAMES = {
    "straight bars": random_frame,
    "one bar bent": bent_frame,
    "hoops above one another": hoops,
    "round bars, some bent, some through others": round_frame,
    "square, rectangular, flat, some through others": square_frame,
    "hoops that cross": crossed_hoops,
}
"""Frames in one solid, made anew at random, and how one is."""
OF_EACH = 24


def spent(run: Callable[[], object]) -> float:
    """Time of the processor that something takes, ms."""
    start = time.process_time()
    run()
    return 1000.0 * (time.process_time() - start)


class Model(NamedTuple):
    """A solid out of a file: as the kernel has it, what gives it as it is read, and what its volume took before, ms."""

    name: str
    shape: TopoDS_Shape
    read: Callable[[], Shape]
    before: float


def out_of_a_file(made: Sequence[tuple[str, TopoDS_Shape]]) -> list[Model]:
    """The same solids as the reader gets them."""
    with tempfile.TemporaryDirectory() as folder:
        reader, _ = open_model(write_step(Path(folder) / "models.step", list(made)))
        read = [body.shape for body in bodies(reader)]
    plain, volume = by_text([shape for _, shape in made])
    rows = zip(made, read, plain, strict=True)
    return [
        Model(name, shape, text or partial(shape_of, shape), volume if text else 0.0) for (name, _), shape, text in rows
    ]


def zigzag(bends: int) -> Centreline:
    """A bar in one plane, bent to and fro."""
    made = tuple(Bend(60.0, 45.0, 180.0 if k else 0.0) for k in range(bends))
    return Centreline(BendTable((150.0,) * (bends + 1), made))


def in_turns(models: Sequence[Model]) -> list[tuple[list[float], list[float]]]:
    """Times of looking at each, and of asking it for every face and edge, ms."""
    times: list[tuple[list[float], list[float]]] = [([], []) for _ in models]
    for _ in range(ROUNDS):
        # One solid after the other, as in a file: the kernel comes after them, or what it leaves in the cache counts.
        for model, (looking, _) in zip(models, times, strict=True):
            looking.append(model.before + spent(lambda model=model: recognise(model.read())))
        for model, (_, asking) in zip(models, times, strict=True):
            asking.append(spent(lambda model=model: asked(model.shape).read_edges()))
    return times


def main() -> None:
    """Print the tables; the kernel's own words go nowhere."""
    out = os.fdopen(os.dup(1), "w")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    made = out_of_a_file([(name, shape) for build in BUILDS for name, shape, _ in build()])
    plain = [model for model in made if all(face.kind != "free" for face in model.read().faces)]
    gc.disable()
    times = in_turns(plain)
    rows = sorted(
        (
            (min(looking), statistics.median(looking), min(asking), model)
            for model, (looking, asking) in zip(plain, times, strict=True)
        ),
        key=lambda row: row[:3],
        reverse=True,
    )
    over = sum(row[0] > WANTED for row in rows)
    middle = statistics.median(row[0] for row in rows)
    joined = sum(least > WANTED and recognise(model.read()).kind == "joined" for least, _, _, model in rows)
    print(f"{len(rows)} solids, {over} above {WANTED:g} ms, {joined} of them joined, median {middle:.1f}\n", file=out)
    print("| solid, ms of processor | what it is | faces | take-off, least | median | asked only |", file=out)
    print("| --- | --- | --- | --- | --- | --- |", file=out)
    for least, middle, asking, model in rows:
        seen = model.read()
        print(
            f"| {model.name} | {recognise(seen).kind} | {len(seen.faces)} "
            f"| {least:.1f} | {middle:.1f} | {asking:.1f} |",
            file=out,
        )
    print("\n| frames at random | faces | take-off, median | slowest | above | asked only, slowest |", file=out)
    print("| --- | --- | --- | --- | --- | --- |", file=out)
    for kind, frame in FRAMES.items():
        chance = random.Random(kind)
        frames = out_of_a_file([(kind, frame(chance)[0]) for _ in range(OF_EACH)])
        least = [(min(looking), min(asking)) for looking, asking in in_turns(frames)]
        looks = [look for look, _ in least]
        sizes = sorted(len(model.read().faces) for model in frames)
        print(
            f"| {kind} | {sizes[0]} to {sizes[-1]} | {statistics.median(looks):.1f} | {max(looks):.1f} "
            f"| {sum(look > WANTED for look in looks)} | {max(asking for _, asking in least):.1f} |",
            file=out,
        )
    print("\n| bends | sharp tube: faces | ms | rounded tube: faces | ms |\n| --- | --- | --- | --- | --- |", file=out)
    sharp = SquareTube(30.0, 30.0, 2.0)
    lines = [zigzag(bends) for bends in range(9)]
    bent = out_of_a_file([pair for line in lines for pair in (("", solids.built(line, sharp)), ("", tube(line)))])
    told = [
        f"{len(model.read().faces)} | {min(looking):.1f}"
        for model, (looking, _) in zip(bent, in_turns(bent), strict=True)
    ]
    for bends in range(9):
        print(f"| {bends} | {told[2 * bends]} | {told[2 * bends + 1]} |", file=out)


if __name__ == "__main__":
    main()
