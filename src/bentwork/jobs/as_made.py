"""A bar as it is believed to be, from everything that was logged on it in the order in which it was logged.

What was meant for a bend is not in the log: it is told again as it was told then, from what had been logged before it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import count as counting

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.after_correction import after_correction
from bentwork.fitup.by_hand import SoFar
from bentwork.fitup.doubted import Doubt, judged
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Floats
from bentwork.fitup.mend import Correction, Onward
from bentwork.fitup.readings import Reading
from bentwork.fitup.scatter import Scatter
from bentwork.jobs.bench import MadeBend, Measured
from bentwork.jobs.fitting import Fitting, left_by
from bentwork.jobs.sizes import reading_of
from bentwork.piece.bend import half_turn

__all__ = ["AsMade", "Told", "as_made"]

_BY_HAND = 0.8
"""Degrees: a bend that is measured again and found nearer than this to what was believed was not set by hand."""

_WRUNG = 1.5  # degrees of rotation, likewise


@dataclass(frozen=True, slots=True)
class Told:
    """What was told before an entry: the bends to come, and what to set by hand first."""

    onward: tuple[Onward, ...]
    correct: tuple[Correction, ...]


@dataclass(frozen=True, slots=True, eq=False)
class AsMade:
    """A bar as it is believed to be.

    Args:
        found: likeliest unknowns and how sure they are.
        doubts: readings that do not go with the others.
        made: numbers of the bends made, in their order.
        so_far: what was done by hand.
        meant: what was meant for each bend that is made, shape (5, n).
        wrings: False once the maker went on without wringing a straight when told to: not everybody can.
    """

    found: Actual
    doubts: tuple[Doubt, ...]
    made: tuple[int, ...]
    so_far: SoFar
    meant: Floats
    wrings: bool = True


@dataclass
class _Story:
    fitting: Fitting
    meant: Floats
    scatter: Scatter
    made: list[int] = field(default_factory=list)
    entries: list[Measured] = field(default_factory=list)
    set_by: list[float] = field(default_factory=list)
    set_times: list[int] = field(default_factory=list)
    wrung_by: list[float] = field(default_factory=list)
    wrung_times: list[int] = field(default_factory=list)
    wrings: bool = True

    def found(self) -> tuple[Actual, tuple[Doubt, ...]]:
        readings = [one for entry in self.entries for one in self._readings(entry)]
        return judged(self.fitting.bar, self.meant, self.scatter, self.made, readings)

    def _readings(self, entry: Measured) -> list[Reading]:
        if not isinstance(entry, MadeBend):
            one = reading_of(entry, self.fitting, self.made)
            return [] if one is None else [one]
        k = entry.bend - 1
        found = [Reading("angle", entry.angle, entry.bend, sd=entry.angle_sd)]
        if entry.rotation is not None and k and k in self.made:
            found.append(Reading("rotation", entry.rotation, entry.bend, sd=entry.angle_sd))
        if entry.position is not None:
            bar = self.fitting.bar
            used = float(bar.with_values(self.meant).used[k])
            place = entry.position - self.fitting.plan.spec.trim + float(bar.shares[k]) * used
            found.append(Reading("position", place, entry.bend, sd=entry.position_sd))
        return found


def as_made(fitting: Fitting, logged: Sequence[Measured], told: Callable[[Sequence[Measured]], Told | None]) -> AsMade:
    """Return what a bar is believed to be.

    Args:
        fitting: the bar, before it was bent.
        logged: everything that was measured on it, oldest first.
        told: what was told when so much had been logged; None where it was the plan.
    """
    bends = fitting.bar.bends
    story = _Story(
        fitting,
        fitting.start.copy(),
        fitting.scatter,
        set_by=[0.0] * bends,
        set_times=[0] * bends,
        wrung_by=[0.0] * bends,
        wrung_times=[0] * bends,
    )
    for number, entry in zip(counting(), logged, strict=False):
        if not isinstance(entry, MadeBend):
            story.entries.append(entry)
        elif entry.bend not in story.made:
            advice = told(logged[:number]) if story.made else None
            if advice is not None and any(one.what == "wring" for one in advice.correct):
                story.wrings = False
            _bent(story, entry, advice)
        else:
            _again(story, entry, told(logged[:number]))
    found, doubts = story.found()
    so_far = SoFar(tuple(story.set_by), tuple(story.set_times), tuple(story.wrung_by), tuple(story.wrung_times))
    return AsMade(found, doubts, tuple(story.made), so_far, story.meant, story.wrings)


def _bent(story: _Story, entry: MadeBend, told: Told | None) -> None:
    """A bend was made: by what was told, or by the plan where its pull is the plan's."""
    k, what = entry.bend - 1, story.fitting.what
    one = next((one for one in told.onward if one.bend == entry.bend), None) if told else None
    drawn = float(story.fitting.bar.values[ANGLE, k])
    by_plan = entry.pulled is not None and (
        one is None or abs(entry.pulled - what.bend_to(drawn)) < abs(entry.pulled - what.bend_to(one.aim_angle))
    )
    if one is not None and not by_plan:
        story.meant[[ANGLE, DIRECTION, PLACE], k] = one.aim_angle, one.aim_direction, one.aim_place
    elif story.made:
        # By the plan, too, the bar is turned from where it was for the bend before.
        last, values = story.made[-1] - 1, story.fitting.bar.values
        story.meant[DIRECTION, k] = story.meant[DIRECTION, last] + values[DIRECTION, k] - values[DIRECTION, last]
    if entry.pulled is not None:
        story.meant[ANGLE, k] = left_by(what, entry.pulled)
    story.made.append(entry.bend)
    story.entries.append(entry)


