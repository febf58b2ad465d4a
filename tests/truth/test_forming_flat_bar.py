"""Allowance, setback and deduction of flat bar against the handbook's constants and worked examples."""

from __future__ import annotations

import math

import pytest

from bentwork.files.catalogue import materials
from bentwork.forming.flat import K_FACTORS, FlatBend, Hardness, hardness_of


# Machinery's Handbook, sheet-metal bending: L = 0.55 T, 0.64 T, 0.71 T + 1.57 R at 90 degrees (from memory; constants
# and groups agree with quotations of the 28th edition, where the factors are printed as 0.35, 0.41, 0.45).
@pytest.mark.parametrize(
    ("hardness", "allowance", "k", "printed"),
    [("soft", 9.50, 0.35014, 0.35), ("medium", 9.77, 0.40744, 0.41), ("hard", 9.98, 0.45200, 0.45)],
)
def test_allowance_of_the_handbook(hardness: Hardness, allowance: float, k: float, printed: float) -> None:
    assert K_FACTORS[hardness] == pytest.approx(k, abs=1e-5)
    assert round(K_FACTORS[hardness], 2) == printed
    right_angle = FlatBend(3.0, 5.0, 90.0, K_FACTORS[hardness])
    assert right_angle.allowance == pytest.approx(allowance, abs=0.006)
    # In proportion to the angle, as the handbook says.
    assert FlatBend(3.0, 5.0, 30.0, K_FACTORS[hardness]).allowance == pytest.approx(
        right_angle.allowance / 3, rel=1e-12
    )


@pytest.mark.parametrize(
    ("name", "hardness"),
    [
        ("Cu-R220", "soft"),
        ("CuZn37-R300", "soft"),
        ("CuZn37-R370", "medium"),  # half hard
        ("S235", "medium"),
        ("E220", "medium"),
        ("6082-T6", "medium"),
        ("6061-O", "medium"),
        ("S235-drawn", "hard"),
        ("25CrMo4", "hard"),
    ],
)
def test_groups_of_the_handbook(name: str, hardness: Hardness) -> None:
    # Soft copper and brass; half-hard copper and brass, soft steel, aluminium; bronze, hard copper, cold-rolled and
    # spring steel.
    assert hardness_of(materials()[name]) == hardness


def test_aircraft_sheet_worked_in_a_training_text() -> None:
    # (0.0078 T + 0.01743 R) A: 0.050 in sheet, 0.032 in radius, 90 degrees: allowance 0.085, deduction 0.079 in. Its
    # 0.01743 is a degree in radians, 0.01745, rounded.
    bend = FlatBend(0.050, 0.032, 90.0, 0.0078 / 0.01743)
    assert bend.allowance == pytest.approx(0.08530, abs=2e-4)
    assert round(bend.allowance, 3) == 0.085
    assert bend.deduction == pytest.approx(0.07870, abs=2e-4)
    assert round(bend.deduction, 3) == 0.079


def test_sixty_degrees_worked_by_hand() -> None:
    # angle (R + K T); (R + T) tan(angle/2); two setbacks less the allowance.
    bend = FlatBend(4.0, 6.0, 60.0, 0.44)
    assert bend.allowance == pytest.approx(8.1263, abs=5e-5)
    assert bend.setback == pytest.approx(5.7735, abs=5e-5)
    assert bend.deduction == pytest.approx(3.4208, abs=5e-5)


def test_neutral_line_in_the_middle_is_the_centreline() -> None:
    # Round bar and tube; and sheet in wide bends: Kalpakjian and Schmid, 0.5 above two thicknesses (from memory).
    bend = FlatBend(10.0, 35.0, 90.0, 0.5)
    assert bend.allowance == pytest.approx(40.0 * math.pi / 2, rel=1e-12)
    assert bend.shortening == pytest.approx(0.0, abs=1e-12)
