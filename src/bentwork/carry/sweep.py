"""What if it were made of something else: sections, materials and radii tried at once.

The places of the bars are the same in every variant, only how much they give and weigh changes: the flexibility of
every
chain is a sum of six parts, one a kind of section force, each times a compliance. So the parts are integrated once,
and a
variant is a weighted sum of them and one small system. All variants are solved in a stack.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from itertools import product as every
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.bearable import payload_at_limit
from bentwork.carry.building import Built, build
from bentwork.carry.cases import LoadCase, loads_of
from bentwork.carry.limits import Rules
from bentwork.carry.strength import beside_welds, welds_of
from bentwork.carry.stress import Fibres, fibres_of, worst_fibre
from bentwork.carry.structure import Structure
from bentwork.carry.swept import Swept, answers, parts_of_frame, sampled
from bentwork.carry.swept_joints import SweptJoints
from bentwork.stock.material import Material
from bentwork.stock.section import Section

__all__ = ["AtTheBender", "Found", "Variant", "pareto", "sweep"]

Floats = NDArray[np.float64]

_STACK = 25
_CLOSE = 1e-5


@dataclass(frozen=True, slots=True)
class Variant:
    """What the pieces swept over are made of, and the radius of their bends, mm (None where it is not swept)."""

    section: Section
    material: Material
    radius: float | None = None


@dataclass(frozen=True, slots=True)
class AtTheBender:
    """What bending a variant asks for, and where its springback is from; filled in by who knows the bender."""

    bends: bool | None = None
    lever_force: float | None = None
    springback: float | None = None
    known_from: Literal["job", "test bends", "handbook", "nothing"] = "handbook"
    price: float | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """One variant.

    Args:
        variant: what it is.
        mass: of the whole frame, kg.
        payload: times the payload that metal, welds and bolts carry with the required safety, buckling not looked at;
            0 when it cannot carry itself.
        moves: how far the joint, bearing or free end that moves most goes in the first case, mm.
        bender: what the bender says to it.
    """

    variant: Variant
    mass: float
    payload: float
    moves: float
    bender: AtTheBender = AtTheBender()


def sweep(
    structures: Structure | Mapping[float, Structure],
    pieces: Sequence[str],
    sections: Sequence[Section],
    materials: Sequence[Material],
    cases: Sequence[LoadCase],
    rules: Rules | None = None,
    bender: Callable[[Variant], AtTheBender] | None = None,
) -> tuple[Found, ...]:
    """Try every section in every material, at every radius.

    Args:
        structures: the frame, or one for every radius of its bends (mm).
        pieces: names of the pieces that change; the others stay as they are.
        sections: to try.
        materials: to try.
        cases: load cases; the moves are told for the first.
        rules: safety and welding.
        bender: what bending a variant asks for.

    Raises:
        ValueError: a frame can move without bending, or no piece is named that it has.
    """
    rules = rules or Rules()
    by_radius = {None: structures} if isinstance(structures, Structure) else dict(structures.items())
    found: list[Found] = []
    for radius, structure in by_radius.items():
        if not any(bar.of in pieces or bar.name in pieces for bar in structure.bars):
            raise ValueError(f"no piece of the frame is called {' or '.join(pieces)}")
        variants = [Variant(section, material, radius) for section, material in every(sections, materials)]
        for mass, payload, moves, variant in _tried(structure, pieces, variants, cases, rules):
            found.append(Found(variant, mass, payload, moves, bender(variant) if bender else AtTheBender()))
    return tuple(found)


def _tried(
    structure: Structure, pieces: Sequence[str], variants: Sequence[Variant], cases: Sequence[LoadCase], rules: Rules
) -> Iterator[tuple[float, float, float, Variant]]:
    pushes = [(push.bar, push.station) for case in cases for push in case.pushes]
    built = build(structure, pushes, longest=1e6)
    frame = parts_of_frame(built)
    loads = loads_of(built, cases)
    for start in range(0, len(variants), _STACK):
        some = variants[start : start + _STACK]
        bars = [
            tuple(
                bar.made_of(one.section, one.material) if bar.of in pieces or bar.name in pieces else bar
                for bar in structure.bars
            )
            for one in some
        ]
        swept = answers(frame, bars, loads)
        payload = _payload(built, swept, bars, rules)
        for number, one in enumerate(some):
            yield sum(bar.mass for bar in bars[number]), float(payload[number]), float(swept.moves[number]), one


def _payload(built: Built, swept: Swept, bars: Sequence[tuple[Bar, ...]], rules: Rules) -> Floats:
    """Times the payload that metal, welds and bolts of every variant carry, (V,)."""
    elements, inside = built.frame.elements, sampled(built)
    fibres, allowed = [], []
    for own in bars:
        variant = Structure(own, built.structure.joints, built.structure.fixings, directions=built.structure.directions)
        fibres.append(fibres_of(own, elements, inside))
        allowed.append(beside_welds(own, elements, inside, welds_of(variant, rules.welding))[1])
    places = len(inside.element)
    stacked = Fibres(*(np.concatenate([getattr(one, f.name) for one in fibres]) for f in fields(Fibres)))
    limit = np.concatenate(allowed)[:, None] / rules.safety
    steady = swept.steady.reshape(len(bars) * places, 6, -1)
    carried = swept.carried.reshape(len(bars) * places, 6, -1)
    joints = SweptJoints(built, bars, swept.handed, rules)

    def use(factor: Floats) -> Floats:
        forces = steady + np.repeat(factor, places)[:, None, None] * carried
        share = worst_fibre(forces, stacked) / limit
        found: Floats = np.maximum(share.reshape(len(bars), -1).max(axis=1), joints.use(factor))
        return found

    return payload_at_limit(use, (len(bars),), _CLOSE)


def pareto(found: Sequence[Found]) -> tuple[Found, ...]:
    """Return the variants that no other beats in mass, payload and moves alike, the lightest first."""
    numbers = np.array([(one.mass, -one.payload, one.moves) for one in found]).reshape(-1, 3)
    kept = []
    for k, one in enumerate(found):
        better = np.all(numbers <= numbers[k], axis=1) & np.any(numbers < numbers[k], axis=1)
        if not better.any():
            kept.append(one)
    return tuple(sorted(kept, key=lambda one: (one.mass, -one.payload)))
