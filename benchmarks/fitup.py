"""How fast fit-up is beside numpy and scipy, and how many pieces come out good in a virtual workshop.

Speeds: 100,000 bars of six bends walked along, against the same by products of 4 by 4 matrices in numpy; a mend of
twelve bends, against scipy's bounded least squares on the same residuals and slopes, from the same start.

Workshop: makers with a true metal, bender, hand and gauges that the tool never sees (``tests/virtual_workshop.py``)
work from its marks, pulls, turns and advice alone: (a) marks and order as drawn, overbend by the trade's rule of thumb;
(b) the plan without test bends; (c) with two test bends; (d) with logging and mending; and that measured by the finder
alone, or with nothing set by hand.

    python3 bootstrap.py bench fitup
    python3 benchmarks/fitup.py 100        how many makers for each piece, 20 otherwise
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from itertools import pairwise
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

sys.path.insert(0, str(Path(__file__).parents[1]))

from bentwork.fitup.actual import actual
from bentwork.fitup.chain import walk
from bentwork.fitup.controls import Controls, Limits, controls_for
from bentwork.fitup.made import Bar, Floats, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.mend import mend
from bentwork.fitup.mending import best_plan, goal
from bentwork.fitup.scatter import scatter_of
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from tests.virtual_bench import AtBench, all_at_the_bench
from tests.virtual_workshop import MENDED, ORDINARY_HAND, PIECES, Way, a_maker, make

SAMPLES, ROUNDS, AT_ONCE = 100_000, 9, 8192
FRESH = 52_000
"""Seeds of the makers at the bench, from here on: the code was tuned on others (30000 to 30023, and those below 40)."""
WAYS: tuple[Way, ...] = ("as drawn", "planned", "test bends", *MENDED)


def median(run: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Median time of one run after the first, ms."""
    run()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(times)


def a_piece(bends: int, seed: int = 5) -> BendTable:
    """Any piece in space."""
    rng = np.random.default_rng(seed)
    return BendTable(
        tuple(float(one) for one in rng.uniform(80.0, 200.0, bends + 1)),
        tuple(
            Bend(36.0, float(rng.uniform(20, 100)), float(rng.uniform(-180, 180)) if k else 0.0) for k in range(bends)
        ),
    )


def ends(bar: Bar, values: Floats) -> Floats:
    """Where end B lies, for all bars."""
    found = []
    for first in range(0, values.shape[2], AT_ONCE):
        walks = walk(values[:, :, first : first + AT_ONCE], bar.shares)
        found.append(walks.station(bar.length, past=bar.bends).point)
    return np.concatenate(found, axis=1)


def ends_by_matrices(bar: Bar, values: Floats) -> Floats:
    """The same by products of matrices, all bars at once."""
    angles, directions, places, radii, stretches = values
    size = values.shape[2]
    pose = np.repeat(np.eye(4)[None], size, axis=0)
    at, before = np.zeros(size), np.zeros(size)

    def step(angle: Floats, axis: int, shift: Floats) -> Floats:
        found = np.repeat(np.eye(4)[None], size, axis=0)
        c, s = np.cos(angle), np.sin(angle)
        one, two = ((1, 2), (0, 1))[axis]
        found[:, one, one] = found[:, two, two] = c
        found[:, one, two], found[:, two, one] = -s, s
        found[:, :3, 3] = shift.T
        return found

    zero = np.zeros(size)
    for k in range(values.shape[1]):
        theta = np.radians(angles[k])
        pose = pose @ step(np.radians(directions[k]) - before, 0, np.stack((places[k] - at, zero, zero)))
        pose = pose @ step(theta, 1, np.stack((radii[k] * np.sin(theta), radii[k] * (1.0 - np.cos(theta)), zero)))
        before, at = np.radians(directions[k]), places[k] + radii[k] * theta - stretches[k]
    return np.asarray((pose[:, :3, 3] + (bar.length - at)[:, None] * pose[:, :3, 0]).T)


def half_made(matters: Matters, made: int, seed: int) -> Floats:
    """A bar of which an ordinary hand made so many bends."""
    errors = scatter_of(matters.nominal, ORDINARY_HAND).drawn(np.random.default_rng(seed), 1)
    errors[:, made:] = 0.0
    return matters.nominal.values[:, :, None] + errors


