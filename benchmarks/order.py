"""How long the best order of a piece takes to find, and the same search on python-fcl, sampled every 5 degrees.

Ours weighs up every order with proven clearances. The peer asks the same questions of an independent distance library:
for every bend, every set of bends made and either end held, whether anything is hit at instants 5 degrees apart on the
way up; nothing else (no putting on, no springing back, no bar against itself), a yes or no at the first hit. Only the
library's own calls are timed, for a sample of these questions, and multiplied by their number. Ours are medians of the
time of the processor, all threads added up, with the kernels compiled before.

Then the pieces that were hunted for: what ties (many mountings, flat pieces), what nearly meets itself (serpentine,
coil), what is lifted off sideways (edges of a box), what has no order; remedies; and a fresh process.

    python3 bootstrap.py bench order
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable

import numpy as np

from bentwork.door.compiled import keep_compiled
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_remedies import remedies_for
from bentwork.planning.order_warm_up import warm_up, warm_up_rare
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


def in_space(bends: int, seed: int | None = None, shortest: float = 55.0) -> BendTable:
    """A piece that bends in all directions."""
    rng = np.random.default_rng(bends if seed is None else seed)
    turns = (0.0, 90.0, 180.0, -90.0, 45.0, -120.0)
    return BendTable(
        tuple(float(rng.uniform(shortest, shortest + 65.0)) for _ in range(bends + 1)),
        tuple(
            Bend(R, float(rng.choice([30, 45, 60, 90])), float(rng.choice(turns)) if i else 0.0) for i in range(bends)
        ),
    )


def serpentine(bends: int) -> BendTable:
    """Hairpins in one plane: long stretches keep the same gap to one another, the worst case for proofs."""
    straights = tuple(60.0 if 0 < i < bends and i % 2 else 120.0 for i in range(bends + 1))
    return BendTable(straights, tuple(Bend(R, 90.0, 0.0 if i % 2 or not i else 180.0) for i in range(bends)))


def zigzag(bends: int) -> BendTable:
    """A flat piece whose bends turn one way and the other: every order of bends costs the same on every mounting."""
    return BendTable((120.0,) * (bends + 1), tuple(Bend(R, 60.0, 180.0 if i else 0.0) for i in range(bends)))


def cage(bends: int) -> BendTable:
    """The edges of a box, one after the other."""
    turns = (90.0, 0.0, 0.0)
    return BendTable(
        (150.0, *(140.0,) * (bends - 1), 150.0), tuple(Bend(R, 90.0, turns[i % 3] if i else 0.0) for i in range(bends))
    )


def coil(bends: int) -> BendTable:
    """A spring: the bar passes over itself again and again."""
    return BendTable((100.0,) * (bends + 1), tuple(Bend(R, 90.0, 15.0 if i else 0.0) for i in range(bends)))


def benches(count: int) -> tuple[Mounting, ...]:
    """Mountings over large benches, each 10 mm lower than the one before."""
    return tuple(
        Mounting(f"bench {k + 1}", "lever", bench=Bench((-2000.0, 2000.0), (-2000.0, 2000.0), -60.0 - 10.0 * k, 40.0))
        for k in range(count)
    )


def problem(table: BendTable, mountings: tuple[Mounting, ...] = (WORKSHOP,), clearance: float = 2.0) -> OrderProblem:
    """The piece on a lever bender in a vise, 2 mm clearance wanted."""
    pulls = tuple(1.03 * bend.angle for bend in table.bends)
    return OrderProblem(table, pulls, Round(12.0), LEVER, mountings, trim=20.0, required_clearance=clearance)


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
        start = time.process_time()
        for capsule, thing in pairs:
            if measured(capsule, thing) < asked.required_clearance:
                break
        times.append(time.process_time() - start)
    return 1000.0 * statistics.mean(times) * bends * 2.0 ** (bends - 1) * 2.0


def both(run: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Least time of one run on the clock and median time of the processor, all threads, ms."""
    clock, worked = [], []
    for _ in range(rounds):
        start, busy = time.perf_counter(), time.process_time()
        run()
        clock.append(time.perf_counter() - start)
        worked.append(time.process_time() - busy)
    return 1000.0 * min(clock), 1000.0 * statistics.median(worked)


