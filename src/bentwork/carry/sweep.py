"""What if it were made of something else: sections, materials and radii tried at once.

The places of the bars are the same in every variant, only how much they give and weigh changes: the flexibility of
every
chain is a sum of six parts, one a kind of section force, each times a compliance. So the parts are integrated once,
and a
variant is a weighted sum of them and one small system. All variants are solved in a stack.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import product as every
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.bearable import payload_at_limit
from bentwork.carry.building import Built, build
from bentwork.carry.cases import LoadCase, loads_of
from bentwork.carry.limits import Rules
from bentwork.carry.strength import allowed_stress, softened_by, welds_of
from bentwork.carry.stress import Fibres, fibres_of, worst_fibre
from bentwork.carry.structure import Structure
from bentwork.carry.swept import Swept, answers, parts_of_frame, sampled
from bentwork.carry.swept_joints import SweptJoints
from bentwork.stock.material import Material
from bentwork.stock.section import Section

__all__ = ["AtTheBender", "Found", "Variant", "pareto", "sweep"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_STACK = 25
_CLOSE = 1e-7
_FOLLOWED = 3  # places and cases that are taken along each time: one is hardly ever used most alone


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
) -> tuple[Found, ...]:
    """Try every section in every material, at every radius.

    Args:
        structures: the frame, or one for every radius of its bends (mm).
        pieces: names of the pieces that change; the others stay as they are.
        sections: to try.
        materials: to try.
        cases: load cases; the moves are told for the first.
        rules: safety and welding.

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
            found.append(Found(variant, mass, payload, moves))
    return tuple(found)


def _tried(
    structure: Structure, pieces: Sequence[str], variants: Sequence[Variant], cases: Sequence[LoadCase], rules: Rules
) -> Iterator[tuple[float, float, float, Variant]]:
    pushes = [(push.bar, push.station) for case in cases for push in case.pushes]
    built = build(structure, pushes, longest=1e6)
    frame = parts_of_frame(built)
    loads = loads_of(built, cases)
    places = _Places(built, rules)
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
        payload = _payload(places, swept, [one.section for one in some], bars)
        for number, one in enumerate(some):
            mass = replace(structure, bars=bars[number]).mass
            yield mass, float(payload[number]), float(swept.moves[number]), one


class _Places:
    """Where stress is looked for, and what of it depends on the section alone, reckoned once for each.

    Args:
        built: the frame that all variants share.
        rules: safety and welding.
    """

    def __init__(self, built: Built, rules: Rules) -> None:
        self.built, self.rules, self.inside = built, rules, sampled(built)
        self.bar_of = built.frame.elements.bar[self.inside.element]
        self._known: dict[Section, tuple[Fibres, Ints]] = {}

    def of(self, section: Section, bars: tuple[Bar, ...]) -> tuple[Fibres, Floats]:
        """Return the fibres of a variant, and what its metal takes at every place with the required safety, MPa."""
        elements, inside, structure = self.built.frame.elements, self.inside, self.built.structure
        if section not in self._known:
            variant = replace(structure, bars=bars)
            softened = softened_by(bars, elements, inside, welds_of(variant, self.rules.welding))
            self._known[section] = fibres_of(bars, elements, inside), softened
        fibres, softened = self._known[section]
        return fibres, allowed_stress(bars, self.bar_of, softened) / self.rules.safety


def _payload(places: _Places, swept: Swept, sections: Sequence[Section], bars: Sequence[tuple[Bar, ...]]) -> Floats:
    """Times the payload that metal, welds and bolts of every variant carry, (V,).

    Of the many places and cases only those are followed that are used most at some payload: the others are looked at
    again at the payload that is found, and any that is over its limit there is followed as well.
    """
    of_each = [places.of(section, own) for section, own in zip(sections, bars, strict=True)]
    fibres = Fibres(*(np.stack([getattr(one, f.name) for one, _ in of_each]) for f in fields(Fibres)))
    limit = np.stack([allowed for _, allowed in of_each])[:, :, None]
    joints = SweptJoints(places.built, bars, swept.handed, places.rules)
    many, cases = len(bars), swept.steady.shape[-1]

    def shares(factor: Floats) -> Floats:
        """Share of every place in every case, (V, S L)."""
        forces = swept.steady + factor[:, None, None, None] * swept.carried
        found: Floats = (worst_fibre(forces, fibres) / limit).reshape(many, -1)
        return found

    rows = np.arange(many)[:, None]
    followed = np.concatenate([_most_used(shares(np.full(many, factor)), _FOLLOWED) for factor in (0.0, 1.0)], axis=1)
    while True:
        place, case = np.divmod(followed, cases)
        steady, carried = (part[rows, place, :, case][..., None] for part in (swept.steady, swept.carried))
        own = Fibres(*(getattr(fibres, f.name)[rows, place] for f in fields(Fibres)))
        most = limit[rows, place]

        def use(
            factor: Floats, steady: Floats = steady, carried: Floats = carried, own: Fibres = own, most: Floats = most
        ) -> Floats:
            share = worst_fibre(steady + factor[:, None, None, None] * carried, own) / most
            found: Floats = np.maximum(share[:, :, 0].max(axis=1), joints.use(factor))
            return found

        payload = payload_at_limit(use, (many,), _CLOSE)
        again = shares(np.where(np.isfinite(payload), payload, 0.0))
        if not np.any(again.max(axis=1)[payload > 0.0] > 1.0 + _CLOSE):
            return payload
        followed = np.concatenate((followed, _most_used(again, _FOLLOWED)), axis=1)


def _most_used(shares: Floats, count: int) -> Ints:
    """Numbers of the places and cases of every variant that are used most, (V, count) at most."""
    count = min(count, shares.shape[1])
    return np.argpartition(-shares, count - 1, axis=1)[:, :count]


def pareto(found: Sequence[Found]) -> tuple[Found, ...]:
    """Return the variants that no other beats in mass, payload and moves alike, the lightest first."""
    numbers = np.array([(one.mass, -one.payload, one.moves) for one in found]).reshape(-1, 3)
    kept = []
    for k, one in enumerate(found):
        better = np.all(numbers <= numbers[k], axis=1) & np.any(numbers < numbers[k], axis=1)
        if not better.any():
            kept.append(one)
    return tuple(sorted(kept, key=lambda one: (one.mass, -one.payload)))
