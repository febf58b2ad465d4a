"""Welds and bolts of many variants of one frame at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.building import Built
from bentwork.carry.handed import by_fixings
from bentwork.carry.joint_parts import Bolts, HandedOn, Part, Seam, bolt_seats, bolts_of, handed_on, seam_of, weld_seat
from bentwork.carry.limits import Rules
from bentwork.carry.tab_parts import plate_of, strap_wrench, tab_seam, tab_seats
from bentwork.carry.welds import Ring

__all__ = ["SweptJoints"]

Floats = NDArray[np.float64]


class SweptJoints:
    """Welds and bolts of variants: how much of them is used at a payload of their own.

    Args:
        built: the frame that all variants share.
        variants: the bars of every variant, V of them.
        handed: (V, A, 6, 2 L) what its node puts on every attached place, without the payload and of it alone.
        rules: safety and filler.
    """

    def __init__(self, built: Built, variants: Sequence[tuple[Bar, ...]], handed: Floats, rules: Rules) -> None:
        self._safety = rules.safety
        self._many = len(variants)
        self._parts: list[tuple[Part, HandedOn, HandedOn]] = []
        half = handed.shape[-1] // 2
        held = by_fixings(built, handed)
        joined = handed - held
        welds = _welds(built, variants, joined, rules.filler)
        tabs = _tabs(built, variants, held, rules.filler)
        for part, forces in (*((welds,) if welds else ()), *tabs, *_bolts(built, variants, joined, held)):
            self._parts.append((part, *forces.columns(half)))

    def use(self, factor: Floats) -> Floats:
        """Return the share of the weld or bolt that is used most, (V,), at so many times the payload (V,)."""
        most = np.zeros(self._many)
        for part, steady, carried in self._parts:
            times = factor.reshape(-1, *[1] * (steady.axial.ndim - 1))
            used = part.use(steady.with_payload(carried, times), self._safety)
            most = np.maximum(most, used.reshape(self._many, -1).max(axis=1))
        return most


def _welds(
    built: Built, variants: Sequence[tuple[Bar, ...]], handed: Floats, filler: str
) -> tuple[Seam, HandedOn] | None:
    """All welds of all variants as one seam, (V, J, 1) numbers of each kind; None where nothing is welded."""
    welded = [number for number, joint in enumerate(built.structure.joints) if joint.made == "welded"]
    if not welded:
        return None
    seats = [[weld_seat(built.structure, built, number, k) for k in (0, 1)] for number in welded]
    joints = [built.structure.joints[number] for number in welded]
    known: dict[tuple[int, int, int], tuple[int, Seam]] = {}
    seams: list[list[tuple[int, Seam]]] = []
    for bars in variants:
        own = []
        for number, joint in enumerate(joints):
            one, other = joint.touch.bars
            key = number, id(bars[one]), id(bars[other])  # bars that do not change are the same in every variant
            own.append(known[key] if key in known else known.setdefault(key, seam_of(bars, joint, filler)))
        seams.append(own)
    round_ = np.array([[k for k, _ in own] for own in seams])
    numbers = np.array(
        [[[getattr(s.ring, size.name) for size in fields(Ring)] + [s.holds, s.throat] for _, s in own] for own in seams]
    )
    *sizes, holds, throat = np.moveaxis(numbers, 2, 0)[..., None]
    every = np.arange(len(welded))
    spots, axes = (
        np.array([[s.spot for s in pair] for pair in seats]),
        np.array([[s.axis for s in pair] for pair in seats]),
    )
    wrench = handed[np.arange(len(variants))[:, None], spots[every, round_]]
    return Seam(Ring(*sizes), holds, throat), handed_on(wrench, axes[every, round_])


def _bolts(
    built: Built, variants: Sequence[tuple[Bar, ...]], joined: Floats, held: Floats
) -> Iterator[tuple[Bolts, HandedOn]]:
    for seat, bolt, many, holder in bolt_seats(built.structure, built):
        every = [bolts_of(bolt, many, bars[holder] if isinstance(holder, int) else holder) for bars in variants]
        stacked = Bolts(
            np.array([one.pulled for one in every]),
            np.array([one.cut for one in every]),
            many,
            _column([one.lever for one in every]),
        )
        yield stacked, seat.handed((held if seat.joint < 0 else joined)[:, seat.spot])


def _tabs(
    built: Built, variants: Sequence[tuple[Bar, ...]], held: Floats, filler: str
) -> Iterator[tuple[Part, HandedOn]]:
    """Plates and welds of tabs that hold something."""
    structure, many = built.structure, held.shape[-1] // 2
    for one in tab_seats(structure, built):
        wrench = held[:, one.plate.spot]
        if one.strap is not None:
            wrench = np.broadcast_to(strap_wrench(structure, built, one.strap, many), wrench.shape)
        yield plate_of(one.tab), one.plate.handed(wrench)
        if one.weld is not None:
            seams = [tab_seam(one.tab, bars[one.bar], filler) for bars in variants]
            sizes = [_column([getattr(seam.ring, size.name) for seam in seams]) for size in fields(Ring)]
            holds, throat = (_column([getattr(seam, name) for seam in seams]) for name in ("holds", "throat"))
            yield Seam(Ring(*sizes), holds, throat), one.weld.handed(wrench)


def _column(values: Sequence[float | Floats]) -> Floats:
    return np.array(values, dtype=np.float64)[:, None]
