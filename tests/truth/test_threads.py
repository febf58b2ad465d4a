"""Threads and drills: rows of standards and charts, and the formulas against them. What is from memory says so."""

from __future__ import annotations

import itertools
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
    # ISO 2306 as public charts print it (torquetoolbox.com: M2 to M24; M1.6 another); M3 to M12 compared with the text
    # of the standard by the author of a public program
    chart = {2.0: 1.6, 2.5: 2.05, 3.0: 2.5, 4.0: 3.3, 5.0: 4.2, 6.0: 5.0, 8.0: 6.8, 10.0: 8.5, 12.0: 10.2, 16.0: 14.0}
    chart |= {20.0: 17.5, 24.0: 21.0, 14.0: 12.0, 1.6: 1.25}
    assert {size: METRIC[size].drill for size in chart} == chart


def test_the_rule_d_less_p_against_the_table() -> None:
    # Within half a tenth everywhere: where drills are sold in tenths the table rounds it (M3.5: 2.9; M8: 6.8 for 6.75).
    off = {size: thread.drill - thread.rule_drill for size, thread in METRIC.items()}
    assert max(abs(one) for one in off.values()) <= 0.05 + 1e-9
    assert {size for size, one in off.items() if abs(one) > 1e-9} == {8.0, 12.0}


@pytest.mark.parametrize(
    ("pitch", "size", "printed"),
    # largest minor diameter of 6H as public tables print it: a screw dealer's page of ISO 965 limits (M2.5 to M6, M10),
    # and engineersedge.com, internal metric threads M9 to M24 (ASME B1.13M: M10, M12, M14)
    [
        (0.45, 2.5, 2.138), (0.5, 3.0, 2.599), (0.7, 4.0, 3.422), (0.8, 5.0, 4.334), (1.0, 6.0, 5.153),
        (1.5, 10.0, 8.676), (1.75, 12.0, 10.441), (2.0, 14.0, 12.210),
    ],
)  # fmt: skip
def test_largest_minor_diameters(pitch: float, size: float, printed: float) -> None:
    assert METRIC[size].pitch == pitch
    assert METRIC[size].most_minor == pytest.approx(printed, abs=1.1e-3)


_R40 = (
    100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300, 315, 335, 355,
    375, 400, 425, 450, 475, 500,
)  # fmt: skip
"""Preferred numbers of the series R 40 (ISO 3; from memory)."""


@pytest.mark.parametrize("size", list(METRIC))
def test_tolerances_of_the_minor_diameter_by_the_formula_of_the_standard(size: float) -> None:
    # ISO 965-1 and ASME B1.13M:2005, page 15: TD1 of grade 6 is 433 P - 190 P^1.22 below 1 mm, 230 P^0.7 from there on,
    # micrometres; printed rounded to the preferred numbers R 40
    thread = METRIC[size]
    p = thread.pitch
    by_formula = (433.0 * p - 190.0 * p**1.22 if p < 1.0 else 230.0 * p**0.7) / 1000.0
    ours = thread.most_minor - thread.least_minor
    assert ours == pytest.approx(by_formula, rel=0.04)
    told = round(ours * 1000.0)
    assert told in _R40
    nearest = min(_R40, key=lambda number: abs(number - by_formula * 1000.0))
    assert abs(_R40.index(told) - _R40.index(nearest)) <= 1


@pytest.mark.parametrize("name", [one.name for one in UNIFIED])
def test_unified_minor_diameters_by_the_formulas_of_the_standard(name: str) -> None:
    # ASME B1.1, limits of internal threads (from memory): D1 = D - 1.08253 P, tolerance of 2B 0.25 P - 0.4 P^2 from 1/4
    # inch on; below, 0.05 P^(2/3) + 0.03 P/D - 0.002, no less than that, no more than 0.394 P; inches, in three places
    thread = THREADS[name]
    d, p = thread.diameter / 25.4, thread.pitch / 25.4
    large = 0.25 * p - 0.4 * p * p
    wide = large if d >= 0.25 else min(0.394 * p, max(large, 0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002))
    assert thread.least_minor / 25.4 == pytest.approx(d - 1.08253 * p, abs=7e-4)
    assert thread.most_minor / 25.4 == pytest.approx(d - 1.08253 * p + wide, abs=1.1e-3)


