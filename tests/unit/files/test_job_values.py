"""Values of a job file that carry a unit or a comma: masses and forces, points, lists."""

from __future__ import annotations

import pytest

from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.job import Job

HEAD = """format = 1
name = "shelf"
units = "in"

[stock.rod]
section = "round"
diameter = "1/2"
material = "S235"

[piece.arm]
stock = "rod"
points = [[0, 0, 0], [12, 0, 0]]

"""
PAYLOAD = (
    HEAD
    + """[payload]
mass = {mass}
centre = [6, 0, 4]
on = ["arm"]
"""
)


def read(text: str) -> Job:
    return parse_job(text.encode(), "shelf.toml")


def faults(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(text)
    return [f"{fault.where}: {fault.wanted}. {fault.do}" for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("written", "kg"),
    [("12", 12.0), ('"12.5 kg"', 12.5), ('"12,5 kg"', 12.5), ('"25 lb"', 25 * 0.45359237), ('"40lbs"', 18.1436948)],
)
def test_a_mass_may_carry_its_unit_and_is_kilograms_without(written: str, kg: float) -> None:
    payload = read(PAYLOAD.format(mass=written)).load.payload
    assert payload is not None
    assert payload.mass == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize(
    ("written", "do"),
    [
        ('"25 stone"', 'It may carry a unit: kg, g, lb, lbs, oz, as in "25 lb".'),
        ('"12,5"', "Write 12.5, without quotes."),
        ('"20000 lb"', ""),
        ("-3", ""),
    ],
)
def test_what_is_no_mass_is_told(written: str, do: str) -> None:
    assert faults(PAYLOAD.format(mass=written)) == [f"payload.mass: a mass above 0 and up to 5000 kg. {do}"]


def test_a_force_may_carry_its_unit() -> None:
    load = read(PAYLOAD.format(mass=12) + '[load]\nuse = "boat"\nleaning = "20 lbf"\n').load
    assert load.leaning == pytest.approx(20 * 4.4482216, rel=1e-6)  # NIST SP 811, appendix B.8


def test_a_point_that_is_missing_is_asked_for_as_a_point() -> None:
    told = faults(HEAD + '[keepout.wheel]\nshape = "cylinder"\nto = [0, 0, 3]\nradius = 2\n')
    assert told == [
        "keepout.wheel.from: a point: three lengths in brackets, [x, y, z], such as [400, 0, 120]. "
        "A cylinder needs from = …"
    ]


def test_two_numbers_in_one_text_may_be_one_with_a_decimal_comma() -> None:
    (told,) = faults(HEAD + '[shop]\nblocks = "50,20"\n')
    assert told.endswith("A comma may stand for either: write 50.20 for one number; two have a space between, 50, 20.")