def by_scipy(matters: Matters, controls: Controls, limits: Limits) -> object:
    """The same plan by scipy's bounded least squares."""
    return least_squares(
        lambda x: goal(matters, controls, limits, x[:, None], False)[0][:, 0],
        np.zeros(len(controls.all)),
        lambda x: goal(matters, controls, limits, x[:, None], True)[1][:, :, 0],
        bounds=(controls.low, controls.high),
    )


def speeds() -> None:
    """Print how long it takes."""
    bar = on_the_bar(a_piece(6))
    values = bar.values[:, :, None] + np.random.default_rng(1).normal(0.0, 1.0, (5, 6, SAMPLES))
    assert np.allclose(ends(bar, values[:, :, :100]), ends_by_matrices(bar, values[:, :, :100]))
    ours, theirs = median(lambda: ends(bar, values)), median(lambda: ends_by_matrices(bar, values), 3)
    print(f"| {SAMPLES:,} bars of 6 bends | {ours:.0f} ms | numpy matrices {theirs:.0f} ms | {theirs / ours:.1f} |")
    matters = what_matters(on_the_bar(a_piece(12)))
    limits = Limits()
    for made in (1, 4, 8, 11):
        state = half_made(matters, made, made)
        controls = controls_for(matters.nominal, state, range(1, made + 1), limits)
        controls = controls.only(("angle", "direction", "place"))
        ours, theirs = (
            median(partial(best_plan, matters, controls, limits, starts=1)),
            median(partial(by_scipy, matters, controls, limits), 3),
        )
        print(f"| mend 12 bends after bend {made} | {ours:.1f} ms | scipy {theirs:.1f} ms | {theirs / ours:.1f} |")
    scatter = scatter_of(matters.nominal, ORDINARY_HAND)
    found = actual(matters.nominal, matters.nominal.values, scatter, [1, 2, 3, 4], [])
    advice = median(lambda: mend(matters, found, np.random.default_rng(1), chance_again=0.9), 3)
    print(f"| whole advice with chances, 12 bends as drawn after bend 4 | {advice:.0f} ms | | |")


def workshop(makers: int) -> None:
    """Print how many pieces come out good, how often something was set by hand, and how the others ended."""
    for number, piece in enumerate(PIECES):
        for way in WAYS:
            ended: Counter[str] = Counter()
            good = by_hand = 0
            for seed in range(makers):
                maker = a_maker(np.random.default_rng([seed, number]))
                fine, words = make(piece, maker, way)
                good, by_hand = good + fine, by_hand + len(maker.notes)
                ended["good" if fine else "started again" if words.startswith("started") else "not good"] += 1
            share = good / makers
            sd = math.sqrt(max(share * (1.0 - share), 1.0 / makers) / makers)
            told = f"{100 * share:.0f} ± {100 * sd:.0f} % | {by_hand / makers:.1f} | {dict(ended)}"
            print(f"| {piece.name} | {way} | {told} |", flush=True)


def commands(makers: int) -> None:
    """Print how many bars come out good by what the commands print alone, what was foretold, and how true that was."""
    told: list[tuple[float, bool]] = []
    for number, piece in enumerate(PIECES):
        bars: list[AtBench] = []
        for seed in range(FRESH, FRESH + makers):
            bars += all_at_the_bench(piece, a_maker(np.random.default_rng([seed, number])))
        good = sum(one.good for one in bars) / len(bars)
        foretold = statistics.mean(one.foretold[0] for one in bars)
        sets, sizes = (sum(each) / len(bars) for each in zip(*((one.by_hand, one.sizes) for one in bars), strict=True))
        told += [(chance, one.good) for one in bars for chance in one.stages.values()]
        said = f"{good:.0%} of {len(bars)} bars, foretold {foretold:.0%}"
        print(f"| {piece.name} | by the commands | {said} | {sets:.0f} set, {sizes:.0f} sizes |", flush=True)
    for low, high in pairwise((0.0, 0.5, 0.8, 0.9, 0.95, 0.98, 1.01)):
        some = [one for one in told if low <= one[0] < high]
        if some:
            chance, good = (statistics.mean(float(value) for value in each) for each in zip(*some, strict=True))
            print(f"| told {chance:.0%} | came good {good:.0%} | {len(some)} times |", flush=True)


def main() -> None:
    """Run all."""
    speeds()
    makers = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    commands(makers)
    workshop(makers)


if __name__ == "__main__":
    main()
