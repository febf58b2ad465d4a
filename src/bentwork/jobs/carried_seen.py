"""What is seen of a frame under a load: bars as they bend, how far they are used, what holds and loads them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.bar import Bar, pose_at
from bentwork.carry.building import build
from bentwork.carry.mechanisms import Motion
from bentwork.carry.structure import Structure
from bentwork.jobs.carried import Carried
from bentwork.piece.carried import carried
from bentwork.space import Vec
from bentwork.space import along as shifted
from bentwork.stock.section import Round, Tube

__all__ = [
    "HEATS",
    "Heat",
    "SeenBar",
    "SeenMotion",
    "SeenTab",
    "exaggeration",
    "heat_of",
    "seen_bars",
    "seen_motions",
    "seen_tabs",
    "straps_of",
]

Floats = NDArray[np.float64]
Heat = Literal["straw", "brown", "purple", "blue", "hit"]

HEATS: tuple[tuple[float, Heat], ...] = ((0.4, "straw"), (0.65, "brown"), (0.85, "purple"), (1.0, "blue"))
"""Up to which share of the strength each colour stands; beyond the last the limit is passed."""

_SHOWN = 0.06  # of the frame's size: what the largest move is drawn as
_ARROW = 0.16  # of the frame's size: the largest arrow of a motion


@dataclass(frozen=True, slots=True, eq=False)
class SeenBar:
    """One bar under one load case.

    Args:
        name: of the bar.
        piece: that it is a copy of.
        half: half its width and its height, mm.
        is_round: rod or tube; otherwise its outline is a rectangle.
        wide: (n, 3) unit vectors along its width.
        places: (n, 3) along its middle, mm, end A first.
        moves: (n, 3) how far each goes, mm.
        turns: (n, 3) how far its section turns there, radians about x, y and z.
        stress: (n,) MPa, safety left out.
        use: (n,) share of what the metal takes there, safety counted in.
    """

    name: str
    piece: str
    half: tuple[float, float]
    is_round: bool
    wide: Floats
    places: Floats
    moves: Floats
    turns: Floats
    stress: Floats
    use: Floats


@dataclass(frozen=True, slots=True, eq=False)
class SeenTab:
    """A tab under one load case, going with the place of the bar that it stands on, itself unbent.

    Args:
        name: of the tab.
        piece: that it stands on.
        half: half its width and its thickness, mm.
        wide: unit vector along its width.
        ends: (2, 3) where it meets its bar, and its outer end, mm.
        moves: (2, 3) how far each goes, mm.
    """

    name: str
    piece: str
    half: tuple[float, float]
    wide: Vec
    ends: Floats
    moves: Floats


@dataclass(frozen=True, slots=True)
class SeenMotion:
    """One way in which the frame moves without bending.

    Args:
        says: in a few words.
        axis: two ends of the line that it turns about, mm; None for a slide.
        arrows: from where to where places go, mm, drawn far larger than small.
    """

    says: str
    axis: tuple[Vec, Vec] | None
    arrows: tuple[tuple[Vec, Vec], ...]


def heat_of(use: float) -> Heat:
    """Return the colour of a share of the strength; ``hit`` beyond the limit."""
    return next((heat for most, heat in HEATS if use <= most), "hit")


def seen_bars(found: Carried, case: int) -> tuple[SeenBar, ...]:
    """Return every bar under a load case; without moves where the frame cannot be reckoned.

    Args:
        found: what the frame carries.
        case: number of the load case.
    """
    analysed, limits = found.verdict.analysed, found.verdict.limits
    structure = found.structure
    if analysed is None or limits is None:
        return tuple(_as_drawn(structure, number) for number in range(len(structure.bars)))
    moves = analysed.moves()[..., case]
    return tuple(
        _under_load(analysed, number, moves, limits.stress[:, case], limits.use[:, case])
        for number in range(len(structure.bars))
    )


def seen_tabs(found: Carried, bars: Sequence[SeenBar]) -> tuple[SeenTab, ...]:
    """Return every tab of the frame.

    Args:
        found: what the frame carries.
        bars: of its structure, in its order, as they are seen.
    """
    seen = []
    for standing in found.structure.tabs:
        tab, bar = standing.tab, bars[standing.bar]
        ends = np.array([tab.root, shifted(tab.hole, tab.ways[0], tab.edge)])
        near = int(np.argmin(np.linalg.norm(bar.places - np.array(tab.foot), axis=1)))
        moves = bar.moves[near] + np.cross(bar.turns[near], ends - bar.places[near])
        seen.append(SeenTab(tab.name, bar.piece, (tab.width / 2.0, tab.thickness / 2.0), tab.ways[1], ends, moves))
    return tuple(seen)


def _under_load(analysed: Analysed, number: int, moves: Floats, stress: Floats, use: Floats) -> SeenBar:
    bar = analysed.structure.bars[number]
    elements, inside = analysed.built.frame.elements, analysed.inside
    mine = np.flatnonzero(elements.bar[inside.element] == number)
    order = mine[np.lexsort((inside.element[mine], inside.station[mine]))]
    stations, first = np.unique(np.round(inside.station[order], 6), return_index=True)
    # Two elements meet in a place: what is used most of the two counts there.
    hardest = np.maximum.reduceat(use[order], first)
    most = np.maximum.reduceat(stress[order], first)
    spots = order[first]
    element = inside.element[spots]
    share = (stations - elements.station[element, 0]) / np.ptp(elements.station[element], axis=1)
    return SeenBar(
        bar.name,
        bar.of,
        *_outline(bar, stations),
        inside.place[spots],
        _between(elements.ends[element], moves[element], np.clip(share, 0.0, 1.0)),
        _turns(moves[element], np.clip(share, 0.0, 1.0)),
        most,
        hardest,
    )


def _between(ends: Floats, moves: Floats, share: Floats) -> Floats:
    """Moves between the ends of elements, from moves and turns there: Hermite's cubic, as a loaded bar bends.

    Args:
        ends: (n, 2, 3) mm.
        moves: (n, 2, 6) mm and radians.
        share: (n,) of the way from first to second end.
    """
    t = share[:, None]
    chord = ends[:, 1] - ends[:, 0]
    slopes = [np.cross(moves[:, k, 3:], chord) for k in (0, 1)]
    # Along the chord a bar stretches evenly; slopes of the cubic would pull it twice.
    stretch = moves[:, 1, :3] - moves[:, 0, :3]
    length = (chord**2).sum(axis=1, keepdims=True)
    along = (stretch * chord).sum(axis=1, keepdims=True) / np.where(length > 0.0, length, 1.0) * chord
    found: Floats = (
        (2 * t**3 - 3 * t**2 + 1) * moves[:, 0, :3]
        + (t**3 - 2 * t**2 + t) * (slopes[0] + along)
        + (3 * t**2 - 2 * t**3) * moves[:, 1, :3]
        + (t**3 - t**2) * (slopes[1] + along)
    )
    return found


def _turns(moves: Floats, share: Floats) -> Floats:
    """Turns between the ends of elements: evenly from one to the other, as twist is; bending turns less evenly."""
    t = share[:, None]
    found: Floats = (1.0 - t) * moves[:, 0, 3:] + t * moves[:, 1, 3:]
    return found


def _as_drawn(structure: Structure, number: int) -> SeenBar:
    bar = structure.bars[number]
    stations: list[float] = []
    for run in bar.line.runs:
        if run.length > 0.0:
            count = max(1, math.ceil(run.length / run.radius / 0.2)) if run.bend else 1
            stations += [run.station + run.length * k / count for k in range(count + 1)]
    along = np.unique(np.round(stations, 6))
    places = np.array([pose_at(bar, float(station)).origin for station in along])
    none = np.zeros(len(places))
    still = np.zeros((len(places), 3))
    return SeenBar(bar.name, bar.of, *_outline(bar, along), places, still, still, none, none)


def _outline(bar: Bar, stations: Floats) -> tuple[tuple[float, float], bool, Floats]:
    """Half sizes of a bar, whether it is round, and which way its width lies at every station."""
    section = bar.section
    stretches = carried(bar.line, bar.way)
    ends = np.array([stretch.run.station + stretch.run.length for stretch in stretches])
    wide = []
    for station in stations:
        stretch = stretches[min(int(np.searchsorted(ends, station - 1e-6)), len(stretches) - 1)]
        wide.append(stretch.at(min(max(float(station) - stretch.run.station, 0.0), stretch.run.length)).wide)
    half = (section.depth("hard") / 2.0, section.depth("easy") / 2.0)
    return half, isinstance(section, Round | Tube), np.array(wide)


def exaggeration(bars: Sequence[SeenBar]) -> float:
    """Return how many times the moves are drawn larger, a round number, so that they are seen on the whole frame."""
    most = max((float(np.linalg.norm(bar.moves, axis=1).max()) for bar in bars), default=0.0)
    if most <= 0.0:
        return 1.0
    wanted = _SHOWN * _size(bars) / most
    if wanted <= 1.0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(wanted))
    return max(1.0, power * max(step for step in (1.0, 2.0, 5.0) if step * power <= wanted * (1.0 + 1e-9)))


def _size(bars: Sequence[SeenBar]) -> float:
    places = np.concatenate([bar.places for bar in bars])
    return float(np.linalg.norm(np.ptp(places, axis=0))) or 1.0


def seen_motions(found: Carried) -> tuple[SeenMotion, ...]:
    """Return every way in which the frame moves without bending, to be drawn."""
    if not found.verdict.motions:
        return ()
    structure = found.structure
    pushes = [(push.bar, push.station) for case in found.cases for push in case.pushes]
    places = np.array([spot.place for spot in build(structure, pushes).frame.attached])
    size = _size([_as_drawn(structure, number) for number in range(len(structure.bars))])
    return tuple(_motion(structure, motion, places, size) for motion in found.verdict.motions)


def _motion(structure: Structure, motion: Motion, places: Floats, size: float) -> SeenMotion:
    names = [structure.bars[bar].name for bar in motion.bars]
    direction, through = np.array(motion.direction), np.array(motion.through)
    axis = (through - 0.5 * size * direction, through + 0.5 * size * direction) if motion.turns else None
    moved = np.flatnonzero(np.linalg.norm(motion.moves, axis=1) > 0.05)
    ends = places[moved] + _ARROW * size * motion.moves[moved]
    return SeenMotion(
        f"{' and '.join(names[:3])} {'can turn' if motion.turns else 'can slide'}",
        (_vec(axis[0]), _vec(axis[1])) if axis is not None else None,
        tuple((_vec(places[k]), _vec(end)) for k, end in zip(moved, ends, strict=True)),
    )


def straps_of(structure: Structure) -> tuple[tuple[Vec, Vec], ...]:
    """Return where every strap is hooked and where it pulls to, mm."""
    return tuple((tied.place, tied.strap.towards) for tied in structure.straps)


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
