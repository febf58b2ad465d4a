"""What a tab that holds something hands on: through the plate at its end on the bar, its weld, the bolt in its hole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.building import Built
from bentwork.carry.joint_parts import HandedOn, Seam, Seat
from bentwork.carry.strength import metal_factor, thickness
from bentwork.carry.stress import Fibres, section_fibres, worst_fibre
from bentwork.carry.structure import Structure
from bentwork.carry.tabs import TabOn
from bentwork.carry.welds import WELD_FACTOR, lines_of, throat_between, weld_metal_strength
from bentwork.space import Vec, sub

__all__ = ["Plate", "TabSeats", "plate_of", "strap_wrench", "tab_seam", "tab_seats"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A tab where it meets the bar: bent both ways, twisted, pulled and sheared as a rectangle.

    Of a force F at the hole, e away, that is 6 F e/(b t^2) when it goes along the bolt, and 6 F e/(t b^2) when it
    goes across the tab (bending of any textbook); with shear and twist after von Mises as in bars.

    Args:
        across: (3,) unit vector across the tab.
        bolt: (3,) along the bolt.
        fibres: of its section.
        holds: what the metal may be asked for, MPa.
    """

    across: Floats
    bolt: Floats
    fibres: Fibres
    holds: float

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share of what its metal may take."""
        return safety * self.stress(forces) / self.holds

    def stress(self, forces: HandedOn) -> Floats:
        """Return the stress of its worst fibre, MPa."""
        sheared, bent = (
            [np.einsum("i,...il->...l", way, part) for way in (self.across, self.bolt)]
            for part in (forces.shear, forces.bend)
        )
        section = np.stack((forces.axial, *sheared, forces.twist, *bent), axis=-2)
        return worst_fibre(section[..., None, :, :], self.fibres)[..., 0, :]


@dataclass(frozen=True, slots=True)
class TabSeats:
    """A tab that holds something, and where plate and weld of it are looked at."""

    tab: TabOn
    bar: int
    plate: Seat
    weld: Seat | None
    strap: int | None = None


def tab_seats(structure: Structure, built: Built) -> Iterator[TabSeats]:
    """Every tab that holds a fixing or a strap; those of straps with the number of the strap."""
    holding = [(held.tab, built.fixings[k], None) for k, held in enumerate(structure.fixings)]
    straps = [(tied.tab, built.straps[k], k) for k, tied in enumerate(structure.straps)]
    for number, spot, strap in (*holding, *straps):
        if number is None:
            continue
        stood = structure.tabs[number]
        tab, bar = stood.tab, structure.bars[stood.bar]
        arm = _arm(built, spot, tab.root)
        axis = np.array(tab.ways[0])
        words = f"tab {tab.name} {'beside its weld' if tab.welded else f'where it meets {bar.name}'}"
        plate = Seat("metal", words, tab.root, -1, spot, axis, arm)
        weld = Seat("weld", f"the weld of tab {tab.name}", tab.root, -1, spot, axis, arm) if tab.welded else None
        yield TabSeats(tab, stood.bar, plate, weld, strap)


def plate_of(tab: TabOn) -> Plate:
    """Return the plate of a tab; welded, its metal is as strong as beside a weld."""
    material = tab.material
    proof = material.welded_proof_stress if tab.welded else None
    holds = min((proof or material.proof_stress).value, material.proof_stress.value) / metal_factor(material)
    fibres = Fibres(*(np.array([[size]]) for size in (*section_fibres(tab.section), 1.0)))
    return Plate(np.array(tab.ways[1]), np.array(tab.ways[2]), fibres, holds)


def tab_seam(tab: TabOn, bar: Bar, filler: str) -> Seam:
    """Return the weld of a tab: a fillet along both its faces, as long as it is wide."""
    throat = throat_between(tab.thickness, thickness(bar.section))
    holds = min(weld_metal_strength(metal, filler) for metal in (tab.material, bar.material)) / WELD_FACTOR
    return Seam(lines_of(tab.width, tab.thickness, throat), holds, throat)


def strap_wrench(structure: Structure, built: Built, strap: int, many: int) -> Floats:
    """Return what a strap puts on its tab, told at the bar: (6, 2 L), the same in every case, none with the payload."""
    tied = structure.straps[strap]
    place = np.array(built.frame.attached[built.straps[strap]].place)
    pull = tied.pull
    found = np.zeros((6, 2 * many))
    found[:3, :many] = pull[:, None]
    found[3:, :many] = np.cross(np.array(tied.place) - place, pull)[:, None]
    return found


def _arm(built: Built, spot: int, to: Vec) -> Floats:
    x, y, z = (float(c) for c in built.frame.attached[spot].place)
    return np.array(sub(to, (x, y, z)))