def _again(story: _Story, entry: MadeBend, told: Told | None) -> None:
    """A bend was measured again: because it or the straight before it was set by hand, or only to make sure."""
    before, _ = story.found()
    k = entry.bend - 1
    done: list[Correction] = []
    believed = float(before.values[ANGLE, k])
    turned = _by_hand(entry.angle - believed, _advised(told, "set", entry.bend), _BY_HAND)
    if turned:
        # However wrong the entry is, a bend stays a bend.
        done.append(Correction("set", entry.bend, max(turned, 1.0 - believed)))
        story.set_by[k] += abs(turned)
        story.set_times[k] += 1
    wrung = _advised(told, "wring", entry.bend)
    if entry.rotation is not None and k and k in story.made:
        rotation = half_turn(entry.rotation - float(before.values[DIRECTION, k] - before.values[DIRECTION, k - 1]))
        wrung = _by_hand(rotation, wrung, _WRUNG)
    elif _advised(told, "set", entry.bend):
        wrung = 0.0  # measured again for what else was told
    if wrung:
        done.append(Correction("wring", entry.bend, wrung))
        story.wrung_by[k] += abs(wrung)
        story.wrung_times[k] += 1
    if not done:
        story.entries = [one for one in story.entries if not (isinstance(one, MadeBend) and one.bend == entry.bend)] + [
            entry
        ]
        return
    story.scatter = after_correction(before, done, story.fitting.by_hand, last=story.made[-1])
    story.entries = [replace(entry, position=None)]


def _advised(told: Told | None, what: str, bend: int) -> float:
    corrections = () if told is None else told.correct
    return next((one.by for one in corrections if (one.what, one.bend) == (what, bend)), 0.0)


def _by_hand(change: float, advised: float, least: float) -> float:
    """By how much something was set by hand that is found changed by so much; 0 where it was only measured again."""
    if advised:
        return advised if abs(change - advised) < abs(change) else 0.0
    return change if abs(change) > least else 0.0


def as_bar(made: AsMade) -> Floats:
    """Return the likeliest unknowns of a bar, straight where it is not bent yet, shape (5, n)."""
    values = made.found.values.copy()
    values[ANGLE] = np.where(made.found.made, values[ANGLE], 0.0)
    return values
