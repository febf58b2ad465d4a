"""How near the frame comes to every keep-out, standing and under its loads, and how it goes through doors."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.findings import Finding
from bentwork.jobs.carried import Carried, frame_of
from bentwork.jobs.carried_seen import SeenBar, seen_bars
from bentwork.jobs.work import Result
from bentwork.parts.keep_out import KeepOut, Near, near_to
from bentwork.parts.keep_out_sides import Sides
from bentwork.parts.outline import outline_of
from bentwork.parts.passing import Passed, box_of, passed
from bentwork.piece.carried import carried as carried_along
from bentwork.piece.centreline import chords_for
from bentwork.stock.section import Round, Tube
from bentwork.tolerances import CHORD_ERROR

__all__ = [
    "Room",
    "RoomLeft",
    "WayThrough",
    "room_findings",
    "rooms_left",
    "sides_along",
    "turned_sides",
    "ways_through",
]

Floats = NDArray[np.float64]

_CORNERS = 24  # of the polygon round a round bar: 1 % of its half too far out at most


@dataclass(frozen=True, slots=True)
class Room:
    """The bar that comes nearest to a keep-out.

    Args:
        bar: name of it.
        piece: that it is a copy of.
        near: where, and how near.
        case: load case; None for the frame as drawn.
    """

    bar: str
    piece: str
    near: Near
    case: str | None = None


@dataclass(frozen=True, slots=True)
class RoomLeft:
    """How near the frame comes to a keep-out.

    Args:
        out: the keep-out.
        drawn: the bar that comes nearest as drawn.
        loaded: the one that comes nearest in any load case; None where no load was reckoned.
    """

    out: KeepOut
    drawn: Room
    loaded: Room | None

    @property
    def worst(self) -> Room:
        """The nearer of the two."""
        return self.loaded if self.loaded is not None and self.loaded.near.gap < self.drawn.near.gap else self.drawn


@dataclass(frozen=True, slots=True)
class WayThrough:
    """How the whole frame goes through an opening.

    Args:
        passed: the best way that was found.
        box: length, width and height of the frame as it stands, mm.
    """

    passed: Passed
    box: tuple[float, float, float]


def rooms_left(result: Result, loaded: Carried | None) -> tuple[RoomLeft, ...]:
    """Return how near the frame comes to every keep-out; nothing where no piece stands anywhere.

    A bar that is not round counts with its real sides, as they lie along it and as the load turns them.

    Args:
        result: of the job.
        loaded: what the frame carries; None where that is not reckoned.
    """
    bars, _ = frame_of(result)
    if not bars or not result.job.keepouts:
        return ()
    still = [_Stood(bar.name, bar.of, *sides_along(bar)) for bar in bars]
    moved = list(_moved(loaded, {bar.name: bar for bar in bars}))
    found = []
    for out in result.job.keepouts:
        drawn = min((one.room(out) for one in still), key=lambda one: one.near.gap)
        moving = min((one.room(out) for one in moved), key=lambda one: one.near.gap, default=None)
        found.append(RoomLeft(out, drawn, moving))
    return tuple(found)


@dataclass(frozen=True, slots=True, eq=False)
class _Stood:
    """A bar as it is measured against keep-outs: chords of its middle line, its sides, and what is round about them."""

    bar: str
    piece: str
    chords: Floats
    sides: Sides | None
    radius: float
    case: str | None = None

    def room(self, out: KeepOut) -> Room:
        return Room(self.bar, self.piece, near_to(out, self.chords, self.radius, self.sides), self.case)


def sides_along(bar: Bar) -> tuple[Floats, Sides | None, float]:
    """Return chords of a bar's middle line, (n, 3) mm, its sides there, and what is round about them, mm.

    A round bar has no sides, and its radius; any other its sides to the middles of its corners' arcs, and their radius.
    What chords miss of a bend is counted in.
    """
    outline = outline_of(bar.section)
    if outline.is_round:
        return bar.line.sample(CHORD_ERROR), None, outline.corner + CHORD_ERROR
    a, b = outline.core
    places, wide, high = [], [], []
    for stretch in carried_along(bar.line, bar.way):
        run = stretch.run
        # The outside of a bend is farther from its axis than the middle line is.
        out = run.radius + max(outline.wide, outline.high)
        count = 1 if run.bend == 0 else chords_for(out, run.length / run.radius, CHORD_ERROR)
        for k in range(count + 1):
            at = stretch.at(run.length * k / count)
            places.append(run.pose(run.length * k / count).origin)
            wide.append(at.wide)
            high.append(at.high)
    return np.array(places), Sides(a * np.array(wide), b * np.array(high)), outline.corner + CHORD_ERROR


def _moved(loaded: Carried | None, bars: Mapping[str, Bar]) -> Iterator[_Stood]:
    """Every bar as it bends under every load case."""
    if loaded is None or loaded.verdict.analysed is None:
        return
    for number, case in enumerate(loaded.cases):
        for bar in seen_bars(loaded, number):
            outline = outline_of(bars[bar.name].section)
            # Between two places that are looked at, a loaded bar is nearly as straight, or as round, as it is drawn.
            there, radius = bar.places + bar.moves, outline.corner + CHORD_ERROR
            sides = None if outline.is_round else turned_sides(bar, outline.core)
            yield _Stood(bar.name, bar.piece, there, sides, radius, case.name)


def turned_sides(bar: SeenBar, core: tuple[float, float]) -> Sides:
    """Return the sides of a bar under load: its width turned with it, its height square to that and to the bar.

    Args:
        bar: under a load.
        core: half sizes of the rectangle of the middles of its corners' arcs, mm.
    """
    along = np.gradient(bar.places + bar.moves, axis=0)
    wide = bar.wide + np.cross(bar.turns, bar.wide)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-12)
    wide -= (wide * along).sum(axis=1, keepdims=True) * along
    wide /= np.maximum(np.linalg.norm(wide, axis=1, keepdims=True), 1e-12)
    return Sides(core[0] * wide, core[1] * np.cross(along, wide))


def ways_through(result: Result) -> tuple[WayThrough, ...]:
    """Return how the whole frame goes through every opening; nothing where no piece stands anywhere."""
    if not result.job.openings:
        return ()
    bars, _ = frame_of(result)
    if not bars:
        return ()
    points = np.vstack([_surface(bar) for bar in bars])
    ways = result.job.load.directions
    box = box_of(points, ways.up, ways.forward)
    return tuple(WayThrough(passed(points, ways.up, opening), box) for opening in result.job.openings)


def _surface(bar: Bar) -> Floats:
    """Points round a bar that hold it, (n, 3): corners of its section; of a round one, of a polygon round it."""
    section, found = bar.section, []
    if isinstance(section, Round | Tube):
        turns = np.arange(_CORNERS) * 2.0 * np.pi / _CORNERS
        half = section.depth() / 2.0 / np.cos(np.pi / _CORNERS)
        ring = half * np.column_stack([np.cos(turns), np.sin(turns)])
    else:
        ring = np.array([(x, y) for x in (-0.5, 0.5) for y in (-0.5, 0.5)])
        ring = ring * (section.depth("hard"), section.depth("easy"))
    for stretch in carried_along(bar.line, bar.way):
        run = stretch.run
        count = 1 if run.bend == 0 else chords_for(run.radius, run.length / run.radius, CHORD_ERROR)
        for k in range(count + 1):
            at = stretch.at(run.length * k / count)
            found.append(np.array(run.pose(run.length * k / count).origin) + ring @ np.array([at.wide, at.high]))
    return np.vstack(found)


def room_findings(rooms: tuple[RoomLeft, ...], ways: tuple[WayThrough, ...]) -> tuple[Finding, ...]:
    """Return what there is to say about keep-outs and openings."""
    return (*(one for room in rooms for one in _about_room(room)), *(one for way in ways for one in _about_way(way)))


def _about_room(room: RoomLeft) -> list[Finding]:
    one, wanted = room.worst, room.out.clearance
    gap = one.near.gap
    if gap >= wanted:
        return []
    when = f" under load ({one.case})" if one.case is not None else ""
    swung = f", swung by {one.near.angle:.0f} degrees" if room.out.swing is not None else ""
    lengths = {"gap": gap, "wanted": wanted, "drawn": room.drawn.near.gap, "more": wanted - gap}
    still = "As drawn {drawn} are left. " if one.case is not None else ""
    do = "Move it away by {more}, there or all of it."
    if gap < 0.0:
        says, level = f"{one.bar} stands in {room.out.name}{swung}{when}.", "stop"
    else:
        says, level = f"{one.bar} comes within {{gap}} of {room.out.name}{swung}{when}.", "watch"
    return [
        Finding(
            "stop" if level == "stop" else "watch",
            "in-keep-out" if level == "stop" else "near-keep-out",
            says,
            f"{still}{{wanted}} is wanted.",
            do,
            piece=one.piece,
            lengths=lengths,
            at=one.near.place,
        )
    ]


def _about_way(way: WayThrough) -> list[Finding]:
    one = way.passed
    if one.spare >= 0.0:
        return []
    lengths = {"width": one.width, "height": one.height, "wide": one.opening.width, "over": -one.spare}
    clear = "{wide}"
    if one.opening.height is not None:
        clear, lengths["high"] = "{wide} by {high}", one.opening.height
    if one.opening.clearance:
        lengths["clearance"] = one.opening.clearance
        clear += ", less {clearance} all round"
    do = "Make it narrower, or take it apart there."
    if one.opening.upright:
        do = "Tilt it (any_way = true tries that), make it narrower, or take it apart there."
    return [
        Finding(
            "watch",
            "does-not-pass",
            f"The frame does not go through {one.opening.name}: {{over}} are missing.",
            f"Turned the best way it is {{width}} wide and {{height}} high; clear is {clear}.",
            do,
            lengths=lengths,
        )
    ]
