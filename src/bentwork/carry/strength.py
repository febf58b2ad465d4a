"""What the metal may be asked for at every place: less beside a weld."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.elements import Elements
from bentwork.carry.recovery import Inside
from bentwork.carry.structure import Structure
from bentwork.piece.bend_table import BendTable
from bentwork.space import distance
from bentwork.stock.material import Material
from bentwork.stock.section import Section, SquareTube, Tube

__all__ = [
    "WELDING",
    "Weld",
    "Welding",
    "Zone",
    "allowed_stress",
    "beside_welds",
    "metal_factor",
    "softened_by",
    "softened_length",
    "thickness",
    "welds_of",
    "zones_of",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Welding = Literal["TIG", "MIG"]

WELDING: Welding = "TIG"
"""How it is welded when nobody says: the way that softens the longer stretch."""


@dataclass(frozen=True, slots=True)
class Weld:
    """A weld on a bar: number of the bar, mm from its end A, how far to each side it softens, joint.

    -1 stands for a seam; numbers beyond those of the joints for the tabs of the frame, in their order.
    """

    bar: int
    station: float
    softens: float
    joint: int


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of a bar that is judged as one.

    Args:
        bar: number of the bar.
        bend: number of the bend, 0 for a straight.
        joint: number of the joint whose weld softens it, or beyond these of the tab; -1 for a seam, None away from
            welds.
        straight: number of the straight, from 1; 0 for a bend.
    """

    bar: int
    bend: int = 0
    joint: int | None = None
    straight: int = 0

    def words(self, structure: Structure) -> str:
        """Return where it is, such as ``loop beside the weld to crossbar 1``."""
        bar = structure.bars[self.bar]
        if self.joint is not None:
            if self.joint < 0:
                return f"{bar.name} beside its seam"
            tab = self.joint - len(structure.joints)
            if tab >= 0:
                return f"{bar.name} beside the weld of tab {structure.tabs[tab].tab.name}"
            a, b = structure.joints[self.joint].touch.bars
            return f"{bar.name} beside the weld to {structure.bars[b if a == self.bar else a].name}"
        if self.bend:
            return f"{bar.name} in bend {self.bend}"
        if not bar.line.table.bends:
            return bar.name
        return f"{bar.name} in straight {self.straight}"


def thickness(section: Section) -> float:
    """Return the thickness that a weld heats, mm: the wall, or the smaller size of solid bar."""
    if isinstance(section, Tube | SquareTube):
        return section.wall
    return min(section.depth("easy"), section.depth("hard"))


def softened_length(section: Section, welding: Welding = WELDING) -> float:
    """Return how far to each side of a weld aluminium is softened, mm (EN 1999-1-1, 6.1.6.3, from memory).

    MIG 20, 30, 35 and 40 mm up to 6, 12, 25 mm and above; TIG 30 mm up to 6 mm; for thicker metal the standard gives
    nothing for TIG: 10 mm more than MIG is taken (common practice).
    """
    thick = thickness(section)
    mig = next(length for limit, length in ((6.0, 20.0), (12.0, 30.0), (25.0, 35.0), (np.inf, 40.0)) if thick <= limit)
    return mig if welding == "MIG" else mig + 10.0


def metal_factor(material: Material) -> float:
    """Return the partial factor on the proof stress: 1.1 for aluminium (EN 1999-1-1), 1.0 for steel (EN 1993-1-1).

    1.1 for stainless (EN 1993-1-4); 1.1 for other metals is ours. All from memory.
    """
    return 1.0 if material.group == "steel" else 1.1


def welds_of(structure: Structure, welding: Welding = WELDING) -> tuple[Weld, ...]:
    """Return every weld of the frame: at the welded joints, of tabs, and at the seam of every closed bar.

    A bar that runs through is softened from the edge of the weld, half the other bar's depth from its middle; one that
    ends there from the other's surface, even where it is drawn on to its middle line.
    """
    found = []
    for number, joint in enumerate(structure.joints):
        if joint.made != "welded":
            continue
        for k in (0, 1):
            bar, other = structure.bars[joint.touch.bars[k]], structure.bars[joint.touch.bars[1 - k]]
            drawn_in = distance(*joint.touch.places) if joint.touch.ends[k] else 0.0
            reach = softened_length(bar.section, welding) + max(0.0, other.half_depth - drawn_in)
            found.append(Weld(joint.touch.bars[k], joint.touch.stations[k], reach, number))
    for number, stood in enumerate(structure.tabs, len(structure.joints)):
        if stood.tab.welded:
            half = stood.tab.width / 2.0
            reach = softened_length(structure.bars[stood.bar].section, welding) + half
            found.append(Weld(stood.bar, stood.station, reach, number))
    for number, bar in enumerate(structure.bars):
        if bar.closed:
            found.append(Weld(number, 0.0, softened_length(bar.section, welding), -1))
    return tuple(found)


