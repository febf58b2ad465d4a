"""Readings that do not go with the others, and what may have happened: did you mean 89 or 98?"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np

from bentwork.fitup.actual import Actual, actual
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.readings import Reading
from bentwork.fitup.scatter import Scatter

__all__ = ["Cause", "Doubt", "Other", "doubted", "judged", "otherwise_read", "settled"]

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

_BEFORE: dict[Cause, float] = {
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

_SUSPECTED = 3.0
_LOOKED_AT = 2.5  # by straight lines; what is nearer is not looked at again without itself
_ROOM = 200.0  # degrees or mm over which something else may lie
_KEYS = ("123", "456", "789", " 0 ")
_INCH = 25.4
_SAID = {"begins": "its beginning at"}
_FEWEST = 1e-3  # a chance below it is not worth a word


@dataclass(frozen=True, slots=True)
class Other:
    """Another reading that may have been meant.

    Args:
        value: that it would be; None where nothing tells.
        cause: what would have happened.
        chance: that it did, with all others of a doubt adding up to 1.
    """

    value: float | None
    cause: Cause
    chance: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """A reading that does not go with the others.

    Args:
        reading: the reading.
        place: its place among the readings, from 0.
        foretold: what the others say it should be.
        sd: one standard deviation of reading and foretelling together.
        away: by how many of those it is out.
        others: what may have been meant, likeliest first, ``as read`` among them.
        left_out: whether it is left out until it is settled.
        rest: how badly the others go together without it, see ``Actual.cost``.
    """

    reading: Reading
    place: int
    foretold: float
    sd: float
    away: float
    others: tuple[Other, ...]
    left_out: bool
    rest: float

    @property
    def meant(self) -> float | None:
        """The likeliest reading where another than that given is likelier than it; None otherwise."""
        best = self.others[0]
        return best.value if best.cause not in ("as read", "something else") else None

    def words(self, length: Callable[[float], str]) -> str:
        """Return the question: ``Bend 3: angle 98 does not go with the rest, which say 89.4. Did you mean 89?``.

        Args:
            length: how a length in mm is written where this is read.
        """
        one = self.reading
        turned = one.kind in ("angle", "rotation")
        spots = f" from {one.spots[0].name} to {one.spots[1].name}" if len(one.spots) == 2 else ""
        what = f"{one.kind.capitalize()}{spots}"
        if one.number:
            what = "Leg" if one.kind == "leg" else f"Bend {one.number}: {_SAID.get(one.kind, one.kind)}"

        def shown(value: float) -> str:
            return f"{round(value + one.more, 2):g}" if turned else length(value + one.more)

        foretold = shown(round(self.foretold, 1)) if turned else length(self.foretold + one.more)
        said = f"{what} {shown(one.value)} does not go with the rest, which say {foretold}"
        if self.meant is not None:
            return f"{said}. Did you mean {shown(self.meant)} ({self.others[0].cause})?"
        return f"{said}. Measure it again."


def judged(
    bar: Bar, intended: Floats, scatter: Scatter, made: Sequence[int], readings: Sequence[Reading]
) -> tuple[Actual, tuple[Doubt, ...]]:
    """Return what a bar is believed to be, and the readings that do not go with the others.

    A reading that is likelier something else than what it says is left out, one at a time. One that was questioned
    and is right counts: then the bend, not the reading, is what went wrong, and its own error is taken to be as large.

    Args: see ``actual.actual``.

    Raises:
        ValueError: a reading is of something that the bar has not, or has not yet.
    """
    kept = list(range(len(readings)))
    doubts: list[Doubt] = []
    while True:
        whole = actual(bar, intended, scatter, made, [readings[place] for place in kept])
        odd = [place for place in kept if _nearly_away(whole, readings[place]) > _LOOKED_AT]
        found = [doubted(bar, intended, scatter, made, readings, kept, place, whole.errors) for place in odd]
        wider = _widened(scatter, [doubt for doubt in found if doubt is not None and doubt.reading.sure])
        if wider is not None:
            scatter = wider
            continue
        out = [doubt for doubt in found if doubt is not None and doubt.left_out]
        if not out:
            doubts += [doubt for doubt in found if doubt is not None]
            return whole, tuple(sorted(doubts, key=lambda doubt: -doubt.away))
        # Of two that contradict one another, the one without which all the others go together.
        worst = min(out, key=lambda doubt: doubt.rest)
        kept.remove(worst.place)
        doubts.append(worst)


def _widened(scatter: Scatter, sure: Sequence[Doubt]) -> Scatter | None:
    """The scatter with the errors of bends that are known to have gone wrong as wide as that; None for no change."""
    own = scatter.own.copy()
    for doubt in sure:
        k, kind = doubt.reading.number - 1, doubt.reading.kind
        if kind not in _OWN_ROWS:
            continue
        rows = [3 * k + _OWN_ROWS[kind]]
        if kind == "rotation":  # turned from whichever of the two was made first
            rows.append(rows[0] - 3)
        for row in rows:
            size = float(np.abs(own[row]).max())
            if size > 0.0:
                own[row] *= max(1.0, abs(doubt.reading.value - doubt.foretold) / size)
                break
    return None if np.allclose(own, scatter.own) else replace(scatter, own=own)


_OWN_ROWS = {"angle": 0, "position": 1, "begins": 1, "rotation": 2}
"""Place of each error among the three of a bend, see ``scatter.OWN_ERRORS``."""


def _nearly_away(whole: Actual, reading: Reading) -> float:
    """By how many standard deviations a reading lies off what all others say, were the model straight.

    Its own residual over the root of one less its leverage (any textbook of regression: deleted residuals).
    """
    value, sd = whole.foretold(reading)
    leverage = min(1.0 - 1e-9, (sd / reading.spread) ** 2)
    return abs(reading.value - value) / reading.spread / math.sqrt(1.0 - leverage)


def doubted(
    bar: Bar,
    intended: Floats,
    scatter: Scatter,
    made: Sequence[int],
    readings: Sequence[Reading],
    kept: Sequence[int],
    place: int,
    start: Floats | None = None,
) -> Doubt | None:
    """Return what is odd about one reading, seen from the others that are kept; None where nothing is."""
    reading = readings[place]
    others = actual(bar, intended, scatter, made, [readings[k] for k in kept if k != place], start)
    value, sd = others.foretold(reading)
    whole = math.hypot(sd, reading.spread)
    away = abs(reading.value - value) / whole
    if away < _SUSPECTED:
        return None
    if reading.kind == "rotation":
        value = value - 360.0 * round((value - reading.value) / 360.0)
    weighed: list[tuple[float | None, Cause, float]] = []
    for cause, meant in [("as read", reading.value), *otherwise_read(reading)]:
        weighed.append((meant, cause, _BEFORE[cause] * _density(meant - value, whole)))
    weighed.append((None, "something else", _BEFORE["something else"] / _ROOM))
    total = sum(weight for _, _, weight in weighed)
    told = tuple(
        Other(meant, cause, weight / total)
        for meant, cause, weight in sorted(weighed, key=lambda one: -one[2])
        if weight / total > _FEWEST or cause == "as read"
    )
    as_read = next(other.chance for other in told if other.cause == "as read")
    return Doubt(reading, place, value, whole, away, told, as_read < 0.5 and not reading.sure, others.cost)


def _density(away: float, sd: float) -> float:
    return math.exp(-0.5 * (away / sd) ** 2) / (sd * math.sqrt(2.0 * math.pi))


def otherwise_read(reading: Reading) -> Iterator[tuple[Cause, float]]:
    """Yield what a reading may have been meant to be; the same value comes once for each cause."""
    value = reading.value + reading.more
    text = f"{abs(value):g}"
    sign = -1.0 if value < 0.0 else 1.0
    seen: set[float] = {value}

    def told(cause: Cause, values: Sequence[float]) -> Iterator[tuple[Cause, float]]:
        for one in values:
            if one not in seen and math.isfinite(one):
                seen.add(one)
                yield cause, one - reading.more

    turned = reading.kind in ("angle", "rotation")
    if turned:
        yield from told("the other side of the gauge", [sign * (180.0 - abs(value))])
    yield from told("digits swapped", [sign * one for one in _swapped(text)])
    if reading.kind in ("rotation", "gap", "sideways", "upwards"):
        yield from told("the wrong sign", [-value])
    if turned:
        yield from told("misread by 5 or 10", [value + 10.0, value - 10.0, value + 5.0, value - 5.0])
    else:
        yield from told("inches for mm", [value * _INCH])
        yield from told("mm for inches", [value / _INCH])
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


def settled(reading: Reading, doubt: Doubt) -> Reading:
    """Return the reading as it was probably meant; the same where nothing likelier is known."""
    return reading if doubt.meant is None else replace(reading, value=doubt.meant)
