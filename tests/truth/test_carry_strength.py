"""Welds, bolts, fatigue, stress: rows of standards and handbooks. The modules say what is from memory."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.carry.cases import GRAVITY, LoadCase
from bentwork.carry.fasteners import (
    BOLT_CLASSES,
    Bolt,
    bearing,
    edge_distances,
    engagement,
    minor_diameter,
    stress_area,
    tapping_drill,
)
from bentwork.carry.fatigue import DETAILS, Detail
from bentwork.carry.strength import metal_factor, softened_length
from bentwork.carry.stress import Fibres, curved_bar_factor, section_fibres, worst_fibre
from bentwork.carry.structure import Directions
from bentwork.carry.uses import USES
from bentwork.carry.welds import Ring, throat_stress, weld_metal_strength, weld_stress
from bentwork.files.catalogue import materials
from bentwork.stock.section import Flat, Round, Square, SquareTube, Tube

SIZES = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0)


def test_stress_areas() -> None:  # ISO 898-1, as printed there (from memory)
    assert [f"{stress_area(d):.3g}" for d in SIZES] == ["5.03", "8.78", "14.2", "20.1", "36.6", "58"]


def test_tapping_drills_and_minor_diameters() -> None:
    # ISO 2306, M4 to M10 read in a public answer; ISO 724 basic minor diameters, printed in a tap maker's catalogue.
    assert [tapping_drill(d) for d in SIZES] == [2.5, 3.3, 4.2, 5.0, 6.8, 8.5]
    assert [minor_diameter(d) for d in SIZES] == pytest.approx([2.459, 3.242, 4.134, 4.917, 6.647, 8.376], abs=6e-4)


def test_proof_loads() -> None:  # ISO 898-1 class 8.8, ISO 3506-1 A2-70 (from memory), kN
    found = [BOLT_CLASSES[grade].proof * stress_area(d) / 1000 for grade in ("8.8", "A2-70") for d in (5.0, 6.0, 8.0)]
    assert found == pytest.approx([8.226, 11.672, 21.233, 6.382, 9.056, 16.474], abs=6e-4)


def test_thread_engagement_in_aluminium() -> None:
    # M5 8.8 in 6082-T6: 5.44 mm (1.09 d) in the bar, 1.74 d beside a weld: simplified VDI 2230, 0.75 common practice.
    assert engagement(5.0, "8.8", 295.0) / 5.0 == pytest.approx(1.088, abs=5e-4)
    assert engagement(5.0, "8.8", 185.0) / 5.0 == pytest.approx(1.735, abs=5e-4)


def test_bearing_of_a_tab() -> None:
    # M5, d0 5.5, t 3, e1 11, e2 8.25, f_u 295: 5.90 kN; 3.70 beside a weld. EN 1999-1-1, 8.5.5 (from memory).
    bolt = Bolt(5.0, thickness=3.0, end_distance=11.0, side_distance=8.25)
    assert bearing(bolt, 295.0) == pytest.approx(5900.0)
    assert bearing(bolt, 185.0) == pytest.approx(3700.0)
    assert bearing(Bolt(5.0, thickness=3.0, end_distance=5.5, side_distance=8.25), 295.0) == pytest.approx(2950.0)
    assert edge_distances(5.5) == pytest.approx((6.6, 11.0, 8.25))
    with pytest.raises(ValueError, match="thickness"):
        bearing(Bolt(5.0), 295.0)


@pytest.mark.parametrize(("along", "expected"), [(True, 23279.0), (False, 28511.0)])
def test_a_pair_of_fillets(along: bool, expected: float) -> None:
    # 2 fillets a 3, l 40, 6082 with 5356, 1.25: EN 1999-1-1, 8.6.3.3 and Table 8.8 (from memory).
    area = 2 * 3.0 * 40.0
    none = np.zeros(1)
    force = np.array([expected])
    ring = Ring(area, 1.0, 1.0)
    stress = weld_stress(*throat_stress(ring, none if along else force, force if along else none, none, none))
    assert stress[0] == pytest.approx(weld_metal_strength(materials()["6082-T6"]) / 1.25, rel=1e-3)


def test_weld_metal() -> None:
    names = ("5083-H111", "6060-T66", "6061-T6", "6082-T6", "7020-T6")
    assert [weld_metal_strength(materials()[n]) for n in names] == [240, 160, 190, 210, 260]
    assert [weld_metal_strength(materials()[n], "4043") for n in names[1:]] == [150, 170, 190, 210]
    # S235: f_u/(sqrt3 beta_w gamma) = 207.8 MPa, 623.5 N/mm at a = 3: EN 1993-1-8, 4.5.3.3 (from memory).
    steel = weld_metal_strength(materials()["S235"]) / 1.25 / math.sqrt(3)
    assert steel == pytest.approx(207.846, abs=1e-3)
    assert 3 * steel == pytest.approx(623.54, abs=5e-3)


def test_softened_length() -> None:  # EN 1999-1-1, 6.1.6.3 (from memory)
    mig = [softened_length(Round(d), "MIG") for d in (6, 12, 25, 30)]
    assert mig == [20.0, 30.0, 35.0, 40.0]
    assert softened_length(Tube(25, 2), "TIG") == 30.0
    assert softened_length(Flat(30, 4), "TIG") == 30.0


def test_fully_softened_bar() -> None:
    # d 10, 6082-T6: 24.54 and 12.27 Nm; 22.31 and 11.16 with gamma_M1 1.1.
    metal = materials()["6082-T6"]
    modulus = Round(10).bending().section_modulus
    assert metal.welded_proof_stress is not None
    values = [metal.proof_stress.value * modulus, metal.welded_proof_stress.value * modulus]
    assert [v / 1000 for v in values] == pytest.approx([24.544, 12.272], abs=5e-4)
    assert [v / 1000 / metal_factor(metal) for v in values] == pytest.approx([22.312, 11.156], abs=1e-3)


@pytest.mark.parametrize(
    ("kind", "cycles", "expected"),
    [
        ("attachment", 1e5, 76.004),
        ("attachment", 1e7, 16.374),
        ("weld throat", 1e5, 32.573),
        ("weld throat", 1e7, 7.018),
    ],
)
def test_fatigue_lines_of_aluminium(kind: str, cycles: float, expected: float) -> None:
    # FAT 28 and 12, m 3: Hobbacher, IIW (from memory), FAT (2e6/N)^(1/3).
    detail = next(d for (group, name), d in DETAILS.items() if group == "aluminium" and name == kind)
    assert detail.stress_range(cycles) == pytest.approx(expected, abs=5e-4)
    assert detail.cycles(detail.stress_range(cycles)) == pytest.approx(cycles, rel=1e-9)


def test_fatigue_lives() -> None:
    assert DETAILS["aluminium", "attachment"].cycles(40.0) == pytest.approx(6.860e5, rel=1e-4)
    assert DETAILS["aluminium", "attachment"].cycles(0.0) == math.inf
    assert DETAILS["aluminium", "attachment"].cycles(1e-70) == math.inf  # what rounding leaves, which overflowed
    # Eurocode 9's frame: category 32, slopes 3.4 and 5.4, knee at 5e6: 77.23, 24.44 and 14.03 MPa (from memory).
    euro = Detail(32.0, 3.4, 5e6, 5.4, "EN 1999-1-3 (from memory)")
    assert [euro.stress_range(n) for n in (1e5, 5e6, 1e8)] == pytest.approx([77.234, 24.440, 14.034], abs=5e-4)
    assert euro.cycles(50.0) == pytest.approx(4.3858e5, rel=1e-4)


@pytest.mark.parametrize(
    ("ratio", "of_round", "of_rectangle"),
    [(2.0, 1.62, 1.52), (3.0, 1.33, 1.30), (4.0, 1.23, 1.20), (6.0, 1.14, 1.12), (8.0, 1.10, 1.09), (10.0, 1.08, 1.07)],
)
def test_inside_of_a_curved_bar(ratio: float, of_round: float, of_rectangle: float) -> None:
    # Wilson and Quereau's table (Univ. of Illinois Circular 16, 1927; in Peterson and in machine design books; from
    # memory).
    assert curved_bar_factor(Round(10), 5 * ratio) == pytest.approx(of_round, abs=0.015)
    assert curved_bar_factor(Square(10, 10), 5 * ratio) == pytest.approx(of_rectangle, abs=0.015)


def stress(section: Round | Tube | Square | Flat | SquareTube, forces: list[float]) -> float:
    fibres = Fibres(*(np.array([[v]]) for v in (*section_fibres(section), 1.0)))
    return float(worst_fibre(np.array(forces).reshape(1, 6, 1), fibres)[0, 0])


def test_stress_of_round_bar_and_tube() -> None:
    d = 10.0
    assert stress(Round(d), [1000, 0, 0, 0, 0, 0]) == pytest.approx(1000 / (math.pi * 25))
    assert stress(Round(d), [0, 0, 0, 0, 3000, 4000]) == pytest.approx(5000 / (math.pi * 1000 / 32))
    assert stress(Round(d), [0, 0, 0, 5000, 0, 0]) == pytest.approx(math.sqrt(3) * 5000 / (math.pi * 1000 / 16))
    assert stress(Round(d), [0, 300, 400, 0, 0, 0]) == pytest.approx(math.sqrt(3) * 4 / 3 * 500 / (math.pi * 25))
    tube = Tube(25, 2)
    assert stress(tube, [0, 0, 0, 9000, 8000, 0]) == pytest.approx(
        math.sqrt((8000 * 12.5 / 9628.2) ** 2 + 3 * (9000 * 12.5 / (2 * 9628.2)) ** 2), rel=1e-5
    )


def test_stress_of_rectangles() -> None:
    # Corner: both bendings add. Twist: 0.601 T/a^3 for a square of side 2 a (Roark, from memory), 3 T/(b t^2) for
    # thin strip.
    assert stress(Flat(30, 4), [0, 0, 0, 0, 1000, 2000]) == pytest.approx(1000 / 80 + 2000 / 600)
    assert stress(Square(10, 10), [0, 0, 0, 1000, 0, 0]) == pytest.approx(math.sqrt(3) * 0.601 * 1000 / 125, rel=1e-3)
    thin = stress(Flat(300, 1), [0, 0, 0, 1000, 0, 0])
    assert thin == pytest.approx(math.sqrt(3) * 3 * 1000 / 300, rel=5e-3)
    # Square tube: Bredt, T/(2 A_m t).
    box = stress(SquareTube(20, 20, 2), [0, 0, 0, 10000, 0, 0])
    assert box == pytest.approx(math.sqrt(3) * 10000 / (2 * 18 * 18 * 2))


def test_load_cases_of_a_trailer() -> None:
    # EN 12195-1 as the CTU code quotes it: 10 kg give 78.5 N at 0.8 g and 49.1 N at 0.5 g; German insurers advise
    # 1.0 g.
    assert [10 * GRAVITY * g for g in (0.8, 0.5)] == pytest.approx([78.45, 49.03], abs=0.01)
    by_kind = {case.kind: case for case in USES["trailer"].cases}
    assert by_kind["braking"].forward == 1.0
    assert by_kind["rearward"].forward == -0.5
    assert max(case.down for case in USES["trailer"].cases) == 3.0
    felt = LoadCase("x", "braking", 1.0, 0.8, -0.5).felt(Directions())
    assert felt == pytest.approx((0.8 * GRAVITY, -0.5 * GRAVITY, -GRAVITY))


def test_every_case_has_a_source_and_a_cycle_has_no_case() -> None:
    assert USES["cycle"].cases == ()
    assert "ISO 11243" in USES["cycle"].defers
    assert all(case.source for use in USES.values() for case in use.cases)
