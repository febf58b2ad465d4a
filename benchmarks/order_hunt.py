"""The order of random pieces, to hunt for slow ones: seven families of shapes, up to eight mountings, four clearances.

Times are of the processor, all threads added up, so that other work on the machine counts as little as may be; the
better of two runs for each piece.

    python3 bootstrap.py bench order_hunt

Other pieces: ``python -m benchmarks.order_hunt SEED``.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from benchmarks.order import LEVER, WORKSHOP, R, benches, in_space, problem
from bentwork.door.compiled import keep_compiled
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order
from bentwork.planning.order_warm_up import warm_up, warm_up_rare
from bentwork.tooling.shop import Bench, Body, Mounting, Vise

FAMILIES = ("in space", "flat", "zigzag", "helix", "polygon", "serpentine", "symmetric")


def shops(count: int) -> tuple[Mounting, ...]:
    """Mountings with a vise, a bench and a wall each, no two alike."""
    return tuple(
        Mounting(
            f"vise {k + 1}",
            LEVER.name,
            vise=Vise((-75.0, 75.0), (-60.0, 140.0), -24.0 - 5.0 * k, -150.0),
            bench=Bench((-700.0, 700.0), (120.0 + 20.0 * k, 700.0), -200.0, 40.0),
            bodies=(
                Body("wall", "box", x=(-640.0 - 40.0 * k, -620.0 - 40.0 * k), y=(-900.0, 900.0), z=(-300.0, 800.0)),
            ),
        )
        for k in range(count)
    )


def shape(rng: np.random.Generator, family: str, n: int) -> BendTable:
    """A random piece of a family."""

    def bends(angles: tuple[float, ...], turns: tuple[float, ...]) -> tuple[Bend, ...]:
        return tuple(Bend(R, float(rng.choice(angles)), float(rng.choice(turns)) if i else 0.0) for i in range(n))

    mixed = tuple(float(rng.uniform(60.0, 200.0)) for _ in range(n + 1))
    alike = (float(rng.uniform(60.0, 200.0)),) * (n + 1)
    if family == "in space":
        return in_space(n, int(rng.integers(10**6)), float(rng.choice([30, 40, 55, 70, 90, 120])))
    if family == "flat":
        return BendTable(mixed, bends((30, 45, 60, 90), (0, 180)))
    if family == "zigzag":
        return BendTable(alike, bends((float(rng.choice([20, 40, 60])),), (180,)))
    if family == "helix":
        return BendTable(alike, bends((float(rng.choice([45, 60, 90])),), (float(rng.choice([5, 10, 20, 40])),)))
    if family == "polygon":
        return BendTable(alike, bends((360.0 / n,), (0,)))
    if family == "serpentine":
        lengths = (float(rng.uniform(50, 70) if 0 < i < n and i % 2 else rng.uniform(80, 300)) for i in range(n + 1))
        return BendTable(tuple(lengths), tuple(Bend(R, 90.0, 0.0 if i % 2 or not i else 180.0) for i in range(n)))
    half = bends((30, 45, 60), (0,))
    turns = [float((0, 90, 180)[min(i, n - i) % 3]) if i else 0.0 for i in range(n)]
    return BendTable(
        tuple(mixed[min(i, n - i)] for i in range(n + 1)),
        tuple(Bend(R, half[min(i, n - 1 - i)].angle, turns[i]) for i in range(n)),
    )


def hunt(rng: np.random.Generator, bends: int, count: int) -> None:
    """Print how long so many random pieces took, and which took longest."""
    rooms = ((WORKSHOP,), benches(1), benches(3), benches(8), shops(4), shops(8), ())
    found = []
    for number in range(count):
        family = FAMILIES[number % len(FAMILIES)]
        mountings = rooms[int(rng.integers(0, len(rooms)))]
        asked = problem(shape(rng, family, bends), mountings, float(rng.choice([0.5, 2.0, 5.0, 9.0])))
        times = []
        for _ in range(2):
            start = time.process_time()
            order = find_order(asked)
            times.append(time.process_time() - start)
        found.append((1000.0 * min(times), family, len(mountings), order.feasible))
    found.sort(reverse=True)
    times = [one[0] for one in found]
    slowest = f"{found[0][1]}, {found[0][2]} mountings, {'an order' if found[0][3] else 'none'}"
    feasible = sum(one[3] for one in found)
    row = f"{np.median(times):.0f} | {np.quantile(times, 0.99):.0f} | {times[0]:.0f} | {slowest}"
    print(f"| {bends} | {count} | {feasible} | {row} |", flush=True)


def main() -> None:
    """Print the table."""
    keep_compiled()
    warm_up()
    warm_up_rare()
    rng = np.random.default_rng(int(sys.argv[1]) if len(sys.argv) > 1 else 1)
    print("| bends | pieces | with an order | median, ms | 99 of 100, ms | slowest, ms | which |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for bends, count in ((12, 700), (16, 70), (18, 14)):
        hunt(rng, bends, count)


if __name__ == "__main__":
    main()