def worst(bends: int = 12) -> None:
    """Print what pieces that were hunted for cost."""
    print(f"\n| {bends} bends | order | least, clock, ms | median, processor, ms |\n| --- | --- | --- | --- |")
    hunted = {
        "in space, room enough": problem(in_space(bends, 1, 90.0)),
        "in space, tight": problem(in_space(bends, 2, 40.0)),
        "nothing round the bender": problem(in_space(bends, 2, 90.0), ()),
        "serpentine": problem(serpentine(bends)),
        "edges of a box": problem(cage(bends)),
        "coil": problem(coil(bends)),
        "zigzag over a bench": problem(zigzag(bends), benches(1)),
        "edges of a box, 4 benches": problem(cage(bends), benches(4)),
        "serpentine, 8 benches": problem(serpentine(bends), benches(8)),
        "zigzag, 8 benches": problem(zigzag(bends), benches(8)),
    }
    for name, asked in hunted.items():
        clock, worked = both(lambda one=asked: find_order(one), 5)  # type: ignore[misc]
        print(f"| {name} | {'yes' if find_order(asked).feasible else 'none'} | {clock:.0f} | {worked:.0f} |")


def long_ones() -> None:
    """Print what long pieces cost; the peer would take hours."""
    print("\n| bends, processor, ms | in space | serpentine |\n| --- | --- | --- |")
    for bends in (14, 16, 18):
        asked = problem(in_space(bends)), problem(serpentine(bends))
        fast, slow = (both(lambda one=one: find_order(one), 1)[1] for one in asked)  # type: ignore[misc]
        print(f"| {bends} | {fast:.0f} | {slow:.0f} |")


def remedies() -> None:
    """Print what remedies cost for pieces that have no order: median and worst."""
    print("\n| remedies, processor, ms | pieces | median | worst | single | pairs | none |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for bends in (5, 7, 8):
        tables = [in_space(bends, seed, 30.0) for seed in range(12)] + [serpentine(bends), cage(bends), coil(bends)]
        tight = [problem(table, mountings, 9.0) for table in tables for mountings in ((WORKSHOP,), benches(2))]
        barred = [one for one in tight if not find_order(one).feasible]
        times = [both(lambda one=one: remedies_for(one), 2)[1] for one in barred]  # type: ignore[misc]
        kinds = [{"+" in found.kind for found in remedies_for(one)} for one in barred]
        counts = " | ".join(str(sum(kind == wanted for kind in kinds)) for wanted in ({False}, {True}, set()))
        middle = statistics.median(times)
        print(f"| {bends} bends | {len(barred)} | {middle:.0f} | {max(times):.0f} | {counts} |")


_FRESH = """
import time
from bentwork.planning.order_remedies import remedies_for
from bentwork.planning.order_warm_up import warm_up
warm_up()
print(time.process_time())
"""


def first_call() -> None:
    """Print what a fresh process takes until it has planned a piece with an order and one without."""
    with tempfile.TemporaryDirectory() as folder:
        kept = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        kept["PYTHONPYCACHEPREFIX"] = folder  # as after the first run on the maker's machine
        clock, worked = [], []
        for _ in range(6):
            start = time.perf_counter()
            done = subprocess.run([sys.executable, "-c", _FRESH], env=kept, capture_output=True, text=True, check=True)
            clock.append(time.perf_counter() - start)
            worked.append(float(done.stdout))
    print("\n| a fresh process, s | least, clock | median, processor |\n| --- | --- | --- |")
    print(f"| from start to both plans | {min(clock[1:]):.2f} | {statistics.median(worked[1:]):.2f} |")


def main() -> None:
    """Print the tables."""
    keep_compiled()
    warm_up()
    warm_up_rare()
    print("| bends | in space, ms | serpentine, ms | python-fcl, yes or no, s | ratio |")
    print("| --- | --- | --- | --- | --- |")
    for bends, rounds in ((6, 15), (8, 15), (10, 9), (12, 9)):
        asked, winding = problem(in_space(bends)), problem(serpentine(bends))
        fast, slow = (both(lambda one=one: find_order(one), rounds)[1] for one in (asked, winding))  # type: ignore[misc]
        theirs = peer(asked)
        print(f"| {bends} | {fast:.1f} | {slow:.1f} | {theirs / 1000.0:.0f} | {theirs / fast:.0f} |")
    worst()
    long_ones()
    remedies()
    first_call()


if __name__ == "__main__":
    main()
