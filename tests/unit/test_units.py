"""Lengths as makers write them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.units import Ruler, about_commas, angle, parse_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        (12, 12.0),
        (12.5, 12.5),
        ("12", 12.0),
        ("12 mm", 12.0),
        ("1.2cm", 12.0),
        ("0.5 m", 500.0),
        ("1/2 in", 12.7),
        ("3 5/16 in", 84.1375),
        ("3-5/16 in", 84.1375),
        ('3 5/16"', 84.1375),
        ("1 ft 3 in", 381.0),
        ("1' 3 1/2\"", 393.7),
        ("3½ in", 88.9),
        ("-12", -12.0),
        ("−3 1/4 in", -82.55),
        ("12,5", 12.5),
        ("0,125 in", 3.175),
        (",5 cm", 5.0),
        ("-1,25", -1.25),
    ],
)
def test_lengths_in_a_millimetre_job(text: object, mm: float) -> None:
    assert parse_length(text, "mm") == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "mm"),
    [(12, 304.8), (0.5, 12.7), ("1/2", 12.7), ("3 5/16", 84.1375), ("12 mm", 12.0), (".5", 12.7)],
)
def test_lengths_in_an_inch_job(text: object, mm: float) -> None:
    assert parse_length(text, "in") == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    "junk",
    ["", " ", "-", "twelve", "12 furlongs", "1,500", "1,2,3",
     "1.000,5", "1/0", "1/2/3", "3 5", "3 in 5", "5/", "nan", "inf", "1e999",
     True, None, [12], math.nan, math.inf, "12mm mm", "--5", "0x10", "1 2/3/4"],
)  # fmt: skip
def test_what_is_no_length_is_refused(junk: object) -> None:
    with pytest.raises(ValueError, match=r"length|fraction"):
        parse_length(junk, "mm")


def test_a_comma_that_may_be_meant_either_way_is_asked_about() -> None:
    assert about_commas("1,500 mm") == "Write 1.500, or 1500 if that is meant: a comma may stand for either."
    assert [about_commas(words) for words in ("1,5", "0,125", "12", "twelve, or so", 3)] == [""] * 5


def test_what_need_not_be_exact_goes_to_a_sixteenth() -> None:
    assert Ruler("mm").about(5.0) == "5 mm"
    assert [Ruler("in").about(mm) for mm in (0.5, 3.0, 5.0, 10.0, 30.0)] == [
        "1/16 in",
        "1/8 in",
        "3/16 in",
        "3/8 in",
        "1 3/16 in",
    ]


@given(st.integers(0, 64 * 400), st.sampled_from([16, 32, 64]))
def test_an_inch_tape_is_read_back_to_half_a_division(sixty_fourths: int, fraction: int) -> None:
    mm = sixty_fourths / 64 * 25.4
    words = Ruler("in", fraction).tape(mm).rstrip("+−")
    assert parse_length(words, "in") == pytest.approx(mm, abs=25.4 / fraction / 2 + 1e-9)


@given(st.floats(-5000, 5000))
def test_a_bare_number_written_for_an_inch_job_reads_back(mm: float) -> None:
    assert parse_length(Ruler("in").number(mm), "in") == pytest.approx(mm, abs=1e-4)


def test_tape_readings() -> None:
    inches = Ruler("in")
    assert inches.tape(12 * 25.4 + 25.4 * 5 / 16) == "12 5/16"
    assert inches.tape(25.4 * (2 + 1 / 16 + 1 / 50)) == "2 1/16+"
    assert inches.tape(25.4 * (2 + 1 / 16 - 1 / 50)) == "2 1/16−"
    assert inches.tape(25.4 / 2) == "1/2"
    assert inches.tape(-25.4 * 1.5) == "−1 1/2"
    assert Ruler().tape(312.4) == "312.5"
    assert Ruler().tape(312.0) == "312"
    assert Ruler("in", 32).tape(25.4 / 32) == "1/32"


def test_lengths_in_sentences() -> None:
    assert Ruler().length(12.04) == "12 mm"
    assert Ruler().length(0.054) == "0.05 mm"
    assert Ruler("in").length(36) == "1 27/64 in"
    assert Ruler("in").length(1.0) == "0.039 in"
    assert Ruler().point((400.0, 0.0, -12.5)) == "[400, 0, -12.5]"
    assert angle(90.0) == "90°"
    assert angle(93.14) == "93.1°"
    assert angle(-0.01) == "0°"
    assert angle(-90.0) == "−90°"


def test_a_tape_has_known_divisions() -> None:
    with pytest.raises(ValueError, match="16, 32 or 64"):
        Ruler("in", 10)