def beside_welds(bars: Sequence[Bar], elements: Elements, inside: Inside, welds: Sequence[Weld]) -> tuple[Ints, Floats]:
    """Return the joint whose weld softens every place (S,), and what the metal takes there, MPa (S,).

    -1 stands for a seam, -2 for no weld. A weld softens only metal that is weaker beside it; where two welds are near,
    the nearer counts.
    """
    weld_of = softened_by(bars, elements, inside, welds)
    return weld_of, allowed_stress(bars, elements.bar[inside.element], weld_of)


def softened_by(bars: Sequence[Bar], elements: Elements, inside: Inside, welds: Sequence[Weld]) -> Ints:
    """Return the joint whose weld lies near enough to every place to soften it, (S,), as ``beside_welds`` does."""
    bar_of = elements.bar[inside.element]
    weld_of = np.full(len(bar_of), -2)
    nearest = np.full(len(bar_of), np.inf)
    for weld in welds:
        bar = bars[weld.bar]
        away = np.abs(inside.station - weld.station)
        if bar.closed:
            away = np.minimum(away, bar.length - away)
        mine = (bar_of == weld.bar) & (away <= weld.softens + 1e-6) & (away < nearest)
        weld_of[mine], nearest[mine] = weld.joint, away[mine]
    return weld_of


def allowed_stress(bars: Sequence[Bar], bar_of: Ints, weld_of: Ints) -> Floats:
    """Return what the metal takes at every place, MPa (S,), by its bar and the weld beside it.

    Args:
        bars: of the frame.
        bar_of: (S,) number of the bar.
        weld_of: (S,) as ``softened_by`` gives it.
    """
    allowed = np.array([bar.material.proof_stress.value / metal_factor(bar.material) for bar in bars])[bar_of]
    soft = np.array([_beside_weld(bar) for bar in bars])[bar_of]
    return np.where(weld_of > -2, np.minimum(allowed, soft), allowed)


def zones_of(
    structure: Structure, elements: Elements, inside: Inside, welds: Sequence[Weld]
) -> tuple[tuple[Zone, ...], Ints, Floats]:
    """Return the zones of the frame, the zone of every place (S,), and the stress it may take there, MPa (S,)."""
    bars = structure.bars
    bar_of = elements.bar[inside.element]
    bend_of = elements.bend[inside.element]
    weld_of, allowed = beside_welds(bars, elements, inside, welds)
    straight_of = np.zeros(len(bar_of), dtype=np.int64)
    for number, bar in enumerate(bars):
        mine = (bar_of == number) & (bend_of == 0)
        straight_of[mine] = _straights(bar.line.table, elements, inside, mine)
    straight_of[weld_of > -2] = 0
    bend_of = np.where(weld_of > -2, 0, bend_of)
    keys, zone_of = np.unique(np.stack((bar_of, bend_of, weld_of, straight_of), axis=1), axis=0, return_inverse=True)
    zones = tuple(
        Zone(int(bar), int(bend), None if weld == -2 else int(weld), int(straight))
        for bar, bend, weld, straight in keys
    )
    return zones, zone_of.ravel(), allowed


def _straights(table: BendTable, elements: Elements, inside: Inside, mine: NDArray[np.bool_]) -> Ints:
    """Number of the straight of these places: one more than the bends that lie before their element."""
    starts = np.array([start for start, _ in table.spans])
    middle = elements.station[inside.element[mine]].mean(axis=1)
    found: Ints = 1 + np.searchsorted(starts, middle)
    return found


def _beside_weld(bar: Bar) -> float:
    """What the metal may be asked for beside a weld, MPa; a metal not to be welded is taken as it is (and told of)."""
    material = bar.material
    proof = material.welded_proof_stress or material.proof_stress
    return proof.value / metal_factor(material)
