"""How fast fit-up is beside numpy and scipy, and how many pieces come out good in a virtual workshop.

Speeds: 100,000 bars of six bends walked along, against the same by products of 4 by 4 matrices in numpy; the best
remaining bends of twelve, against scipy's bounded least squares on the same residuals and slopes, from the same start;
and the whole advice on bars of twelve bends, open and closed, of which everything was measured.

Workshop: makers with a true metal, bender, hand and gauges that the tool never sees (``tests/virtual_workshop.py``)
work from its marks, pulls, turns and advice alone: (a) marks and order as drawn, overbend by the trade's rule of thumb;
(b) the plan without test bends; (c) with two test bends; (d) with logging and mending; and that measured by the finder
alone, or with nothing set by hand.

    python3 bootstrap.py bench fitup
    python3 benchmarks/fitup.py 60 90000   how many makers for each piece (20 otherwise), from which seed on

Seeds that the code was tuned on: below 40; 30000 to 30023; 71000 to 71199, 72000 to 72040 and 75000 to 75199 (closed
pieces of hard aluminium); 76000 to 76149 and 77000 to 77119 (closed pieces). The tables of docs/performance.md are of
90000 and on, which no line of code was tuned on.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import binomtest

sys.path.insert(0, str(Path(__file__).parents[1]))

from bentwork.files.catalogue import materials
from bentwork.fitup.actual import Actual, actual
from bentwork.fitup.by_hand import by_hand_of
from bentwork.fitup.chain import walk
from bentwork.fitup.controls import Controls, Limits, controls_for
from bentwork.fitup.made import Bar, Floats, on_the_bar
from bentwork.fitup.matters import Matters, what_matters
from bentwork.fitup.mend import mend
from bentwork.fitup.mending import best_plan, goal
from bentwork.fitup.readings import Kind, Reading, all_expected
from bentwork.fitup.scatter import scatter_of
from bentwork.fitup.spots import Spot
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.corners import Corners
from tests.virtual_bench import AtBench, all_at_the_bench
from tests.virtual_workshop import MENDED, ORDINARY_HAND, PIECES, Way, a_maker, make

SAMPLES, ROUNDS, AT_ONCE = 100_000, 9, 8192
FRESH = 90_000
"""Seeds of the makers, from here on."""
KINDS: tuple[Kind, ...] = ("angle", "begins", "leg")
SEAM: tuple[Kind, ...] = ("gap", "sideways", "upwards")
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
            median(partial(best_plan, matters, controls, limits)),
            median(partial(by_scipy, matters, controls, limits), 3),
        )
        print(f"| mend 12 bends after bend {made} | {ours:.1f} ms | scipy {theirs:.1f} ms | {theirs / ours:.1f} |")
    advice()


def twelve(closed: bool) -> Matters:
    """A piece of twelve bends in space: any open one, or a loop round a drum whose corners stand up and down."""
    if not closed:
        return what_matters(on_the_bar(a_piece(12)))
    corners = []
    for k in range(12):
        way, out = math.radians(30.0 * k), 300.0 + 60.0 * (k % 3)
        corners.append((out * math.cos(way), out * math.sin(way), 80.0 * (k // 2 % 2) + 20.0 * (k % 2)))
    return what_matters(on_the_bar(Corners(tuple(corners), (36.0,) * 12, closed=True).centreline().table), closed=True)


def all_measured(matters: Matters, made: int, seed: int) -> Actual:
    """What is believed of a bar of which an ordinary hand made so many bends, and everything was measured."""
    bar, chance = matters.nominal, np.random.default_rng([seed, made])
    scatter = scatter_of(bar, ORDINARY_HAND)
    errors = scatter.drawn(chance, 1)[..., 0]
    errors[:, made:] = 0.0
    numbers = range(1, made + 1)
    spots = [Spot("end A", at=0.0), *[Spot(f"corner {number}", corner=number) for number in numbers]]
    asked = [Reading(kind, 0.0, number) for number in numbers for kind in KINDS]
    asked += [Reading("rotation", float(bar.rotations[number - 1]), number) for number in numbers if number > 1]
    asked += [
        Reading("across", 0.0, spots=(spots[a], spots[b])) for a, b in combinations(range(made + 1), 2) if b > a + 1
    ]
    for number in range(2, made):
        legs = [
            Spot("leg", at=float(at))
            for at in (bar.starts[number - 1] - 20.0, (bar.starts + bar.used)[number - 1] + 20.0)
        ]
        feet = (legs[0], spots[number], legs[1])
        asked += [Reading("height", 0.0, spots=(*feet, spots[at])) for at in (1, made) if abs(at - number) > 1]
    if matters.closed and made == bar.bends:
        asked += [Reading(kind, 0.0) for kind in SEAM]
    done = tuple(k < made for k in range(bar.bends))
    true, _ = all_expected(asked, bar, bar.values + errors, done)
    read = [
        replace(one, value=float(value + chance.normal(0.0, one.spread)))
        for one, value in zip(asked, true, strict=True)
    ]
    return actual(bar, bar.values, scatter, numbers, read)


def advice() -> None:
    """Print how long the whole advice takes: outlooks, what to set by hand, whether to start again."""
    hand, slack = by_hand_of(materials()["6082-T6"], 12.0), Limits(longer=15.0, shorter=20.0)
    for closed in (False, True):
        matters, limits, times = twelve(closed), slack if closed else Limits(), list[tuple[float, int, int]]()
        for made in range(1, 13):
            for seed in (1, 2, 3):
                found = all_measured(matters, made, seed)
                ask = partial(mend, matters, found, limits=limits, hand=hand, chance_again=0.9)
                times.append((median(lambda: ask(np.random.default_rng(20)), 7), made, len(found.readings)))  # noqa: B023
        worst, made, sizes = max(times)
        middle = statistics.median(time for time, _, _ in times)
        what = f"whole advice, 12 bends {'closed' if closed else 'open'}, as a hand makes them, all of it measured"
        print(f"| {what} | {middle:.1f} ms, worst {worst:.1f} (after bend {made}, {sizes} readings) | | |")


def share(good: int, of: int) -> str:
    """So many of so many, with the interval that holds the share nineteen times in twenty (Clopper and Pearson)."""
    between = binomtest(good, of).proportion_ci(0.95, "exact")
    return f"{good} of {of} ({100 * between.low:.0f} to {100 * between.high:.0f} %)"


def workshop(makers: int, first: int) -> None:
    """Print how many pieces come out good, how often something was set by hand, and how the others ended."""
    for number, piece in enumerate(PIECES):
        for way in WAYS:
            ended: Counter[str] = Counter()
            good = by_hand = 0
            for seed in range(first, first + makers):
                maker = a_maker(np.random.default_rng([seed, number]))
                fine, words = make(piece, maker, way)
                good, by_hand = good + fine, by_hand + len(maker.notes)
                ended["good" if fine else "started again" if words.startswith("started") else "not good"] += 1
            print(
                f"| {piece.name} | {way} | {share(good, makers)} | {by_hand / makers:.1f} | {dict(ended)} |", flush=True
            )


def commands(makers: int, first: int) -> None:
    """Print how many bars come out good by what the commands print alone, what was foretold, and how true that was."""
    told: list[tuple[float, bool]] = []
    for number, piece in enumerate(PIECES):
        of_metal: dict[str, list[AtBench]] = {"steel": [], "hard aluminium": []}
        for seed in range(first, first + makers):
            maker = a_maker(np.random.default_rng([seed, number]))
            hard = maker.truth.set_up.material.elongation.value < 15.0
            of_metal["hard aluminium" if hard else "steel"] += all_at_the_bench(piece, maker)
        for metal, bars in of_metal.items():
            if not bars:
                continue
            foretold = statistics.mean(one.foretold[0] for one in bars)
            sets, sizes = (
                sum(each) / len(bars) for each in zip(*((one.by_hand, one.sizes) for one in bars), strict=True)
            )
            said = f"{share(sum(one.good for one in bars), len(bars))}, foretold {foretold:.0%}"
            print(f"| {piece.name} | {metal} | {said} | {sets:.0f} set, {sizes:.0f} sizes |", flush=True)
            told += [(chance, one.good) for one in bars for chance in one.stages.values()]
    for low, high in pairwise((0.0, 0.5, 0.8, 0.9, 0.95, 0.98, 1.01)):
        some = [one for one in told if low <= one[0] < high]
        if some:
            chance, good = (statistics.mean(float(value) for value in each) for each in zip(*some, strict=True))
            print(f"| told {chance:.0%} | came good {good:.0%} | {len(some)} times |", flush=True)


def main() -> None:
    """Run all."""
    speeds()
    makers, first = (int(word) for word in (*sys.argv[1:], *("20", str(FRESH))[len(sys.argv) - 1 :]))
    commands(makers, first)
    workshop(makers, first)


if __name__ == "__main__":
    main()
