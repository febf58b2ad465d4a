"""Slips of the hand: what a reading that was read, told or keyed in wrong may have been meant to be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Literal

from bentwork.fitup.readings import Reading
from bentwork.units import INCH

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
    "something else": 0.004,
}
"""How often each happens; common practice, no source."""

_KEYS = ("123", "456", "789", " 0 ")
_FIGURES = 2  # a place in mm has so many more before its point than a distance off it


def otherwise_read(reading: Reading) -> Iterator[tuple[Cause, float]]:
    """Yield what a reading may have been meant to be; the same value comes once.

    How far a bend came out off its mark may have been keyed in as that, or as a place on a tape: what was keyed in has
    few figures, what was worked out from it has many.
    """
    zeros = [-reading.more] if reading.mark is None else [reading.mark, -reading.more]
    figures = {zero: len(repr(round(reading.value - zero, 6))) for zero in zeros}
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
    value = reading.value - zero
    text, sign = f"{abs(round(value, 9)):g}", -1.0 if value < 0.0 else 1.0

    def told(cause: Cause, values: Sequence[float]) -> Iterator[tuple[Cause, float]]:
        return ((cause, one + zero) for one in values)

    turned = reading.kind in ("angle", "rotation")
    if turned:
        yield from told("the other side of the gauge", [sign * (180.0 - abs(value))])
    yield from told("digits swapped", [sign * one for one in _swapped(text)])
    if off or reading.kind in ("rotation", "gap", "sideways", "upwards"):
        yield from told("the wrong sign", [-value])
    if turned:
        yield from told("misread by 5 or 10", [value + 10.0, value - 10.0, value + 5.0, value - 5.0])
    elif not off:  # that is a few mm: read in the other unit it would be next to nothing
        yield from told("inches for mm", [value * INCH])
        yield from told("mm for inches", [value / INCH])
    yield from told("the point one place off", [value * 10.0, value / 10.0])
    yield from told("a neighbouring key", [sign * one for one in _beside(text)])


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
