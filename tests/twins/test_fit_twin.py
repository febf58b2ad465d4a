"""The fit against the whole distribution of its unknowns, added up without any approximation of its shape."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.bending.set_up import SetUp
from bentwork.forming.die_bend import DieBend, die_bends
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar, Floats
from bentwork.forming.prediction import pull_with
from bentwork.forming.scatter import Correction, handbook_prior
from bentwork.stock.section import Round, Tube
from tests.unit.bending.test_fit import a_set_up, fitted, read_off

ALUMINIUM, TUBE = a_set_up(), a_set_up(Tube(25.0, 1.5), "S235", 75.0)
SPRINGY = a_set_up(Round(4.0), "7075-T6", 40.0, arms=False)
REPEAT = 0.3  # of springback from bend to bend
WANTED = (30.0, 90.0, 150.0)
STEPS = 28  # of the grid, over four standard deviations to either side


def spread_out(mean: float, sd: float) -> list[tuple[float, float]]:
    """Values over a normal distribution, and the logarithms of their weights."""
    places = [4.0 * (2.0 * (i + 0.5) / STEPS - 1.0) for i in range(STEPS)]
    return [(mean + sd * place, -0.5 * place**2) for place in places]


def on_die(set_up: SetUp, strengths: list[float]) -> tuple[DieBend, ...]:
    bar = Bar(set_up.section, law_of(set_up.material), set_up.way)
    return die_bends(bar, set_up.bender.radius, strengths, set_up.arms)


def grid(set_up: SetUp, readings: list[tuple[float, float]], gauge: float) -> dict[float, list[tuple[float, float]]]:
    """Pulls for the wanted angles, each with its weight, over strength, factor and lost angle."""
    prior = handbook_prior(set_up.material)
    strengths = spread_out(math.log(prior.yield_factor.median), prior.yield_factor.sigma)
    factors = spread_out(0.0, prior.model_factor.sigma)
    losses = spread_out(prior.lost_angle.mean, prior.lost_angle.sd)
    found: dict[float, list[tuple[float, float]]] = {wanted: [] for wanted in WANTED}
    for bend, (_, strength_log) in zip(on_die(set_up, [math.exp(s) for s, _ in strengths]), strengths, strict=True):
        for factor_log, factor_weight in factors:
            correction = Correction(math.exp(factor_log), 0.0)
            steep = 1.0 + correction.model_factor * (1.0 / bend.ratio - 1.0)
            variance = gauge**2 * (1.0 + steep**2) + REPEAT**2
            misses = [pulled - pull_with(bend, correction, left) for pulled, left in readings]
            pulls = [(wanted, pull_with(bend, correction, wanted)) for wanted in WANTED]
            for lost, lost_log in losses:
                squares = sum((miss - lost) ** 2 for miss in misses) / variance
                log = strength_log + factor_weight + lost_log - 0.5 * squares - 0.5 * len(misses) * math.log(variance)
                weight = math.exp(log)
                for wanted, pull in pulls:
                    found[wanted].append((pull + lost, weight))
    return found


def quantiles(weighed: list[tuple[float, float]]) -> tuple[float, float, float]:
    """The values below which 5, 50 and 95 % of the weight lie."""
    ends: list[float] = []
    whole, run = sum(weight for _, weight in weighed), 0.0
    for value, weight in sorted(weighed):
        run += weight / whole
        while len(ends) < 3 and run >= (0.05, 0.5, 0.95)[len(ends)]:
            ends.append(value)
    low, middle, high = ends
    return low, middle, high


READINGS = {
    "aluminium, one": (ALUMINIUM, [(98.0, 90.0)]),
    "aluminium, two": (ALUMINIUM, [(50.2, 45.0), (126.0, 120.0)]),
    "aluminium, three": (ALUMINIUM, [(97.0, 90.0), (32.0, 29.5), (151.0, 142.0)]),
    "steel tube, one": (TUBE, [(93.2, 90.0)]),
    "steel tube, two": (TUBE, [(47.1, 45.0), (122.4, 120.0)]),
    "springy, one": (SPRINGY, [(120.0, 90.0)]),
    "springy, two": (SPRINGY, [(60.0, 45.0), (158.0, 120.0)]),
}


@pytest.mark.parametrize("name", READINGS)
@pytest.mark.parametrize("gauge", [0.3, 0.5])
def test_pull_against_a_grid(name: str, gauge: float) -> None:
    """Within a twentieth of the interval's width."""
    set_up, readings = READINGS[name]
    found = fitted(set_up, *(read_off(set_up, *angles, gauge_sd_deg=gauge) for angles in readings))
    for wanted, weighed in grid(set_up, readings, gauge).items():
        low, middle, high = quantiles(weighed)
        pull = found.pull(wanted)
        assert pull.bend_to == pytest.approx(middle, abs=0.05 * (high - low))
        assert pull.low == pytest.approx(low, abs=0.05 * (high - low))
        assert pull.high == pytest.approx(high, abs=0.05 * (high - low))


