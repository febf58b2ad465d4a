"""How long the best order of a piece takes to find, and the same search on python-fcl, sampled every 5 degrees.

Ours weighs up every order with proven clearances. The peer asks the same questions of an independent distance library:
for every bend, every set of bends made and either end held, whether anything is hit at instants 5 degrees apart on the
way up; nothing else (no putting on, no springing back, no bar against itself), a yes or no at the first hit. Only the
library's own calls are timed, for a sample of these questions, and multiplied by their number. Ours are medians in
milliseconds, with the kernels compiled before.

    python3 bootstrap.py bench order
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_warm_up import warm_up
from bentwork.stock.section import Round
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Plate
from bentwork.tooling.shop import Bench, Body, Mounting, Vise
from tests.truth.fcl_step import Scene, measured

R, STEP, SAMPLE = 36.0, 5.0, 40
LEVER = Bender(
    "lever",
    "wrap",
    R,
    die=Die(24.0, 6.0),
    hook=Hook(12.0, 30.0, 16.0, 30.0),
    follower=Follower("roller", 24.0, 22.0, radius=18.0),
    arm=Arm("above", 14.0, 10.0, 40.0, 600.0),
    plate=Plate((-110.0, 90.0), (-90.0, 70.0), 14.0, 10.0),
)
WORKSHOP = Mounting(
    "vise",
    "lever",
    vise=Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0),
    bench=Bench((-700.0, 700.0), (120.0, 700.0), -800.0, 40.0),
    bodies=(Body("wall", "box", x=(-640.0, -620.0), y=(-900.0, 900.0), z=(-300.0, 800.0)),),
)


def in_space(bends: int) -> BendTable:
    """A piece that bends in all directions."""
    rng = np.random.default_rng(bends)
    turns = (0.0, 90.0, 180.0, -90.0, 45.0, -120.0)
    return BendTable(
        tuple(float(rng.uniform(55.0, 120.0)) for _ in range(bends + 1)),
        tuple(
            Bend(R, float(rng.choice([30, 45, 60, 90])), float(rng.choice(turns)) if i else 0.0) for i in range(bends)
        ),
    )


def serpentine(bends: int) -> BendTable:
    """Hairpins in one plane: long stretches keep the same gap to one another, the worst case for proofs."""
    straights = tuple(60.0 if 0 < i < bends and i % 2 else 120.0 for i in range(bends + 1))
    return BendTable(straights, tuple(Bend(R, 90.0, 0.0 if i % 2 or not i else 180.0) for i in range(bends)))


def problem(table: BendTable) -> OrderProblem:
    """The piece on a lever bender in a vise, 2 mm clearance wanted."""
    pulls = tuple(1.03 * bend.angle for bend in table.bends)
    return OrderProblem(table, pulls, Round(12.0), LEVER, (WORKSHOP,), trim=20.0, required_clearance=2.0)


def median(run: Callable[[], object], rounds: int) -> float:
    """Median time of one run, ms."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(times)


def peer(asked: OrderProblem) -> float:
    """Time of all questions put to the library, ms: a sample of them, multiplied; only its own calls are timed."""
    rng = np.random.default_rng(1)
    bends = len(asked.table.bends)
    scene = Scene(asked.bender, asked.mountings[0], asked.section.depth())
    times = []
    for _ in range(SAMPLE):
        bend = int(rng.integers(0, bends))
        made = {k for k in range(bends) if k != bend and rng.random() < 0.5}
        instants, held = max(1, round(asked.pulls[bend] / STEP)), "AB"[int(rng.integers(0, 2))]
        pairs = [
            (capsule, thing)
            for i in range(instants + 1)
            for _, capsule, thing in scene.pairs(
                asked.table, asked.trim, bend, held, made, asked.pulls[bend] * i / instants, asked.pulls[bend]
            )
        ]
        start = time.perf_counter()
        for capsule, thing in pairs:
            if measured(capsule, thing) < asked.required_clearance:
                break
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.mean(times) * bends * 2.0 ** (bends - 1) * 2.0


def main() -> None:
    """Print the table."""
    warm_up()
    print("| bends | in space, ms | serpentine, ms | python-fcl, yes or no, s | ratio |")
    print("| --- | --- | --- | --- | --- |")
    for bends, rounds in ((6, 15), (8, 15), (10, 9), (12, 9), (14, 3), (16, 3)):
        asked, worst = problem(in_space(bends)), problem(serpentine(bends))
        fast, slow = (median(lambda one=one: find_order(one), rounds) for one in (asked, worst))
        theirs = peer(asked)
        print(f"| {bends} | {fast:.1f} | {slow:.1f} | {theirs / 1000.0:.0f} | {theirs / fast:.0f} |")


if __name__ == "__main__":
    main()
