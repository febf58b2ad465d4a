"""Cutting bars: 60 cuts of 12 lengths from 3 bar lengths to the proven optimum, beside first fit and a general program.

Peers, in the same run on the same demands: first fit decreasing (each bar length alone and the cheapest of them, every
bar exchanged for the cheapest that does), and the textbook integer program (a variable for every bar that may be bought
and for every length in it) given to HiGHS with a time limit. Published instances come after them. Times are those of
the processor, so that whatever else the machine does is not counted.

    python3 bootstrap.py bench cutting
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

sys.path.insert(0, str(Path(__file__).parents[1]))

from bentwork.parts.cutting import BarOnSale, CuttingPlan, Length, Offcut, Saw
from bentwork.parts.cutting_plan import cut_plan
from bentwork.parts.cutting_warm_up import warm_up
from tests.truth.test_cutting_published import U120

SAW = Saw(2.5, 5.0)
LIMIT = 5.0  # seconds for the general program
ROUNDS = 25
FAMILIES: tuple[tuple[str, float, float, tuple[tuple[float, float], ...], int], ...] = (
    ("pieces 150 to 1900, bars 2, 3, 6 m", 150, 1900, ((2000, 9.8), (3000, 14.5), (6000, 26.0)), 0),
    ("short pieces 100 to 500", 100, 500, ((2000, 9.8), (3000, 14.5), (6000, 26.0)), 0),
    ("long pieces 900 to 2900", 900, 2900, ((2000, 9.8), (3000, 14.5), (6000, 26.0)), 0),
    ("one price a metre: 2, 3, 6 m", 500, 1000, ((2000, 6.67), (3000, 10.0), (6000, 20.0)), 0),
    ("bars alike: 2.5, 3, 4 m", 300, 2000, ((2500, 8.4), (3000, 10.0), (4000, 13.3)), 0),
    ("with 10 offcuts", 150, 1900, ((2000, 9.8), (3000, 14.5), (6000, 26.0)), 10),
)


def demand(seed: int, least: float, most: float) -> list[Length]:
    """60 cuts of 12 lengths."""
    rng = random.Random(seed)
    sizes = [round(rng.uniform(least, most), 1) for _ in range(12)]
    counts = [1] * 12
    for _ in range(48):
        counts[rng.randrange(12)] += 1
    return [Length(f"p{k}", size, count) for k, (size, count) in enumerate(zip(sizes, counts, strict=True))]


def first_fit(lengths: Sequence[Length], bars: Sequence[BarOnSale], offcuts: Sequence[Offcut]) -> float:
    """Cost of first fit decreasing, the best over the bar lengths; every bar exchanged for the cheapest that does."""
    pieces = sorted((one.length + SAW.kerf for one in lengths for _ in range(one.count)), reverse=True)
    found = []
    for kind in bars:
        room = kind.length - SAW.ends + SAW.kerf
        if pieces[0] > room:
            continue
        free = sorted(one.length - SAW.ends + SAW.kerf for one in offcuts for _ in range(one.count))
        used, offcut_count = [0.0] * len(free), len(free)
        rooms = list(free)
        for piece in pieces:
            place = next((k for k, (u, r) in enumerate(zip(used, rooms, strict=True)) if u + piece <= r + 1e-9), None)
            if place is None:
                used.append(piece)
                rooms.append(room)
            else:
                used[place] += piece
        fits = [
            min(b.price or 0.0 for b in bars if b.length - SAW.ends + SAW.kerf >= u - 1e-9) for u in used[offcut_count:]
        ]
        found.append(sum(fits))
    return min(found)


def general(lengths: Sequence[Length], bars: Sequence[BarOnSale], offcuts: Sequence[Offcut], most: float) -> str:
    """Cost and gap of the textbook program under the time limit."""
    stock: list[tuple[float, float]] = []
    for bar in bars:
        count = int(most / (bar.price or 1.0)) + 1
        stock += [(bar.length - SAW.ends + SAW.kerf, bar.price or 0.0)] * count
    stock += [(one.length - SAW.ends + SAW.kerf, 0.0) for one in offcuts for _ in range(one.count)]
    b, m = len(stock), len(lengths)
    cost = np.concatenate([[price for _, price in stock], np.zeros(b * m)])
    rows, low, high = [], [], []
    for i, length in enumerate(lengths):
        row = np.zeros(b + b * m)
        row[b + i :: m] = 1.0
        rows.append(row)
        low.append(float(length.count))
        high.append(float(length.count))
    for j, (room, _) in enumerate(stock):
        row = np.zeros(b + b * m)
        row[j] = -room
        row[b + j * m : b + (j + 1) * m] = [one.length + SAW.kerf for one in lengths]
        rows.append(row)
        low.append(-np.inf)
        high.append(0.0)
    upper = np.concatenate([np.ones(b), np.tile([float(one.count) for one in lengths], b)])
    solved = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.ones(len(cost)),
        bounds=Bounds(0.0, upper),
        options={"time_limit": LIMIT, "mip_rel_gap": 0.0},
    )
    if solved.x is None:
        return "nothing"
    return f"{solved.fun:.2f}, gap {solved.mip_gap:.1%}"


def timed(lengths: Sequence[Length], bars: Sequence[BarOnSale], offcuts: Sequence[Offcut]) -> tuple[CuttingPlan, float]:
    """A plan and how long it took, ms."""
    start = time.process_time()
    plan = cut_plan(lengths, bars, offcuts, SAW)
    took = 1000.0 * (time.process_time() - start)
    assert plan is not None
    return plan, took


def family(words: str, least: float, most: float, sale: Sequence[tuple[float, float]], count: int) -> None:
    """One line of the table."""
    bars = [BarOnSale(length, price) for length, price in sale]
    times, proven, over, fast = [], 0, [], []
    for seed in range(ROUNDS):
        rng = random.Random(1000 + seed)
        lengths = demand(seed, least, most)
        offcuts = [Offcut(round(rng.uniform(300.0, 2500.0))) for _ in range(count)]
        plan, took = timed(lengths, bars, offcuts)
        times.append(took)
        proven += plan.proven
        start = time.process_time()
        simple = first_fit(lengths, bars, offcuts)
        fast.append(1000.0 * (time.process_time() - start))
        over.append(simple / plan.cost - 1.0)
    lengths = demand(0, least, most)
    rng = random.Random(1000)
    offcuts = [Offcut(round(rng.uniform(300.0, 2500.0))) for _ in range(count)]
    plan, _ = timed(lengths, bars, offcuts)
    program = general(lengths, bars, offcuts, first_fit(lengths, bars, offcuts))
    times.sort()
    print(
        f"| {words} | {proven} of {ROUNDS} | {statistics.median(times):.0f} | {times[int(0.9 * ROUNDS)]:.0f} | "
        f"{times[-1]:.0f} | +{statistics.mean(over):.1%} (+{max(over):.1%}) | {statistics.median(fast):.1f} | "
        f"{plan.cost:.2f} | {program} |",
        flush=True,
    )


def published() -> None:
    """Published instances: what is known, what is found, how long it takes."""
    print("| instance | known | found | proven | ms |")
    print("| --- | --- | --- | --- | --- |")
    finals = [Length(str(w), w, n) for w, n in ((45, 97), (36, 610), (31, 395), (14, 211))]
    rows = [("Chvátal, chapter 13", 453, finals, 100.0)]
    for name, (bins, words) in U120.items():
        sizes = [int(word) for word in words.split()]
        rows.append((name, bins, [Length(str(s), s, sizes.count(s)) for s in sorted(set(sizes))], 150.0))
    for name, known, lengths, bar in rows:
        start = time.process_time()
        plan = cut_plan(lengths, [BarOnSale(bar, 1.0)])
        took = 1000.0 * (time.process_time() - start)
        assert plan is not None
        print(f"| {name} | {known} | {plan.cost:.0f} | {'yes' if plan.proven else 'no'} | {took:.0f} |")


def main() -> None:
    """Print both tables."""
    warm_up()
    timed(demand(0, 900.0, 2900.0), [BarOnSale(3000.0, 14.5)], [])  # HiGHS and what it needs are loaded once
    print(
        "| 60 cuts of 12 lengths | proven best | median, ms | 9 in 10, ms | worst, ms | first fit costs more (worst)"
        f" | first fit, ms | the first of them | general program, {LIMIT:.0f} s |"
    )
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for one in FAMILIES:
        family(*one)
    print()
    published()


if __name__ == "__main__":
    main()