def test_clearance_holes() -> None:
    # ISO 273 medium, M1.6 to M24: the public libraries BOSL2 (screws.scad: what is added to the thread) and, to M10,
    # bd_warehouse (clearance_hole_sizes.csv); ASME B18.2.8 normal: bd_warehouse; number drills ANSI B94.11M as a public
    # program's chart prints them
    added = {1.6: 0.2, 2.0: 0.4, 2.5: 0.4, 3.0: 0.4, 3.5: 0.4, 4.0: 0.5, 5.0: 0.5, 6.0: 0.6, 8.0: 1.0, 10.0: 1.0}
    added |= {12.0: 1.5, 14.0: 1.5, 16.0: 1.5, 20.0: 2.0, 24.0: 2.0}
    assert {size: thread.clearance_hole for size, thread in METRIC.items()} == pytest.approx(
        {size: size + more for size, more in added.items()}
    )
    drills = {"#30": 0.1285, "#18": 0.1695, "#9": 0.196, "#2": 0.221}
    normal = {"#4": "#30", "#6": "#18", "#8": "#9", "#10": "#2"}
    for thread in UNIFIED:
        size = thread.name.split("-")[0]
        d = thread.diameter / 25.4
        # from 1/4 inch on 1/32 more than the thread, from 1/2 inch on 1/16
        expected = drills[normal[size]] if size in normal else d + (1 / 32 if d < 0.5 else 1 / 16)
        assert thread.clearance_hole / 25.4 == pytest.approx(expected, abs=1e-9), thread.name


def test_unified_inch_drills_are_those_of_the_chart() -> None:
    # torquetoolbox.com, tap drill chart, UNC and UNF
    chart = {
        "#4-40 UNC": "#43", "#6-32 UNC": "#36", "#8-32 UNC": "#29", "#10-24 UNC": "#25", "1/4-20 UNC": "#7",
        "5/16-18 UNC": "F", "3/8-16 UNC": "5/16", "7/16-14 UNC": "U", "1/2-13 UNC": "27/64", "5/8-11 UNC": "17/32",
        "#10-32 UNF": "#21", "1/4-28 UNF": "#3", "5/16-24 UNF": "I", "3/8-24 UNF": "Q", "7/16-20 UNF": "25/64",
        "1/2-20 UNF": "29/64", "5/8-18 UNF": "37/64",
    }  # fmt: skip
    assert {one.name: one.inch_drill for one in UNIFIED} == chart


def test_every_drill_leaves_a_thread_within_its_limits() -> None:
    # 6H: ISO 965-1; 2B: ASME B1.1; as above
    for thread in THREADS.values():
        assert thread.least_minor < thread.drill <= thread.most_minor, thread.name


_FRACTIONS = {"5/16": 5 / 16, "27/64": 27 / 64, "17/32": 17 / 32, "25/64": 25 / 64, "29/64": 29 / 64, "37/64": 37 / 64}
_NUMBERS = {"#43": 0.0890, "#36": 0.1065, "#29": 0.1360, "#25": 0.1495, "#21": 0.1590, "#7": 0.2010, "#3": 0.2130}
_LETTERS = {"F": 0.2570, "I": 0.2720, "Q": 0.3320, "U": 0.3680}


@pytest.mark.parametrize("name", [one.name for one in UNIFIED])
def test_unified_inch_drills_lie_within_the_limits_too(name: str) -> None:
    # number and letter drills: ANSI B94.11M as a public program's chart has them
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
    # 1.2 d0: EN 1993-1-8, Table 3.3 (read in a public copy). Engagement by hand: 800 As / (0.6 Rm 0.75 pi d).
    assert edge_distances(6.6)[0] == pytest.approx(7.92)
    by_hand = 800.0 * math.pi / 4 * (6 - 0.9382) ** 2 / (0.6 * 295 * 0.75 * math.pi * 6)
    assert engagement(METRIC[6.0], "8.8", 295.0) == pytest.approx(by_hand)


def test_flutes_are_as_long_as_jobber_drills_are_sold() -> None:
    # working lengths of jobber drills as dealers' pages print them, read; 1 to 16 mm
    sold = {1.0: 12, 3.2: 36, 4.5: 47, 6.5: 63, 7.0: 69, 8.0: 75, 8.5: 75, 9.0: 81, 9.5: 81, 10.0: 87, 11.0: 94}
    sold |= {12.0: 101, 14.0: 108, 16.0: 120}
    assert {d: flute_length(d) for d in sold} == sold
    # DIN 338 from 2.12 mm on, as a public program has its table
    table = {2.12: 24, 2.36: 27, 2.65: 30, 3.0: 33, 3.35: 36, 3.75: 39, 4.25: 43, 4.75: 47, 5.3: 52, 6.0: 57, 6.7: 63}
    table |= {7.5: 69, 8.5: 75, 9.5: 81, 10.6: 87, 11.8: 94, 13.2: 101, 14.0: 108, 15.0: 114, 16.0: 120, 17.0: 125}
    table |= {18.0: 130, 19.0: 135, 20.0: 140}
    for (below, _), (up_to, long) in itertools.pairwise(((1.9, 22), *table.items())):
        assert flute_length(up_to) == long
        assert flute_length(below + 0.01) == long


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
