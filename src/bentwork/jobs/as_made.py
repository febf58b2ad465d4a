"""A bar as it is believed to be, from everything that was logged on it in the order in which it was logged.

What was meant for a bend is in the log as mark, pull and turn. Where the log is older than that, or somebody left it
out, it is told again as it was told then, from what had been logged before it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.after_correction import after_correction
from bentwork.fitup.by_hand import SoFar
from bentwork.fitup.doubted import Doubt, judged
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, Floats
from bentwork.fitup.mend import Correction, Onward
from bentwork.fitup.readings import USUAL_SD, Reading
from bentwork.fitup.scatter import Scatter
from bentwork.jobs.fitting import Fitting, left_by
from bentwork.jobs.kept import Kept
from bentwork.jobs.measured import MadeBend, Measured, MeasuredSize
from bentwork.jobs.sizes import reading_of
from bentwork.piece.bend import half_turn

__all__ = ["AsMade", "Questioned", "Told", "as_made"]

_BY_HAND = 3.0
"""Standard deviations: what is measured again and found nearer than this to what was believed was not set by hand,
unless that was told."""

_DONE_AS_TOLD = 9.0
"""Odds that who logs a bend again, after being told to set or wring it, has done so. Ours, no source. A finder tells
badly whether a straight was wrung by a degree or two: taken as not done it is told once more, and the bar is spoilt."""

_LISTS = ("made", "entries", "sizes", "set_by", "set_times", "wrung_by")

_SAME = 0.8  # degrees
_SAME_TURN = 30.0  # degrees


@dataclass(frozen=True, slots=True)
class Told:
    """What was told before an entry: the bends to come, what to set by hand first, and rotations to measure first."""

    onward: tuple[Onward, ...]
    correct: tuple[Correction, ...]
    rotations: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Questioned:
    """A reading that does not go with the others, and the entry that it came with."""

    entry: Measured
    doubt: Doubt


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
    doubts: tuple[Questioned, ...]
    made: tuple[int, ...]
    so_far: SoFar
    meant: Floats
    wrings: bool = True


@dataclass
class _Story:
    """A bar, entry by entry.

    ``turned`` is which bends were made when the rotation of a bend was read: it is that against the nearest of them.
    ``to_set`` is what was told to be set by hand and is not logged yet: a maker sets several bends and measures then.
    """

    fitting: Fitting
    meant: Floats
    scatter: Scatter
    made: list[int] = field(default_factory=list)
    entries: list[MadeBend] = field(default_factory=list)
    turned: dict[int, frozenset[int]] = field(default_factory=dict)
    sizes: list[tuple[MeasuredSize, frozenset[int]]] = field(default_factory=list)
    set_by: list[float] = field(default_factory=list)
    set_times: list[int] = field(default_factory=list)
    wrung_by: list[float] = field(default_factory=list)
    wrings: bool = True
    to_set: tuple[Correction, ...] = ()
    known: tuple[Actual, tuple[Questioned, ...]] | None = None

    @classmethod
    def begun(cls, fitting: Fitting) -> _Story:
        nothing, never = [0.0] * fitting.bar.bends, [0] * fitting.bar.bends
        return cls(
            fitting,
            fitting.start,
            fitting.scatter,
            set_by=nothing,
            set_times=never,
            wrung_by=nothing,
        ).copied()

    def copied(self) -> _Story:
        story = replace(self, meant=self.meant.copy(), turned=dict(self.turned))
        for one in _LISTS:
            setattr(story, one, list(getattr(self, one)))
        return story

    def found(self) -> tuple[Actual, tuple[Questioned, ...]]:
        if self.known is None:
            self.known = self._found()
        return self.known

    def _found(self) -> tuple[Actual, tuple[Questioned, ...]]:
        readings: list[tuple[Measured, Reading]] = []
        for entry in self.entries:
            readings += [(entry, one) for one in self._readings(entry)]
        for size, made in self.sizes:
            read = reading_of(size, self.fitting, sorted(made))
            readings += [] if read is None else [(size, replace(read, made=made))]
        found, doubts = judged(self.fitting.bar, self.meant, self.scatter, self.made, [one for _, one in readings])
        return found, tuple(Questioned(readings[doubt.place][0], doubt) for doubt in doubts)

    def _readings(self, entry: MadeBend) -> list[Reading]:
        k = entry.bend - 1
        found = [Reading("angle", entry.angle, entry.bend, sd=entry.angle_sd, sure=entry.sure)]
        beside = self.turned.get(entry.bend, frozenset())
        if entry.rotation is not None and any(bend <= k for bend in beside):
            found.append(
                Reading("rotation", entry.rotation, entry.bend, sd=entry.angle_sd, sure=entry.sure, made=beside)
            )
        if entry.position is not None:
            plan = self.fitting.plan
            trim, mark = plan.spec.trim, next(one.start for one in plan.marks if one.bend == entry.bend)
            found.append(
                Reading(
                    "begins",
                    entry.position - trim,
                    entry.bend,
                    sd=entry.position_sd,
                    sure=entry.sure,
                    more=trim,
                    mark=mark - trim,
                    units=self.fitting.units,
                )
            )
        return found


_stories: Kept[_Story] = Kept(256)
"""By bar and log: what was told before an entry follows from the two."""


def as_made(fitting: Fitting, logged: Sequence[Measured], told: Callable[[Sequence[Measured]], Told | None]) -> AsMade:
    """Return what a bar is believed to be.

    Args:
        fitting: the bar, before it was bent.
        logged: everything that was measured on it, oldest first.
        told: what was told when so much had been logged; None where it was the plan.
    """
    logged = tuple(logged)
    kept = next((n for n in range(len(logged), 0, -1) if _stories.has((fitting, logged[:n]))), 0)
    story = _stories.of((fitting, logged[:kept]), lambda _: _Story.begun(fitting))
    for number in range(kept, len(logged)):
        story = story.copied()
        _taken_in(story, logged, number, told)
        story.known = None
        made_so = story
        _stories.of((fitting, logged[: number + 1]), lambda _, made_so=made_so: made_so)  # type: ignore[misc]
    found, doubts = story.found()
    so_far = SoFar(tuple(story.set_by), tuple(story.set_times), tuple(story.wrung_by))
    return AsMade(found, doubts, tuple(story.made), so_far, story.meant, story.wrings)


def _taken_in(
    story: _Story, logged: Sequence[Measured], number: int, told: Callable[[Sequence[Measured]], Told | None]
) -> None:
    """Take in one entry more."""
    entry = logged[number]
    if not isinstance(entry, MadeBend):
        story.sizes.append((entry, frozenset(story.made)))
        story.to_set = ()
    elif entry.bend not in story.made:
        advice = told(logged[:number]) if story.made else None
        if advice is not None and any(one.what == "wring" for one in advice.correct):
            story.wrings = False
        _bent(story, entry, advice)
        story.to_set = ()
    else:
        now = told(logged[:number])
        before = [(one.what, one.bend) for one in story.to_set]
        fresh = () if now is None else now.correct
        story.to_set = (*story.to_set, *(one for one in fresh if (one.what, one.bend) not in before))
        _again(story, entry, asked=now is not None and entry.bend in now.rotations)
        story.to_set = tuple(one for one in story.to_set if one.bend != entry.bend)


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
    if entry.mark is not None:
        story.meant[PLACE, k] = story.fitting.place(entry.bend, entry.mark)
    if entry.turn is not None and story.made:
        turned = story.meant[DIRECTION, story.made[-1] - 1] - entry.turn
        # After an entry was struck out and made anew the step before is another one: then the turn was not from there.
        if abs(half_turn(float(turned - story.meant[DIRECTION, k]))) < _SAME_TURN:
            story.meant[DIRECTION, k] += half_turn(float(turned - story.meant[DIRECTION, k]))
    story.made.append(entry.bend)
    story.turned[entry.bend] = frozenset(story.made)
    story.entries.append(entry)


def _again(story: _Story, entry: MadeBend, *, asked: bool) -> None:
    """A bend was measured again: because it or the straight before it was set by hand, or only to make sure.

    Where its rotation was asked for, that may as well have been read before anything was set.
    """
    before, doubts = story.found()
    k = entry.bend - 1
    answer = _answered(story, entry, doubts)
    if answer is not None:
        _replaced(story, answer)
        return
    done: list[Correction] = []
    believed = float(before.values[ANGLE, k])
    odds = 1.0 if asked else _DONE_AS_TOLD
    unsure = math.hypot(float(before.sd[ANGLE, k]), entry.angle_sd or USUAL_SD["angle"])
    turned = _by_hand(entry.angle - believed, _advised(story, "set", entry.bend), unsure, odds)
    if turned:
        # However wrong the entry is, a bend stays a bend.
        done.append(Correction("set", entry.bend, max(turned, 1.0 - believed)))
        story.set_by[k] += abs(turned)
        story.set_times[k] += 1
    wrung = _advised(story, "wring", entry.bend)
    made = frozenset(story.made)
    if entry.rotation is not None and min(made) <= k:
        reading = Reading("rotation", entry.rotation, entry.bend, sd=entry.angle_sd, made=made)
        value, sd = before.foretold(reading)
        wrung = _by_hand(half_turn(entry.rotation - value), wrung, math.hypot(sd, reading.spread), odds)
    elif _advised(story, "set", entry.bend):
        wrung = 0.0  # measured again for what else was told
    if wrung:
        done.append(Correction("wring", entry.bend, wrung))
        story.wrung_by[k] += abs(wrung)
    if not done:
        _replaced(story, entry)
        return
    story.scatter = after_correction(before, done, story.fitting.by_hand, last=story.made[-1])
    story.entries, story.sizes, story.turned = [replace(entry, position=None)], [], {entry.bend: made}


def _answered(story: _Story, entry: MadeBend, doubts: Sequence[Questioned]) -> MadeBend | None:
    """An entry that tells anew what was in doubt; None for any other. Nothing was done to the bar meanwhile."""
    before = _entry_of(story, entry.bend)
    if before is None:
        return None
    if entry.sure and abs(before.angle - entry.angle) < _SAME:
        return entry
    for odd in (one.doubt.reading for one in doubts if one.doubt.left_out and one.doubt.reading.number == entry.bend):
        again = {"angle": entry.angle, "rotation": entry.rotation, "begins": entry.position}.get(odd.kind)
        if again is not None:
            # What is read twice is no slip of the finger: then the bend is what went wrong.
            change = again - odd.value - odd.more
            change = change if odd.kind == "begins" else half_turn(change)
            twice = abs(change) < _BY_HAND * math.sqrt(2.0) * odd.spread
            return replace(entry, sure=entry.sure or twice)
    return None


def _entry_of(story: _Story, bend: int) -> MadeBend | None:
    return next((one for one in story.entries if one.bend == bend), None)


def _replaced(story: _Story, entry: MadeBend) -> None:
    """The new reading stands for the old one; what was not read again stands as it was."""
    old = _entry_of(story, entry.bend)
    if entry.rotation is not None or old is None or old.rotation is None:
        story.turned[entry.bend] = frozenset(story.made)
    if old is not None:
        entry = replace(
            entry,
            rotation=old.rotation if entry.rotation is None else entry.rotation,
            position=old.position if entry.position is None else entry.position,
        )
    story.entries = [one for one in story.entries if one is not old] + [entry]


def _advised(story: _Story, what: str, bend: int) -> float:
    return next((one.by for one in story.to_set if (one.what, one.bend) == (what, bend)), 0.0)


def _by_hand(change: float, advised: float, sd: float, odds: float) -> float:
    """By how much something was set by hand that is found changed by so much; 0 where it was only measured again.

    What was told is taken as done unless the reading makes that less likely than not (odds times the ratio of the two
    normal densities).
    """
    if advised:
        nearer = (change**2 - (change - advised) ** 2) / (2.0 * sd**2)
        return advised if nearer + math.log(odds) > 0.0 else 0.0
    return change if abs(change) > _BY_HAND * sd else 0.0


def as_bar(made: AsMade) -> Floats:
    """Return the likeliest unknowns of a bar, straight where it is not bent yet, shape (5, n)."""
    values = made.found.values.copy()
    values[ANGLE] = np.where(made.found.made, values[ANGLE], 0.0)
    return values
