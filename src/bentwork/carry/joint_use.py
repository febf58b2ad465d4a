"""How much of welds and bolts is used, from the forces that each joint and fixing hands on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.frame import carry_to
from bentwork.carry.handed import by_fixings
from bentwork.carry.joint_parts import HandedOn, Part, Seat, bolt_seats, bolts_of, seam_of, weld_seat
from bentwork.carry.tab_parts import plate_of, strap_wrench, tab_seam, tab_seats

__all__ = ["Used", "bolted", "joint_forces", "tabbed", "welded"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Used:
    """A weld or a bolt, where it stands, and the forces and moments there (6, 2 L), as ``joint_forces`` has them."""

    seat: Seat
    part: Part
    wrench: Floats

    @property
    def forces(self) -> HandedOn:
        """What it hands on."""
        return self.seat.handed(self.wrench)


def joint_forces(analysed: Analysed) -> Floats:
    """Return what its node puts on every attached place, force and moment there along x, y, z: (A, 6, 2 L)."""
    solved = analysed.solved
    geometry = solved.condensed.geometry
    chains = geometry.frame.chains
    place = np.array([spot.place for spot in geometry.frame.attached])
    found = -solved.loads.at
    first = -(solved.end + solved.condensed.total @ solved.loads.own)
    for k, taken in ((0, first), (1, solved.end)):
        spot = chains.ends[:, k]
        back = carry_to(geometry.middle - place[spot]).transpose(0, 2, 1)
        np.add.at(found, spot, back @ taken)
    return found


def welded(analysed: Analysed, filler: str) -> tuple[Used, ...]:
    """Return every weld of the frame with what it hands on."""
    structure, built = analysed.structure, analysed.built
    handed = joint_forces(analysed)
    forces = handed - by_fixings(built, handed)
    found = []
    for number, joint in enumerate(structure.joints):
        if joint.made != "welded":
            continue
        k, seam = seam_of(structure.bars, joint, filler)
        seat = weld_seat(structure, built, number, k)
        found.append(Used(seat, seam, forces[seat.spot]))
    return tuple(found)


def tabbed(analysed: Analysed, filler: str) -> tuple[Used, ...]:
    """Return plate and weld of every tab that holds a fixing or a strap, with what it hands on."""
    structure, built = analysed.structure, analysed.built
    held = by_fixings(built, joint_forces(analysed))
    found = []
    for one in tab_seats(structure, built):
        wrench = held[one.plate.spot]
        if one.strap is not None:
            wrench = strap_wrench(structure, built, one.strap, len(analysed.cases))
        found.append(Used(one.plate, plate_of(one.tab), wrench))
        if one.weld is not None:
            seam = tab_seam(one.tab, structure.bars[one.bar], filler)
            found.append(Used(one.weld, seam, wrench))
    return tuple(found)


def bolted(analysed: Analysed) -> tuple[Used, ...]:
    """Return every bolt that is known, of joints and of fixings, with what it hands on."""
    structure, built = analysed.structure, analysed.built
    handed = joint_forces(analysed)
    held = by_fixings(built, handed)
    return tuple(
        Used(
            seat,
            bolts_of(bolt, many, structure.bars[holder] if isinstance(holder, int) else holder),
            held[seat.spot] if seat.joint < 0 else handed[seat.spot] - held[seat.spot],
        )
        for seat, bolt, many, holder in bolt_seats(structure, built)
    )
