"""Orders of 18 bends on one, two, four and eight mountings, to hunt for slow ones: seven families, three sorts of room.

The rooms: shops with a vise, a bench and a wall, no two alike; benches, each lower than the one before; and rooms in
which boxes and rods stand anywhere, so that no place is far from all of them. Times are of one run each, on the clock
and of the processor, all threads added up; what else keeps the machine busy is told as its load.

    python3 bootstrap.py bench order_long

Other pieces: ``python -m benchmarks.order_long SEED PIECES``, so many of each family in each sort of room.
"""

from __future__ import annotations

import os
import resource
import sys
import time

import numpy as np

from benchmarks.order import LEVER, benches, problem
from benchmarks.order_hunt import FAMILIES, shape, shops
from bentwork.door.compiled import keep_compiled
from bentwork.planning.order import find_order
from bentwork.planning.order_warm_up import warm_up, warm_up_rare
from bentwork.tooling.shop import Body, Mounting

BENDS = 18
CLEARANCES = (0.5, 2.0, 5.0, 9.0)


def cluttered(rng: np.random.Generator, count: int) -> tuple[Mounting, ...]:
    """Rooms of three boxes and three rods each, anywhere but where the bender stands."""

    def place() -> tuple[float, float, float]:
        away, round_ = float(rng.uniform(300.0, 1500.0)), float(rng.uniform(0.0, 2.0 * np.pi))
        return away * np.cos(round_), away * np.sin(round_), float(rng.uniform(-600.0, 600.0))

    def box(number: int) -> Body:
        half = float(rng.uniform(10.0, 100.0))
        x, y, z = ((at - half, at + half) for at in place())
        return Body(f"box {number}", "box", x=x, y=y, z=z)

    def rod(number: int) -> Body:
        start = place()
        end = (start[0], start[1], start[2] + float(rng.uniform(100.0, 600.0)))
        return Body(f"rod {number}", "capsule", start=start, end=end, radius=float(rng.uniform(5.0, 25.0)))

    return tuple(
        Mounting(f"room {k + 1}", LEVER.name, bodies=(*map(box, range(3)), *map(rod, range(3)))) for k in range(count)
    )


def hunt(seed: int, count: int, pieces: int) -> None:
    """Print how long pieces took on so many mountings, and which took longest."""
    rng = np.random.default_rng([seed, count])
    found: list[tuple[float, float, str]] = []
    for room in ("shops", "benches", "cluttered"):
        for family in FAMILIES:
            for _ in range(pieces):
                table, clearance = shape(rng, family, BENDS), float(rng.choice(CLEARANCES))
                rooms = {"shops": shops(count), "benches": benches(count), "cluttered": cluttered(rng, count)}[room]
                asked = problem(table, rooms, clearance)
                start, busy = time.perf_counter(), time.process_time()
                order = find_order(asked)
                clock, worked = time.perf_counter() - start, time.process_time() - busy
                found.append((worked, clock, f"{family}, {room}, {'an order' if order.feasible else 'none'}"))
                assert order.proven
    (most, _, which), on_clock = max(found), [one[1] for one in found]
    feasible = sum(one[2].endswith("an order") for one in found)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2
    busy_row = f"{np.median([one[0] for one in found]):.2f} | {most:.2f} ({which})"
    clock_row = f"{np.median(on_clock):.2f} | {max(on_clock):.2f}"
    print(
        f"| {count} | {len(found)} | {feasible} | {busy_row} | {clock_row} | {os.getloadavg()[0]:.1f} | {memory:.2f} |",
        flush=True,
    )


def main() -> None:
    """Print the table."""
    keep_compiled()
    warm_up()
    warm_up_rare()
    seed, pieces = (int(sys.argv[i]) if len(sys.argv) > i else 1 for i in (1, 2))
    print(
        "| mountings | pieces | with an order | processor, s: median | slowest | clock: median | slowest | load | GB |"
    )
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for count in (1, 2, 4, 8):
        hunt(seed, count, pieces)


if __name__ == "__main__":
    main()
