"""How much of welds and bolts is used, from the forces that each joint and fixing hands on."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.fasteners import Bolt, checks
from bentwork.carry.frame import carry_to
from bentwork.carry.joint import Joint
from bentwork.carry.welds import WELD_FACTOR, Ring, pair_of, ring_of, usual_throat, weld_metal_strength, weld_stress
from bentwork.space import Vec, sub
from bentwork.stock.material import Material

__all__ = ["Bolted", "HandedOn", "Used", "Welded", "bolted", "joint_forces", "welded"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HandedOn:
    """What a joint hands on, split about its axis; a column a load.

    Args:
        axial: force along the axis, N.
        shear: (3, L) force across it, N.
        twist: moment about it, N mm.
        bend: (3, L) moment across it, N mm.
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
        """Return this and so many times the payload's."""
        return HandedOn(*(getattr(self, f.name) + factor * getattr(carried, f.name) for f in fields(self)))


class Used(Protocol):
    """Something that hands on force and is used up by it."""

    what: Literal["weld", "bolt"]
    where: str
    place: Vec
    joint: int
    forces: HandedOn

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share of what it may take, (L,)."""

    def stress(self, forces: HandedOn) -> Floats:
        """Return its stress, MPa, (L,); 0 where it is told in forces."""


@dataclass(slots=True, eq=False)
class Welded:
    """A weld: see ``Used``; ``holds`` what its ``throat`` (mm) may be asked for, MPa."""

    where: str
    place: Vec
    joint: int
    forces: HandedOn
    ring: Ring
    holds: float
    throat: float
    what: Literal["weld", "bolt"] = "weld"

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share of what the throat may take."""
        return safety * self.stress(forces) / self.holds

    def stress(self, forces: HandedOn) -> Floats:
        """Return the stress that the codes compare, MPa."""
        shear, bend = np.linalg.norm(forces.shear, axis=0), np.linalg.norm(forces.bend, axis=0)
        return weld_stress(self.ring, forces.axial, shear, forces.twist, bend)


@dataclass(slots=True, eq=False)
class Bolted:
    """Bolts: see ``Used``; ``many`` share the force, in ``metal``, ``lever`` mm from the edge that they pry against."""

    where: str
    place: Vec
    joint: int
    forces: HandedOn
    bolt: Bolt
    many: int
    metal: Material
    lever: float
    what: Literal["weld", "bolt"] = "bolt"

    def use(self, forces: HandedOn, safety: float) -> Floats:
        """Return the share that the way it gives first uses.

        A moment across a bolt is held between it and the edge of the bar, half its depth away; a twist by two bolts or
        more, that far from their middle (common practice, on the safe side).
        """
        shear, bend = np.linalg.norm(forces.shear, axis=0), np.linalg.norm(forces.bend, axis=0)
        pull = (np.abs(forces.axial) + bend / self.lever) / self.many
        cut = (shear + (np.abs(forces.twist) / self.lever if self.many > 1 else 0.0)) / self.many
        shares = [
            max(one.use for one in checks(self.bolt, safety * p, safety * c, self.metal))
            for p, c in zip(pull.ravel(), cut.ravel(), strict=True)
        ]
        return np.array(shares).reshape(pull.shape)

    def stress(self, forces: HandedOn) -> Floats:
        """Return 0: bolts are told in forces."""
        return np.zeros(forces.axial.shape)


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


def welded(analysed: Analysed, filler: str) -> tuple[Welded, ...]:
    """Return every weld of the frame with what it hands on."""
    structure = analysed.structure
    forces = joint_forces(analysed)
    found = []
    for number, joint in enumerate(structure.joints):
        if joint.made != "welded":
            continue
        k = _ending(analysed, joint)
        bars = [structure.bars[b] for b in joint.touch.bars]
        throat = joint.throat if joint.throat is not None else usual_throat(*bars)
        if joint.touch.ends[k]:
            ring = ring_of(bars[k].section, throat)
        else:
            ring = pair_of(bars[k].section, bars[1 - k].section, throat)
        holds = min(weld_metal_strength(bar.material, filler) for bar in bars) / WELD_FACTOR
        handed = _split(forces[analysed.built.joints[number][k]], _axis(analysed, joint, k))
        words = f"the weld of {joint.words(structure.bars)}"
        found.append(Welded(words, joint.touch.places[k], number, handed, ring, holds, throat))
    return tuple(found)


def bolted(analysed: Analysed) -> tuple[Bolted, ...]:
    """Return every bolt that is known, of joints and of fixings, with what it hands on."""
    structure = analysed.structure
    forces = joint_forces(analysed)
    found = []
    for number, joint in enumerate(structure.joints):
        if joint.made == "welded" or joint.bolt is None:
            continue
        bar = structure.bars[joint.touch.bars[1]]
        handed = _split(forces[analysed.built.joints[number][1]], np.array(joint.bolt_axis))
        words = f"the bolt of {joint.words(structure.bars)}"
        place = joint.touch.places[1]
        found.append(Bolted(words, place, number, handed, joint.bolt, joint.bolts, bar.material, bar.half_depth))
    for number, held in enumerate(structure.fixings):
        fixing = held.fixing
        if fixing.bolt is None:
            continue
        bar = structure.bars[held.bar]
        spot = analysed.built.fixings[number]
        handed = _split(forces[spot], np.array(fixing.directions[0]))
        x, y, z = (float(c) for c in analysed.built.frame.attached[spot].place)
        words = f"the bolt of fixing {fixing.name}"
        found.append(Bolted(words, (x, y, z), -1, handed, fixing.bolt, fixing.bolts, bar.material, bar.half_depth))
    return tuple(found)


def _ending(analysed: Analysed, joint: Joint) -> int:
    """Which of the two bars the weld goes round: the one that ends there, else the thinner."""
    if joint.touch.ends[0] != joint.touch.ends[1]:
        return 0 if joint.touch.ends[0] else 1
    a, b = (analysed.structure.bars[k].half_depth for k in joint.touch.bars)
    return 0 if a < b else 1


def _axis(analysed: Analysed, joint: Joint, k: int) -> Floats:
    """Direction that the weld lies round: along the bar that ends, else from bar to bar."""
    if joint.touch.ends[k]:
        bar = analysed.structure.bars[joint.touch.bars[k]]
        return np.array(bar.line.pose(joint.touch.stations[k]).tangent)
    between = np.array(sub(joint.touch.places[1], joint.touch.places[0]))
    length = float(np.linalg.norm(between))
    return between / length if length > 1e-9 else np.array((0.0, 0.0, 1.0))


def _split(wrench: Floats, axis: Floats) -> HandedOn:
    """Split force and moment (6, 2 L) about an axis."""
    force, moment = wrench[:3], wrench[3:]
    axial, twist = axis @ force, axis @ moment
    return HandedOn(axial, force - axis[:, None] * axial, twist, moment - axis[:, None] * twist)
