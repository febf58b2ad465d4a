"""Slips of the hand: what a reading that was read, told or keyed in wrong may have been meant to be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Literal

from bentwork.fitup.readings import Reading
from bentwork.units import INCH, Units

__all__ = ["HOW_OFTEN", "Cause", "otherwise_read"]

Cause = Literal[
    "as read",
    "digits swapped",
    "the other side of the gauge",
    "the wrong sign",
    "a neighbouring key",
    "inches for mm",
    "mm for inches",
    "the point one place off",
    "misread by 5 or 10",
    "another mark of the tape",
    "something else",
]

HOW_OFTEN: dict[Cause, float] = {
    "as read": 0.97,
    "digits swapped": 0.004,
    "the other side of the gauge": 0.006,
    "the wrong sign": 0.004,
    "a neighbouring key": 0.003,
    "inches for mm": 0.002,
    "mm for inches": 0.002,
    "the point one place off": 0.002,
    "misread by 5 or 10": 0.003,
    "another mark of the tape": 0.001,
    "something else": 0.004,
}
"""How often each happens; common practice, no source."""

_MARKS: dict[Units, tuple[float, ...]] = {"mm": (10.0,), "in": (1.0, 1 / 8, 1 / 16)}
"""What a tape is read wrong by, in its own units: a figure, or one of the longer lines between two; common practice, no
source."""

_FINEST = 64  # parts of an inch on a tape or a rule
_ON_A_LINE = 0.005  # of such a part
_KEYS = ("123", "456", "789", " 0 ")
_FIGURES = 2  # a place in mm has so many more before its point than a distance off it


def otherwise_read(reading: Reading) -> Iterator[tuple[Cause, float]]:
    """Yield what a reading may have been meant to be; the same value comes once.

    How far a bend came out off its mark may have been keyed in as that, or as a place on a tape: what was keyed in has
    few figures, what was worked out from it has many.
    """
    zeros = [-reading.more] if reading.mark is None else [reading.mark, -reading.more]
    figures = {zero: _figures(reading, zero) for zero in zeros}
    seen = {reading.value}
    for zero in zeros:
        if figures[zero] > min(figures.values()) + _FIGURES:
            continue
        for cause, value in _written(reading, zero, off=zero == reading.mark):
            if math.isfinite(value) and value not in seen:
                seen.add(value)
                yield cause, value


def _written(reading: Reading, zero: float, *, off: bool) -> Iterator[tuple[Cause, float]]:
    """The same for a reading that was keyed in as so much from ``zero``; values may come twice."""
    size = _size(reading)
    value = (reading.value - zero) / size
    sign = -1.0 if value < 0.0 else 1.0

    def told(cause: Cause, values: Iterable[float]) -> Iterator[tuple[Cause, float]]:
        return ((cause, one * size + zero) for one in values)

    turned, keyed = _turned(reading), _keyed(reading, abs(value))
    if turned:
        yield from told("the other side of the gauge", [sign * (180.0 - abs(value))])
    yield from told("digits swapped", [sign * (one + rest) for text, rest in keyed for one in _swapped(text)])
    if off or reading.kind in ("rotation", "gap", "sideways", "upwards"):
        yield from told("the wrong sign", [-value])
    if turned:
        yield from told("misread by 5 or 10", [value + 10.0, value - 10.0, value + 5.0, value - 5.0])
    elif not off:  # that is a few mm: read in the other unit it would be next to nothing
        yield from told("inches for mm", [value * INCH])
        yield from told("mm for inches", [value / INCH])
    if any(rest == 0.0 for _, rest in keyed):  # else it is a fraction, and has no point
        yield from told("the point one place off", [value * 10.0, value / 10.0])
    yield from told("a neighbouring key", [sign * (one + rest) for text, rest in keyed for one in _beside(text)])
    if not turned:
        yield from told(
            "another mark of the tape", [value + one * way for one in _MARKS[reading.units] for way in (1, -1)]
        )
        rests = [rest for _, rest in keyed if rest > 0.0]  # one part of an inch taken for another: 3/16 for 3/8
        halves = [times * rest - rest for rest in rests for times in (0.5, 2.0) if times * rest < 1.0]
        yield from told("another mark of the tape", [value + sign * more for more in halves])


def _turned(reading: Reading) -> bool:
    return reading.kind in ("angle", "rotation")


def _size(reading: Reading) -> float:
    """What the unit is in which a reading was keyed in, degrees or mm."""
    return INCH if reading.units == "in" and not _turned(reading) else 1.0


def _figures(reading: Reading, zero: float) -> int:
    """How many figures are keyed in for a reading that is told from ``zero``, the point counted."""
    value = (reading.value - zero) / _size(reading)
    text, rest = _keyed(reading, abs(value))[0]
    return len(f"{text}.0") if rest else len(repr(round(value, 6)))


def _keyed(reading: Reading, value: float) -> list[tuple[str, float]]:
    """How a number above 0 may have been keyed in: its text, and the fraction of an inch that stands after it.

    Inches on a line of the tape are keyed in as a fraction, or with a point where that takes two decimals at most.
    """
    text = f"{round(value, 9):g}"
    whole = math.floor(value + _ON_A_LINE / _FINEST)
    rest = round((value - whole) * _FINEST)
    if _size(reading) == 1.0 or abs((value - whole) * _FINEST - rest) > _ON_A_LINE:
        return [(text, 0.0)]
    fraction = [(f"{whole}" if whole else "", rest / _FINEST)]
    return fraction if len(text.partition(".")[2]) > 2 else [*fraction, (text, 0.0)]


def _swapped(text: str) -> list[float]:
    places = [k for k, letter in enumerate(text) if letter.isdigit()]
    found = []
    for first, second in pairwise(places):
        letters = list(text)
        letters[first], letters[second] = letters[second], letters[first]
        found.append(float("".join(letters)))
    return found


def _beside(text: str) -> list[float]:
    found = []
    for place, letter in enumerate(text):
        if letter.isdigit():
            found += [float(text[:place] + other + text[place + 1 :]) for other in _near(letter)]
    return found


def _near(digit: str) -> list[str]:
    """Keys beside a key, and above and below it, on a pad of numbers."""
    row = next(k for k, line in enumerate(_KEYS) if digit in line)
    column = _KEYS[row].index(digit)
    around = [(row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)]
    return [_KEYS[r][c] for r, c in around if 0 <= r < 4 and 0 <= c < 3 and _KEYS[r][c] != " "]
