"""What can still be done to a bar: bends that are left to make, bends made that can be set by hand, straights wrung.

A bend that is set by hand keeps its bar: its radius gives what its angle takes. A straight that is wrung turns all made
bends behind it. Bends still to be made are put where they are wanted in the end, so that nothing carries over to them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from bentwork.fitup.made import ANGLE, DIRECTION, KINDS, PLACE, RADIUS, STRETCH, Bar, Floats

__all__ = ["Control", "Controls", "Limits", "Needed", "What", "controls_for", "straights_of"]

What = Literal["angle", "direction", "place", "set by hand", "wrung", "end B"]
_KIND = {"angle": ANGLE, "direction": DIRECTION, "place": PLACE, "set by hand": ANGLE}


@dataclass(frozen=True, slots=True)
class Needed:
    """Shortest straights that must be left, mm: at each end, and between two bends."""

    end: float = 0.0
    between: float = 0.0


@dataclass(frozen=True, slots=True)
class Limits:
    """How far the work may leave the drawing. Angles in degrees, lengths in mm.

    The figures for work by hand are common practice, no source: soft bar can be set by a few degrees once or twice, and
    wrung over a long straight; hard tempers crack, see ``set_by_hand``.

    Args:
        angle: of a bend that is still to be made, either way.
        direction: likewise.
        place: likewise.
        least_angle: that the bender makes.
        most_angle: that the bender makes; None where nobody has said.
        needed: straights that must be left.
        set_by_hand: most by which a made bend may be set; 0: not at all.
        wrung: most by which a straight may be wrung at a go; 0: not at all.
        wrung_each: and in all, degrees for each mm of it.
        wrung_straight: shortest straight that can be wrung.
        longer: spare bar on end B that may be left on.
        shorter: most that may be cut off end B of the piece itself.
    """

    angle: float = 15.0
    direction: float = 20.0
    place: float = 25.0
    least_angle: float = 1.0
    most_angle: float | None = None
    needed: Needed = Needed()
    set_by_hand: float = 3.0
    wrung: float = 3.0
    wrung_each: float = 0.05
    wrung_straight: float = 80.0
    longer: float = 0.0
    shorter: float = 0.0


@dataclass(frozen=True, slots=True)
class Control:
    """One thing that can be done.

    Args:
        what: it is.
        bend: which bend, from 0; of ``wrung`` the bend behind the straight.
        low: least change from the state it starts from.
        high: most.
    """

    what: What
    bend: int
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Controls:
    """All things that can be done to bars in some state.

    Args:
        bar: as drawn.
        state: what the bars are believed to be, bends that are left as drawn, shape (5, n, m).
        made: which bends are made, shape (n,).
        all: the controls, p of them.
    """

    bar: Bar
    state: Floats
    made: tuple[bool, ...]
    all: tuple[Control, ...]
    low: Floats = field(init=False)
    high: Floats = field(init=False)
    _does: Floats = field(init=False)
    """What each control does to the unknowns, shape (5 n, p); a bend set by hand gives with its radius as well."""
    _set: tuple[int, ...] = field(init=False)
    """Which controls set a bend by hand."""
    _ends: tuple[int, ...] = field(init=False)
    """Which leave end B longer: one or none."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "low", np.array([one.low for one in self.all]))
        object.__setattr__(self, "high", np.array([one.high for one in self.all]))
        does = np.zeros((len(KINDS), len(self.made), len(self.all)))
        for k, control in enumerate(self.all):
            if control.what == "wrung":
                does[DIRECTION, control.bend :, k] = self.made[control.bend :]
            elif control.what != "end B":
                does[_KIND[control.what], control.bend, k] = 1.0
        object.__setattr__(self, "_does", does.reshape(does.shape[0] * does.shape[1], len(self.all)))
        for name, what in (("_set", "set by hand"), ("_ends", "end B")):
            object.__setattr__(self, name, tuple(k for k, one in enumerate(self.all) if one.what == what))

    @property
    def _bends_set(self) -> list[int]:
        return [self.all[k].bend for k in self._set]

    def apply(self, changes: Floats) -> tuple[Floats, Floats]:
        """Return the bars and how much longer they are left at end B, shapes (5, n, m) and (m,).

        Args:
            changes: shape (p, m).
        """
        values = self.state + (self._does @ changes).reshape(*self.state.shape[:2], changes.shape[1])
        if self._set:
            bends = self._bends_set
            values[RADIUS, bends] *= self.state[ANGLE, bends] / values[ANGLE, bends]
        return values, np.asarray(changes[list(self._ends)].sum(axis=0))

    def slopes(self, by: Floats, by_end: Floats, values: Floats) -> Floats:
        """Return slopes over the changes, shape (k, p, m), from those over the unknowns, shape (k, 5, n, m)."""
        found = self._does.T @ by.reshape(len(by), len(self._does), by.shape[3])
        if self._set:
            bends = self._bends_set
            found[:, list(self._set)] -= values[RADIUS, bends] / values[ANGLE, bends] * by[:, RADIUS, bends]
        for k in self._ends:
            found[:, k] = by_end
        return np.asarray(found)

    def only(self, whats: Sequence[What]) -> Controls:
        """Return these kinds alone."""
        return Controls(self.bar, self.state, self.made, tuple(one for one in self.all if one.what in whats))

    def within(self, whats: Sequence[What], most: float) -> Controls:
        """Return all, these kinds by no more than ``most``."""
        found = [
            replace(one, low=max(one.low, -most), high=min(one.high, most)) if one.what in whats else one
            for one in self.all
        ]
        return Controls(self.bar, self.state, self.made, tuple(found))

    def coarser(self, whats: Sequence[What], changes: Floats, least: float) -> Controls:
        """Return all, of these kinds what is done by less than ``least`` by that much, or not at all, as is nearer.

        Args:
            whats: the kinds.
            changes: by how much each is done, shape (p,).
            least: least by which one can be done.
        """
        found = []
        for one, change in zip(self.all, changes.tolist(), strict=True):
            if one.what not in whats or abs(change) >= least:
                found.append(one)
            elif change >= 0.5 * least and one.high >= least:
                found.append(replace(one, low=least))
            elif change <= -0.5 * least and one.low <= -least:
                found.append(replace(one, high=-least))
        return Controls(self.bar, self.state, self.made, tuple(found))

    def without(self, dropped: Sequence[Control]) -> Controls:
        """Return all but these."""
        return Controls(self.bar, self.state, self.made, tuple(one for one in self.all if one not in dropped))


