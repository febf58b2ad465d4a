"""From the structure to the frame: bars cut at everything that happens on them, places tied to nodes."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar, pose_at
from bentwork.carry.elements import MOST_TURN, Part, elements_of, parts_of
from bentwork.carry.frame import Attached, Chains, Frame, Node, carry_to
from bentwork.carry.groups import Groups
from bentwork.carry.structure import Structure
from bentwork.piece.carried import Stretch, carried
from bentwork.tolerances import SAME_STATION

__all__ = ["LONGEST", "Built", "build"]

Floats = NDArray[np.float64]

LONGEST = 60.0
"""Longest element, mm: short enough to draw the bent shape and to see the bar buckle; strength needs no such cut."""


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """The frame, and where on it everything of the structure stands: numbers of attached places.

    Args:
        structure: what it was built from.
        frame: nodes, attached places, chains.
        joints: of both bars of every joint.
        fixings: of every fixing.
        bearings: of every bearing of the payload.
        straps: of every strap.
        extra: of the other stations asked for.
        tabs: of every tab.
    """

    structure: Structure
    frame: Frame
    joints: tuple[tuple[int, int], ...]
    fixings: tuple[int, ...]
    bearings: tuple[int, ...]
    straps: tuple[int, ...]
    extra: tuple[int, ...]
    tabs: tuple[int, ...] = ()


def build(
    structure: Structure,
    extra: Sequence[tuple[int, float]] = (),
    *,
    longest: float = LONGEST,
    turn: float = MOST_TURN,
    every_element: bool = False,
) -> Built:
    """Cut the bars into chains and tie them to nodes.

    Args:
        structure: bars, joints, fixings, payload.
        extra: more places that loads act on: number of the bar, mm from its end A.
        longest: longest element, mm.
        turn: largest turn of an arc element, radians, up to 45 degrees.
        every_element: make a node of every end of an element, as buckling and vibration need.
    """
    bars = structure.bars
    asked: list[list[float]] = [[] if bar.closed else [0.0, bar.length] for bar in bars]
    borne = structure.borne.bearings if structure.borne else ()
    for joint in structure.joints:
        for bar, station in zip(joint.touch.bars, joint.touch.stations, strict=True):
            asked[bar].append(station)
    held = [(at.bar, at.station) for at in structure.fixings]
    held += [(at.bar, at.station) for at in borne] + [(at.bar, at.station) for at in structure.straps]
    held += [(at.bar, at.station) for at in structure.tabs]
    for bar, station in held:
        asked[bar].append(station)
    for bar, station in extra:
        asked[bar].append(station)
    stations = [_merged(own, bar) for own, bar in zip(asked, bars, strict=True)]
    stretches = [carried(bar.line, bar.way) for bar in bars]
    chains = [
        _chain_parts(bar, number, own, stretches[number], (longest, turn))
        for number, (bar, own) in enumerate(zip(bars, stations, strict=True))
    ]
    if every_element:
        cut = [sorted((part for chain in own for part in chain), key=lambda part: part.station) for own in chains]
        chains = [[[part] for part in own] for own in cut]
        stations = [
            [part.station for part in own] + ([] if bar.closed else [bar.length])
            for own, bar in zip(cut, bars, strict=True)
        ]
    offset = np.concatenate(([0], np.cumsum([len(own) for own in stations])))

    def place_of(bar: int, station: float) -> int:
        return int(offset[bar]) + _index(stations[bar], station, bars[bar])

    joints = tuple(
        (place_of(j.touch.bars[0], j.touch.stations[0]), place_of(j.touch.bars[1], j.touch.stations[1]))
        for j in structure.joints
    )
    fixings = tuple(place_of(held.bar, held.station) for held in structure.fixings)
    spots = [(bar, at) for bar, own in enumerate(stations) for at in own]
    frame = _frame(structure, spots, joints, fixings, chains, stations, offset)
    return Built(
        structure,
        frame,
        joints,
        fixings,
        tuple(place_of(at.bar, at.station) for at in borne),
        tuple(place_of(at.bar, at.station) for at in structure.straps),
        tuple(place_of(bar, station) for bar, station in extra),
        tuple(place_of(at.bar, at.station) for at in structure.tabs),
    )


def _merged(asked: Sequence[float], bar: Bar) -> list[float]:
    """Stations in order, those that are one place taken together; a closed bar has at least one."""
    kept: list[float] = []
    for station in sorted(min(max(at, 0.0), bar.length) for at in asked):
        if not kept or station - kept[-1] > SAME_STATION:
            kept.append(station)
    if bar.closed:
        kept = kept or [0.0]
        if len(kept) > 1 and bar.length - kept[-1] + kept[0] <= SAME_STATION:
            kept.pop()
        return kept
    if len(kept) == 1:  # a stub no longer than what counts as one place
        return [0.0, bar.length]
    kept[-1] = bar.length  # the last is the end, or what was taken together with it
    return kept


def _index(own: Sequence[float], station: float, bar: Bar) -> int:
    """Number of the nearest station; round the seam of a closed bar."""
    at = bisect.bisect(own, station)
    before, after = at - 1, at
    back = station - own[before] if before >= 0 else (station + bar.length - own[-1] if bar.closed else math.inf)
    ahead = own[after] - station if after < len(own) else (own[0] + bar.length - station if bar.closed else math.inf)
    return before % len(own) if back <= ahead else after % len(own)


def _chain_parts(
    bar: Bar, number: int, own: Sequence[float], stretches: Sequence[Stretch], most: tuple[float, float]
) -> list[list[Part]]:
    """The elements of every chain of a bar, from one station to the next; round the seam of a closed one."""

    def between(start: float, end: float) -> list[Part]:
        parts: list[Part] = []
        for stretch in stretches:
            from_, to = stretch.run.station, stretch.run.station + stretch.run.length
            low, high = max(start, from_), min(end, to)
            if high - low > 1e-9:
                parts += parts_of(stretch, number, low - from_, high - from_, *most)
        return parts

    found = [between(a, b) for a, b in itertools.pairwise(own)]
    if bar.closed:
        found.append(between(own[-1], bar.length) + between(0.0, own[0]))
    return found


def _frame(
    structure: Structure,
    spots: Sequence[tuple[int, float]],
    joints: Sequence[tuple[int, int]],
    fixings: Sequence[int],
    chains: Sequence[list[list[Part]]],
    stations: Sequence[list[float]],
    offset: NDArray[np.int64],
) -> Frame:
    places = [np.array(pose_at(structure.bars[bar], at).origin) for bar, at in spots]
    fast, together = Groups(len(spots)), Groups(len(spots))
    for joint, (a, b) in zip(structure.joints, joints, strict=True):
        together.join(a, b)
        if not joint.free_turns:
            fast.join(a, b)
    held: dict[int, list[int]] = {}
    for number, spot in enumerate(fixings):
        held.setdefault(together.of(spot), []).append(number)
    # What a fixing holds is the node itself; in a joint without one it is the first bar, that runs through.
    based = {group: fast.of(fixings[numbers[0]]) for group, numbers in held.items()}
    nodes: list[Node] = []
    node_of: dict[int, int] = {}
    for spot in range(len(spots)):
        group = together.of(spot)
        based.setdefault(group, fast.of(spot))
        if group not in node_of:
            node_of[group] = len(nodes)
            nodes.append(_node(structure, held.get(group, []), places, fixings, spot))
    turns, turn_axes = _free_turns(structure, joints, together, fast, based)
    attached = tuple(
        Attached(bar, at, places[k], node_of[together.of(k)], turns.get(fast.of(k), -1))
        for k, (bar, at) in enumerate(spots)
    )
    transform, motions, free, count = _motions(nodes, attached, turn_axes)
    parts = [part for own in chains for chain in own for part in chain]
    lengths = [len(chain) for own in chains for chain in own]
    ends, bar_of = [], []
    for bar, own in enumerate(chains):
        many = len(stations[bar])
        for k in range(len(own)):
            ends.append((int(offset[bar]) + k, int(offset[bar]) + (k + 1) % many))
            bar_of.append(bar)
    first = np.concatenate(([0], np.cumsum(lengths))).astype(np.int64)
    held_chains = Chains(first, np.array(ends, dtype=np.int64), np.array(bar_of, dtype=np.int64))
    return Frame(elements_of(parts), held_chains, tuple(nodes), attached, transform, motions, free, count)


def _node(
    structure: Structure, held: Sequence[int], places: Sequence[Floats], fixings: Sequence[int], spot: int
) -> Node:
    if not held:
        return Node(places[spot], np.eye(3), np.zeros(6))
    one = structure.fixings[held[0]]
    first = one.fixing
    place = places[fixings[held[0]]]
    if one.tab is not None and len(held) == 1:  # a tab is stiff: what its hole holds, holds the bar from there
        place = np.array(structure.tabs[one.tab].tab.hole)
    stiffness = np.array(first.stiffness, dtype=np.float64)
    for number in held[1:]:
        stiffness = stiffness + np.array(structure.fixings[number].fixing.stiffness)
    return Node(place, np.array(first.directions), stiffness, tuple(held))


def _free_turns(
    structure: Structure,
    joints: Sequence[tuple[int, int]],
    together: Groups,
    fast: Groups,
    based: dict[int, int],
) -> tuple[dict[int, int], list[tuple[Floats, Floats]]]:
    """Groups that may turn against their node: number by group, and the axes (k, 3) with the place they go through."""
    turns: dict[int, int] = {}
    axes: list[tuple[Floats, Floats]] = []
    for joint, (a, b) in zip(structure.joints, joints, strict=True):
        if not joint.free_turns:
            continue
        base = based[together.of(a)]
        loose = fast.of(b) if fast.of(b) != base else fast.of(a)
        if loose == base or loose in turns:
            continue
        turns[loose] = len(axes)
        axes.append((np.array(joint.free_turns), np.array(joint.touch.places).mean(axis=0)))
    return turns, axes


def _motions(
    nodes: Sequence[Node], attached: Sequence[Attached], turn_axes: Sequence[tuple[Floats, Floats]]
) -> tuple[Floats, NDArray[np.int64], int, int]:
    """Number the motions, the free ones first; tell how every attached place moves with them."""
    isheld = np.array([np.isinf(node.stiffness) for node in nodes])
    own_turns = sum(len(axes) for axes, _ in turn_axes)
    free = int((~isheld).sum()) + own_turns
    numbers = np.zeros((len(nodes), 6), dtype=np.int64)
    numbers[~isheld] = np.arange(free - own_turns)
    numbers[isheld] = free + np.arange(int(isheld.sum()))
    count = free + int(isheld.sum())
    first_turn = free - own_turns + np.concatenate(([0], np.cumsum([len(axes) for axes, _ in turn_axes]))).astype(int)
    transform = np.zeros((len(attached), 6, 9))
    motions = np.full((len(attached), 9), count, dtype=np.int64)
    place = np.array([spot.place for spot in attached])
    middle = np.array([nodes[spot.node].place for spot in attached])
    turned = np.zeros((len(attached), 6, 6))
    directions = np.array([nodes[spot.node].directions for spot in attached]).transpose(0, 2, 1)
    turned[:, :3, :3] = turned[:, 3:, 3:] = directions
    transform[:, :, :6] = carry_to(place - middle) @ turned
    for k, spot in enumerate(attached):
        motions[k, :6] = numbers[spot.node]
        if spot.turn >= 0:
            axes, through = turn_axes[spot.turn]
            for n, axis in enumerate(axes):
                transform[k, :3, 6 + n] = np.cross(axis, spot.place - through)
                transform[k, 3:, 6 + n] = axis
                motions[k, 6 + n] = first_turn[spot.turn] + n
    return transform, motions, free, count
