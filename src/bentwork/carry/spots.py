"""Where another bar could take hold of a frame: fixings, joints, and the third points of straights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from bentwork.carry.bar import Bar, pose_at
from bentwork.carry.joint import Joint
from bentwork.carry.structure import Structure
from bentwork.space import Vec, distance, dot, sub

__all__ = ["Spot", "spots_of"]

_LONG = 6.0  # depths: a straight shorter than this has no room for another bar on it


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a bar.

    Args:
        bar: number of the bar.
        station: mm from its end A.
        place: on its centreline, mm.
        says: in a few words, such as ``left foot`` or ``loop at crossbar 2``.
        kind: what is there.
        meets: numbers of all bars that meet there.
    """

    bar: int
    station: float
    place: Vec
    says: str
    kind: Literal["fixing", "joint", "third"]
    meets: tuple[int, ...]


def spots_of(structure: Structure, apart: float) -> tuple[Spot, ...]:
    """Return the places where another bar could take hold, fixings first, then joints, then third points of straights.

    Args:
        structure: the frame.
        apart: places nearer to one another than this are one, mm: that of the fixing, else that of the joint.
    """
    found: list[Spot] = []
    for one in (*_fixings(structure), *_joints(structure), *_thirds(structure)):
        if all(distance(one.place, other.place) >= apart for other in found):
            found.append(one)
    return tuple(found)


def _fixings(structure: Structure) -> Iterator[Spot]:
    for held in structure.fixings:
        place = pose_at(structure.bars[held.bar], held.station).origin
        yield Spot(held.bar, held.station, place, held.fixing.name, "fixing", (held.bar,))


def _joints(structure: Structure) -> Iterator[Spot]:
    for joint in structure.joints:
        touch = joint.touch
        through = _through(structure, joint)
        bar, other = touch.bars[through], touch.bars[1 - through]
        says = f"{structure.bars[bar].name} at {structure.bars[other].name}"
        yield Spot(bar, touch.stations[through], touch.places[through], says, "joint", touch.bars)


def _through(structure: Structure, joint: Joint) -> int:
    """Which of the two the other one ends on; of two ends the one that lies across the gap between them."""
    touch = joint.touch
    if touch.ends[0] != touch.ends[1]:
        return int(touch.ends[0])
    between = sub(touch.places[1], touch.places[0])
    along = [
        abs(dot(pose_at(structure.bars[bar], station).tangent, between))
        for bar, station in zip(touch.bars, touch.stations, strict=True)
    ]
    return int(along[1] < along[0] - 1e-6)


def _thirds(structure: Structure) -> Iterator[Spot]:
    for number, bar in enumerate(structure.bars):
        for straight, start, length in _straights(bar):
            if length < _LONG * 2.0 * bar.half_depth:
                continue
            says = f"{bar.name} in straight {straight}" if bar.line.table.bends else bar.name
            for share in (1.0 / 3.0, 2.0 / 3.0):
                station = (start + share * length) % bar.length
                yield Spot(number, station, pose_at(bar, station).origin, says, "third", (number,))


def _straights(bar: Bar) -> list[tuple[int, float, float]]:
    """Number, start and length of every straight; the two beside the seam of a closed bar are one."""
    runs = [run for run in bar.line.runs if run.bend == 0]
    found = [(number, run.station, run.length) for number, run in enumerate(runs, 1)]
    if bar.closed and len(found) > 1:
        (_, _, ahead), (_, start, behind) = found[0], found.pop()
        found[0] = (1, start, behind + ahead)
    return found