def controls_for(
    bar: Bar,
    state: Floats,
    made: Sequence[int],
    limits: Limits,
    left: tuple[Sequence[float], Sequence[float]] | None = None,
) -> Controls:
    """Return what can be done.

    Args:
        bar: as drawn.
        state: shape (5, n, m); bends that are left as drawn, with the radius that they will have.
        made: numbers of the bends made, from 1.
        limits: how far the work may leave the drawing.
        left: for each bend, by how many degrees it may still be set by hand, and the straight before it be wrung; None
            for as much as the limits say.
    """
    have = set(made)
    done = tuple(k + 1 in have for k in range(bar.bends))
    straights = bar.straights.tolist()
    if left is None:
        wrung = [min(limits.wrung, limits.wrung_each * max(0.0, one)) for one in straights[:-1]]
        left = [limits.set_by_hand] * bar.bends, wrung
    sets, wrings = left
    found: list[Control] = []
    most = np.inf if limits.most_angle is None else limits.most_angle
    first = next((k for k, one in enumerate(done) if one), 0)
    angles = bar.values[ANGLE].tolist()
    for k in range(bar.bends):
        if done[k]:
            if sets[k] > 0.0:
                found.append(Control("set by hand", k, -sets[k], sets[k]))
            continue
        angle = angles[k]
        found.append(
            Control("angle", k, max(-limits.angle, limits.least_angle - angle), min(limits.angle, most - angle))
        )
        # Which way the first bend of all turns to is anybody's choice: it moves nothing that matters.
        if any(done) or k != first:
            found.append(Control("direction", k, -limits.direction, limits.direction))
        found.append(Control("place", k, -limits.place, limits.place))
    for k in range(1, bar.bends):
        if done[k] and any(done[:k]) and wrings[k] > 0.0 and straights[k] >= limits.wrung_straight:
            found.append(Control("wrung", k, -wrings[k], wrings[k]))
    if limits.longer > 0.0 or limits.shorter > 0.0:
        found.append(Control("end B", -1, -limits.shorter, limits.longer))
    return Controls(bar, state, done, tuple(found))


def straights_of(values: Floats, shares: Floats, length: Floats) -> Floats:
    """Return the straights before, between and after the bends, mm, shape (n + 1, m)."""
    used = values[RADIUS] * np.radians(values[ANGLE]) - values[STRETCH]
    starts = values[PLACE] - shares[:, np.newaxis] * used
    first = np.concatenate((np.zeros((1, used.shape[1])), starts + used))
    last = np.concatenate((starts, length[np.newaxis]))
    return np.asarray(last - first)
