"""How long the fit of some test bends takes, and the same most probable unknowns by scipy's least squares.

Ours is the whole fit: most probable unknowns and their scatter, each test bend judged by the others; and a pull with
its interval. The peer does less: only the most probable unknowns, true angles among them, with the model's springback
and legs worked out anew for every trial, and slopes by differences (``scipy.optimize.least_squares``).

    python3 bootstrap.py bench fit
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bentwork.bending.fit import fit
from bentwork.bending.learnt import Fit
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.files.catalogue import materials
from bentwork.forming.die_bend import die_bends
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar
from bentwork.forming.scatter import handbook_prior
from bentwork.stock.section import Round
from bentwork.tooling.bender import Bender

DIE, BAR, MARK, ROUNDS = 36.0, 340.0, 150.0, 40
REPEAT, LINE_UP = 0.3, 0.7
SET_UP = SetUp(Round(12.0), materials()["6082-T6"], Bender("lever", "wrap", DIE))
PRIOR = handbook_prior(SET_UP.material)


def test_bends(many: int) -> list[TestBend]:
    """Bends to a radius of 38 mm that start 5 mm behind the mark, read with a gauge and a tape."""
    rng = np.random.default_rng(1)
    found = []
    for left in np.linspace(45.0, 125.0, many) if many > 1 else [90.0]:
        turn = math.radians(left)
        setback = 38.0 * math.tan(turn / 2.0)
        out = rng.normal(0.0, 0.4, 6)
        found.append(
            TestBend(
                StockKey(SET_UP.section, "6082-T6"),
                "lever",
                DIE,
                "2025-03-12",
                round(1.07 * left + 0.8 + out[0], 1),
                round(float(left + out[1]), 1),
                bar_mm=BAR,
                mark_mm=MARK,
                held_leg_mm=round(MARK + 5.0 + setback + out[2], 1),
                free_leg_mm=round(BAR - MARK - 5.0 - 38.0 * turn + setback + out[3], 1),
                legs_to="middle",
            )
        )
    return found


def ours(bends: Sequence[TestBend]) -> float:
    """The whole fit, and one pull."""
    found = fit(SET_UP, bends)
    assert isinstance(found, Fit)
    return found.pull(90.0).bend_to


def alone(bends: Sequence[TestBend]) -> float:
    """The fit without a pull."""
    found = fit(SET_UP, bends)
    assert isinstance(found, Fit)
    return found.after.mean[0]


def peer(bends: Sequence[TestBend]) -> float:
    """The most probable unknowns alone."""
    bar = Bar(SET_UP.section, law_of(SET_UP.material))
    read = np.array([bend.left_deg for bend in bends])
    unit = 1.0 / np.array([PRIOR.model_factor.sigma, PRIOR.lost_angle.sd, PRIOR.yield_factor.sigma, 0.04, 40.0, 0.012])
    middle = np.array([0.0, PRIOR.lost_angle.mean, math.log(PRIOR.yield_factor.median), 0.0, 0.0, 0.01])

    def misses(at: NDArray[np.float64]) -> NDArray[np.float64]:
        factor, lost, strength, error, offset, stretch = at[:6]
        true, line_up = at[6 : 6 + len(bends)], at[6 + len(bends) :]
        opens = math.exp(factor) * (1.0 / die_bends(bar, DIE, (math.exp(strength),))[0].ratio - 1.0)
        radius = DIE * (1.0 + error) * (1.0 + opens)
        out = [*((at[:6] - middle) * unit), *((true - read) / 0.5), *(line_up / LINE_UP)]
        for bend, angle, aside in zip(bends, true, line_up, strict=True):
            turn = math.radians(angle)
            setback = radius * math.tan(turn / 2.0)
            held = bend.held_leg_mm - MARK - offset - aside - setback
            both = bend.held_leg_mm + bend.free_leg_mm - BAR - 2.0 * setback + (radius - stretch * DIE) * turn
            out.append((bend.pulled_deg - angle * (1.0 + opens) - lost) / math.hypot(0.5, REPEAT))
            # Tape: held leg less mark, and both legs less bar, share the held leg's own error.
            out.append(both / math.sqrt(0.75))
            out.append((held - both / 3.0) / math.sqrt(0.5 - 0.25 / 3.0))
        return np.array(out)

    found = least_squares(misses, np.concatenate([middle, read, np.zeros(len(bends))]), x_scale="jac").x
    opens = math.exp(found[0]) * (1.0 / die_bends(bar, DIE, (math.exp(found[2]),))[0].ratio - 1.0)
    return float(90.0 * (1.0 + opens) + found[1])


def median(run: Callable[[Sequence[TestBend]], float], bends: Sequence[TestBend], rounds: int) -> float:
    """Median time of one run after the first, ms."""
    run(bends)
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run(bends)
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(times)


def main() -> None:
    """Print the table."""
    print("| test bends, medians in ms | fit | fit and a pull | scipy's least squares | ratio |")
    print("| --- | --- | --- | --- | --- |")
    for many in (1, 3, 10, 30):
        bends = test_bends(many)
        if abs(ours(bends) - peer(bends)) > 0.03:
            raise SystemExit(f"the two do not agree for {many}: {ours(bends):.3f} and {peer(bends):.3f} degrees")
        short, whole = median(alone, bends, ROUNDS), median(ours, bends, ROUNDS)
        slow = median(peer, bends, max(1, ROUNDS // (4 * many)))
        print(f"| {many} | {short:.1f} | {whole:.1f} | {slow:.0f} | {slow / whole:.0f} |")


if __name__ == "__main__":
    main()
