"""Slips of the hand with a tape in inches: weighed as what was keyed in, not as so many mm.

What a tape shows is set out by hand here: 16 3/8 in has two figures before its fraction, and no point. How often each
slip happens is common practice, no source.
"""

from __future__ import annotations

import pytest

from bentwork.fitup.doubted import judged
from bentwork.fitup.made import Bar, on_the_bar
from bentwork.fitup.readings import Reading, expected
from bentwork.fitup.scatter import scatter_of
from bentwork.fitup.slips import Cause, otherwise_read
from bentwork.tooling.bender import Accuracy
from bentwork.units import INCH, Ruler
from tests.unit.fitup.bars import rectangle

HAND = Accuracy(1.0, 1.5, 0.7)


def meant(inches: float, cause: Cause) -> set[float]:
    """What so many inches may have been meant to be by one cause, in inches."""
    read = Reading("leg", inches * INCH, 2, units="in")
    return {round(value / INCH, 6) for told, value in otherwise_read(read) if told == cause}


@pytest.mark.parametrize(
    ("inches", "cause", "values"),
    [
        (16.375, "digits swapped", {61.375}),  # 16 3/8
        (16.375, "a neighbouring key", {46.375, 26.375, 13.375, 19.375, 15.375}),
        (16.375, "the point one place off", set()),  # a fraction has none
        (16.375, "another mark of the tape", {17.375, 15.375, 16.5, 16.25, 16.4375, 16.3125, 16.1875, 16.75}),
        (0.625, "digits swapped", set()),  # 5/8
        (0.625, "a neighbouring key", set()),
        (16.0, "digits swapped", {61.0}),
        (16.0, "the point one place off", {160.0, 1.6}),
        (12.5, "digits swapped", {21.5, 15.2}),  # 12 1/2 or 12.5
        (11.81, "digits swapped", {18.11, 11.18}),  # no line of a tape: keyed in with a point
        (11.81, "the point one place off", {118.1, 1.181}),
    ],
)
def test_inches_are_weighed_as_they_are_keyed_in(inches: float, cause: Cause, values: set[float]) -> None:
    found = meant(inches, cause)
    if cause == "another mark of the tape":
        found |= {15.375}  # a neighbouring key gives the same, and is told first
    assert found == values


def test_a_tape_in_mm_is_misread_by_its_figures_and_an_angle_has_no_tape() -> None:
    leg = {round(v, 6) for told, v in otherwise_read(Reading("leg", 304.0, 2)) if told == "another mark of the tape"}
    assert leg == {294.0, 314.0}
    mm, inches = (list(otherwise_read(Reading("angle", 89.0, 2, units=units))) for units in ("mm", "in"))
    assert mm == inches
    assert "another mark of the tape" not in {cause for cause, _ in mm}


def test_how_far_off_its_mark_a_bend_came_out_is_a_fraction_too() -> None:
    """1/8 in off a mark that was worked out is keyed in as 1/8; 12 13/16 as a place on the tape."""
    mark = 300.371234
    off = {
        round((v - mark) / INCH, 6)
        for _, v in otherwise_read(Reading("begins", mark + INCH / 8, 2, mark=mark, units="in"))
    }
    assert {-0.125, 0.25, 0.0625} <= off
    place = 12.8125 * INCH
    found = {round(v / INCH, 6) for _, v in otherwise_read(Reading("begins", place, 2, mark=mark, units="in"))}
    assert {21.8125, 11.8125, 12.6875} <= found
    assert round((2 * mark - place) / INCH, 6) not in found


def leg(bar: Bar, number: int) -> float:
    return float(expected(Reading("leg", 0.0, number), bar, bar.values, (True,) * bar.bends)[0])


@pytest.mark.parametrize(
    ("inches", "keyed", "cause", "told"),
    [
        (13.0, 31.0, "digits swapped", "13"),
        (12.8125, 21.8125, "digits swapped", "12 13/16"),
        (13.0, 14.0, "another mark of the tape", "13"),  # an inch counted too many
        (12.8125, 12.9375, "another mark of the tape", "12 13/16"),  # an eighth
        (13.0, 330.0, "mm for inches", "13"),  # 330 mm from the other side of the tape: 12.99 in
    ],
)
def test_a_leg_in_inches_that_was_misread_is_asked_about(inches: float, keyed: float, cause: Cause, told: str) -> None:
    bar = on_the_bar(rectangle())
    really = leg(bar, 2)
    more = really - inches * INCH  # the tape showed so much less: to the inside, or from a shoulder
    wrong = Reading("leg", keyed * INCH + more, 2, sd=0.3, more=-more, units="in")
    _, doubts = judged(bar, bar.values, scatter_of(bar, Accuracy(0.2, 0.2, 0.3)), [1, 2], [wrong])
    (doubt,) = doubts
    assert doubt.others[0].cause == cause
    assert doubt.meant == pytest.approx(really, abs=0.3)
    assert doubt.left_out
    ruler = Ruler("in")
    assert f"Did you mean {told} in ({cause})?" in doubt.words(lambda mm: f"{ruler.tape(mm)} in")
    # Weighed as mm, it would be anything but that.
    as_mm = judged(
        bar,
        bar.values,
        scatter_of(bar, Accuracy(0.2, 0.2, 0.3)),
        [1, 2],
        [Reading("leg", wrong.value, 2, sd=0.3, more=-more)],
    )[1]
    assert as_mm[0].others[0].cause != cause or cause == "mm for inches"
