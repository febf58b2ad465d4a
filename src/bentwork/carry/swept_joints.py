"""Welds and bolts of many variants of one frame at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.building import Built
from bentwork.carry.joint_parts import Bolts, HandedOn, Part, Seam, bolt_seats, bolts_of, handed_on, seam_of, weld_seat
from bentwork.carry.limits import Rules
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
        for weld, forces in _welds(built, variants, handed, rules.filler):
            self._parts.append((weld, *forces.columns(half)))
        for bolts, forces in _bolts(built, variants, handed):
            self._parts.append((bolts, *forces.columns(half)))

    def use(self, factor: Floats) -> Floats:
        """Return the share of the weld or bolt that is used most, (V,), at so many times the payload (V,)."""
        most = np.zeros(self._many)
        for part, steady, carried in self._parts:
            used = part.use(steady.with_payload(carried, factor[:, None]), self._safety)
            most = np.maximum(most, used.max(axis=1))
        return most


def _welds(
    built: Built, variants: Sequence[tuple[Bar, ...]], handed: Floats, filler: str
) -> Iterator[tuple[Seam, HandedOn]]:
    rows = np.arange(len(variants))
    for number, joint in enumerate(built.structure.joints):
        if joint.made != "welded":
            continue
        seats = [weld_seat(built.structure, built, number, k) for k in (0, 1)]
        seams = [seam_of(bars, joint, filler) for bars in variants]
        round_ = np.array([k for k, _ in seams])
        sizes = [_column([getattr(seam.ring, size.name) for _, seam in seams]) for size in fields(Ring)]
        seam = Seam(Ring(*sizes), _column([s.holds for _, s in seams]), _column([s.throat for _, s in seams]))
        spots, axes = np.array([seat.spot for seat in seats]), np.array([seat.axis for seat in seats])
        yield seam, handed_on(handed[rows, spots[round_]], axes[round_])


def _bolts(built: Built, variants: Sequence[tuple[Bar, ...]], handed: Floats) -> Iterator[tuple[Bolts, HandedOn]]:
    for seat, bolt, many, bar in bolt_seats(built.structure, built):
        every = [bolts_of(bolt, many, bars[bar]) for bars in variants]
        stacked = Bolts(
            np.array([one.pulled for one in every]),
            np.array([one.cut for one in every]),
            many,
            _column([one.lever for one in every]),
        )
        axis = np.broadcast_to(seat.axis, (len(variants), 3))
        yield stacked, handed_on(handed[:, seat.spot], axis)


def _column(values: Sequence[float | Floats]) -> Floats:
    return np.array(values, dtype=np.float64)[:, None]
