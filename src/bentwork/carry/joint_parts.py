"""What joints hold by: the seam of a weld, the bolts of a bolted joint; where each stands and what it takes.

Sizes are numbers, or arrays with a row a variant where many frames are judged at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.building import Built
from bentwork.carry.fasteners import Bolt, checks
from bentwork.carry.joint import Joint
from bentwork.carry.structure import Structure
from bentwork.carry.tabs import TabOn
from bentwork.carry.welds import (
    WELD_FACTOR,
    Ring,
    pair_of,
    ring_of,
    throat_stress,
    usual_throat,
    weld_metal_strength,
    weld_stress,
)
from bentwork.space import Vec, sub

__all__ = ["Bolts", "HandedOn", "Part", "Seam", "Seat", "bolt_seats", "bolts_of", "handed_on", "seam_of", "weld_seat"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HandedOn:
    """What a joint hands on, split about its axis; a column a load, rows before it where there are variants.

    Args:
        axial: (..., L) force along the axis, N.
        shear: (..., 3, L) force across it, N.
        twist: (..., L) moment about it, N mm.
        bend: (..., 3, L) moment across it, N mm.
    """

    axial: Floats
    shear: Floats
    twist: Floats
    bend: Floats

    def columns(self, many: int) -> tuple[HandedOn, HandedOn]:
        """Split into the first columns and the rest."""
        values = [getattr(self, f.name) for f in fields(self)]
        return HandedOn(*(v[..., :many] for v in values)), HandedOn(*(v[..., many:] for v in values))

    def with_payload(self, carried: HandedOn, factor: Floats) -> HandedOn:
        """Return this and so many times the payload's: (L,), or (V, ..., 1) of variants."""
        across = factor if factor.ndim < 2 else factor[..., None, :]
        return HandedOn(
            self.axial + factor * carried.axial,
            self.shear + across * carried.shear,
            self.twist + factor * carried.twist,
            self.bend + across * carried.bend,
        )


def handed_on(wrench: Floats, axis: Floats) -> HandedOn:
    """Split force and moment (..., 6, L) about an axis (..., 3)."""
    force, moment = wrench[..., :3, :], wrench[..., 3:, :]
    axial, twist = (np.einsum("...i,...il->...l", axis, part) for part in (force, moment))
    along = axis[..., :, None]
    return HandedOn(axial, force - along * axial[..., None, :], twist, moment - along * twist[..., None, :])


class Part(Protocol):
    """Something that hands on force and is used up by it."""

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share of what it may take, (..., L)."""

    def stress(self, forces: HandedOn) -> Floats:
        """Return its stress, MPa, (..., L); 0 where it is told in forces."""


@dataclass(frozen=True, slots=True, eq=False)
class Seam:
    """A weld.

    Args:
        ring: its moduli.
        holds: what its throat may be asked for, MPa.
        throat: mm.
    """

    ring: Ring
    holds: float | Floats
    throat: float | Floats

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share of what the throat may take."""
        return safety * self.stress(forces) / self.holds

    def stress(self, forces: HandedOn) -> Floats:
        """Return the stress that the codes compare, MPa."""
        return weld_stress(*self._throat(forces))

    def swing(self, forces: HandedOn) -> Floats:
        """Return the stress on the throat that a crack from its root asks for, MPa: all that acts on it together."""
        return np.hypot(*self._throat(forces))

    def _throat(self, forces: HandedOn) -> tuple[Floats, Floats]:
        shear, bend = (np.linalg.norm(part, axis=-2) for part in (forces.shear, forces.bend))
        return throat_stress(self.ring, forces.axial, shear, forces.twist, bend)


@dataclass(frozen=True, slots=True, eq=False)
class Bolts:
    """Bolts that share a force; a moment is held between them and the edge that they pry against.

    Args:
        pulled: (..., W, 1) share that 1 N along a bolt uses of each way in which it may give.
        cut: (..., W, 1) the same of 1 N across it.
        many: how many bolts.
        lever: from the bolts to the edge of the bar, mm.
    """

    pulled: Floats
    cut: Floats
    many: int
    lever: float | Floats

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share that the way it gives first uses.

        A moment across a bolt is held between it and the edge of the bar, half its depth away; a twist by two bolts or
        more, that far from their middle (common practice, on the safe side).
        """
        shear, bend = (np.linalg.norm(part, axis=-2) for part in (forces.shear, forces.bend))
        pull = (np.abs(forces.axial) + bend / self.lever) / self.many
        cut = (shear + (np.abs(forces.twist) / self.lever if self.many > 1 else 0.0)) / self.many
        found: Floats = safety * (self.pulled * pull[..., None, :] + self.cut * cut[..., None, :]).max(axis=-2)
        return found

    def stress(self, forces: HandedOn) -> Floats:
        """Return 0: bolts are told in forces."""
        return np.zeros(forces.axial.shape)


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """Where a weld or a bolt stands.

    Args:
        what: which of the two.
        where: in words.
        place: mm.
        joint: number of the joint; -1 for a bolt of a fixing.
        spot: number of the attached place whose forces it hands on.
        axis: (3,) direction that these are split about.
        arm: (3,) from the bar's middle line to where they are looked at, mm; None for that line itself.
    """

    what: Literal["metal", "weld", "bolt"]
    where: str
    place: Vec
    joint: int
    spot: int
    axis: Floats
    arm: Floats | None = None

    def handed(self, wrenches: Floats) -> HandedOn:
        """Return what it hands on of forces and moments (..., 6, L) that act at the bar's middle line."""
        if self.arm is None:
            return handed_on(wrenches, self.axis)
        force, moment = wrenches[..., :3, :], wrenches[..., 3:, :]
        there = moment - np.cross(self.arm[:, None], force, axis=-2)
        return handed_on(np.concatenate((force, there), axis=-2), self.axis)


