"""Readings that do not go with the others, and what may have happened: did you mean 89 or 98?"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bentwork.fitup.actual import Actual, actual
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.readings import Reading
from bentwork.fitup.scatter import Scatter
from bentwork.fitup.slips import HOW_OFTEN, Cause, otherwise_read

__all__ = ["Doubt", "Other", "doubted", "judged", "settled", "towards"]

_SUSPECTED = 3.0
_LOOKED_AT = 2.5  # by straight lines; what is nearer is not looked at again without itself
_ROOM = 200.0  # degrees or mm over which something else may lie
_ON_IT = 0.05  # mm: it is told to a tenth
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

        def shown(value: float) -> str:
            if one.mark is not None:
                return towards(value - one.mark, length)
            return f"{round(value, 2):g}" if turned else length(value + one.more)

        spots = f" from {one.spots[0].name} to {one.spots[1].name}" if len(one.spots) == 2 else ""
        said = f"{one.kind.capitalize()}{spots} {shown(one.value)}"
        if one.mark is not None:
            said = f"Bend {one.number}: {towards(one.value - one.mark, length, ' off its mark')}"
        elif one.number:
            what = "Leg" if one.kind == "leg" else f"Bend {one.number}: {_SAID.get(one.kind, one.kind)}"
            said = f"{what} {shown(one.value)}"
        said += f" does not go with the rest, which say {shown(round(self.foretold, 1) if turned else self.foretold)}"
        if self.meant is not None:
            return f"{said}. Did you mean {shown(self.meant)} ({self.others[0].cause})?"
        return f"{said}. Measure it again."


def towards(off: float, length: Callable[[float], str], what: str = "") -> str:
    """Return how far off its mark a bend came out: ``2.5 mm towards end B``; below 0 it is towards end A.

    Args:
        off: mm.
        length: how a length in mm is written where this is read.
        what: that stands behind the length.
    """
    way = "" if abs(off) < _ON_IT else f" towards end {'B' if off > 0.0 else 'A'}"
    return f"{length(abs(off))}{what}{way}"


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
        weighed.append((meant, cause, HOW_OFTEN[cause] * _density(meant - value, whole)))
    weighed.append((None, "something else", HOW_OFTEN["something else"] / _ROOM))
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


def settled(reading: Reading, doubt: Doubt) -> Reading:
    """Return the reading as it was probably meant; the same where nothing likelier is known."""
    return reading if doubt.meant is None else replace(reading, value=doubt.meant)
