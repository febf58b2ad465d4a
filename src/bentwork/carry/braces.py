"""Straight bars that could be added to a frame: between which places, clear of what, and the frame with them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.bar import Bar
from bentwork.carry.brace_room import Room, room_of
from bentwork.carry.joint import Joint
from bentwork.carry.spots import Spot, spots_of
from bentwork.carry.structure import Structure
from bentwork.carry.symmetry import Plane, mirror_plane
from bentwork.carry.touching import reach_of, touches
from bentwork.piece.corners import Corners
from bentwork.space import Vec, along, distance, dot, norm, scale, sub, unit
from bentwork.stock.material import Material, joinable
from bentwork.stock.section import Section

__all__ = ["Brace", "Bracing", "bracings", "usual_brace"]

Floats = NDArray[np.float64]

_STEEPEST = math.radians(25.0)  # to the bar it ends on: below it no torch gets into the corner (common practice)
_SHORTEST = 5.0  # depths
_SLENDEREST = 200.0  # length over radius of gyration: more is not used for bars that may be pressed (common practice)
_TRIED = 48


@dataclass(frozen=True, slots=True)
class Brace:
    """One bar that is added.

    Args:
        bar: the bar, cut to sit on the surface of what it ends on.
        ends: where its two ends take hold.
    """

    bar: Bar
    ends: tuple[Spot, Spot]


@dataclass(frozen=True, slots=True)
class Bracing:
    """A bar that is added, or a pair of them where the frame is the same on both sides.

    Args:
        words: such as ``a pair of braces from left foot to crossbar 2``.
        braces: one or two.
        plane: that the second one is mirrored in; None for one.
        structure: the frame with them, welded; they come last.
    """

    words: str
    braces: tuple[Brace, ...]
    plane: Plane | None
    structure: Structure


def usual_brace(structure: Structure) -> tuple[Section, Material] | None:
    """Return what most millimetres of the frame are made of, of metals that may be welded; None without one."""
    length: dict[tuple[Section, Material], float] = {}
    for bar in structure.bars:
        if bar.material.weldable:
            kind = (bar.section, bar.material)
            length[kind] = length.get(kind, 0.0) + bar.length
    return max(length, key=lambda kind: length[kind]) if length else None


def bracings(analysed: Analysed, case: int, most: int = _TRIED) -> tuple[Bracing, ...]:
    """Return bars worth trying, those first between whose ends the frame stretches or shrinks most for their length.

    They run from a fixing or a joint to a joint, a fixing or the third point of a straight; meet what they end on at
    25 degrees at least; are no shorter than five of their depths and no more slender than 200; and stay a bar's depth
    clear of all other bars, and out of the payload.

    Args:
        analysed: the frame as it is.
        case: number of the load case in which it gives.
        most: how many at most.
    """
    structure = analysed.structure
    kind = usual_brace(structure)
    if kind is None:
        return ()
    plane, room = mirror_plane(structure), room_of(structure)
    depth = max(kind[0].depth("easy"), kind[0].depth("hard"))
    spots = [
        one
        for one in spots_of(structure, 1.5 * depth)
        if all(joinable(structure.bars[bar].material, kind[1]) for bar in one.meets)
        and structure.bars[one.bar].material.weldable
    ]
    strained = sorted(_strained(analysed, case, spots), key=lambda pair: -pair[0])
    found: list[Bracing] = []
    seen: set[frozenset[tuple[int, ...]]] = set()
    for _, start, end in strained:
        ends = _key(start.place, end.place)
        if ends in seen:
            continue
        seen.add(ends)
        if plane is not None:
            seen.add(_key(plane.image(start.place), plane.image(end.place)))
        bracing = _bracing(structure, (start, end), kind, plane, room, spots)
        if bracing is not None:
            found.append(bracing)
            if len(found) >= most:
                break
    return tuple(found)


def _key(a: Vec, b: Vec) -> frozenset[tuple[int, ...]]:
    return frozenset(tuple(round(c) for c in place) for place in (a, b))


def _strained(analysed: Analysed, case: int, spots: Sequence[Spot]) -> Iterator[tuple[float, Spot, Spot]]:
    """Every two places with how much longer or shorter the line between them gets, a share of its length."""
    elements = analysed.built.frame.elements
    moves = analysed.moves()[:, :, :3, case]
    moved = []
    for spot in spots:
        mine = np.flatnonzero(elements.bar == spot.bar)
        low, high = elements.station[mine, 0], elements.station[mine, 1]
        at = int(np.argmin(np.maximum(low - spot.station, spot.station - high)))
        share = min(max((spot.station - low[at]) / (high[at] - low[at]), 0.0), 1.0)
        moved.append((1.0 - share) * moves[mine[at], 0] + share * moves[mine[at], 1])
    for a, start in enumerate(spots):
        if start.kind == "third":
            continue
        for b, end in enumerate(spots):
            if (b > a or end.kind == "third") and a != b:
                line = np.subtract(end.place, start.place)
                length = float(np.linalg.norm(line))
                yield abs(float((moved[b] - moved[a]) @ line)) / length**2, start, end


def _bracing(
    structure: Structure,
    ends: tuple[Spot, Spot],
    kind: tuple[Section, Material],
    plane: Plane | None,
    room: Room,
    spots: Sequence[Spot],
) -> Bracing | None:
    """The frame with a bar between two places, and its mirror image; None where it finds no room."""
    taken = {bar.of for bar in structure.bars} | {bar.name for bar in structure.bars}
    piece = next(name for k in range(1, 1000) if (name := "brace" if k == 1 else f"brace {k}") not in taken)
    one = _brace(structure, ends, kind, piece, room)
    if one is None:
        return None
    words = f"from {ends[0].says} to {ends[1].says}"
    other = _mirrored(structure, one, plane, room, spots) if plane is not None else None
    if plane is None or other is None:
        return _with(structure, f"a brace {words}", (one,), None)
    pair = tuple(replace(brace, bar=replace(brace.bar, name=f"{piece} {k}")) for k, brace in enumerate((one, other), 1))
    return _with(structure, f"a pair of braces {words}", pair, plane)


def _brace(
    structure: Structure, ends: tuple[Spot, Spot], kind: tuple[Section, Material], piece: str, room: Room
) -> Brace | None:
    section, material = kind
    depth = max(section.depth("easy"), section.depth("hard"))
    gyration = math.sqrt(min(section.bending(way).second_moment for way in ("easy", "hard")) / section.area)
    apart = distance(ends[0].place, ends[1].place)
    if not _SHORTEST * depth <= apart <= _SLENDEREST * gyration:
        return None
    ahead = unit(sub(ends[1].place, ends[0].place))
    cut = [_cut(structure, spot, way) for spot, way in zip(ends, (ahead, scale(ahead, -1.0)), strict=True)]
    if cut[0] is None or cut[1] is None or apart - cut[0] - cut[1] < _SHORTEST * depth:
        return None
    line = along(ends[0].place, ahead, cut[0]), along(ends[1].place, ahead, -cut[1])
    if not room.free(line, depth, ends):
        return None
    bar = Bar(piece, Corners(line, ()).centreline(), section, material, "easy", piece)
    return Brace(bar, ends)


def _cut(structure: Structure, spot: Spot, ahead: Vec) -> float | None:
    """How far from the centreline of what it ends on a bar is cut, mm; None where it comes in too flat."""
    for number in spot.meets:
        bar = structure.bars[number]
        station = spot.station if number == spot.bar else _met(structure, spot, number)
        tangent = bar.line.pose(station).tangent
        if abs(dot(tangent, ahead)) > math.cos(_STEEPEST):
            return None
    bar = structure.bars[spot.bar]
    tangent = bar.line.pose(spot.station).tangent
    across = sub(ahead, scale(tangent, dot(ahead, tangent)))
    steep = norm(across)
    return reach_of(bar, spot.station, scale(across, 1.0 / steep)) / steep


def _met(structure: Structure, spot: Spot, number: int) -> float:
    """Station at which another bar meets at a spot, mm from its end A."""
    return next(
        station
        for joint in structure.joints
        if set(joint.touch.bars) == set(spot.meets)
        for bar, station in zip(joint.touch.bars, joint.touch.stations, strict=True)
        if bar == number
    )


def _mirrored(structure: Structure, one: Brace, plane: Plane, room: Room, spots: Sequence[Spot]) -> Brace | None:
    """The same bar on the other side; None where that is the bar itself, crosses it, or finds nothing to end on."""
    images = []
    for spot in one.ends:
        place = plane.image(spot.place)
        nearest = min(spots, key=lambda other: distance(other.place, place))
        if distance(nearest.place, place) > 2.0:
            return None
        images.append(nearest)
    if {spot.place for spot in images} == {spot.place for spot in one.ends}:
        return None
    kind = (one.bar.section, one.bar.material)
    other = _brace(structure, (images[0], images[1]), kind, one.bar.of, room)
    if other is None or touches((one.bar, other.bar), 2.0 * one.bar.half_depth):
        return None
    return other


def _with(structure: Structure, words: str, braces: Sequence[Brace], plane: Plane | None) -> Bracing | None:
    """The frame with these bars welded to all that they touch; None where an end does not sit on what it should."""
    bars, joints = list(structure.bars), list(structure.joints)
    for brace in braces:
        number = len(bars)
        bars.append(brace.bar)
        met = {
            bar: touches((structure.bars[bar], brace.bar))
            for bar in dict.fromkeys(bar for spot in brace.ends for bar in spot.meets)
        }
        if not all(met[spot.bar] for spot in brace.ends):
            return None
        joints += [Joint(replace(touch, bars=(bar, number))) for bar, found in met.items() for touch in found]
    return Bracing(words, tuple(braces), plane, replace(structure, bars=tuple(bars), joints=tuple(joints)))
