"""Orders of 18 bends of pieces that nearly meet themselves, to hunt for slow ones: ten families beside the usual seven.

Serpentines, zigzags, coils, spirals and the like, in free air and in the rooms of ``order_long``, on up to eight
mountings, with six clearances; in some every bend weighs as much as any other, so that more orders tie. Times are of
one run each, on the clock and of the processor, all threads added up, by number of mountings.

    python3 bootstrap.py bench order_close

Other pieces: ``python -m benchmarks.order_close SEED PIECES``.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from benchmarks.order import R, benches, problem
from benchmarks.order_hunt import FAMILIES, shape, shops
from benchmarks.order_long import BENDS, cluttered
from bentwork.door.compiled import keep_compiled
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order import find_order
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_warm_up import warm_up, warm_up_rare
from bentwork.tooling.shop import Mounting

CLEARANCES = (0.0, 0.5, 2.0, 5.0, 9.0, 14.0)
COUNTS = (0, 1, 2, 4, 8)
CLOSE = (
    "serpentine close", "serpentine even", "serpentine tilted", "zigzag sharp", "zigzag uneven", "coil", "spiral",
    "spiral climbing", "cage", "key",
)  # fmt: skip


def close(rng: np.random.Generator, family: str) -> BendTable:
    """A random piece that nearly meets itself."""

    def bent(straights: list[float], angles: list[float], turns: list[float]) -> BendTable:
        turns[0] = 0.0
        return BendTable(tuple(straights), tuple(Bend(R, a, t) for a, t in zip(angles, turns, strict=True)))

    n, right = BENDS, [90.0] * BENDS
    hairpins = [0.0 if i % 2 else 180.0 for i in range(n)]
    if family == "serpentine close":
        uneven = [float(rng.uniform(50, 62) if 0 < i < n and i % 2 else rng.uniform(90, 260)) for i in range(n + 1)]
        return bent(uneven, right, hairpins)
    if family == "serpentine even":
        short, long = float(rng.uniform(50, 70)), float(rng.uniform(100, 220))
        return bent([short if 0 < i < n and i % 2 else long for i in range(n + 1)], right, hairpins)
    if family == "serpentine tilted":
        tilt = float(rng.choice([5, 10, 20]))
        uneven = [float(rng.uniform(50, 70) if 0 < i < n and i % 2 else rng.uniform(80, 300)) for i in range(n + 1)]
        return bent(uneven, right, [tilt if i % 2 else 180.0 for i in range(n)])
    if family == "zigzag sharp":
        angle, length = float(rng.choice([100, 120, 135, 150])), float(rng.uniform(100, 220))
        return bent([length] * (n + 1), [angle] * n, [180.0] * n)
    if family == "zigzag uneven":
        angles = [float(rng.choice([90, 110, 130, 145])) for _ in range(n)]
        return bent([float(rng.uniform(70, 240)) for _ in range(n + 1)], angles, [180.0] * n)
    if family == "coil":
        length, turn = float(rng.uniform(55, 160)), float(rng.choice([4, 8, 12, 15, 20]))
        return bent([length] * (n + 1), [float(rng.choice([60, 90, 120]))] * n, [turn] * n)
    if family == "spiral":
        first, more, angle = float(rng.uniform(50, 80)), float(rng.uniform(4, 25)), float(rng.choice([60, 72, 90]))
        return bent([first + more * i for i in range(n + 1)], [angle] * n, [0.0] * n)
    if family == "spiral climbing":
        first, more, turn = float(rng.uniform(50, 80)), float(rng.uniform(0, 15)), float(rng.choice([3, 6, 10]))
        return bent([first + more * i for i in range(n + 1)], right, [turn] * n)
    if family == "cage":
        edges = [float(rng.uniform(100, 180)) for _ in range(n + 1)]
        return bent(edges, right, [90.0 if i % 3 == 0 else 0.0 for i in range(n)])
    steps = [float(rng.choice([60, 90, 150])) for _ in range(n + 1)]
    return bent(steps, right, [180.0 if i % 4 in (0, 2) else 0.0 for i in range(n)])


def pieces(seed: int, count: int) -> Iterator[tuple[str, int, OrderProblem]]:
    """So many random pieces: family and room, how many mountings, and what is asked."""
    rng = np.random.default_rng([seed, 77])
    for number in range(count):
        mountings = COUNTS[int(rng.integers(0, len(COUNTS)))]
        room = str(rng.choice(["shops", "benches", "cluttered"])) if mountings else "free"
        family = (CLOSE + FAMILIES)[number % (len(CLOSE) + len(FAMILIES))]
        table = close(rng, family) if family in CLOSE else shape(rng, family, BENDS)
        places: tuple[Mounting, ...] = {"shops": shops, "benches": benches}.get(room, lambda _: ())(mountings)
        if room == "cluttered":
            places = cluttered(rng, mountings)
        asked = problem(table, places, float(rng.choice(CLEARANCES)))
        weighed = rng.random()
        if weighed < 0.4:
            weights = rng.integers(0, 3, BENDS) if weighed >= 0.25 else np.ones(BENDS)
            asked = replace(asked, weights=tuple(float(weight) for weight in weights))
        yield f"{family}, {room}", mountings, asked


def main() -> None:
    """Print the table."""
    keep_compiled()
    warm_up()
    warm_up_rare()
    seed, count = (int(sys.argv[i]) if len(sys.argv) > i else less for i, less in ((1, 1), (2, 51)))
    found: dict[int, list[tuple[float, float, str, bool]]] = {mountings: [] for mountings in COUNTS}
    for which, mountings, asked in pieces(seed, count):
        start, busy = time.perf_counter(), time.process_time()
        order = find_order(asked)
        clock, worked = time.perf_counter() - start, time.process_time() - busy
        found[mountings].append((worked, clock, which, order.feasible))
        assert order.proven
    print("| mountings | pieces | with an order | processor, s: median | slowest | clock: median | slowest | load |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for mountings, rows in found.items():
        if rows:
            (most, _, which, feasible), on_clock = max(rows), [row[1] for row in rows]
            slowest = f"{most:.2f} ({which}, {'an order' if feasible else 'none'})"
            clocks = f"{np.median(on_clock):.2f} | {max(on_clock):.2f} | {os.getloadavg()[0]:.1f}"
            has_one, median = sum(row[3] for row in rows), np.median([row[0] for row in rows])
            print(f"| {mountings} | {len(rows)} | {has_one} | {median:.2f} | {slowest} | {clocks} |")


if __name__ == "__main__":
    main()
