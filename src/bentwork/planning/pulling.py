"""Bar and tool while a bend is pulled, opens, is put on and lifted off: where everything is at one moment.

The bar has two sides that keep their shape and a bend between them that grows. Everything moves in the plane of the
die, so that a place is x, y and a turn about the die's axis (left-hand form, as ``clearance`` has it; mm, degrees). How
the sides move is asked of ``clearance.motion``; here only the metal between them is laid along them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.kinds import cases_for, ways_off
from bentwork.clearance.motion import placed, stroke
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.piece.bend import Bend, half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline, chords_for
from bentwork.space import Pose, Vec, rotate, unit
from bentwork.tooling.bender import Bender

__all__ = ["Moment", "Pulling", "When"]

Array = NDArray[np.float64]
When = Literal["put on", "bending", "opening", "lifted off"]
_AXIS = (0.0, 0.0, 1.0)
_OUT = (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Moment:
    """One moment of a step.

    Args:
        when: being put on, on the way up, springing back, or being lifted off.
        angle: of the bend, degrees.
        away: how far the bar is from where it lies in the die, mm; above 0 only while it is put on or lifted off.
        way: in which it is taken there: ``up`` along the die's axis, ``aside`` out of its open side.
    """

    when: When
    angle: float
    away: float = 0.0
    way: str = "up"

    @property
    def pulled(self) -> bool:
        """Whether the bend was pulled all the way, so that it opens or has opened."""
        return self.when in ("opening", "lifted off")


@dataclass(frozen=True)
class Pulling:
    """One bend of a bar on a bender.

    Args:
        piece: the bar.
        bender: that bends it.
        bend: number of the bend, from 0.
        held: the end on whose side the bar is held.
        made: numbers of the bends made before, from 0.
    """

    piece: Workpiece
    bender: Bender
    bend: int
    held: End
    made: frozenset[int]

    @property
    def settings(self) -> Array:
        """What the motion depends on, see ``clearance.motion``."""
        return self.piece.settings(self.bend, self.bender)

    @property
    def pushed(self) -> bool:
        """Whether a former is pushed between two rollers, so that both sides move."""
        return self.bender.kind in ("ram", "vee")

    @property
    def pull(self) -> float:
        """Angle pulled to, degrees."""
        return math.degrees(self.piece.pulls[self.bend])

    @property
    def wanted(self) -> float:
        """Angle that shall be left, degrees."""
        return math.degrees(self.piece.angles[self.bend])

    def over(self, side: str) -> float:
        """Return how much of the straight beside the bend is wrapped as well when pulled further than wanted, mm."""
        more = max(0.0, self.bender.radius * self.piece.pulls[self.bend] - self.piece.arcs[self.bend])
        share = 0.5 if self.pushed else 0.0 if side == "held" else 1.0
        first, _, _ = self.beyond(side)
        return min(share * more, first)

    @property
    def length(self) -> float:
        """Length of bar between the two sides, mm: all that is ever on the die, and what of the bend is not."""
        return self.piece.arcs[self.bend] + self.over("held") + self.over("free")

    def stations(self, chord_error: float) -> Array:
        """Return places along the bar between the two sides, mm from the held one; chords keep this error."""
        count = 2 * chords_for(self.bender.radius, self.length / self.bender.radius, chord_error)
        return np.linspace(0.0, self.length, count + 1)

    def side(self, side: str) -> Centreline:
        """Return a side of the bar outward from the bend, the bends made in it; in that side's own frame.

        Origin where ``stations`` begin or end, x outward, y towards the inside of the bend, z the axis. The held side
        looks the other way: in the room it is turned by half a turn about y.
        """
        first, bends, made = self.beyond(side)
        straights, found = [first - self.over(side)], []
        direction: float | None = None
        start = 0.0
        for (arc, radius, angle, points_to, after), is_made in zip(bends, made, strict=True):
            if is_made:
                rotation = 0.0 if direction is None else math.degrees(points_to - direction)
                start = math.degrees(points_to) if direction is None else start
                found.append(Bend(float(radius), math.degrees(angle), half_turn(rotation)))
                straights.append(float(after))
                direction = float(points_to)
            else:
                straights[-1] += float(arc + after)
        table = BendTable(tuple(straights), tuple(found))
        return Centreline(table, Pose((0.0, 0.0, 0.0), _OUT, rotate(_AXIS, _OUT, start)))

    def first_bend_turns_to(self, side: str) -> Vec:
        """Return where the first bend of the piece turns to, as a unit vector in a side's own frame at its start."""
        from_a = (self.held == "A") == (side == "free")
        along = _OUT if from_a else (-1.0, 0.0, 0.0)
        return unit(rotate((0.0, 1.0, 0.0), along, -math.degrees(self.piece.directions[self.bend])))

    def at(self, moment: Moment, stations: Array) -> Array:
        """Return x, y and turn (n, 3) of the bar at places between its sides; the sides hang on the first and the last.

        ``away`` is not in it, see ``lift``.
        """
        t = math.radians(moment.angle)
        x, y, heading = self._held(t, opening=moment.pulled)
        back = self.over("held")
        x, y = x - back * math.cos(heading), y - back * math.sin(heading)
        wrapped, lead = self._wrapped(moment), self.left("held", moment)
        on_die = np.clip(stations - lead, 0.0, wrapped)
        straight = stations - on_die
        if wrapped <= 0.0:
            return np.column_stack([x + stations, np.full_like(stations, y), np.zeros_like(stations)])
        radius = wrapped / t
        turned = on_die / radius
        before, after = np.minimum(straight, lead), np.maximum(0.0, straight - lead)
        along = before + radius * np.sin(turned) + after * math.cos(t)
        aside = radius * (1.0 - np.cos(turned)) + after * math.sin(t)
        c, s = math.cos(heading), math.sin(heading)
        return np.column_stack([x + c * along - s * aside, y + s * along + c * aside, np.degrees(heading + turned)])

    def tool(self, station: int, moment: Moment) -> tuple[float, float, float]:
        """Return x, y and turn of what moves with the die (station 0) or with the arm (1)."""
        if self.bender.kind == "wrap":
            return (0.0, 0.0, moment.angle if station == 1 else 0.0)
        if station == 1:
            return (0.0, 0.0, 0.0)
        if self.bender.kind == "draw":
            return (0.0, 0.0, -moment.angle)
        held = self.pull if moment.pulled else moment.angle
        return (0.0, -stroke(math.radians(held) / 2.0, self.settings), 0.0)

    def left(self, side: str, moment: Moment) -> float:
        """Return how much straight bar lies between the die and where a side begins, mm."""
        if side == "held" and not self.pushed:
            return 0.0
        return max(0.0, (0.5 if self.pushed else 1.0) * (self.length - self._wrapped(moment)))

    def lift(self, moment: Moment) -> Vec:
        """Return how far the bar is from the die while it is put on or lifted off, mm."""
        x, y, z = self.way(moment.way, moment.when)
        return (x * moment.away, y * moment.away, z * moment.away)

    def way(self, name: str, when: When) -> Vec:
        """Return the direction in which the bar is taken out of the die, in the room; ``up`` where not known."""
        turned = math.radians(self.wanted if when == "lifted off" else 0.0)
        found = ways_off(self.bender.kind, "free", turned)
        x, y, z = found.get(name, found["up"])[self.room]
        return (float(x), float(y), float(z))

    @property
    def room(self) -> int:
        """The station that stands in the room: a fixed die's, or the arm's where the die turns or is pushed."""
        return 0 if self.bender.kind == "wrap" else 1

    def _wrapped(self, moment: Moment) -> float:
        """Length of bar that lies, or lay, on the die, mm."""
        return self.bender.radius * math.radians(self.pull if moment.pulled else moment.angle)

    def _held(self, t: float, *, opening: bool) -> tuple[float, float, float]:
        """Where the held side begins, and the heading of the bar there towards the free side, radians."""
        cases = cases_for(self.bender.kind, "held")
        case = (cases.let_go if opening else cases.bending)[self.room]
        c, s, x, y, _, _ = placed(int(case), t, self.settings)
        heading = -math.atan2(s, c)
        return -x, y, heading if heading <= 0.0 else heading - 2.0 * math.pi  # a turning die may go past half a turn

    def beyond(self, side: str) -> tuple[float, Array, NDArray[np.int64]]:
        """Return of a side the straight beside the bend, its bends outward, and which are made.

        The bends as in ``clearance.sides``, (m, 5).
        """
        end: End = self.held if side == "held" else "B" if self.held == "A" else "A"
        first, bends = self.piece.side(self.bend, end)
        numbers = range(self.bend - 1, -1, -1) if end == "A" else range(self.bend + 1, self.piece.bends)
        return float(first), bends, np.array([number in self.made for number in numbers], dtype=np.int64)
