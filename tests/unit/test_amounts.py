"""Masses, forces, warmth, surfaces and liquids as makers read them.

Sizes of units: NIST Special Publication 811, appendix B.8 (seen as quoted: 1 lb = 0.453 592 37 kg, 1 lbf = 4.448 222 N,
1 lbf ft = 1.355 818 N m), and NIST Handbook 44, appendix C (1 US gallon = 3.785 412 l, from memory).
"""

from __future__ import annotations

import pytest

from bentwork.amounts import FOOT_POUND, FORCES, GALLON, MASSES, POUND_FORCE, Load
from bentwork.findings import Finding
from bentwork.units import Ruler, parse_amount

METRIC, INCHES = Ruler("mm"), Ruler("in")


def test_the_units_are_those_of_the_tables() -> None:
    assert pytest.approx(4.448222, abs=5e-7) == POUND_FORCE
    assert pytest.approx(1.355818, abs=5e-7) == FOOT_POUND
    assert pytest.approx(3.785412, abs=5e-7) == GALLON


def test_a_mass_goes_by_the_units_of_the_lengths() -> None:
    assert METRIC.mass(1.246) == "1.25 kg"
    assert INCHES.mass(10 * 0.45359237) == "10.00 lb"
    assert METRIC.small_mass(0.0224) == "22 g"
    assert INCHES.small_mass(0.0224) == "0.79 oz"  # 22.4 / 28.3495
    assert METRIC.small_mass(1.25) == "1.25 kg"
    assert INCHES.small_mass(0.45359237) == "1.00 lb"


def test_a_load_is_told_to_so_many_figures() -> None:
    assert METRIC.load(12.345) == "12.3 kg"
    assert METRIC.load(1234.5) == "1234 kg"
    assert INCHES.load(12.345) == "27.2 lb"  # 12.345 / 0.45359237 = 27.216
    assert INCHES.load(12.345, 4) == "27.22 lb"


def test_a_force_and_a_torque() -> None:
    assert METRIC.force(266.9) == "267 N"
    assert INCHES.force(266.9) == "60 lbf"  # 266.9 / 4.448222 = 60.001
    assert INCHES.force(22.24) == "5.0 lbf"
    assert METRIC.press(12340.0) == "12.3 kN"
    assert INCHES.press(12340.0) == "2770 lbf"  # 2774.1
    assert METRIC.torque(85.4) == "85 N m"
    assert INCHES.torque(85.4) == "63 lbf ft"  # 62.99


def test_what_is_not_to_be_gone_above_is_rounded_down() -> None:
    assert METRIC.warmth(80.0) == "80 °C"
    assert INCHES.warmth(80.0) == "170 °F"  # 176
    assert INCHES.warmth(100.0) == "210 °F"  # 212


def test_surfaces_and_paint() -> None:
    assert METRIC.surface(0.307) == "0.307 m²"
    assert INCHES.surface(0.307) == "3.30 sq ft"  # 0.307 / 0.09290304
    assert INCHES.surface(0.0245) == "38 sq in"  # 0.0245 / 0.00064516
    assert METRIC.liquid(0.088) == "88 ml"
    assert INCHES.liquid(0.088) == "3.0 fl oz"  # 88 / 29.5735
    assert INCHES.liquid(0.946) == "2.0 pints"
    assert METRIC.coverage(8.0) == "8 m² a litre"
    assert INCHES.coverage(8.0) == "326 sq ft a gallon"  # 8 x 3.785412 / 0.09290304


def test_a_size_of_the_shop_is_one_of_two_not_a_conversion() -> None:
    text = "MIG wire <0.8 mm|0.030 in>, {clear} from the edge"
    assert METRIC.usual(text) == "MIG wire 0.8 mm, {clear} from the edge"
    assert INCHES.usual(text) == "MIG wire 0.030 in, {clear} from the edge"


def test_a_finding_is_told_in_the_units_of_the_job() -> None:
    finding = Finding(
        "watch",
        "lever-too-heavy",
        "It takes {pull} at {hand}.",
        "{torque}, {load}, <1 mm|1/32 in>.",
        lengths={"hand": 609.6},
        loads={"pull": Load("force", 266.9), "torque": Load("torque", 85.4), "load": Load("mass", 12.345)},
    )
    assert finding.told(METRIC)[:2] == ("It takes 267 N at 609.6 mm.", "85 N m, 12.3 kg, 1 mm.")
    assert finding.told(INCHES)[:2] == ("It takes 60 lbf at 24 in.", "63 lbf ft, 27.2 lb, 1/32 in.")


def test_a_name_in_braces_is_no_amount() -> None:
    """A payload may be called anything; its name is told as it is."""
    finding = Finding("watch", "payload-lifts", "The {crate} lifts off at {at}.", lengths={"at": 10.0})
    assert finding.told(METRIC)[0] == "The {crate} lifts off at 10 mm."


@pytest.mark.parametrize(
    ("text", "kg"),
    [("25 lb", 11.33980925), ("25lb", 11.33980925), ("12,5 kg", 12.5), ("8 oz", 0.226796185), ("400 g", 0.4)],
)
def test_a_mass_with_its_unit_is_read(text: str, kg: float) -> None:
    assert parse_amount(text, MASSES) == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize("text", ["25", "25 stone", "lb", "25 lbf", "1 lb 2 oz", "-3 kg", ""])
def test_what_is_no_mass_with_a_unit_is_not(text: str) -> None:
    assert parse_amount(text, MASSES) is None


def test_a_force_with_its_unit_is_read() -> None:
    assert parse_amount("30 lbf", FORCES) == pytest.approx(30 * 4.448222, abs=1e-4)
