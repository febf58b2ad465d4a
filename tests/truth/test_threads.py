"""Threads and drills: rows of standards and charts, and the formulas against them. What is from memory says so."""

from __future__ import annotations

import math

import pytest

from bentwork.fastening.holding import edge_distances, engagement
from bentwork.fastening.threads import METRIC, THREADS, UNIFIED, thread_named
from bentwork.parts.gang import flute_length


@pytest.mark.parametrize(
    ("size", "pitch", "minor"),
    # ISO nut threads, pitch and basic minor diameter, as printed in a tap maker's table of ISO 6H nut threads
    [
        (1.6, 0.35, 1.221), (2.0, 0.4, 1.567), (2.5, 0.45, 2.013), (3.0, 0.5, 2.459), (3.5, 0.6, 2.850),
        (4.0, 0.7, 3.242),
        (5.0, 0.8, 4.134), (6.0, 1.0, 4.917), (8.0, 1.25, 6.647), (10.0, 1.5, 8.376), (12.0, 1.75, 10.106),
        (14.0, 2.0, 11.835), (16.0, 2.0, 13.835), (20.0, 2.5, 17.294), (24.0, 3.0, 20.752),
    ],
)  # fmt: skip
def test_metric_coarse(size: float, pitch: float, minor: float) -> None:
    thread = METRIC[size]
    assert thread.pitch == pitch
    assert thread.minor == pytest.approx(minor, abs=1e-3)


def test_metric_drills() -> None:
    # ISO 2306 as public charts print it: M2 to M24
    chart = {2.0: 1.6, 2.5: 2.05, 3.0: 2.5, 4.0: 3.3, 5.0: 4.2, 6.0: 5.0, 8.0: 6.8, 10.0: 8.5, 12.0: 10.2, 16.0: 14.0}
    chart |= {20.0: 17.5, 24.0: 21.0, 14.0: 12.0, 1.6: 1.25}
    assert {size: METRIC[size].drill for size in chart} == chart


def test_the_rule_d_less_p_against_the_table() -> None:
    # Within half a tenth everywhere: where drills are sold in tenths the table rounds it (M3.5: 2.9; M8: 6.8 for 6.75).
    off = {size: thread.drill - thread.rule_drill for size, thread in METRIC.items()}
    assert max(abs(one) for one in off.values()) <= 0.05 + 1e-9
    assert {size for size, one in off.items() if abs(one) > 1e-9} == {8.0, 12.0}


def test_every_drill_leaves_a_thread_within_its_limits() -> None:
    # 6H: ISO 965-1 (from memory); 2B: ASME B1.1 as a public table prints it
    for thread in THREADS.values():
        assert thread.least_minor < thread.drill <= thread.most_minor, thread.name


_FRACTIONS = {"5/16": 5 / 16, "27/64": 27 / 64, "17/32": 17 / 32, "25/64": 25 / 64, "29/64": 29 / 64, "37/64": 37 / 64}
_NUMBERS = {"#43": 0.0890, "#36": 0.1065, "#29": 0.1360, "#25": 0.1495, "#21": 0.1590, "#7": 0.2010, "#3": 0.2130}
_LETTERS = {"F": 0.2570, "I": 0.2720, "Q": 0.3320, "U": 0.3680}


@pytest.mark.parametrize("name", [one.name for one in UNIFIED])
def test_unified_inch_drills_lie_within_the_limits_too(name: str) -> None:
    # number and letter drills: ANSI B94.11M (from memory; #43 to #7, F, U and the fractions read in a public chart)
    thread = THREADS[name]
    drill = {**_FRACTIONS, **_NUMBERS, **_LETTERS}[thread.inch_drill] * 25.4
    assert thread.least_minor < drill <= thread.most_minor + 0.01
    assert abs(drill - thread.drill) < 0.26


@pytest.mark.parametrize(
    ("name", "least", "pitch"),
    # ASME B1.1: minor diameter of 2B nut threads, inches, rounded up to three places as the standard prints them
    [
        ("1/4-20 UNC", 0.196, 1.27),
        ("3/8-16 UNC", 0.307, 1.5875),
        ("#10-32 UNF", 0.156, 0.79375),
        ("1/2-13 UNC", 0.417, 25.4 / 13),
    ],
)
def test_unified_minor_diameters(name: str, least: float, pitch: float) -> None:
    thread = THREADS[name]
    assert thread.pitch == pytest.approx(pitch)
    assert thread.minor / 25.4 == pytest.approx(least, abs=6e-4)


def test_stress_area_of_a_unified_thread() -> None:
    # 1/4-20 UNC 0.0318 in2, 3/8-16 UNC 0.0775 in2 (ASME B1.1, from memory)
    assert THREADS["1/4-20 UNC"].stress_area / 25.4**2 == pytest.approx(0.0318, abs=5e-5)
    assert THREADS["3/8-16 UNC"].stress_area / 25.4**2 == pytest.approx(0.0775, abs=5e-5)


def test_depth_of_thread() -> None:
    # d - P leaves 92.4 % of the depth on the 1.0825 P basis: 1/1.0825
    assert METRIC[6.0].depth_share(5.0) == pytest.approx(0.9238, abs=1e-4)


def test_edge_and_engagement() -> None:
    # 1.2 d0: EN 1993-1-8, Table 3.3 (from memory). Engagement by hand: 800 As / (0.6 Rm 0.75 pi d).
    assert edge_distances(6.6)[0] == pytest.approx(7.92)
    by_hand = 800.0 * math.pi / 4 * (6 - 0.9382) ** 2 / (0.6 * 295 * 0.75 * math.pi * 6)
    assert engagement(METRIC[6.0], "8.8", 295.0) == pytest.approx(by_hand)


def test_flutes_are_as_long_as_jobber_drills_are_said_to_be() -> None:
    # ISO 235 (from memory); a public answer has 9 to 14 diameters for jobber drills of 1/8 to 1/2 inch
    assert [flute_length(d) for d in (3.3, 4.2, 5.0, 6.6, 6.8, 8.5, 10.2)] == [36.0, 43.0, 52.0, 63.0, 69.0, 75.0, 87.0]
    for d in (3.2, 5.0, 6.8, 8.5, 10.2, 12.7):
        assert 7.9 * d < flute_length(d) < 14.0 * d


@pytest.mark.parametrize(
    ("said", "meant"),
    [("m6", "M6"), ("M6 x 1", "M6"), ("1/4-20", "1/4-20 UNC"), ("10-32", "#10-32 UNF"), ('3/8"-16 UNC', "3/8-16 UNC")],
)
def test_names(said: str, meant: str) -> None:
    found = thread_named(said)
    assert found is not None
    assert found.name == meant


@pytest.mark.parametrize("said", ["M7", "M6 x 0.75", "6", "1/4", "1/4-21", "10-32 UNC", "M"])
def test_no_such_thread(said: str) -> None:
    assert thread_named(said) is None
