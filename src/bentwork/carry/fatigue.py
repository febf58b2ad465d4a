"""Fatigue: how often a detail may be loaded before it cracks, and what road is assumed for that.

A detail has a category: the stress range that 97.7 % of them stand two million times. Welds do not care which alloy or
steel of a group they are made in. Ranges are of nominal stress, between the road's push down and its rebound: in the
bars, and on the throats of the welds, which crack from their root.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed, analyse_again
from bentwork.carry.cases import LoadCase
from bentwork.carry.joint_parts import Seam
from bentwork.carry.joint_use import tabbed, welded
from bentwork.carry.limits import Rules
from bentwork.carry.strength import Zone, welds_of, zones_of
from bentwork.carry.stress import fibres_of, worst_fibre
from bentwork.carry.structure import Structure
from bentwork.findings import Finding
from bentwork.stock.material import Group

__all__ = ["DETAILS", "ROADS", "Detail", "Lasting", "Road", "fatigue_findings", "lasting"]

Floats = NDArray[np.float64]
Kind = Literal["plain", "attachment", "load-carrying weld", "weld throat"]

_ROUNDING = 1e-9  # MPa
_SET_CYCLES = 2e6


@dataclass(frozen=True, slots=True)
class Detail:
    """A category of the IIW recommendations.

    Args:
        category: range at two million cycles, MPa.
        slope: of the line down to the knee.
        knee: cycles at the knee.
        slope_after: of the line after it: a true endurance limit is doubted.
        source: where it is from.
    """

    category: float
    slope: float
    knee: float
    slope_after: float
    source: str

    def cycles(self, stress_range: float) -> float:
        """Return how many times a stress range may come; infinite for no range, and for what rounding leaves of one."""
        if stress_range < _ROUNDING:
            return math.inf
        at_knee = self.stress_range(self.knee)
        if stress_range >= at_knee:
            return _SET_CYCLES * math.pow(self.category / stress_range, self.slope)
        return self.knee * math.pow(at_knee / stress_range, self.slope_after)

    def stress_range(self, cycles: float) -> float:
        """Return the range that may come this many times, MPa."""
        if cycles <= self.knee:
            return self.category * math.pow(_SET_CYCLES / cycles, 1.0 / self.slope)
        return self.stress_range(self.knee) * math.pow(self.knee / cycles, 1.0 / self.slope_after)


_IIW = "Hobbacher, IIW recommendations IIW-1823-07 (from memory; knee at 1e7 and slope 22 after it: seen)"

DETAILS: Mapping[tuple[Group, Kind], Detail] = {
    ("aluminium", "plain"): Detail(71.0, 5.0, 1e7, 22.0, _IIW),
    ("aluminium", "attachment"): Detail(28.0, 3.0, 1e7, 22.0, _IIW),
    ("aluminium", "load-carrying weld"): Detail(22.0, 3.0, 1e7, 22.0, _IIW),
    ("aluminium", "weld throat"): Detail(12.0, 3.0, 1e7, 22.0, _IIW),
    ("steel", "plain"): Detail(160.0, 5.0, 1e7, 22.0, _IIW),
    ("steel", "attachment"): Detail(80.0, 3.0, 1e7, 22.0, _IIW),
    ("steel", "load-carrying weld"): Detail(63.0, 3.0, 1e7, 22.0, _IIW),
    ("steel", "weld throat"): Detail(36.0, 3.0, 1e7, 22.0, _IIW),
}
"""Details by metal; stainless counts as steel. For other metals nothing is at hand, and nothing is said."""


@dataclass(frozen=True, slots=True)
class Road:
    """A road as it is assumed: nobody measured it.

    Args:
        name: what it is called.
        swing: how far the vertical load swings to each side of standing still, times the weight; all swings alike.
        per_km: swings in a kilometre.
    """

    name: str
    swing: float
    per_km: float

    @property
    def says(self) -> str:
        """What is assumed, in a sentence."""
        return (
            f"Assumed, not measured: on {self.name} the load swings {self.swing:g} times its weight up and down, "
            f"{self.per_km:g} times in a kilometre (common practice, no source)."
        )


ROADS: Mapping[str, Road] = {
    road.name: road
    for road in (Road("smooth road", 0.2, 300.0), Road("rough road", 0.5, 500.0), Road("track with stones", 1.0, 500.0))
}
"""Roads to choose from; each a guess of ours: a logger on the frame tells the truth."""


@dataclass(frozen=True, slots=True)
class Lasting:
    """How long one place lasts.

    Args:
        where: in words.
        kind: of detail.
        stress_range: MPa.
        cycles: that it stands, 97.7 % sure of the detail alone.
        km: of the road.
        bar: number of the bar.
    """

    where: str
    kind: Kind
    stress_range: float
    cycles: float
    km: float
    bar: int


def lasting(analysed: Analysed, road: Road, rules: Rules | None = None) -> tuple[Lasting, ...]:
    """Return how long every zone and every weld lasts under the swings of a road, the shortest first.

    What swings is weight: straps keep their pull, and pushes are left out. Beside the weld of a bar that ends there the
    weld carries the load; on a bar that runs through it is an attachment. The throat is looked at for a crack from the
    root, by the range of all that acts on it. Places without a category say nothing.

    Args:
        analysed: the frame, under whatever cases.
        road: the road.
        rules: how it is welded.
    """
    rules = rules or Rules()
    # Between the lowest and the highest swing lies the range; what does not swing is in both.
    ends = analyse_again(analysed, [LoadCase("swing", "shock", down=1.0 + s * road.swing) for s in (1.0, -1.0)])
    structure, inside = ends.structure, ends.inside
    elements = ends.built.frame.elements
    zones, zone_of, _ = zones_of(structure, elements, inside, welds_of(structure, rules.welding))
    swung = _between(ends.together(inside.forces))
    # The worst fibre's von Mises stress stands for the largest principal range.
    ranges = worst_fibre(swung, fibres_of(structure.bars, elements, inside))[:, 0]
    found: list[Lasting] = []

    def add(where: str, kind: Kind, bar: int, stress_range: float) -> None:
        group = structure.bars[bar].material.group
        detail = DETAILS.get(("steel" if group == "stainless" else group, kind))
        if detail is not None:
            cycles = detail.cycles(stress_range)
            found.append(Lasting(where, kind, stress_range, cycles, cycles / road.per_km, bar))

    for number, zone in enumerate(zones):
        add(zone.words(structure), _kind(structure, zone), zone.bar, float(ranges[zone_of == number].max()))
    for one in (*welded(ends, rules.filler), *tabbed(ends, rules.filler)):
        if isinstance(one.part, Seam):
            bar = ends.built.frame.attached[one.seat.spot].bar
            wrench = _between(ends.together(one.wrench))
            add(one.seat.where, "weld throat", bar, float(one.part.swing(one.seat.handed(wrench))[0]))
    return tuple(sorted(found, key=lambda one: one.km))


def _between(columns: Floats) -> Floats:
    """The first of two columns less the second, (..., 1)."""
    return columns[..., :1] - columns[..., 1:]


def _kind(structure: Structure, zone: Zone) -> Kind:
    if zone.joint is None:
        return "plain"
    if zone.joint < 0:
        return "load-carrying weld"
    if zone.joint >= len(structure.joints):
        return "attachment"  # a tab
    touch = structure.joints[zone.joint].touch
    return "load-carrying weld" if touch.ends[touch.bars.index(zone.bar)] else "attachment"


def fatigue_findings(found: Sequence[Lasting], road: Road, wanted_km: float) -> tuple[Finding, ...]:
    """Say how far the frame lasts, and on what assumption."""
    if not found:
        return ()
    first = found[0]
    km = f"{first.km:.0f}" if first.km < 1e5 else "more than 100,000"
    return (
        Finding(
            "watch" if first.km < wanted_km else "note",
            "fatigue",
            f"The first crack is to be looked for at {first.where}: after {km} km of {road.name}.",
            f"Stress swings by {first.stress_range:.0f} MPa there ({first.kind}). {road.says}",
            "Look there for cracks from time to time; a stronger alloy does not help a weld, a bigger bar does.",
        ),
    )