def seam_of(bars: Sequence[Bar], joint: Joint, filler: str) -> tuple[int, Seam]:
    """Return which of the two bars of a welded joint the weld goes round, and the weld.

    It goes round the bar that ends there; where both end, or none, round the thinner.

    Args:
        bars: of the frame.
        joint: welded.
        filler: of aluminium.
    """
    two = [bars[number] for number in joint.touch.bars]
    ends = joint.touch.ends
    k = (0 if ends[0] else 1) if ends[0] != ends[1] else (0 if two[0].half_depth < two[1].half_depth else 1)
    throat = joint.throat if joint.throat is not None else usual_throat(*two)
    ring = ring_of(two[k].section, throat) if ends[k] else pair_of(two[k].section, two[1 - k].section, throat)
    holds = min(weld_metal_strength(bar.material, filler) for bar in two) / WELD_FACTOR
    return k, Seam(ring, holds, throat)


def weld_seat(structure: Structure, built: Built, number: int, k: int) -> Seat:
    """Return where the weld of a joint stands that goes round its first (0) or second (1) bar."""
    joint = structure.joints[number]
    words = f"the weld of {joint.words(structure.bars)}"
    axis = _axis(structure, joint, k)
    return Seat("weld", words, joint.touch.places[k], number, built.joints[number][k], axis)


def bolts_of(bolt: Bolt, many: int, holder: Bar | TabOn) -> Bolts:
    """Return what the bolts in a bar or tab take; each way of giving grows in a straight line with pull and shear."""
    metal, lever = holder.material, holder.edge if isinstance(holder, TabOn) else holder.half_depth
    pulled, cut = (
        np.array([one.use for one in checks(bolt, *load, metal)])[:, None] for load in ((1.0, 0.0), (0.0, 1.0))
    )
    return Bolts(pulled, cut, many, lever)


def bolt_seats(structure: Structure, built: Built) -> tuple[tuple[Seat, Bolt, int, int | TabOn], ...]:
    """Return where every bolt that is known stands, the bolt, how many there are, and its tab or its bar's number."""
    found: list[tuple[Seat, Bolt, int, int | TabOn]] = []
    for number, joint in enumerate(structure.joints):
        if joint.made == "welded" or joint.bolt is None:
            continue
        words = f"the bolt of {joint.words(structure.bars)}"
        place, spot = joint.touch.places[1], built.joints[number][1]
        seat = Seat("bolt", words, place, number, spot, np.array(joint.bolt_axis))
        found.append((seat, joint.bolt, joint.bolts, joint.touch.bars[1]))
    for number, held in enumerate(structure.fixings):
        fixing, spot = held.fixing, built.fixings[number]
        if held.tab is not None:
            tab = structure.tabs[held.tab].tab
            bolt = tab.holding(fixing.bolt)
            if bolt is not None:
                words = f"the bolt of fixing {fixing.name} in tab {tab.name}"
                arm = np.array(tab.hole) - built.frame.attached[spot].place
                seat = Seat("bolt", words, tab.hole, -1, spot, np.array(tab.ways[2]), arm)
                found.append((seat, bolt, fixing.bolts, tab))
            continue
        if fixing.bolt is None:
            continue
        x, y, z = (float(c) for c in built.frame.attached[spot].place)
        words = f"the bolt of fixing {fixing.name}"
        seat = Seat("bolt", words, (x, y, z), -1, spot, np.array(fixing.directions[0]))
        found.append((seat, fixing.bolt, fixing.bolts, held.bar))
    return tuple(found)


def _axis(structure: Structure, joint: Joint, k: int) -> Floats:
    """Direction that the weld lies round: along the bar that ends, else from bar to bar."""
    if joint.touch.ends[k]:
        bar = structure.bars[joint.touch.bars[k]]
        return np.array(bar.line.pose(joint.touch.stations[k]).tangent)
    between = np.array(sub(joint.touch.places[1], joint.touch.places[0]))
    length = float(np.linalg.norm(between))
    return between / length if length > 1e-9 else np.array((0.0, 0.0, 1.0))