def test_the_tape_against_weighed_samples() -> None:
    """Angles and tape of three bends: true angles, tape, and unknowns drawn at random and weighed, 300,000 times.

    The samples know nothing of first orders: they lay out each bend with its true angle.
    """
    set_up = a_set_up(arms=False)
    readings = [(63.8, 60.0, 150.5, 154.0), (96.0, 90.0, 165.5, 151.0), (127.9, 120.0, 194.0, 158.0)]
    gauge, tape, line_up = 0.3, 0.5, 0.7
    bends = [
        read_off(
            set_up,
            pulled,
            left,
            legs_to="middle",
            bar_mm=300.0,
            mark_mm=120.0,
            held_leg_mm=held,
            free_leg_mm=free,
            gauge_sd_deg=gauge,
            tape_sd_mm=tape,
        )
        for pulled, left, held, free in readings
    ]
    found = fitted(set_up, *bends)
    rng = np.random.default_rng(3)
    many, prior = 300_000, handbook_prior(set_up.material)
    grid_strengths = np.linspace(-5.0, 5.0, 81) * prior.yield_factor.sigma + math.log(prior.yield_factor.median)
    ratios = np.array([bend.ratio for bend in on_die(set_up, [math.exp(s) for s in grid_strengths])])
    strength = rng.normal(math.log(prior.yield_factor.median), prior.yield_factor.sigma, many)
    opens = 1.0 / np.interp(strength, grid_strengths, ratios) - 1.0
    factor = np.exp(rng.normal(0.0, prior.model_factor.sigma, many))
    lost = rng.normal(prior.lost_angle.mean, prior.lost_angle.sd, many)
    stretch = rng.normal(0.01, 0.012, many)
    radius = 36.0 * (1.0 + rng.normal(0.0, 0.04, many)) * (1.0 + factor * opens)
    starts, free_of_start = np.zeros((len(readings), many)), np.zeros(many)
    apart = 2.0 * tape**2 + line_up**2 - tape**2 / 3.0
    for number, (pulled, left, held, free) in enumerate(readings):
        turn = np.radians(left + rng.normal(0.0, gauge, many))
        setback = radius * np.tan(turn / 2.0)
        miss = pulled - np.degrees(turn) * (1.0 + factor * opens) - lost
        # Both legs less the bar are free of the start; a third of their error is the held leg's own.
        sum_miss = held + free - 300.0 - (2.0 * setback - radius * turn + stretch * 36.0 * turn)
        starts[number] = held - 120.0 - setback - sum_miss / 3.0
        free_of_start += miss**2 / (gauge**2 + REPEAT**2) + sum_miss**2 / (3.0 * tape**2)
    start = starts.mean(axis=0)
    squares = free_of_start + ((starts - start) ** 2).sum(axis=0) / apart + start**2 / 40.0**2
    weights = np.exp(-0.5 * (squares - squares.min()))
    weights /= weights.sum()
    assert 1.0 / (weights**2).sum() > 1000.0  # so many samples count

    def told(values: Floats) -> tuple[float, float]:
        mean = float(weights @ values)
        return mean, math.sqrt(float(weights @ (values - mean) ** 2))

    drawn_in = radius * (2.0 - math.pi / 2.0) + stretch * 36.0 * math.pi / 2.0
    begin, spread = told(start)
    own = math.sqrt(apart / len(readings))  # what the starts tell even when everything else is known
    for ours, (mean, sd) in (
        (found.radius, told(radius)),
        (found.drawn_in, told(drawn_in)),
        (found.stretch, told(stretch * 36.0 * math.pi / 2.0)),
        (found.start, (begin, math.hypot(spread, own))),
    ):
        assert ours.mean == pytest.approx(mean, abs=0.1 * sd)
        assert ours.sd == pytest.approx(sd, rel=0.1)
